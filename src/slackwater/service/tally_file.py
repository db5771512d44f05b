"""A tally written as CSV: date, who, whom, count, kind, minutes."""

from __future__ import annotations

import csv
import datetime as dt
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from slackwater.errors import InputError, InputErrors, shown
from slackwater.plan.tallied import WON
from slackwater.service.plain_data import read_text
from slackwater.society.diary import ChaseKind, Chases, Entry, Watch
from slackwater.society.seen import LONGEST_WATCH_MIN, MOST_CHASES
from slackwater.society.standing import Won

HEADS = ("date", "who", "whom", "count", "kind", "minutes")
LARGEST_BYTES = 100_000_000

_NEEDED = ("date", "who", "whom")
_NOON = dt.time(12)
_KINDS = {kind.value: kind for kind in ChaseKind}
_MOST_FAULTS = 50


@dataclass(frozen=True)
class TallyRow:
    """One line of a tally; a quiet watch names nobody and counts 0. `minutes` is None if not told. [min]"""

    at: dt.datetime
    who: str
    whom: str
    count: int
    how: ChaseKind
    minutes: float | None


def read_tally(path: Path, today: dt.date | None = None, zone: dt.tzinfo = dt.UTC) -> tuple[TallyRow, ...]:
    """Return the lines of a tally, oldest first.

    Parameters
    ----------
    path
        A CSV file with a head: date, who, whom, count, kind, minutes; count is 1, kind chase and
        minutes unknown where they are left out. Dates are ISO days, with or without the hour.
    today
        A day after which no line can lie; any day if left out.
    zone
        The clock of hours that name none; a day without an hour counts as its noon.

    Raises
    ------
    InputError
        If there is no such file, or its head lacks a column.
    InputErrors
        If lines will not do; the first fifty of all faults at once.
    """
    return parse_tally(read_text(path, LARGEST_BYTES), path.name, today, zone)


def parse_tally(
    text: str, name: str, today: dt.date | None = None, zone: dt.tzinfo = dt.UTC
) -> tuple[TallyRow, ...]:
    """Return the lines of a tally from its text, see :func:`read_tally`."""
    lines = csv.reader(text.splitlines(), skipinitialspace=True)
    heads = [head.strip().lower() for head in next(lines, [])]
    if not set(_NEEDED) <= set(heads) or not set(heads) <= set(HEADS):
        raise InputError(
            field=name,
            given=", ".join(heads) or "empty",
            limit=f"its columns are {', '.join(HEADS)}",
            remedy="Write them in the first line; date, who and whom are needed.",
        )
    reader = _Reader(name, heads, today, zone)
    rows = [row for row in reader.rows(lines) if row is not None]
    if reader.faults:
        raise InputErrors(source=name, faults=reader.faults[:_MOST_FAULTS])
    return tuple(sorted(rows, key=lambda row: row.at))


