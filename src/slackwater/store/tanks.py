"""Keepers and tanks as they are kept: a tank file is saved as one more revision."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, RowMapping, delete, insert, select, update
from sqlalchemy.sql import Select

from slackwater.store import tables as t
from slackwater.store.plain import dumps, loads
from slackwater.store.records import Keeper, Revision, Signed, Tank
from slackwater.store.types import may_be_kept


def key_of(name: str) -> str:
    """Return what a name is told apart by: case and blanks do not count."""
    return " ".join(name.split()).casefold()


class Keepers:
    """Those who look after tanks."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def all(self) -> tuple[Keeper, ...]:
        """Return all keepers by name."""
        rows = self._connection.execute(select(t.keeper).order_by(t.keeper.c.name_key)).mappings()
        return tuple(_keeper(row) for row in rows)

    def find(self, name: str) -> Keeper | None:
        """Return the keeper of a name, or None."""
        asked = select(t.keeper).where(t.keeper.c.name_key == key_of(name))
        row = self._connection.execute(asked).mappings().first()
        return _keeper(row) if row else None

    def add(self, name: str, now: dt.datetime, contact: str = "", note: str = "") -> int:
        """Add a keeper and return their number."""
        values = {"name": name, "name_key": key_of(name), "contact": contact, "note": note, "since": now}
        return int(self._connection.execute(insert(t.keeper).returning(t.keeper.c.id), values).scalar_one())

    def change(self, keeper_id: int, contact: str, note: str) -> None:
        """Put another contact and note in the place of those that were kept."""
        changed = update(t.keeper).where(t.keeper.c.id == keeper_id).values(contact=contact, note=note)
        self._connection.execute(changed)

    def delete(self, keeper_id: int) -> None:
        """Delete a keeper, with their tanks and all that was written about them."""
        self._connection.execute(delete(t.keeper).where(t.keeper.c.id == keeper_id))


class Tanks:
    """Tanks, and the revisions of their tank files."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def all(self, keeper_id: int | None = None) -> tuple[Tank, ...]:
        """Return all tanks by name, or those of one keeper."""
        asked = _tanks().order_by(t.tank.c.name_key)
        if keeper_id is not None:
            asked = asked.where(t.tank.c.keeper_id == keeper_id)
        return tuple(_tank(row) for row in self._connection.execute(asked).mappings())

    def find(self, said: str | int) -> Tank | None:
        """Return the tank of a name or a number, or None."""
        if isinstance(said, int) and not may_be_kept(said):
            return None
        is_it = t.tank.c.id == said if isinstance(said, int) else t.tank.c.name_key == key_of(said)
        row = self._connection.execute(_tanks().where(is_it)).mappings().first()
        return _tank(row) if row else None

    def add(self, name: str, now: dt.datetime, keeper_id: int | None = None) -> int:
        """Add a tank without any revision yet and return its number."""
        values = {"name": name, "name_key": key_of(name), "keeper_id": keeper_id, "since": now}
        counters = {"change": 0, "revision": 0, "entries": 0}
        added = insert(t.tank).returning(t.tank.c.id)
        return int(self._connection.execute(added, values | counters).scalar_one())

    def hand_to(self, tank_id: int, keeper_id: int | None) -> None:
        """Say who keeps a tank."""
        self._connection.execute(update(t.tank).where(t.tank.c.id == tank_id).values(keeper_id=keeper_id))

    def rename(self, tank_id: int, name: str) -> None:
        """Give a tank another name."""
        named = update(t.tank).where(t.tank.c.id == tank_id).values(name=name, name_key=key_of(name))
        self._connection.execute(named)

    def delete(self, tank_id: int) -> None:
        """Delete a tank and all that was written about it."""
        self._connection.execute(delete(t.tank).where(t.tank.c.id == tank_id))

    def count_on(self, tank_id: int, entries: int = 0) -> RowMapping:
        """Count one more change, and so many entries; hold the tank until the end of the writing."""
        counted = (
            update(t.tank)
            .where(t.tank.c.id == tank_id)
            .values(change=t.tank.c.change + 1, entries=t.tank.c.entries + entries)
            .returning(t.tank.c.change, t.tank.c.entries, t.tank.c.revision)
        )
        return self._connection.execute(counted).mappings().one()

    def save(
        self, tank_id: int, expected: int, text: str, content: Mapping[str, object], why: str, signed: Signed
    ) -> int | None:
        """Save one more revision and return its number, or None if the expected one is not the last."""
        is_last = (t.tank.c.id == tank_id) & (t.tank.c.revision == expected)
        counted = (
            update(t.tank).where(is_last).values(revision=t.tank.c.revision + 1, change=t.tank.c.change + 1)
        )
        row = (
            self._connection.execute(counted.returning(t.tank.c.revision, t.tank.c.change)).mappings().first()
        )
        if row is None:
            return None
        values = {"tank_id": tank_id, "number": row["revision"], "text": text, "content": dumps(content)}
        self._connection.execute(insert(t.revision), values | {"why": why} | _by(signed, row["change"]))
        return int(row["revision"])

    def revisions(self, tank_id: int, after_change: int = -1) -> tuple[Revision, ...]:
        """Return all revisions of a tank, or those after a change."""
        asked = select(t.revision).where(t.revision.c.tank_id == tank_id, t.revision.c.change > after_change)
        rows = self._connection.execute(asked.order_by(t.revision.c.number)).mappings()
        return tuple(_revision(row) for row in rows)

    def revision(self, tank_id: int, number: int) -> Revision | None:
        """Return one revision of a tank, or None."""
        if not may_be_kept(number):
            return None
        asked = select(t.revision).where(t.revision.c.tank_id == tank_id, t.revision.c.number == number)
        row = self._connection.execute(asked).mappings().first()
        return _revision(row) if row else None


def _tanks() -> Select[Any]:
    keepers = t.tank.outerjoin(t.keeper, t.tank.c.keeper_id == t.keeper.c.id)
    return select(t.tank, t.keeper.c.name.label("keeper")).select_from(keepers)


def _by(signed: Signed, change: int) -> dict[str, object]:
    return {"written_at": signed.at, "written_by": signed.by, "change": change}


def _keeper(row: RowMapping) -> Keeper:
    return Keeper(row["id"], row["name"], row["contact"], row["note"], row["since"])


def _tank(row: RowMapping) -> Tank:
    return Tank(
        id=row["id"],
        name=row["name"],
        keeper=row["keeper"] or "",
        revision=row["revision"],
        change=row["change"],
        entries=row["entries"],
        since=row["since"],
    )


def _revision(row: RowMapping) -> Revision:
    signed = Signed(row["written_at"], row["written_by"], row["change"])
    return Revision(row["number"], row["text"], loads(row["content"]), row["why"], signed)
