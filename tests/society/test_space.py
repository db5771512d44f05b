"""Cramped: need against offer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.society.build import GRAMMA, RULES, YELLOW_TANG, fish, glass, party, tank

from slackwater.society.space import Room, cramped_per_day, room_of, share_of, shortfall, too_small

TANG = fish(YELLOW_TANG)
NEED = Room(TANG.number("min_length_cm"), TANG.number("min_width_cm"), TANG.number("min_volume_l"))


def test_a_tank_of_the_size_needed_is_enough() -> None:
    assert shortfall(TANG, NEED) == 0.0
    assert not too_small(TANG, NEED, RULES)


def test_the_largest_lack_counts() -> None:
    assert shortfall(TANG, replace(NEED, length_cm=NEED.length_cm / 2.0)) == pytest.approx(1.0)
    assert shortfall(TANG, replace(NEED, volume_l=NEED.volume_l / 2.0)) == pytest.approx(0.4)
    assert shortfall(TANG, replace(NEED, width_cm=NEED.width_cm / 2.0)) == pytest.approx(0.7)


def test_a_little_is_forgiven() -> None:
    grace = RULES["space_grace"]
    assert not too_small(TANG, replace(NEED, length_cm=NEED.length_cm / (1.0 + 0.9 * grace)), RULES)
    assert too_small(TANG, replace(NEED, length_cm=NEED.length_cm / (1.0 + 1.1 * grace)), RULES)


def test_the_room_of_a_tank_and_of_half_of_it() -> None:
    whole = room_of(glass(100.0))
    assert (whole.length_cm, whole.width_cm, whole.volume_l) == (100.0, 40.0, 160.0)
    assert room_of(glass(100.0), 0.5) == Room(50.0, 40.0, 80.0)


def test_a_divider_shares_the_length() -> None:
    sides = tuple(replace(party(GRAMMA), side=side) for side in ("left", "right", None))
    situation = replace(tank(*sides, length_cm=100.0), divider_cm=30.0)
    assert [share_of(a, situation) for a in situation.animals] == pytest.approx([0.3, 0.7, 1.0])


def test_the_small_need_less_until_they_have_grown() -> None:
    situation = replace(tank(party(YELLOW_TANG, 5)), grows=True)
    tang = situation.animals[0]
    months = [cramped_per_day(tang, situation, day, RULES) for day in (0.0, 90.0, 365.0, 1500.0)]
    assert months == sorted(months)
    assert months[-1] > 0.0


def test_a_small_animal_in_a_large_tank_is_never_cramped() -> None:
    situation = tank(party(GRAMMA), length_cm=120.0)
    assert cramped_per_day(situation.animals[0], situation, 100.0, RULES) == 0.0