@dataclass
class _Reader:
    """Reads line by line and gathers what will not do."""

    name: str
    heads: list[str]
    today: dt.date | None
    zone: dt.tzinfo
    faults: list[InputError] = field(default_factory=list)
    known: dict[str, dt.datetime] = field(default_factory=dict)

    def rows(self, lines: Iterable[list[str]]) -> Iterator[TallyRow | None]:
        heads, blank = self.heads, len(self.heads) * [""]
        for number, cells in enumerate(lines, start=2):
            if not any(cells):
                continue
            row = dict(zip(heads, (*cells, *blank), strict=False))
            try:
                yield self._row(row)
            except InputError as fault:
                self._fault(number, fault)
                yield None

    def _row(self, row: dict[str, str]) -> TallyRow:
        count = self._count(row.get("count", ""), quiet=not row["who"].strip() and not row["whom"].strip())
        who, whom = row["who"].strip(), row["whom"].strip()
        if count and not (who and whom):
            raise _bad("who and whom", "empty", "a chase has one who chases and one who flees", "Name both.")
        if who and who == whom:
            raise _bad("whom", shown(whom), "nobody chases itself", "Name two animals.")
        kind = row.get("kind", "").strip().lower() or ChaseKind.CHASE.value
        if kind not in _KINDS:
            raise _bad("kind", shown(kind), f"it is one of {', '.join(_KINDS)}", "Choose one of them.")
        return TallyRow(
            self._at(row["date"]), who, whom, count, _KINDS[kind], self._minutes(row.get("minutes", ""))
        )

    def _at(self, said: str) -> dt.datetime:
        if said not in self.known:
            self.known[said] = self._read(said.strip())
        return self.known[said]

    def _read(self, said: str) -> dt.datetime:
        try:
            on = dt.date.fromisoformat(said[:10])
            at = (
                dt.datetime.fromisoformat(said)
                if len(said) > len("2027-01-31")
                else dt.datetime.combine(on, _NOON)
            )
        except ValueError:
            raise _bad(
                "date", shown(said), "it is no day of the calendar", "Write it as 2027-01-31."
            ) from None
        if self.today is not None and on > self.today:
            raise _bad("date", said, "it lies in the future", "Check the year and the clock.")
        return at.astimezone(self.zone) if at.tzinfo else at.replace(tzinfo=self.zone)

    @staticmethod
    def _count(said: str, *, quiet: bool) -> int:
        said = said.strip()
        if not said:
            return 0 if quiet else 1
        if not said.isdecimal() or len(said) > len(str(MOST_CHASES)) or int(said) > MOST_CHASES:
            raise _bad("count", shown(said), f"it is a whole number from 0 to {MOST_CHASES}", "Count again.")
        return int(said)

    @staticmethod
    def _minutes(said: str) -> float | None:
        if not said.strip():
            return None
        try:
            minutes = float(said)
        except ValueError:
            minutes = math.nan
        if not 0.0 < minutes <= LONGEST_WATCH_MIN:
            limit = f"a watch lasts more than 0 and up to {LONGEST_WATCH_MIN:.0f} minutes"
            raise _bad("minutes", shown(said), limit, "Leave it empty if nobody looked at the clock.")
        return minutes

    def _fault(self, number: int, fault: InputError) -> None:
        where = f"{self.name}, line {number}, {fault.field}"
        self.faults.append(InputError(field=where, given=fault.given, limit=fault.limit, remedy=fault.remedy))


def _bad(field_name: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field_name, given=given, limit=limit, remedy=remedy)


def entries_in(path: Path, today: dt.date | None = None, zone: dt.tzinfo = dt.UTC) -> tuple[Entry, ...]:
    """Return what a CSV file tells of a tank: a tally, or a diary as it is exported.

    Parameters
    ----------
    path
        The file; a diary is known by its columns `at` and `kind`.
    today, zone
        As for :func:`read_tally`.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    from slackwater.service.diary_csv import read_entries

    with_head = read_text(path, LARGEST_BYTES).lstrip("\ufeff").split("\n", 1)[0]
    heads = {head.strip().strip('"').lower() for head in with_head.replace(";", ",").split(",")}
    if {"at", "kind"} <= heads:
        return read_entries(path)
    return entries_of(read_tally(path, today, zone))


def wins_of(rows: Iterable[TallyRow]) -> tuple[Won, ...]:
    """Return the chases and bites of a tally as wins."""
    return tuple(
        Won(row.at.date(), row.who, row.whom, row.count) for row in rows if row.count and row.how in WON
    )


def entries_of(rows: Sequence[TallyRow]) -> tuple[Entry, ...]:
    """Return a tally as diary entries, one for each watch.

    Lines of one moment and one length are one watch, until they tell of the same pair again; chases
    without minutes were seen in passing.
    """
    watches: dict[tuple[dt.datetime, float | None], list[dict[tuple[str, str, ChaseKind], int]]] = {}
    for row in rows:
        at_once = watches.setdefault((row.at, row.minutes), [])
        told = (row.who, row.whom, row.how)
        place = next((watch for watch in at_once if told not in watch), None)
        if place is None:
            place = {}
            at_once.append(place)
        place[told] = row.count
    found = [
        (
            at,
            Watch(
                minutes, tuple(Chases(*told[:2], count, told[2]) for told, count in watch.items() if told[0])
            ),
        )
        for (at, minutes), at_once in watches.items()
        for watch in at_once
        if minutes is not None or any(told[0] for told in watch)
    ]
    found.sort(key=lambda pair: pair[0])
    return tuple(Entry(number, at, watch) for number, (at, watch) in enumerate(found, start=1))
