"""The watching card of one quarrel or one release: clock, levels, what to count, and room to write."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from slackwater.plan.cards import run_sheet, watching
from slackwater.plan.handing_on import message
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import RunStep, WatchRow
from slackwater.plan.remedy import Ladder
from slackwater.plan.rungs import Rung
from slackwater.plan.wording import listed

DAYS = 7
TIMES = ("morning", "after feeding", "before lights out")
_DIM, _FEED, _BACK, _HOUR = 120, 150, 60, 60


@dataclass(frozen=True)
class WatchSheet:
    """One printed page for the days of watching.

    `steps` is the evening by the clock, empty where there is none; `count` says what to count, `now`
    what to do meanwhile; `dates` are the days with three lines each to write on.
    """

    title: str
    tank: str
    steps_title: str
    steps: tuple[RunStep, ...]
    levels: tuple[WatchRow, ...]
    count: str
    now: tuple[str, ...]
    dates: tuple[dt.date, ...]
    cautions: tuple[str, ...]


def sheet_for_quarrel(found: Ladder) -> WatchSheet:
    """Return the watching card of a quarrel; with the evening of the return if there is a timeout."""
    quarrel = found.quarrel
    offer = found.offer(found.begin)
    back = found.begin is Rung.TIMEOUT or found.after is Rung.TIMEOUT
    seen, why, do, until, look = message(found)
    days = tuple(quarrel.today + dt.timedelta(days=n) for n in range(DAYS))
    return WatchSheet(
        title=f"{quarrel.who} and {quarrel.whom}",
        tank=quarrel.question.title,
        steps_title=f"The evening on which {quarrel.who} returns from its timeout" if back else "",
        steps=_return_evening(found) if back else (),
        levels=watching(tuple(lot for lot in found.case.now.lots if lot.animal.index == found.case.whom)),
        count=look,
        now=(seen, why, do, until, *([f"Needed: {listed(offer.gear)}."] if offer.gear else [])),
        dates=days,
        cautions=offer.cautions,
    )


def sheet_for_release(
    question: Question, wanted: Wanted, on: dt.date, bully: str = "", box_days: int = 0
) -> WatchSheet:
    """Return the run sheet and watching card of one release.

    Parameters
    ----------
    question
        The tank.
    wanted
        Who is let go.
    on
        The day.
    bully
        The resident to mind, empty if nobody in particular.
    box_days
        Days in a box in the tank first. [d]
    """
    name = wanted.species.common_name
    count = (
        f"Count who chases {name} and how often, ten minutes at a time. Write down bites, locked jaws and "
        "wounds apart from chases."
    )
    return WatchSheet(
        title=f"Release of {name}",
        tank=question.title,
        steps_title="The evening",
        steps=run_sheet(question, wanted, bully, box_days),
        levels=watching(()),
        count=count,
        now=(),
        dates=tuple(on + dt.timedelta(days=n) for n in range(DAYS)),
        cautions=tuple(filter(None, (wanted.species.text("hazard"),))),
    )


def _return_evening(found: Ladder) -> tuple[RunStep, ...]:
    quarrel = found.quarrel
    hours, minutes = quarrel.question.lights_off.split(":")
    off = 60 * int(hours) + int(minutes)
    who, whom = quarrel.who, quarrel.whom
    steps = [
        (off - _FEED, f"Feed all; {whom} must come for its food, else wait another day."),
        (off - _DIM, "Dim the light. Lid, box and trap within reach."),
        (off - _BACK, f"Let {who} go at the end away from {whom}. Write down the time."),
        (off, "Lights off, if there was no attack in the hour; else back into the box."),
        (off + _HOUR, f"Look once with a red light: {whom} should lie calm in its hole."),
    ]
    return tuple(RunStep(f"{at // 60 % 24:02d}:{at % 60:02d}", do) for at, do in steps)
