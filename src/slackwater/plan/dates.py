"""Dates: quarantine slots, spacing, a mature tank, and the keeper's absences."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from slackwater.plan.question import Question
from slackwater.rules import Rules


@dataclass(frozen=True)
class Slot:
    """One dated step: quarantine from and to, and the day of release."""

    items: tuple[int, ...]
    quarantine_from: dt.date | None
    quarantine_to: dt.date | None
    release: dt.date
    why: str


def schedule(question: Question, steps: tuple[tuple[int, ...], ...], rules: Rules) -> tuple[Slot, ...]:
    """Return the dated steps, each as early as all limits allow.

    Notes
    -----
    One batch to a quarantine tank at a time; at least the spacing between releases; nothing new
    in the two weeks before an absence nor during it; eaters of live pods only in a tank of some
    months (common practice).
    """
    free = [question.start] * (question.quarantine.tanks if question.quarantine else 0)
    last: dt.date | None = None
    slots = []
    for step in steps:
        slot = _slot(question, step, free, last, rules)
        last = slot.release
        slots.append(slot)
    return tuple(slots)


def _slot(
    question: Question,
    step: tuple[int, ...],
    free: list[dt.date],
    last: dt.date | None,
    rules: Rules,
) -> Slot:
    gap = dt.timedelta(days=int(rules["spacing_days"]))
    wished = last + gap if last else question.start
    why = f"at least {gap.days} days after the release before" if last else "as soon as may be"
    earliest, mature_why = _mature(question, step, rules)
    if earliest > wished:
        wished, why = earliest, mature_why
    if not question.quarantine or not free:
        return Slot(step, None, None, _home(question, wished, rules), why)
    room = dt.timedelta(days=question.quarantine.days)
    tank = min(range(len(free)), key=lambda k: free[k])
    soonest = max(free[tank], wished - room)
    begin = _attended(question, soonest, room, rules)
    if begin > soonest:
        why = "someone must be at home through quarantine and the two weeks after"
    elif begin + room > wished:
        why = "as soon as its quarantine is over"
    release = begin + room
    free[tank] = release + dt.timedelta(days=1)
    return Slot(step, begin, release, release, why)


def _mature(question: Question, step: tuple[int, ...], rules: Rules) -> tuple[dt.date, str]:
    needs = [question.wishes[item].species.word("special_food") for item in step]
    if question.running_since is None or not {"pods", "coral"} & set(needs):
        return question.start, ""
    months = dt.timedelta(days=int(rules["mature_days"]))
    return question.running_since + months, "not before the rock is rich in live food"


def _attended(question: Question, begin: dt.date, room: dt.timedelta, rules: Rules) -> dt.date:
    """Return the first day from which someone is at home for the quarantine and the weeks after."""
    moved = True
    while moved:
        moved = False
        release = _home(question, begin + room, rules)
        for away, back in question.away:
            if begin <= back and away <= begin + room:
                begin, moved = back + dt.timedelta(days=2), True
        if not moved and release != begin + room:
            begin, moved = release - room, True
    return begin


def _home(question: Question, day: dt.date, rules: Rules) -> dt.date:
    """Return the first day from `day` on with someone at home for the next two weeks."""
    watch = dt.timedelta(days=int(rules["watch_days"]))
    for begin, end in sorted(question.away):
        if begin - watch < day <= end:
            day = end + dt.timedelta(days=2)
    return day
