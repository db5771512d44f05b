"""What a diary says of who chases whom: wins for the rank, looks for the trend, labels for animals."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from slackwater.errors import InputError, shown
from slackwater.plan.question import Question, Wanted
from slackwater.society.diary import ChaseKind, Entry, Watch, labels
from slackwater.society.standing import Won

WON = (ChaseKind.CHASE, ChaseKind.BITE)
"""What tells who leads whom: a display may be answered, and locked jaws have no winner yet."""

COUNTED = (ChaseKind.CHASE, ChaseKind.BITE, ChaseKind.LOCKED)
"""What is counted as trouble."""


@dataclass(frozen=True)
class Look:
    """How often one turned on another in a watch.

    `day` counts from today, negative before it [d]; `hours` is how long was watched [h].
    """

    day: float
    hours: float
    count: int


def day_of(entry: Entry, zone: dt.tzinfo) -> dt.date:
    """Return the keeper's date of an entry."""
    return entry.at.astimezone(zone).date()


def wins(entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC) -> tuple[Won, ...]:
    """Return the chases and bites of a diary as wins, in its order.

    Parameters
    ----------
    entries
        Those that hold, oldest first.
    zone
        The clock by which the keeper's days begin.
    """
    return tuple(
        Won(day, one.who, one.whom, one.count)
        for entry in entries
        if isinstance(entry.seen, Watch) and entry.seen.chases
        for day in (day_of(entry, zone),)
        for one in entry.seen.chases
        if one.count and one.how in WON
    )


def everyone(won: Iterable[Won]) -> tuple[str, ...]:
    """Return everyone whom a tally names, by name."""
    return tuple(sorted({name for one in won for name in (one.who, one.whom)}))


def looks(entries: Iterable[Entry], pair: tuple[str, str], now: dt.datetime) -> tuple[Look, ...]:
    """Return how often the first of two turned on the second, watch by watch.

    Chases seen in passing, with no time watched, say nothing of a rate and are left out.

    Parameters
    ----------
    entries
        Those that hold, oldest first.
    pair
        Who turns on whom, by label.
    now
        The moment from which days are counted.
    """
    found = []
    for entry in entries:
        seen = entry.seen
        if isinstance(seen, Watch) and seen.watched_min and entry.at <= now:
            count = sum(c.count for c in seen.chases if (c.who, c.whom) == pair and c.how in COUNTED)
            day = (entry.at - now).total_seconds() / 86_400.0
            found.append(Look(day, seen.watched_min / 60.0, count))
    return tuple(found)


def pairs(entries: Iterable[Entry]) -> dict[tuple[str, str], int]:
    """Return how often each turned on each, displays left out, the most first."""
    found: dict[tuple[str, str], int] = {}
    watches = (entry.seen for entry in entries if isinstance(entry.seen, Watch))
    for one in (one for watch in watches for one in watch.chases if one.how in COUNTED):
        found[one.who, one.whom] = found.get((one.who, one.whom), 0) + one.count
    ordered = sorted(found.items(), key=lambda item: (-item[1], item[0]))
    return {pair: count for pair, count in ordered if count}


def roll(question: Question) -> dict[str, Wanted]:
    """Return the line of animals behind each label of a tank file's company."""
    lines = question.residents
    named = labels([(line.said, line.count) for line in lines])
    owners = [line for line in lines for _ in range(line.count)]
    return dict(zip(named, owners, strict=True))


def called(label: str, known: Mapping[str, Wanted], field: str) -> str:
    """Return a label as the roll has it, whatever its capitals.

    Raises
    ------
    InputError
        If nobody in the company goes by it.
    """
    for name in known:
        if name.casefold() == label.strip().casefold():
            return name
    limit = f"the company of the tank file holds: {', '.join(known) or 'nobody'}"
    remedy = "Use the tank file's own words, with a number where several go by one name."
    raise InputError(field=field, given=shown(label), limit=limit, remedy=remedy)


def strangers(entries: Sequence[Entry], known: Mapping[str, Wanted]) -> tuple[str, ...]:
    """Return the labels in a diary that the company does not hold, in the order of the diary."""
    told = (label for entry in entries for label in entry.animals)
    return tuple(dict.fromkeys(label for label in told if label not in known))
