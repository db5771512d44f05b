"""Dates: quarantine slots, spacing, a mature tank, and the keeper's absences."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, replace

from slackwater.plan.filter import filter_needs
from slackwater.plan.question import Question
from slackwater.plan.water_records import FilterNeeds
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
    One batch to a quarantine tank at a time; at least the spacing between releases, or as long as the
    filter needs; nothing new in the two weeks before an absence nor during it; eaters of live pods
    only in a tank of some months (common practice).
    """
    needs = filter_needs(question, steps, rules)
    begin = question.course.quarantine_from or question.start
    free = question.quarantine.free_from(begin) if question.quarantine else []
    last: dt.date | None = None
    slots = []
    for number, step in enumerate(steps, start=1):
        wished = _spaced(question, needs, number, last, rules)
        slot = _slot(question, step, free, wished, rules)
        last = slot.release
        slots.append(_warned(slot, question) if number in needs.too_large else slot)
    return tuple(slots)


def _spaced(
    question: Question, needs: FilterNeeds, number: int, last: dt.date | None, rules: Rules
) -> tuple[dt.date, str]:
    """Return the first day on which a release may follow the one before it, and why."""
    if last is None:
        return question.start, "as soon as may be"
    days = int(question.course.spacing_days or rules["spacing_days"])
    large = number in needs.too_large
    asked = math.ceil(rules["filter_longest_days"] if large else needs.gap_days)
    why = f"at least {max(days, asked)} days after the release before"
    if asked > days and not large:
        why += f", for the filter ({_band(needs)})"
    return last + dt.timedelta(days=max(days, asked)), why


def _band(needs: FilterNeeds) -> str:
    """Return the days that either filter needs, and which one was taken."""
    spans = [
        f"{days:.0f} days" if math.isfinite(days) else "no wait is long enough"
        for days in (needs.young_days, needs.ripe_days)
    ]
    taken = "young" if needs.is_young else "ripe"
    return f"{spans[0]} if it is young, {spans[1]} if ripe; taken as {taken}"


def _warned(slot: Slot, question: Question) -> Slot:
    """Return a slot that says it is too much for the filter at once."""
    several = sum(question.wishes[item].count for item in slot.items) > 1
    way = "split it, or ripen the filter first" if several else "ripen the filter first"
    return replace(slot, why=f"{slot.why}; too large at once for the filter: {way}")


def _slot(
    question: Question,
    step: tuple[int, ...],
    free: list[dt.date],
    spaced: tuple[dt.date, str],
    rules: Rules,
) -> Slot:
    wished, why = spaced
    earliest, mature_why = _mature(question, step, rules)
    if earliest > wished:
        wished, why = earliest, mature_why
    limit = question.course.first_day(frozenset(question.wishes[item].key for item in step))
    if limit and limit.date > wished:
        wished, why = limit.date, limit.why
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
