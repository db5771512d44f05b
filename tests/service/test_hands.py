"""Whoever is told to put a hand into the water is told what can hurt it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest

from slackwater.plan.dividing import DividerAsked
from slackwater.plan.stones import StonesAsked
from slackwater.service.dividing import aside_file, box_file, divider_file
from slackwater.service.receiving import BagTold, receive_into
from slackwater.service.stones import stones_file

TODAY = dt.date(2026, 11, 24)
TANK = """
slackwater: 1
tank: {{length: 120 cm, width: 50 cm, height: 50 cm, lid: true}}
rock: [{{x: 30 cm, y: 25 cm, length: 22 cm, width: 20 cm, height: 16 cm}}]
company: [{{animal: royal gramma, length: 6 cm}}]
wishes: [{{animal: {wish}}}]
"""
BAG = BagTold(2.0, 24.0, None, 1.0)


def tank(wish: str) -> str:
    return TANK.format(wish=wish)


def wish_of(text: str) -> str:
    return text.rsplit("animal: ", 1)[1].split("}", maxsplit=1)[0]


ANSWERS: dict[str, Callable[[str], tuple[str, ...]]] = {
    "divider": lambda text: divider_file(text, TODAY, DividerAsked(70.0)).cautions,
    "box": lambda text: box_file(text, TODAY, wish_of(text)).cautions,
    "aside": lambda text: aside_file(text, TODAY, "royal gramma").aside.cautions,
    "stones": lambda text: stones_file(text, TODAY, StonesAsked(most_steps=1, anew=False)).cautions,
    "receive": lambda text: receive_into(text, TODAY, BAG).cautions,
}


@pytest.mark.parametrize("command", ANSWERS)
def test_venom_is_told_with_what_to_do_after_a_sting(command: str) -> None:
    told = " ".join(ANSWERS[command](tank("volitans lionfish")))
    assert "lionfish: " in told
    assert "see a doctor" in told


@pytest.mark.parametrize("command", ANSWERS)
def test_nothing_is_told_of_venom_where_there_is_none(command: str) -> None:
    assert "doctor" not in " ".join(ANSWERS[command](tank("firefish goby")))
