"""The diary of a tank: entries that are only ever added, each about one thing seen.

An entry says when, by whom, and what. Animals go by the tank file's own label (`yellow tang`, or
`ocellaris 2` where several go by one name; see `labels`). A mistake is mended by a later entry
that corrects it, and `standing` gives what holds.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import count as counting

from slackwater.errors import InputError, shown
from slackwater.society.seen import (
    KINDS,
    Bearing,
    BodyPart,
    Breathing,
    Brood,
    BroodSign,
    ChaseKind,
    Chases,
    Death,
    Divider,
    Eating,
    Feed,
    HeadCount,
    KeptApart,
    Length,
    Manner,
    Mark,
    Missing,
    Place,
    Release,
    Remark,
    RemedyBegun,
    RemedyEnded,
    Removal,
    Result,
    RockMoved,
    Seen,
    Sighted,
    Sign,
    TakenBack,
    Watch,
    WaterTest,
)

__all__ = [
    "KINDS",
    "Bearing",
    "BodyPart",
    "Breathing",
    "Brood",
    "BroodSign",
    "ChaseKind",
    "Chases",
    "Death",
    "Divider",
    "Eating",
    "Entry",
    "Feed",
    "HeadCount",
    "KeptApart",
    "Length",
    "Manner",
    "Mark",
    "Missing",
    "Photograph",
    "Place",
    "Release",
    "Remark",
    "RemedyBegun",
    "RemedyEnded",
    "Removal",
    "Result",
    "RockMoved",
    "Seen",
    "Sighted",
    "Sign",
    "TakenBack",
    "Watch",
    "WaterTest",
    "animals_of",
    "labels",
    "standing",
    "utc",
]


@dataclass(frozen=True)
class Photograph:
    """A photograph by reference: where it lies, and the SHA-256 of its bytes when it was named."""

    path: str
    sha256: str


@dataclass(frozen=True)
class Entry:
    """One entry of a diary.

    `number` counts a tank's entries from 1 in the order of writing. `at` is when it was seen and
    `written_at` when it was written down, both aware and in UTC. `corrects` is the number of the
    earlier entry, never itself a correction, in whose place this one stands.
    """

    number: int
    at: dt.datetime
    seen: Seen
    by: str = ""
    note: str = ""
    photographs: tuple[Photograph, ...] = ()
    corrects: int | None = None
    written_at: dt.datetime | None = None

    def __post_init__(self) -> None:
        if self.at.tzinfo is not dt.UTC:
            object.__setattr__(self, "at", utc(self.at))
        if self.written_at is not None and self.written_at.tzinfo is not dt.UTC:
            object.__setattr__(self, "written_at", utc(self.written_at, "written_at"))

    @property
    def animals(self) -> tuple[str, ...]:
        """Everyone it speaks of, each once, in order."""
        return animals_of(self.seen)


def utc(when: dt.datetime, name: str = "at") -> dt.datetime:
    """Return a moment in UTC.

    Raises
    ------
    InputError
        If it does not say which clock it is of.
    """
    if when.tzinfo is None or when.utcoffset() is None:
        limit = "an hour without its time zone means several moments"
        remedy = "Add the zone, such as +01:00 or Z."
        raise InputError(field=name, given=shown(when.isoformat()), limit=limit, remedy=remedy)
    return when.astimezone(dt.UTC)


def animals_of(seen: Seen) -> tuple[str, ...]:
    """Return the labels that a record names, each once, in order."""
    match seen:
        case Watch():
            named = [label for c in seen.chases for label in (c.who, c.whom)]
        case HeadCount():
            named = list(seen.missing)
        case Divider():
            named = [*seen.left, *seen.right]
        case Brood() | RemedyBegun():
            named = list(seen.animals)
        case _:
            named = [getattr(seen, "animal", "")]
    return tuple(dict.fromkeys(label for label in named if label))


def standing(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Return the entries that hold, oldest first by when they were seen.

    A corrected entry gives way to its last correction, which keeps the first one's number; what
    was taken back is left out.
    """
    holds: dict[int, Entry] = {}
    for entry in sorted(entries, key=lambda e: e.number):
        root = entry.number if entry.corrects is None else entry.corrects
        holds[root] = replace(entry, number=root)
    kept = [entry for entry in holds.values() if not isinstance(entry.seen, TakenBack)]
    return tuple(sorted(kept, key=lambda e: (e.at, e.number)))


def labels(company: Sequence[tuple[str, int]]) -> tuple[str, ...]:
    """Return the label of each animal of a company.

    Parameters
    ----------
    company
        Names and counts in the order of the tank file.

    Returns
    -------
    tuple of str
        The name itself where one animal alone goes by it, else numbered from 1 in the order of
        the file.

    Examples
    --------
    >>> labels([("yellow tang", 1), ("ocellaris", 2)])
    ('yellow tang', 'ocellaris 1', 'ocellaris 2')
    """
    totals: Counter[str] = Counter()
    for name, number in company:
        totals[name] += number
    numbers = {name: counting(1) for name in totals}
    return tuple(
        name if totals[name] == 1 else f"{name} {next(numbers[name])}"
        for name, number in company
        for _ in range(number)
    )
