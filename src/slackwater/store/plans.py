"""Plans that were kept, due looks, and what came of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, RowMapping, Table, func, insert, select
from sqlalchemy.sql import Select

from slackwater.store import tables as t
from slackwater.store.plain import dumps, loads
from slackwater.store.records import DueLook, KeptPlan, LookResult, Outcome, RestsOn, Signed
from slackwater.store.types import may_be_kept


class Plans:
    """Plans as they were given."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, tank_id: int, plan: KeptPlan) -> int:
        """Keep a plan and return its number; the one it carries does not count."""
        number = _next(self._connection, t.plan, tank_id)
        rests = plan.rests_on
        values = {
            "tank_id": tank_id,
            "number": number,
            "revision": plan.revision,
            "plan": dumps(plan.plan),
            "program": rests.program,
            "facts": rests.facts,
            "rules": rests.rules,
            "house_notes": dumps(rests.house_notes),
            "why": plan.why,
        }
        self._connection.execute(insert(t.plan), values | _by(plan.signed))
        return number

    def all(self, tank_id: int, after_change: int = -1) -> tuple[KeptPlan, ...]:
        """Return all plans of a tank, or those after a change."""
        asked = select(t.plan).where(t.plan.c.tank_id == tank_id, t.plan.c.change > after_change)
        return tuple(
            _plan(row) for row in self._connection.execute(asked.order_by(t.plan.c.number)).mappings()
        )


class Looks:
    """Looks and calls that are due, and what came of them."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, tank_id: int, look: DueLook) -> int:
        """Add a due look and return its number; the one it carries does not count."""
        number = _next(self._connection, t.look, tank_id)
        values = {
            "tank_id": tank_id,
            "number": number,
            "due_at": look.due_at,
            "animals": dumps(look.animals),
            "asks": dumps(look.asks),
            "reason": look.reason,
            "forecast": look.forecast,
            "p": look.p,
        }
        self._connection.execute(insert(t.look), values | _by(look.signed))
        return number

    def answer(self, tank_id: int, look: int, result: LookResult) -> None:
        """Add what came of a look; what was said of it before is kept, and the last word holds."""
        said = t.look_result.c
        last = select(func.max(said.number)).where(said.tank_id == tank_id, said.look == look)
        number = (self._connection.execute(last).scalar() or 0) + 1
        values = {
            "tank_id": tank_id,
            "look": look,
            "number": number,
            "outcome": result.outcome.value,
            "happened": result.happened,
            "note": result.note,
        }
        self._connection.execute(insert(t.look_result), values | _by(result.signed))

    def find(self, tank_id: int, number: int) -> DueLook | None:
        """Return one look with the last word on it, or None."""
        if not may_be_kept(number):
            return None
        asked = _looks().where(t.look.c.tank_id == tank_id, t.look.c.number == number)
        row = self._connection.execute(asked).mappings().first()
        return _look(row) if row else None

    def all(self, tank_id: int | None = None, after_change: int = -1) -> tuple[tuple[int, DueLook], ...]:
        """Return the looks of a tank or of all tanks, with the tank's number, by when they are due."""
        changed = (t.look.c.change > after_change) | (t.look_result.c.change > after_change)
        asked = _looks().where(changed).order_by(t.look.c.due_at, t.look.c.tank_id, t.look.c.number)
        if tank_id is not None:
            asked = asked.where(t.look.c.tank_id == tank_id)
        return tuple((row["tank_id"], _look(row)) for row in self._connection.execute(asked).mappings())

    def due(self, until: dt.datetime) -> tuple[tuple[int, DueLook], ...]:
        """Return the looks of all tanks that are due by a moment and not answered yet."""
        asked = _looks().where(t.look.c.due_at <= until, t.look_result.c.number.is_(None))
        rows = self._connection.execute(asked.order_by(t.look.c.due_at, t.look.c.tank_id)).mappings()
        return tuple((row["tank_id"], _look(row)) for row in rows)


def _next(connection: Connection, table: Table, tank_id: int) -> int:
    """Return the next number of a tank in a table; the tank is held, so nobody else takes it."""
    last = select(func.max(table.c.number)).where(table.c.tank_id == tank_id)
    return int(connection.execute(last).scalar() or 0) + 1


def _looks() -> Select[Any]:
    """Select looks beside the last word on each."""
    said = t.look_result
    later = said.alias("later")
    is_last = ~(
        select(later.c.number)
        .where(later.c.tank_id == said.c.tank_id, later.c.look == said.c.look, later.c.number > said.c.number)
        .exists()
    )
    of_it = (said.c.tank_id == t.look.c.tank_id) & (said.c.look == t.look.c.number) & is_last
    columns = {"said_number": said.c.number, "outcome": said.c.outcome, "happened": said.c.happened}
    signs = {"said_at": said.c.written_at, "said_by": said.c.written_by, "said_change": said.c.change}
    more = columns | signs | {"said_note": said.c.note}
    chosen = (column.label(name) for name, column in more.items())
    return select(t.look, *chosen).select_from(t.look.outerjoin(said, of_it))


def _by(signed: Signed) -> dict[str, object]:
    return {"written_at": signed.at, "written_by": signed.by, "change": signed.change}


def _signed(row: RowMapping) -> Signed:
    return Signed(row["written_at"], row["written_by"], row["change"])


def _plan(row: RowMapping) -> KeptPlan:
    notes = tuple(loads(row["house_notes"]))
    rests = RestsOn(row["program"], row["facts"], row["rules"], notes)
    plan: Mapping[str, object] = loads(row["plan"])
    return KeptPlan(row["number"], row["revision"], plan, rests, row["why"], _signed(row))


def _look(row: RowMapping) -> DueLook:
    return DueLook(
        number=row["number"],
        due_at=row["due_at"],
        asks=tuple(loads(row["asks"])),
        reason=row["reason"],
        signed=_signed(row),
        animals=tuple(loads(row["animals"])),
        forecast=row["forecast"],
        p=row["p"],
        result=_result(row),
    )


def _result(row: RowMapping) -> LookResult | None:
    if row["said_number"] is None:
        return None
    signed = Signed(row["said_at"], row["said_by"], row["said_change"])
    return LookResult(Outcome(row["outcome"]), row["said_note"], signed, row["happened"])
