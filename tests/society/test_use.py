"""Where animals live: homes chosen softly, use that sums to one, retreat from pressure."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.society.build import CHROMIS, DOMINO, GRAMMA, RULES, animal, fish, glass, party, rock, tank

from slackwater.society.company import Place
from slackwater.society.field import ground_of
from slackwater.society.use import (
    Ground,
    allowed,
    heights,
    home_radius_cm,
    liking,
    retreat,
    settle,
    sites_of,
    usable,
)

GROUND: Ground = ground_of(glass(), rock(), 10.0)
BARE: Ground = ground_of(glass(), rock("none"), 10.0)


def test_heights_run_from_sand_to_surface() -> None:
    shares = heights(GROUND.cells)
    assert 0.0 < shares.min() < 0.25
    assert 0.75 < shares.max() < 1.0


def test_few_sites_hold_all_the_water() -> None:
    sites = sites_of(GROUND.cells)
    assert 4 <= len(sites.points_cm) <= 200
    assert sites.free_l.sum() == pytest.approx(GROUND.cells.free_l.sum(), rel=0.1)


def test_who_lives_by_rock_likes_it_near_and_others_less_so() -> None:
    near, far = np.array([0.0, 40.0]), np.array([0.5, 0.5])
    gramma = liking(fish(GRAMMA), near, far, RULES, rockless=False)
    chromis = liking(fish(CHROMIS), near, far, RULES, rockless=False)
    assert gramma[0] / gramma[1] > chromis[0] / chromis[1] > 1.0


def test_in_a_bare_tank_only_the_level_counts() -> None:
    level = np.array([0.1, 0.9])
    one = liking(fish(GRAMMA), np.array([0.0, 0.0]), level, RULES, rockless=True)
    other = liking(fish(GRAMMA), np.array([50.0, 80.0]), level, RULES, rockless=True)
    assert np.array_equal(one, other)


@pytest.mark.parametrize("ground", [GROUND, BARE])
def test_use_homes_and_usable_water_are_shares_of_a_whole(ground: Ground) -> None:
    situation = tank(party(GRAMMA), rocks="moderate")
    use, shares = settle(animal(GRAMMA), ground, situation, RULES)
    for part in (use, shares, usable(animal(GRAMMA), ground, situation, RULES)):
        assert part.sum() == pytest.approx(1.0)
        assert part.min() >= 0.0


def test_pressure_on_one_side_moves_the_home_to_the_other() -> None:
    situation = tank(party(DOMINO))
    left = GROUND.sites.points_cm[:, 0] < 30.0
    _, calm = settle(animal(DOMINO), GROUND, situation, RULES)
    _, pressed = settle(animal(DOMINO), GROUND, situation, RULES, np.where(left, 20.0, 0.0))
    assert pressed[left].sum() < calm[left].sum()


def test_a_home_is_never_all_or_nothing() -> None:
    _, shares = settle(animal(DOMINO), GROUND, tank(party(DOMINO)), RULES)
    assert shares.max() < 0.5


def test_a_step_back_from_pressure_by_hand() -> None:
    rules = RULES.replaced({"retreat": 0.1})
    moved = retreat(np.array([0.5, 0.5]), np.array([10.0, 0.0]), rules)
    total = math.exp(-1.0) + 1.0
    assert moved.tolist() == pytest.approx([math.exp(-1.0) / total, 1.0 / total])


def test_ground_is_that_of_a_circle_of_the_home_area() -> None:
    rules = RULES.replaced({"home_radius_share": 1.0})
    grown = fish(DOMINO).number("adult_length_cm")
    radius = 100.0 * math.sqrt(fish(DOMINO).number("home_area_m2") / math.pi)
    assert home_radius_cm(animal(DOMINO, grown), rules) == pytest.approx(radius)
    assert home_radius_cm(animal(DOMINO, grown / 4.0), rules) == pytest.approx(radius / 2.0)


def test_a_divider_keeps_each_to_its_side() -> None:
    situation = replace(tank(party(DOMINO)), divider_cm=20.0)
    x_cm = np.array([5.0, 25.0])
    left, right = (replace(animal(DOMINO), party=replace(party(DOMINO), side=s)) for s in ("left", "right"))
    assert allowed(left, x_cm, situation).tolist() == [True, False]
    assert allowed(right, x_cm, situation).tolist() == [False, True]
    assert allowed(animal(DOMINO), x_cm, situation).all()
    sump = replace(animal(DOMINO), party=replace(party(DOMINO), side="left", place=Place.SUMP))
    assert allowed(sump, x_cm, situation).all()
