"""One quarrel: who turns on whom, since when, and what the diary says of the two."""

from __future__ import annotations

import datetime as dt
import functools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import merge

from slackwater.errors import InputError
from slackwater.plan.question import Question, Wanted
from slackwater.plan.tallied import COUNTED, Look, called, day_of, looks, pairs, roll
from slackwater.rules import Rules, load_rules
from slackwater.society.company import Sex
from slackwater.society.diary import (
    Death,
    Entry,
    KeptApart,
    Place,
    Release,
    RemedyBegun,
    RemedyEnded,
    Removal,
    Seen,
    Watch,
)

_DAY_S = 86_400.0
_PAIR = 2


def _when(told: tuple[float, Entry]) -> tuple[float, int]:
    return told[0], told[1].number


@dataclass(frozen=True)
class Quarrel:
    """Two animals, the company as it stands today, and the diary up to now.

    `who` turns on `whom`, both by label; `question` holds only those who live in the tank; `entries`
    are those that hold, oldest first.
    """

    question: Question
    entries: tuple[Entry, ...]
    now: dt.datetime
    zone: dt.tzinfo
    who: str
    whom: str
    rules: Rules

    @functools.cached_property
    def roll(self) -> dict[str, Wanted]:
        """The line of animals behind each label."""
        return roll(self.question)

    @property
    def attacker(self) -> Wanted:
        """Who turns on the other."""
        return self.roll[self.who]

    @property
    def victim(self) -> Wanted:
        """Whom it turns on."""
        return self.roll[self.whom]

    @property
    def today(self) -> dt.date:
        """The keeper's date."""
        return self.now.astimezone(self.zone).date()

    def day(self, entry: Entry) -> float:
        """Return when an entry was seen, from now; negative before it. [d]"""
        return (entry.at - self.now).total_seconds() / _DAY_S

    @functools.cached_property
    def _by_kind(self) -> dict[type[Seen], list[tuple[float, Entry]]]:
        found: dict[type[Seen], list[tuple[float, Entry]]] = {}
        for entry in self.entries:
            found.setdefault(type(entry.seen), []).append((self.day(entry), entry))
        return found

    def seen(self, *kinds: type[Seen]) -> Iterator[tuple[float, Entry]]:
        """Yield day and entry of some kinds, oldest first. [d]"""
        yield from merge(*(self._by_kind.get(kind, []) for kind in kinds), key=_when)

    @functools.cached_property
    def chase_days(self) -> tuple[float, ...]:
        """When the one turned on the other, oldest first. [d]"""
        return tuple(
            day
            for day, entry in self.seen(Watch)
            if isinstance(entry.seen, Watch)
            for c in entry.seen.chases
            if (c.who, c.whom) == (self.who, self.whom) and c.how in COUNTED and c.count
        )

    @functools.cached_property
    def began(self) -> float:
        """The first chase after the last lull. [d]"""
        days = [day for day in self.chase_days if day >= -self.rules["quarrel.recent_days"]]
        first = days[-1] if days else 0.0
        for day in reversed(days):
            if first - day > self.rules["quarrel.lull_days"]:
                break
            first = day
        return first

    @functools.cached_property
    def looks(self) -> tuple[Look, ...]:
        """The watches since it began, or since the last remedy was begun, with both in the open water."""
        start = max(self.began, self.remedied)
        watches = [entry for day, entry in self.seen(Watch) if day >= start]
        found = looks(watches, (self.who, self.whom), self.now)
        return tuple(k for k in found if not any(first <= k.day < last for first, last in self._times_apart))

    @property
    def remedied(self) -> float:
        """When the last remedy that changes anything for the two was begun, else long ago. [d]"""
        begun = [
            day
            for day, entry in self.seen(RemedyBegun)
            if isinstance(entry.seen, RemedyBegun)
            and entry.seen.rung != "watch"
            and {self.who, self.whom} & {*entry.seen.animals}
        ]
        return max(begun, default=-1e9)

    def apart(self, label: str) -> Place | None:
        """Return where an animal is kept apart now, None if it is not."""
        where: Place | None = None
        for _, entry in self.seen(KeptApart):
            seen = entry.seen
            if isinstance(seen, KeptApart) and seen.animal == label:
                where = seen.place if seen.begins else None
        return where

    @functools.cached_property
    def _times_apart(self) -> list[tuple[float, float]]:
        """When one of the two was kept apart: first and last day. [d]"""
        since: dict[str, float] = {}
        found: list[tuple[float, float]] = []
        for day, entry in self.seen(KeptApart):
            seen = entry.seen
            if not isinstance(seen, KeptApart) or seen.animal not in {self.who, self.whom}:
                continue
            if seen.begins:
                since.setdefault(seen.animal, day)
            elif seen.animal in since:
                found.append((since.pop(seen.animal), day))
        return [*found, *((day, math.inf) for day in since.values())]

    def inside_days(self, label: str) -> float | None:
        """Return how long an animal has lived in the tank, None where nobody told. [d]"""
        let_go = [
            -day
            for day, entry in self.seen(Release)
            if isinstance(entry.seen, Release) and entry.seen.animal == label
        ]
        if let_go:
            return let_go[-1]
        since = self.roll[label].since
        return None if since is None else float((self.today - since).days)

    @property
    def tried(self) -> dict[str, str]:
        """What came of each rung that was tried for the two: its result, or `running`."""
        mine: dict[int, str] = {}
        out: dict[str, str] = {}
        for _, entry in self.seen(RemedyBegun, RemedyEnded):
            seen = entry.seen
            if isinstance(seen, RemedyBegun) and {self.who, self.whom} & {*seen.animals}:
                mine[entry.number] = seen.rung
                out[seen.rung] = "running"
            elif isinstance(seen, RemedyEnded) and seen.begun in mine:
                out[mine[seen.begun]] = seen.result.value
        return out


