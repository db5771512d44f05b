"""Diaries as they are kept: entries are added, and never changed or taken away."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, func, insert, select, tuple_
from sqlalchemy.sql import Select

from slackwater.society.diary import Entry, TakenBack, Watch
from slackwater.store import tables as t
from slackwater.store.plain import dumps, photographs_of, plain_of, read_seen
from slackwater.store.types import may_be_kept

_e = t.entry.c
_COLUMNS = (
    _e.number, _e.root, _e.at, _e.kind, _e.seen, _e.note, _e.photographs, _e.written_at, _e.written_by
)  # fmt: skip


@dataclass(frozen=True)
class Asked:
    """Which entries are wanted; what is left out does not matter.

    `before` is the place of an entry, by when it was seen and its number: only earlier ones.
    """

    kinds: tuple[str, ...] = ()
    animal: str = ""
    since: dt.datetime | None = None
    until: dt.datetime | None = None
    before: tuple[dt.datetime, int] | None = None


class Diaries:
    """The diaries of all tanks."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, tank_id: int, change: int, entries: Sequence[Entry]) -> None:
        """Add entries that are numbered already."""
        rows = [_row(tank_id, change, entry) for entry in entries]
        named = [
            {"tank_id": tank_id, "number": entry.number, "animal": animal}
            for entry in entries
            for animal in entry.animals
        ]
        self._connection.execute(insert(t.entry), rows)
        if named:
            self._connection.execute(insert(t.entry_animal), named)

    def get(self, tank_id: int, number: int) -> Entry | None:
        """Return one entry as it was written, or None."""
        if not may_be_kept(number):
            return None
        row = self._connection.execute(_all(tank_id).where(_e.number == number)).first()
        return _entry(row) if row else None

    def last_written(self, tank_id: int) -> dt.datetime | None:
        """Return when the last entry of a tank was written, or None without entries."""
        asked = select(_e.written_at).where(_e.tank_id == tank_id).order_by(_e.number.desc()).limit(1)
        return self._connection.execute(asked).scalar()

    def written(self, tank_id: int, after_change: int = -1) -> tuple[Entry, ...]:
        """Return entries as they were written, corrections among them, in that order."""
        asked = _all(tank_id).where(_e.change > after_change).order_by(_e.number)
        return tuple(_entry(row) for row in self._connection.execute(asked))

    def standing(self, tank_id: int, asked: Asked, most: int | None = None) -> tuple[Entry, ...]:
        """Return what holds, newest first by when it was seen; at most so many entries.

        A corrected entry gives way to its last correction, under the number of the first.
        """
        found = _held(_all(tank_id)).where(*_conditions(tank_id, asked))
        found = found.order_by(_e.at.desc(), _e.root.desc()).limit(most)
        return tuple(_entry(row, as_root=True) for row in self._connection.execute(found))

    def watches(self, tank_id: int) -> tuple[Entry, ...]:
        """Return the tallies that hold, oldest first, with nothing but number, time and what was seen."""
        columns = select(_e.root, _e.at, _e.kind, _e.seen)
        found = _held(columns.where(_e.tank_id == tank_id, _e.kind == Watch.kind)).order_by(_e.at, _e.root)
        rows = self._connection.execute(found)
        return tuple(Entry(root, at, read_seen(kind, seen)) for root, at, kind, seen in rows)

    def of_kinds(self, kinds: Iterable[str]) -> tuple[tuple[int, Entry], ...]:
        """Return what holds of some kinds in all tanks, with each tank's number, oldest first."""
        asked = _held(select(_e.tank_id, *_COLUMNS).where(_e.kind.in_(tuple(kinds))))
        rows = self._connection.execute(asked.order_by(_e.at, _e.tank_id, _e.root))
        return tuple((row[0], _entry(row, as_root=True)) for row in rows)

    def counts(self, tank_id: int) -> Mapping[str, int]:
        """Return how many entries of each kind hold."""
        counted = select(_e.kind, func.count()).where(_e.tank_id == tank_id).group_by(_e.kind)
        return dict(iter(self._connection.execute(_held(counted))))

    def last_named(self, tank_id: int, kind: str) -> Mapping[str, dt.datetime]:
        """Return when each animal was last spoken of in an entry of a kind that holds."""
        joined = t.entry.join(
            t.entry_animal,
            (t.entry_animal.c.tank_id == _e.tank_id) & (t.entry_animal.c.number == _e.number),
        )
        named = select(t.entry_animal.c.animal, func.max(_e.at)).select_from(joined)
        asked = _held(named.where(_e.tank_id == tank_id, _e.kind == kind))
        rows = self._connection.execute(asked.group_by(t.entry_animal.c.animal))
        return dict(iter(rows))


def _all(tank_id: int) -> Select[Any]:
    return select(*_COLUMNS).where(_e.tank_id == tank_id)


def _held(asked: Select[Any]) -> Select[Any]:
    """Keep only what no later entry corrects, and what was not taken back."""
    later = t.entry.alias("later")
    corrected = select(later.c.number).where(
        later.c.tank_id == _e.tank_id, later.c.root == _e.root, later.c.number > _e.number
    )
    return asked.where(_e.kind != TakenBack.kind, ~corrected.exists())


def _conditions(tank_id: int, asked: Asked) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = []
    if asked.kinds:
        found.append(_e.kind.in_(asked.kinds))
    if asked.animal:
        named = t.entry_animal.c
        spoken = select(named.number).where(named.tank_id == tank_id, named.animal == asked.animal)
        found.append(_e.number.in_(spoken))
    if asked.since:
        found.append(_e.at >= asked.since)
    if asked.until:
        found.append(_e.at < asked.until)
    if asked.before:
        found.append(tuple_(_e.at, _e.root) < asked.before)
    return found


def _row(tank_id: int, change: int, entry: Entry) -> dict[str, object]:
    return {
        "tank_id": tank_id,
        "number": entry.number,
        "root": entry.number if entry.corrects is None else entry.corrects,
        "at": entry.at,
        "kind": entry.seen.kind,
        "seen": dumps(plain_of(entry.seen)),
        "note": entry.note,
        "photographs": dumps([plain_of(one) for one in entry.photographs]),
        "written_at": entry.written_at,
        "written_by": entry.by,
        "change": change,
    }


def _entry(row: Row[Any], *, as_root: bool = False) -> Entry:
    corrects = None if row.root == row.number else row.root
    return Entry(
        number=row.root if as_root else row.number,
        at=row.at,
        seen=read_seen(row.kind, row.seen),
        by=row.written_by,
        note=row.note,
        photographs=photographs_of(row.photographs),
        corrects=corrects,
        written_at=row.written_at,
    )
