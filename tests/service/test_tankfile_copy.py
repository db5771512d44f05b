"""A tank file kept with its plan reads back as the same tank file."""

from __future__ import annotations

import json

import pytest

from slackwater.service.tankfile import load
from slackwater.service.tankfile_copy import copy_of

FULL = """
slackwater: 1
tank: {shape: box, length: 48 in, width: 50.3 cm, height: 50 cm, sump: 20 gal, lid: true}
rock: {layout: two islands, mass: 66 lb}
sand: {depth: 2 in, grain: fine}
water: {temperature: 79 F, salinity: 35.5, ph: 8.15, running_since: 2026-03-01}
keeping: {feeds_per_day: 0.333333, stations: 1, lights_off: "21:30", corals: [LPS corals],
  inverts: [cleaner shrimps], quarantine: {tanks: 1, volume: 60 L, days: 4 weeks}}
keeper: {experience: second tank, children: true}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-05-10}
  - {animal: six line, seen: {chases: 12, minutes: 30.5}}
wishes:
  - {animal: yellow tang, wish: 10, price: 59.50 EUR}
  - royal gramma
limits: {start: 2027-01-10, away: [2027-02-06/2027-02-20], budget: 600 EUR}
"""

PIECES = """
slackwater: 1
tank: {length: 100 cm, width: 50 cm, height: 50 cm}
rock: [{x: 30 cm, y: 25 cm, length: 20.25 cm, width: 15 cm, height: 12 cm, turn: 33.3}]
sand: none
wishes: [royal gramma]
"""


def rounded(value: object) -> object:
    """Return plain values with floats at ten digits: inches to centimetres and back."""
    if isinstance(value, dict):
        return {key: rounded(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(inner) for inner in value]
    return float(f"{value:.10g}") if isinstance(value, float) else value


@pytest.mark.parametrize("text", [FULL, PIECES])
def test_a_copy_reads_back_as_the_same_tank_file(text: str) -> None:
    copy = copy_of(text)
    assert rounded(load(json.dumps(copy)).model_dump()) == rounded(load(text).model_dump())
    assert copy_of(json.dumps(copy)) == copy


def test_what_was_not_told_stays_untold() -> None:
    assert "water" not in copy_of(PIECES)
    assert "length" not in copy_of(PIECES)["wishes"][0]  # type: ignore[index]


def test_the_stock_of_the_week_is_not_kept() -> None:
    assert "stock" not in copy_of(PIECES + "stock: stock.csv\n")
