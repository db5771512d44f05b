"""Eaten: by depth, length, appetite and what spares the prey."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.society.build import (
    CHROMIS,
    FIREFISH,
    GROUPER,
    RULES,
    YELLOW_TANG,
    altered,
    animal,
    fish,
    party,
    tank,
)

from slackwater.society.predation import eaten_per_day, fits


def test_a_small_fish_fits_and_a_large_one_does_not() -> None:
    grouper = animal(GROUPER, 30)
    assert fits(grouper, animal(CHROMIS, 5), 0.0, RULES) > 0.99
    assert fits(grouper, animal(YELLOW_TANG, 18), 0.0, RULES) < 0.01


def test_who_swallows_no_fish_fits_none() -> None:
    assert fish(YELLOW_TANG).word("appetite_fish") == "none"
    assert eaten_per_day(animal(YELLOW_TANG, 18), animal(FIREFISH, 2), 0.0, RULES) == 0.0


def test_a_prey_at_the_limit_fits_half() -> None:
    hunter = replace(party(GROUPER, 30), species=altered(GROUPER, prey_length_ratio=1.5))
    gape_cm = hunter.species.number("gape_ratio") * hunter.species.standard_length_cm(30)
    limit_cm = gape_cm / RULES["compression"] / fish(YELLOW_TANG).body_depth_cm(1.0)
    grouper, prey = tank(hunter, party(YELLOW_TANG, limit_cm)).animals
    assert fits(grouper, prey, 0.0, RULES) == pytest.approx(0.5, abs=0.01)


def test_a_millimetre_does_not_turn_the_answer() -> None:
    grouper = animal(GROUPER, 30)
    lengths = [4.0 + 0.1 * k for k in range(120)]
    chances = [fits(grouper, animal(YELLOW_TANG, length), 0.0, RULES) for length in lengths]
    steps = [b - a for a, b in pairwise(chances)]
    assert min(steps) > -0.12
    assert max(steps) <= 0.0


def test_growth_brings_prey_into_reach_of_its_predator() -> None:
    hunter, prey = replace(tank(party(GROUPER, 12), party(CHROMIS, 7)), grows=True).animals
    assert fits(hunter, prey, 0.0, RULES) < fits(hunter, prey, 700.0, RULES)


def test_a_kind_is_safe_from_its_own_unless_fish_is_its_main_food() -> None:
    assert fish("Pterois volitans").word("appetite_fish") == "main"
    assert eaten_per_day(animal("Pterois volitans", 35), animal("Pterois volitans", 4), 0.0, RULES) > 0.0
    assert eaten_per_day(animal("Coris gaimard", 30), animal("Coris gaimard", 3), 0.0, RULES) == 0.0


def test_a_cleaner_is_spared() -> None:
    cleaner = animal("Labroides dimidiatus", 6)
    assert cleaner.species.word("guard") == "cleaner"
    bold, spared = (eaten_per_day(animal(GROUPER, 30), a, 0.0, RULES) for a in (animal(FIREFISH, 6), cleaner))
    assert spared < 0.05 * bold


def test_a_mouth_that_takes_nothing_fits_nothing() -> None:
    shut = replace(party(GROUPER, 30), species=altered(GROUPER, gape_ratio=0.0))
    hunter, prey = tank(shut, party(CHROMIS, 3)).animals
    assert fits(hunter, prey, 0.0, RULES) == 0.0
