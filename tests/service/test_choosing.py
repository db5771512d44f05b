"""Choices in plain records: quarantine at its volume, and residents in the way."""

from __future__ import annotations

import datetime as dt

from slackwater.service.choosing import choose_file

TODAY = dt.date(2026, 12, 1)
SHOAL = """
slackwater: 1
tank: {length: 240 cm, width: 80 cm, height: 60 cm}
rock: dense
keeping: {feeds_per_day: 3, quarantine: {tanks: 1, volume: VOLUME, days: 30}}
wishes:
  - {animal: Centropyge loricula, count: 2, wish: 8}
  - {animal: royal gramma, wish: 5}
"""
OWNED = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 45 cm}
company: [{animal: six line, length: 7 cm, since: 2026-01-10}]
wishes: [royal gramma, {animal: Nemateleotris magnifica}, banggai cardinal]
"""


def test_what_fights_in_a_small_quarantine_is_said() -> None:
    answer = choose_file(SHOAL.replace("VOLUME", "40 L"), TODAY, most=1)
    (offer,) = answer.offers
    pairs = [animal for animal in offer.animals if animal.count > 1]
    assert bool(pairs) == bool(offer.quarantine)
    assert all("40 L" in note and "divider" in note for note in offer.quarantine)
    plain = choose_file(
        SHOAL.replace(", quarantine: {tanks: 1, volume: VOLUME, days: 30}", ""), TODAY, most=1
    )
    assert plain.offers[0].quarantine == ()


def test_a_resident_that_stands_in_the_way_is_named() -> None:
    answer = choose_file(OWNED, TODAY, most=1)
    alone = [clash for clash in answer.clashes if len(clash.keys) == 1]
    blamed = sum(clash.by[:1] == ("Pseudocheilinus hexataenia",) for clash in alone)
    assert blamed > 1
    assert (
        f"Sixline wrasse, which lives there, stands in the way of {blamed} wishes by itself." in answer.notes
    )
