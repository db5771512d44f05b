"""Plans that are kept with their tank, and whether what they rest on still holds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.plan.records import Plan
from slackwater.report import plan_to_dict
from slackwater.service.house import notes_behind
from slackwater.service.keeping import rests_on
from slackwater.service.tanks import By, find_tank
from slackwater.store import KeptPlan, RestsOn, Signed, Store


@dataclass(frozen=True)
class PlanRow:
    """A kept plan in a line: for which revision, its verdict, and what changed under it since."""

    number: int
    at: dt.datetime
    by: str
    why: str
    revision: int
    verdict: str
    changed: tuple[str, ...]


def keep_made_plan(store: Store, said: str, made: Plan, question: Mapping[str, object], by: By) -> KeptPlan:
    """Keep a plan that was just made, with the tank file that it answers.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    made
        The plan.
    question
        The tank file, as plain values.
    by
        Who keeps it, when and why.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    notes = notes_behind(line.scientific_name for line in made.animals)
    return keep_plan(store, said, plan_to_dict(made, question), rests_on(notes), by)


def keep_plan(
    store: Store,
    said: str,
    plan: Mapping[str, object],
    rests: RestsOn,
    by: By,
    *,
    revision: int | None = None,
) -> KeptPlan:
    """Keep a plan with the revision of the tank, the facts and the rules that it rests on.

    Parameters
    ----------
    store, said
        The store, and the tank's name or number.
    plan
        The plan, as plain values.
    rests
        What it rests on; see `keeping.rests_on`.
    by
        Who keeps it, when and why.
    revision
        The revision of the tank that it was made for; the last one if left out.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.writing() as work:
        tank = find_tank(work, said)
        counted = work.tanks.count_on(tank.id)
        signed = Signed(by.now, by.who, counted["change"])
        kept = KeptPlan(0, revision or counted["revision"], plan, rests, by.why, signed)
        number = work.plans.add(tank.id, kept)
        return next(one for one in work.plans.all(tank.id, counted["change"] - 1) if one.number == number)


def plans(store: Store, said: str) -> tuple[KeptPlan, ...]:
    """Return the plans kept of a tank, oldest first.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        return work.plans.all(find_tank(work, said).id)


def plan_rows(store: Store, said: str) -> tuple[PlanRow, ...]:
    """Return the plans kept of a tank in a line each, newest first.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    with store.reading() as work:
        tank = find_tank(work, said)
        kept = work.plans.all(tank.id)
    return tuple(_row(one, tank.revision) for one in reversed(kept))


def _row(kept: KeptPlan, last: int) -> PlanRow:
    plan = kept.plan.get("plan", kept.plan)
    verdict = str(plan.get("verdict", "")) if isinstance(plan, Mapping) else ""
    signed = kept.signed
    changed = tuple(_changed(kept, last, rests_on()))
    return PlanRow(kept.number, signed.at, signed.by, kept.why, kept.revision, verdict, changed)


def _changed(kept: KeptPlan, last: int, now: RestsOn) -> list[str]:
    """Return what of that which a plan rests on is another now."""
    was = kept.rests_on
    found = {"the tank": kept.revision != last, "the facts": was.facts != now.facts}
    found |= {"the rules": was.rules != now.rules, "the program": was.program != now.program}
    return [what for what, is_other in found.items() if is_other]
