"""The card as a page: one, of A5, whole in words, the same bytes twice."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import replace

import pypdf
import pytest

from slackwater.plan.water_records import CabinetCard, Emergency
from slackwater.report.card import card_bytes, card_data

MADE_ON = dt.date(2027, 1, 9)
ORDERS = ("Air first: pump on.", "Do not feed.", "Light last.")
MARKUP = r"#let $x$ *star* _under_ <angle> @at \back `tick` [square]"


@pytest.fixture
def card() -> CabinetCard:
    others = tuple(Emergency(f"Emergency {n}", ("First this, at once.", "Then that.")) for n in range(6))
    return CabinetCard(
        title="An invented tank",
        tank="150 x 60 x 55 cm, 450 L",
        hours_low=6.6,
        hours_high=24.0,
        air_hours=8.4,
        cold_c=22.0,
        room_c=18.0,
        cold_hours=11.0,
        power=Emergency("Power cut", ORDERS),
        first=("kole tang", "yellow tang"),
        others=others,
        hazards=("Yellow tang: tail blades", "Kole tang: tail blades", "Red lionfish: venomous spines"),
        blanks=("Shop", "Veterinarian", "Poison line", "Mains switch is"),
        assumed="26 C; still surface",
        foot="Never in place of the emergency number.",
    )


def text_of(made: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(made)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_one_page_of_a5(card: CabinetCard) -> None:
    pages = pypdf.PdfReader(io.BytesIO(card_bytes(card, MADE_ON))).pages
    assert len(pages) == 1
    box = pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((419.53, 595.28), abs=0.1)


def test_a_crowded_card_still_fits_its_page(card: CabinetCard) -> None:
    crowded = replace(card, hazards=tuple(f"Animal {n}: hazard number {n}, mind it" for n in range(14)))
    assert len(pypdf.PdfReader(io.BytesIO(card_bytes(crowded, MADE_ON))).pages) == 1


def test_everything_stands_on_it_in_order(card: CabinetCard) -> None:
    text = text_of(card_bytes(card, MADE_ON))
    places = [
        text.index(words) for words in ("6.6 hours", "First in trouble: kole tang", "Air first", "Light last")
    ]
    assert places == sorted(places)
    for words in ("Emergency 5", "Poison line", "8.4 hours", "emergency number"):
        assert words in text


def test_animals_with_one_hazard_share_a_line(card: CabinetCard) -> None:
    assert card_data(card)["hazards"] == [
        "Yellow tang and kole tang: tail blades.",
        "Red lionfish: venomous spines.",
    ]


def test_same_bytes_twice(card: CabinetCard) -> None:
    assert card_bytes(card, MADE_ON) == card_bytes(card, MADE_ON)


def test_words_are_never_read_as_markup(card: CabinetCard) -> None:
    assert "*star*" in text_of(card_bytes(replace(card, title=MARKUP), MADE_ON))
