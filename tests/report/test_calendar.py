from __future__ import annotations

import dataclasses
import datetime as dt
from typing import Any

import icalendar

from slackwater.plan.records import Plan
from slackwater.report import calendar_bytes


def events(made: bytes) -> dict[str, Any]:
    calendar = icalendar.Calendar.from_ical(made)
    return {str(event["UID"]): event for event in calendar.walk("VEVENT")}


def test_one_quarantine_one_release_three_looks_for_each_release(plan: Plan) -> None:
    found = events(calendar_bytes(plan))
    assert len(found) == 5 * len(plan.releases)
    assert f"plan-{plan.number}-release-4-quarantine@slackwater" in found


def test_all_day_ends_are_the_day_after(plan: Plan) -> None:
    found = events(calendar_bytes(plan))
    first = plan.releases[0]
    quarantine = found[f"plan-{plan.number}-release-1-quarantine@slackwater"]
    look = found[f"plan-{plan.number}-release-1-look-1@slackwater"]
    assert first.quarantine_to is not None
    assert quarantine["DTSTART"].dt == first.quarantine_from
    assert quarantine["DTEND"].dt == first.quarantine_to + dt.timedelta(days=1)
    assert (look["DTSTART"].dt - first.date, look["DTEND"].dt - first.date) == (
        dt.timedelta(days=1),
        dt.timedelta(days=3),
    )


def test_a_later_edition_keeps_the_identifiers(plan: Plan) -> None:
    moved = tuple(
        dataclasses.replace(r, date=r.date + dt.timedelta(days=7), title=r.title + "!") for r in plan.releases
    )
    later = dataclasses.replace(plan, made_on=dt.date(2027, 2, 1), releases=moved)
    assert events(calendar_bytes(plan)).keys() == events(calendar_bytes(later)).keys()


def test_stamp_is_the_day_the_plan_was_made(plan: Plan) -> None:
    stamps = {event["DTSTAMP"].dt for event in events(calendar_bytes(plan)).values()}
    assert stamps == {dt.datetime(2027, 1, 9, tzinfo=dt.UTC)}


def test_lines_are_folded_and_end_as_the_standard_says(plan: Plan) -> None:
    made = calendar_bytes(plan)
    lines = made.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75
    assert b"\n" not in made.replace(b"\r\n", b"")
    assert made.endswith(b"END:VCALENDAR\r\n")


def test_same_bytes_twice(plan: Plan) -> None:
    assert calendar_bytes(plan) == calendar_bytes(plan)


def test_text_with_signs_of_the_format_comes_back_whole(plan: Plan) -> None:
    title = "Tang; comma, back\\slash\nBEGIN:VEVENT ü"
    releases = (dataclasses.replace(plan.releases[0], title=title),)
    found = events(calendar_bytes(dataclasses.replace(plan, releases=releases)))
    assert len(found) == 5
    assert str(found[f"plan-{plan.number}-release-1-release@slackwater"]["SUMMARY"]) == f"Release 1: {title}"


def test_a_hard_release_carries_its_evening(plan: Plan) -> None:
    event = events(calendar_bytes(plan))[f"plan-{plan.number}-release-4-release@slackwater"]
    assert "17:30  Feed the residents well" in str(event["DESCRIPTION"])


def test_no_quarantine_is_no_entry(plan: Plan) -> None:
    releases = (dataclasses.replace(plan.releases[0], quarantine_from=None, quarantine_to=None),)
    assert len(events(calendar_bytes(dataclasses.replace(plan, releases=releases)))) == 4


def test_a_plan_without_releases_is_an_empty_calendar(clashing: Plan) -> None:
    assert not events(calendar_bytes(clashing))
