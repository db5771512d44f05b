"""The sitter's page of the sheet, and what growth brings in the calendar."""

from __future__ import annotations

import dataclasses
import datetime as dt
import io
from typing import Any

import icalendar
import pypdf
import pytest

from slackwater.plan.records import Milestone, Plan, SitterCard
from slackwater.report import calendar_bytes, plan_to_dict, sheet_bytes

CARD = SitterCard(
    periods=((dt.date(2027, 2, 6), dt.date(2027, 2, 20)), (dt.date(2027, 5, 1), dt.date(2027, 5, 3))),
    feeds_per_day=2.0,
    packets=36,
    packet_g=1.25,
    packet="2.5 g of frozen food (half a cube)",
    heads=((2, "ocellaris clownfish"), (1, "yellow tang")),
    do=("One packet for each feed. When in doubt feed less.",),
    leave=("Do not catch an animal.",),
    hazards=("Yellow tang: tail blades",),
)
TURNS = (
    Milestone(dt.date(2028, 1, 9), "maturity", "clown", "The clown matures", "It may breed."),
    Milestone(dt.date(2028, 3, 9), "swallowing", "lion", "The lion can swallow one", "It can.", "goby"),
    Milestone(dt.date(2028, 3, 9), "swallowing", "lion", "The lion can swallow two", "It can.", "clown"),
)


@pytest.fixture
def away(plan: Plan) -> Plan:
    return dataclasses.replace(plan, sitter=CARD)


def pages(plan: Plan) -> list[str]:
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(plan)))
    return [" ".join(page.extract_text().replace("\N{NO-BREAK SPACE}", " ").split()) for page in reader.pages]


def test_the_sitter_has_a_page_of_its_own(plan: Plan, away: Plan) -> None:
    assert len(pages(away)) == len(pages(plan)) + 1
    last = pages(away)[-1]
    for said in (
        "For the sitter",
        "6–20 Feb 2027; 1–3 May 2027",
        "36 packets, one for each of 2 feeds a day, about 1.2 g each",
        "When in doubt feed less",
        "yellow tang",
        "Do not catch an animal",
        "tail blades",
        "The veterinarian",
    ):
        assert said in last
    assert not any("For the sitter" in page for page in pages(plan))


def test_a_sitter_without_hazards_is_told_of_none(away: Plan) -> None:
    harmless = dataclasses.replace(away, sitter=dataclasses.replace(CARD, hazards=(), feeds_per_day=1.0))
    last = pages(harmless)[-1]
    assert "What can hurt you" not in last
    assert "of 1 feed a day" in last


def test_growth_is_in_the_calendar_with_names_of_its_own(plan: Plan) -> None:
    made = calendar_bytes(dataclasses.replace(plan, milestones=TURNS))
    found: dict[str, Any] = {str(e["UID"]): e for e in icalendar.Calendar.from_ical(made).walk("VEVENT")}
    assert len(found) == 5 * len(plan.releases) + 3
    clown = found[f"plan-{plan.number}-clown-maturity@slackwater"]
    assert clown["DTSTART"].dt == dt.date(2028, 1, 9)
    assert str(clown["SUMMARY"]) == "Soon: The clown matures"
    assert "It may breed." in str(clown["DESCRIPTION"])
    assert f"plan-{plan.number}-lion-swallowing-goby@slackwater" in found


def test_the_record_carries_all_of_it(away: Plan) -> None:
    told = plan_to_dict(dataclasses.replace(away, milestones=TURNS))["plan"]
    assert told["sitter"]["packets"] == 36
    assert told["milestones"][0]["date"] == "2028-01-09"
    assert told["growth"] == []
