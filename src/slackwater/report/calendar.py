"""The plan's dates as an iCalendar file (RFC 5545): quarantine, releases, first looks, what growth brings."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slackwater.report.words import day, days, sentence

if TYPE_CHECKING:
    from icalendar import Event

    from slackwater.plan.records import Milestone, Plan, Release

_LOOKS = ((1, 2), (4, 4), (14, 14))


@dataclass(frozen=True)
class _Entry:
    """One all-day entry, `last` included."""

    slug: str
    first: dt.date
    last: dt.date
    summary: str
    description: str


def calendar_bytes(plan: Plan) -> bytes:
    """Return the calendar of a plan.

    Parameters
    ----------
    plan
        The plan. Identifiers come from its number and the number of each release, so that a
        later edition replaces the entries of an earlier one; the stamp is the day it was made.

    Returns
    -------
    bytes
        An iCalendar file in UTF-8 with all-day entries.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Slackwater//Plan calendar//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("name", f"{plan.title}, plan {plan.number}")
    for release in plan.releases:
        for entry in _entries(release, plan):
            calendar.add_component(_event(entry, f"release-{release.number}-{entry.slug}", plan))
    for milestone in plan.milestones:
        entry = _milestone(milestone)
        which = (milestone.key, milestone.kind, milestone.other)
        calendar.add_component(_event(entry, "-".join(part for part in which if part), plan))
    return bytes(calendar.to_ical())


def _entries(release: Release, plan: Plan) -> list[_Entry]:
    quarantine = [_quarantine(release, release.quarantine_from, release.quarantine_to)]
    return [
        *(entry for entry in quarantine if entry is not None),
        _release(release),
        *(_look(release, plan, first, last) for first, last in _LOOKS),
    ]


def _quarantine(release: Release, start: dt.date | None, end: dt.date | None) -> _Entry | None:
    if start is None or end is None:
        return None
    text = (
        f"In quarantine {days(start, end)}, before release {release.number}.\n{_note(release)}"
        f"Go on when: {sentence(release.go_when)}\nWait if: {sentence(release.wait_if)}\n"
        "For signs of illness ask a veterinarian."
    )
    text = "\n".join([text, *_fetching(release)])
    return _Entry("quarantine", start, end, f"Quarantine: {release.title}", text)


def _fetching(release: Release) -> list[str]:
    """Return what to look at in the shop and how to carry home, for the day of buying."""
    shop = [f"In the shop: {line}" for line in release.choosing]
    return [*shop, *(f"Bags: {line}" for line in release.bags)]


def _note(release: Release) -> str:
    return f"{sentence(release.quarantine_note)}\n" if release.quarantine_note else ""


def _release(release: Release) -> _Entry:
    lines = [
        *(sentence(deed) for deed in release.deeds),
        sentence(release.reason),
        f"Go when: {sentence(release.go_when)}",
        f"Wait if: {sentence(release.wait_if)}",
        f"Where: {sentence(release.place)}" if release.place else "",
        f"First {release.box_days} days in a see-through box." if release.box_days else "",
        *(f"{step.clock}  {step.do}" for step in release.run_sheet),
        *(_fetching(release) if release.quarantine_from is None else []),
    ]
    summary = f"Release {release.number}: {release.title}"
    return _Entry("release", release.date, release.date, summary, "\n".join(line for line in lines if line))


def _look(release: Release, plan: Plan, first: int, last: int) -> _Entry:
    start, end = (release.date + dt.timedelta(days=n) for n in (first, last))
    which = f"day {first}" if first == last else f"days {first} and {last}"
    levels = [f"{row.level}: {sentence(row.see)} {row.do}" for row in plan.watching]
    text = "\n".join([f"Released {day(release.date)}. Watch for ten minutes and count chases.", *levels])
    return _Entry(f"look-{first}", start, end, f"Look, {which}: {release.title}", text)


def _milestone(milestone: Milestone) -> _Entry:
    text = f"{milestone.text}\nA month's notice: look at the plan sheet, years ahead."
    return _Entry(milestone.kind, milestone.date, milestone.date, f"Soon: {milestone.title}", text)


def _event(entry: _Entry, slug: str, plan: Plan) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", f"plan-{plan.number}-{slug}@slackwater")
    event.add("dtstamp", dt.datetime.combine(plan.made_on, dt.time(), tzinfo=dt.UTC))
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + dt.timedelta(days=1))
    event.add("summary", entry.summary)
    event.add("description", entry.description)
    event.add("transp", "TRANSPARENT")
    event.add("categories", ["quarantine" if entry.slug == "quarantine" else "tank"])
    return event
