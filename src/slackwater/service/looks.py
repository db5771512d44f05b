"""Looks and calls that are due: what to ask, what came of it, and forecasts held against it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from slackwater.errors import InputError, shown
from slackwater.service.diary_checks import known_labels, matched
from slackwater.service.moments import placed
from slackwater.service.tanks import By, find_tank
from slackwater.store import DueLook, LookResult, Outcome, Signed, Store

FURTHEST = dt.timedelta(days=10 * 366)


@dataclass(frozen=True)
class NewLook:
    """A look to be made due: when, what to ask about whom, why, and what is forecast with chance p."""

    due_at: dt.datetime
    asks: tuple[str, ...]
    reason: str = ""
    animals: tuple[str, ...] = ()
    forecast: str = ""
    p: float | None = None


@dataclass(frozen=True)
class LookRow:
    """A due look with its tank and keeper."""

    tank: str
    keeper: str
    look: DueLook
    overdue_days: float


@dataclass(frozen=True)
class ForecastRow:
    """A forecast whose look was answered: its chance, and whether it came true."""

    tank: str
    look: int
    forecast: str
    p: float
    happened: bool


def add_look(store: Store, said: str, new: NewLook, by: By) -> DueLook:
    """Make a look due.

    Raises
    ------
    InputError
        If no tank or animal goes by the name, the chance is none, or it lies beyond ten years.
    """
    _refuse_impossible(new, by.now)
    with store.writing() as work:
        tank = find_tank(work, said)
        known = known_labels(work, tank)
        animals = tuple(matched(animal, known) for animal in new.animals)
        change = work.tanks.count_on(tank.id)["change"]
        signed = Signed(by.now, by.who, change)
        due_at = placed(new.due_at)
        look = DueLook(0, due_at, new.asks, new.reason, signed, animals, new.forecast, new.p)
        return _look(work.looks.find(tank.id, work.looks.add(tank.id, look)), 0)


def answer_look(
    store: Store, said: str, number: int, outcome: Outcome, by: By, *, happened: bool | None = None
) -> DueLook:
    """Write down what came of a look; `by.why` is its note. The last word on a look holds.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    number
        The look's number.
    outcome
        What came of it.
    by
        Who says so, when, and in what words.
    happened
        Whether what was forecast came true; left out where nobody knows.

    Raises
    ------
    InputError
        If there is no such tank or look.
    """
    with store.writing() as work:
        tank = find_tank(work, said)
        _look(work.looks.find(tank.id, number), number)
        change = work.tanks.count_on(tank.id)["change"]
        result = LookResult(outcome, by.why, Signed(by.now, by.who, change), happened)
        work.looks.answer(tank.id, number, result)
        return _look(work.looks.find(tank.id, number), number)


def looks_of(store: Store, said: str) -> tuple[DueLook, ...]:
    """Return all looks of a tank, by when they are due, with the last word on each.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        return tuple(look for _, look in work.looks.all(find_tank(work, said).id))


def due_looks(store: Store, now: dt.datetime, ahead: dt.timedelta = dt.timedelta()) -> tuple[LookRow, ...]:
    """Return the looks of all tanks that are due and not answered, the longest due first.

    Parameters
    ----------
    store
        The store.
    now
        The present moment.
    ahead
        How far ahead to look as well.
    """
    with store.reading() as work:
        tanks = {tank.id: tank for tank in work.tanks.all()}
        due = work.looks.due(now + ahead)
    day = dt.timedelta(days=1)
    return tuple(
        LookRow(tanks[tank].name, tanks[tank].keeper, look, (now - look.due_at) / day) for tank, look in due
    )


def forecasts(store: Store) -> tuple[ForecastRow, ...]:
    """Return the forecasts of all tanks that were answered, to be scored."""
    with store.reading() as work:
        names = {tank.id: tank.name for tank in work.tanks.all()}
        found = work.looks.all()
    return tuple(
        ForecastRow(names[tank], look.number, look.forecast, look.p, look.result.happened)
        for tank, look in found
        if look.p is not None and look.result is not None and look.result.happened is not None
    )


def _refuse_impossible(new: NewLook, now: dt.datetime) -> None:
    if new.p is not None and not 0.0 <= new.p <= 1.0:
        raise _fault("the chance", f"{new.p:g}", "it must lie between 0 and 1", "Write 0.2 for one in five.")
    if placed(new.due_at) > now + FURTHEST:
        raise _fault("due", f"{new.due_at:%Y-%m-%d}", "ten years ahead is the most", "Check the year.")


def _look(found: DueLook | None, number: int) -> DueLook:
    if found is None:
        raise _fault("the look", str(number), "this tank has no such look", "See: slackwater looks TANK.")
    return found


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
