"""The plan's dates as an iCalendar file (RFC 5545): quarantine, releases and first looks."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slackwater.report.words import day, days, sentence

if TYPE_CHECKING:
    from icalendar import Event

    from slackwater.plan.records import Plan, Release

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
            calendar.add_component(_event(entry, release, plan))
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
        f"In quarantine {days(start, end)}, before release {release.number}.\n"
        f"Go on when: {sentence(release.go_when)}\nWait if: {sentence(release.wait_if)}\n"
        "For signs of illness ask a veterinarian."
    )
    return _Entry("quarantine", start, end, f"Quarantine: {release.title}", text)


def _release(release: Release) -> _Entry:
    lines = [
        sentence(release.reason),
        f"Go when: {sentence(release.go_when)}",
        f"Wait if: {sentence(release.wait_if)}",
        f"Where: {sentence(release.place)}" if release.place else "",
        f"First {release.box_days} days in a see-through box." if release.box_days else "",
        *(f"{step.clock}  {step.do}" for step in release.run_sheet),
    ]
    summary = f"Release {release.number}: {release.title}"
    return _Entry("release", release.date, release.date, summary, "\n".join(line for line in lines if line))


def _look(release: Release, plan: Plan, first: int, last: int) -> _Entry:
    start, end = (release.date + dt.timedelta(days=n) for n in (first, last))
    which = f"day {first}" if first == last else f"days {first} and {last}"
    levels = [f"{row.level}: {sentence(row.see)} {row.do}" for row in plan.watching]
    text = "\n".join([f"Released {day(release.date)}. Watch for ten minutes and count chases.", *levels])
    return _Entry(f"look-{first}", start, end, f"Look, {which}: {release.title}", text)


def _event(entry: _Entry, release: Release, plan: Plan) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", f"plan-{plan.number}-release-{release.number}-{entry.slug}@slackwater")
    event.add("dtstamp", dt.datetime.combine(plan.made_on, dt.time(), tzinfo=dt.UTC))
    event.add("dtstart", entry.first)
    event.add("dtend", entry.last + dt.timedelta(days=1))
    event.add("summary", entry.summary)
    event.add("description", entry.description)
    event.add("transp", "TRANSPARENT")
    event.add("categories", ["quarantine" if entry.slug == "quarantine" else "tank"])
    return event