def quarrel_of(
    question: Question,
    entries: Sequence[Entry],
    now: dt.datetime,
    pair: tuple[str | None, str | None] = (None, None),
    rules: Rules | None = None,
    zone: dt.tzinfo = dt.UTC,
) -> Quarrel:
    """Return the quarrel that a diary tells of.

    Parameters
    ----------
    question
        The tank and who lives there; its wishes are left out.
    entries
        The diary, only what holds, oldest first.
    now
        The moment at which it is asked; later entries are left out.
    pair
        Who turns on whom; the pair with the most chases of late for those left out.
    rules
        The coefficients; those of the package if left out.
    zone
        The keeper's clock.

    Raises
    ------
    InputError
        If an animal is not in the company, or the diary tells of no chase.
    """
    rules = rules or load_rules()
    past = tuple(entry for entry in entries if entry.at <= now)
    today = now.astimezone(zone).date()
    asked = replace(question, wishes=(), start=today, made_on=today)
    living = living_now(asked, past, zone)
    known = roll(living)
    who, whom = (called(said, known, "the animal") if said else None for said in pair)
    who, whom = _most_chased((who, whom), past, now, rules, set(known))
    return Quarrel(living, past, now, zone, who, whom, rules)


def _most_chased(
    asked: tuple[str | None, str | None],
    entries: Sequence[Entry],
    now: dt.datetime,
    rules: Rules,
    known: set[str],
) -> tuple[str, str]:
    who, whom = asked
    if who and whom:
        return who, whom
    recent = [e for e in entries if (now - e.at).days <= rules["quarrel.lull_days"]]
    for told in (recent, entries):
        for one, other in pairs(told):
            if {one, other} <= known and who in {None, one} and whom in {None, other}:
                return one, other
    raise _no_quarrel(entries, known)


def _no_quarrel(entries: Sequence[Entry], known: set[str]) -> InputError:
    """Return that no two who live there quarrelled, and which names of the chases nobody there goes by."""
    strangers = sorted({name for pair in pairs(entries) for name in pair} - known)
    if strangers:
        return InputError(
            field="who was seen to chase or be chased",
            given=", ".join(strangers),
            limit=f"those who live in the tank go by: {', '.join(sorted(known)) or 'nobody'}",
            remedy="Write the names alike in both files, or add who is missing to the company.",
        )
    return InputError(
        field="the diary",
        given="without such a chase",
        limit="a quarrel needs one who chases and one who is chased, both still in the tank",
        remedy="Write down who chased whom, or name the two.",
    )


def living_now(question: Question, entries: Sequence[Entry], zone: dt.tzinfo) -> Question:
    """Return the question without those who died or were taken out since they were let go."""
    known = roll(question)
    gone: dict[str, int] = {}
    for entry in entries:
        seen = entry.seen
        if not isinstance(seen, Death | Removal) or seen.animal not in known:
            continue
        line = known[seen.animal]
        if line.since is None or day_of(entry, zone) >= line.since:
            gone[line.key] = gone.get(line.key, 0) + seen.count
    kept = [_fewer(line, line.count - gone.get(line.key, 0)) for line in question.residents]
    return replace(question, residents=tuple(line for line in kept if line.count > 0))


def _fewer(line: Wanted, count: int) -> Wanted:
    """Return so many of a line; what is left of a pair is a single animal."""
    broken = line.sex is Sex.PAIR and count < _PAIR
    return replace(line, count=count, sex=Sex.UNKNOWN if broken else line.sex)
