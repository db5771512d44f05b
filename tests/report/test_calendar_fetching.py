"""What to look at in the shop and how to carry home stands in the entry of the day of buying."""

from __future__ import annotations

from dataclasses import replace

import icalendar

from slackwater.plan.records import Plan
from slackwater.report import calendar_bytes

SHOP, ROAD, APART = "It eats in front of you.", "One animal a bag.", "in quarantine a divider"


def described(plan: Plan, entry: str) -> str:
    (found,) = [
        str(event["DESCRIPTION"])
        for event in icalendar.Calendar.from_ical(calendar_bytes(plan)).walk("VEVENT")
        if str(event["UID"]) == f"plan-{plan.number}-release-1-{entry}@slackwater"
    ]
    return found


def test_quarantined_animals_are_bought_when_quarantine_begins(plan: Plan) -> None:
    first = replace(plan.releases[0], choosing=(SHOP,), bags=(ROAD,), quarantine_note=APART)
    made = replace(plan, releases=(first,))
    assert all(text in described(made, "quarantine") for text in (SHOP, ROAD, "In quarantine a divider."))
    assert SHOP not in described(made, "release")


def test_others_on_the_day_of_release(plan: Plan) -> None:
    first = replace(
        plan.releases[0], choosing=(SHOP,), bags=(ROAD,), quarantine_from=None, quarantine_to=None
    )
    assert SHOP in described(replace(plan, releases=(first,)), "release")
