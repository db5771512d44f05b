"""The timeout planned: how many days, where, what to change meanwhile, and who returns in which order."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import Case
from slackwater.plan.remedies import away, compared
from slackwater.plan.side_effects import spines
from slackwater.plan.ways import owns_rock

_STEPS = (7.0, 10.0, 14.0)
_NEAR = 0.03
_BOX_BODY_LENGTHS = 3.0


@dataclass(frozen=True)
class TimeoutPlan:
    """How to keep a chaser out of sight and let it back.

    `days` out of sight [d], from `begins` to `returns`; `p_after` is the chance of harm of the chased
    one by number of days tried [0 to 1].
    """

    days: float
    begins: dt.date
    returns: dt.date
    p_after: tuple[tuple[float, float], ...]
    where: str
    meanwhile: tuple[str, ...]
    return_order: tuple[str, ...]
    stop: str
    why: str


def timeout_plan(quarrel: Quarrel, case: Case) -> TimeoutPlan:
    """Return the plan of a timeout for the attacker.

    Notes
    -----
    The shortest of 7, 10 and 14 days after which the model leaves the chased one no more than 3 points
    worse off than the best of them, and by which so much of the owner's claim is gone
    (`ladder.enough_away`, `absence_days`).
    """
    found = tuple((days, _p_after(case, days)) for days in _STEPS)
    best = min(p for _, p in found)
    least = -quarrel.rules["absence_days"] * math.log(1.0 - quarrel.rules["ladder.enough_away"])
    good = [days for days, p in found if p <= best + _NEAR and days >= min(least, _STEPS[-1])]
    days = good[0] if good else _STEPS[-1]
    gone = 1.0 - math.exp(-days / quarrel.rules["absence_days"])
    return TimeoutPlan(
        days=days,
        begins=quarrel.today,
        returns=quarrel.today + dt.timedelta(days=round(days)),
        p_after=found,
        where=_where(quarrel, case),
        meanwhile=_meanwhile(quarrel, case),
        return_order=_return_order(quarrel, case),
        stop="Back to the box at the first attack within the hour of its return; a second time, it leaves.",
        why=f"By then about {gone:.0%} of its claim is gone (assumed), and the chased one holds ground.",
    )


def _p_after(case: Case, days: float) -> float:
    effect = compared(case, away(case, days)).of(case.labels[case.whom])
    return effect.after if effect else 0.0


def _where(quarrel: Quarrel, case: Case) -> str:
    length_cm = _BOX_BODY_LENGTHS * case.attacker.length_cm
    if quarrel.question.sump_l > 0.0:
        return f"a covered box of {length_cm:.0f} cm or more in the sump, with flow and a pipe to hide in"
    return f"another tank, or a covered box of {length_cm:.0f} cm or more where it sees nobody"


def _meanwhile(quarrel: Quarrel, case: Case) -> tuple[str, ...]:
    who, whom = quarrel.who, quarrel.whom
    told = [f"Feed {who} daily and look at its breathing; it must not starve to be tamed."]
    if quarrel.question.rock_word != "none":
        owns = owns_rock(case.attacker.species)
        what = "the stones of its own place" if owns else "what gives it a view down the lane"
        told.append(f"On the first evening move {what}; leave the rest, so that others keep their holes.")
    told.append(f"Let {whom} choose a hole; feed it there until it comes out for food.")
    if case.situation.keeping.stations == 1:
        told.append("Begin a second feeding place at the other end.")
    told.append("Add nobody while it is away.")
    told += spines(case.situation)
    return tuple(told)


def _return_order(quarrel: Quarrel, case: Case) -> tuple[str, ...]:
    who, whom = quarrel.who, quarrel.whom
    at = quarrel.question.lights_off
    told = [f"{whom} must eat in the open for three days first; else wait."]
    if case.mate is not None:
        told.append(f"{case.labels[case.mate]} goes out with {who} and returns the same evening.")
    told += [
        "Anyone else kept out returns before it, the gentlest first.",
        f"{who} returns last, after a feed, an hour before lights out ({at}), at the end away from {whom}.",
        "Watch for the first hour, and ten minutes three times the next day.",
    ]
    return tuple(told)
