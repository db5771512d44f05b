"""Invented diaries for the tests of quarrels."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from slackwater.plan.quarrel import Quarrel, quarrel_of
from slackwater.plan.question import Question
from slackwater.service.planning import question_of
from slackwater.service.tankfile import load
from slackwater.society.diary import ChaseKind, Chases, Entry, Seen, Watch

NOW = dt.datetime(2027, 3, 8, 20, tzinfo=dt.UTC)

ANGELS = """
slackwater: 1
tank: {length: LENGTH, width: 50 cm, height: 50 cm, lid: true}
rock: {layout: moderate}
keeping: {feeds_per_day: 2, stations: 1}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-05-10}
  - {animal: royal gramma, length: 7 cm, since: 2026-06-10}
  - {animal: coral beauty, length: 9 cm, since: 2026-08-01}
  - {animal: flame angel, length: 7 cm, since: SINCE}
  - {animal: firefish goby, length: 6 cm, since: 2026-07-01}
"""


def angels(since: str = "2027-03-01", length: str = "120 cm") -> Question:
    """Return a tank in which a coral beauty has long lived, and a flame angel since a given day."""
    return company(ANGELS.replace("SINCE", since).replace("LENGTH", length))


def company(text: str) -> Question:
    """Return the tank of a tank file's text."""
    return question_of(load(text), NOW.date(), "an invented tank")


def days_ago(days: float) -> dt.datetime:
    """Return a moment so many days before now."""
    return NOW - dt.timedelta(days=days)


@dataclass
class Diary:
    """A diary that is written line by line, by days before now."""

    lines: list[tuple[dt.datetime, Seen]] = field(default_factory=list)

    def saw(self, ago: float, *seen: Seen) -> Diary:
        """Write down what was seen so many days ago."""
        self.lines += [(days_ago(ago), one) for one in seen]
        return self

    def chased(
        self, pair: tuple[str, str], counts: dict[float, int], how: ChaseKind = ChaseKind.CHASE
    ) -> Diary:
        """Write down watches of ten minutes: so many days ago, so many chases."""
        for ago, count in counts.items():
            chases = (Chases(*pair, count, how),) if count else ()
            self.saw(ago, Watch(10.0, chases))
        return self

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The entries, oldest first."""
        ordered = sorted(self.lines, key=lambda line: line[0])
        return tuple(Entry(n, at, seen) for n, (at, seen) in enumerate(ordered, start=1))

    def quarrel(self, question: Question, pair: tuple[str | None, str | None] = (None, None)) -> Quarrel:
        """Return the quarrel that it tells of."""
        return quarrel_of(question, self.entries, NOW, pair)


BEAUTY, FLAME, GRAMMA = "coral beauty", "flame angel", "royal gramma"


def steady(count: int = 6, days: int = 5) -> dict[float, int]:
    """Return as many chases in each of two watches a day, for some days up to now."""
    return {ago + part: count for ago in range(days) for part in (0.1, 0.5)}


def falling() -> dict[float, int]:
    """Return chases that fall from day to day and have nearly ceased."""
    counts = {5: 5, 4: 3, 3: 2, 2: 1, 1: 0, 0: 0}
    return {ago + part: count for ago, count in counts.items() for part in (0.1, 0.5)}
