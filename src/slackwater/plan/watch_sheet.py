"""The watching card of one quarrel or one release: clock, levels, what to count, and room to write."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from slackwater.plan.cards import watching
from slackwater.plan.handing_on import message
from slackwater.plan.records import Plan, Release, RunStep, WatchRow
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
        now=(seen, why, do, until, *_besides(found)),
        dates=days,
        cautions=offer.cautions,
    )


def _besides(found: Ladder) -> tuple[str, ...]:
    """Return what is needed for a rung, and what to do while a chaser is away."""
    gear = found.offer(found.begin).gear
    needed = (f"Needed: {listed(gear)}.",) if gear else ()
    if found.begin is not Rung.TIMEOUT:
        return needed
    plan = found.timeout
    return (*needed, f"Where: {plan.where}; {plan.days:.0f} days.", *plan.meanwhile)


def sheet_for_release(plan: Plan, release: Release) -> WatchSheet:
    """Return the run sheet and watching card of one release of a plan.

    A release that is not hard has no evening by the clock.

    Parameters
    ----------
    plan
        The plan.
    release
        One of its releases.
    """
    names = [a.common_name for a in plan.animals if a.key in release.keys]
    count = (
        f"Count who chases {listed(names)} and how often, ten minutes at a time. Write down bites, locked "
        "jaws and wounds apart from chases."
    )
    quarantine = "" if release.quarantine_to is None else release.quarantine_note
    now = (
        f"Release: {release.place}.",
        f"Go if {release.go_when}.",
        f"Wait if {release.wait_if}.",
        *filter(None, (quarantine,)),
    )
    return WatchSheet(
        title=f"Release {release.number}: {release.title}",
        tank=plan.title,
        steps_title="The evening" if release.run_sheet else "",
        steps=release.run_sheet,
        levels=plan.watching,
        count=count,
        now=now,
        dates=tuple(release.date + dt.timedelta(days=n) for n in range(DAYS)),
        cautions=plan.hazards,
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
