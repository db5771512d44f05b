"""Published effects of numbers, dilution and food, each beside its source."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from tests.reference.effects import (
    BICOLOR_DAMSEL,
    BROWN_TANG,
    CLOWN_TANG,
    MOON_WRASSE,
    by_station,
    large,
    met,
    rates,
    total_by_targets,
)
from tests.society.build import (
    CHROMIS,
    DOMINO,
    FIREFISH,
    GRAMMA,
    HUMBUG,
    RULES,
    YELLOW_TANG,
    judged,
    party,
    tank,
)

from slackwater.society.attacks import hunger
from slackwater.society.company import Keeping
from slackwater.society.food import race


@pytest.mark.parametrize("target", [CHROMIS, "Chrysiptera parasema"])
def test_each_of_many_equal_targets_is_attacked_less(target: str) -> None:
    """Attacks per target fall with the number of equal targets [caballero2003]."""
    counts = (1, 2, 4, 8, 16)
    attacks = [
        met(tank(party(MOON_WRASSE, 12), party(target, 4, day=10, count=n), length_cm=90.0)) for n in counts
    ]
    assert all(a > b for a, b in pairwise(attacks))


@pytest.mark.xfail(strict=True, reason="missed: the total goes on rising, ever more slowly")
def test_all_attacks_together_peak_at_16_to_18_targets() -> None:
    """Total acts rise to 16 to 18 intruders and then fall [caballero2003]."""
    at_peak, beyond = total_by_targets(CHROMIS, (17, 32))
    assert beyond < at_peak


@pytest.mark.parametrize("count", [1, 15, 40])
def test_an_attackers_time_is_limited(count: int) -> None:
    """A clown tang deals 150 attacks an hour and each takes 2.4 s [craig1996]; at most 200."""
    many = large(party(CLOWN_TANG, 20), party(BROWN_TANG, 12, day=5, count=count), length_cm=200.0)
    assert rates(judged(many), 6.0)[0].sum() <= 200.0


def test_chases_of_the_own_kind_rise_with_its_density_and_others_do_not() -> None:
    """Chases of conspecifics rise with their density, of other species not ([collis2022]; damselfish that
    farm turf [farming_data]).
    """
    own, others = [], []
    for count in (2, 3, 5, 8):
        crowd = [party(BICOLOR_DAMSEL, 7, day=0.1 * k) for k in range(count)]
        dealt = rates(judged(large(*crowd, party(CHROMIS, 5, day=3, count=4), rocks="moderate")), 30.0)
        own.append(dealt[:count, :count].sum() / count)
        others.append(dealt[:count, count:].sum() / count)
    assert all(a < b for a, b in pairwise(own))
    assert all(a >= b for a, b in pairwise(others))


def test_fewer_rivals_than_two_a_station_are_calmer() -> None:
    """Aggression is a dome over competitors per feeding place, greatest at two [noel2005]: its rise."""
    ten, seven, five = by_station((10, 7, 5))
    assert ten < seven < five


@pytest.mark.xfail(strict=True, reason="missed: a crowd at one station is not calmer here")
def test_more_rivals_than_two_a_station_are_calmer() -> None:
    """The other side of the dome [noel2005]."""
    two_each, five_each, one_station = by_station((5, 2, 1))
    assert two_each > five_each > one_station


def test_food_in_excess_calms() -> None:
    """Aggression is a dome over food abundance [grant2002]; here only that plenty calms."""
    by_feeds = [hunger(Keeping(feeds_per_day=n), 4, RULES) for n in (0.5, 1.0, 2.0)]
    assert all(a > b for a, b in pairwise(by_feeds))


def test_attacks_are_flat_for_eight_hours_after_a_meal_and_then_rise() -> None:
    """Equal from 0 to 8 h after food, highest at 24 h [sakakura1998]."""
    by_feeds = [hunger(Keeping(feeds_per_day=n), 2, RULES) for n in (6, 3, 2, 1, 0.5)]
    assert by_feeds[0] == by_feeds[1]
    assert all(a < b for a, b in pairwise(by_feeds[1:]))


def test_food_at_more_places_evens_out_the_shares_more_than_it_calms() -> None:
    """Food in one place or dispersed: no difference in chases, but dominants gain less [ryer1996]."""
    company = [
        party(DOMINO, 8),
        party(HUMBUG, 6),
        party(GRAMMA, 5),
        party(FIREFISH, 6),
        party(YELLOW_TANG, 10),
    ]
    animals = tank(*company).animals
    one, four = (Keeping(stations=n) for n in (1, 4))
    missed = [float(np.std(race(animals, keeping, RULES).missed)) for keeping in (one, four)]
    chases = [hunger(keeping, len(animals), RULES) for keeping in (one, four)]
    assert missed[1] / missed[0] < chases[1] / chases[0] <= 1.0
