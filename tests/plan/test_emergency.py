"""The card on the cabinet: order of acts, who fails first, deference to those who can help."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.plan.tanks import Asker, wanted

from slackwater.plan.emergency import cabinet_card, cold_sentence
from slackwater.plan.outlook import power_cut
from slackwater.plan.water_records import CabinetCard
from slackwater.rules import load_rules

RULES = load_rules()


@pytest.fixture
def card(ask: Asker) -> CabinetCard:
    wishes = (wanted("Zebrasoma flavescens", 12.0), wanted("Pterois volitans", 12.0))
    return cabinet_card(ask((), wishes), RULES)


def test_air_comes_first_and_light_last(card: CabinetCard) -> None:
    assert card.power.orders[0].startswith("Air first")
    assert "light last" in card.power.orders[-1]
    assert "Do not feed" in card.power.orders[1]


def test_hours_are_those_of_the_plan_sheet(ask: Asker, card: CabinetCard) -> None:
    wishes = (wanted("Zebrasoma flavescens", 12.0), wanted("Pterois volitans", 12.0))
    sheet = power_cut(ask((), wishes))
    assert (card.hours_low, card.hours_high) == (sheet.hours_low, sheet.hours_high)
    assert card.air_hours > card.hours_low


def test_a_sting_is_never_soaked_above_45_degrees_and_is_seen_by_a_doctor(card: CabinetCard) -> None:
    (sting,) = [other for other in card.others if "Sting" in other.title]
    text = " ".join(sting.orders)
    assert "never above 45 C" in text
    assert "Medical help" in text
    assert "emergency number" in text


def test_the_mains_go_off_before_anything_is_touched(card: CabinetCard) -> None:
    (leak,) = [other for other in card.others if other.title == "Leak"]
    assert leak.orders[0] == "Mains off before touching anything wet."


def test_the_venomous_are_named_and_nothing_is_dosed(card: CabinetCard) -> None:
    assert any("lionfish" in line for line in card.hazards)
    text = " ".join(order for other in card.others for order in other.orders)
    assert not re.search(r"\d\s*(mg|ml|drops|ppm)", text)
    assert "veterinarian" in card.foot


def test_numbers_to_ring_are_left_blank(card: CabinetCard) -> None:
    assert {"Shop", "Veterinarian", "Mains switch is"} <= set(card.blanks)
    assert not any(re.search(r"\d", blank) for blank in card.blanks)


def test_a_warm_room_is_said_to_be_enough(ask: Asker, card: CabinetCard) -> None:
    assert "down to 22 C after" in cold_sentence(card)
    warm = cabinet_card(ask((), (wanted("Gramma loreto", 6.0),)), RULES, room_c=24.0)
    assert "keeps the water above" in cold_sentence(warm)
    assert "keeps" not in cold_sentence(replace(warm, cold_hours=5.0))
