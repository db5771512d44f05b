"""Published effects of gape, and of the way from attacks to harm, each beside its source."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.reference.effects import BICOLOR_DAMSEL, large, rates
from tests.society.build import (
    CHROMIS,
    FIREFISH,
    GROUPER,
    QUICK,
    RULES,
    YELLOW_TANG,
    altered,
    animal,
    fish,
    judged,
    party,
    tank,
)

from slackwater.society.company import Individual
from slackwater.society.draws import draw
from slackwater.society.harm import at, cumulative, harm_per_day
from slackwater.society.predation import eaten_per_day, fits

GAPES = [("Cephalopholis miniata", 0.27), ("Paracirrhites forsteri", 0.20)]


def prey_of_depth(depth_cm: float, **traits: str) -> Individual:
    """A fish of 4 cm with a body of a given depth."""
    ratio = depth_cm / fish(CHROMIS).standard_length_cm(4.0)
    slim = altered(CHROMIS, body_depth_ratio=ratio, **traits)
    return tank(replace(party(CHROMIS, 4.0), species=slim)).animals[0]


@pytest.mark.parametrize(("name", "gape"), GAPES)
def test_edible_if_no_deeper_than_the_gape(name: str, gape: float) -> None:
    """Gape 0.27 of standard length in a grouper, 0.20 in a hawkfish [mihalitsis2017]."""
    hunter = animal(name, 20)
    limit_cm = gape * hunter.species.standard_length_cm(20) / RULES["compression"]
    assert fits(hunter, prey_of_depth(0.7 * limit_cm), 0.0, RULES) > 0.95
    assert fits(hunter, prey_of_depth(limit_cm), 0.0, RULES) == pytest.approx(0.5, abs=0.02)
    assert fits(hunter, prey_of_depth(1.3 * limit_cm), 0.0, RULES) < 0.05


def test_who_eats_no_fish_eats_none_that_fits() -> None:
    """The other half of the rule of gape: the predator must eat fish [mihalitsis2017]."""
    assert eaten_per_day(animal(YELLOW_TANG, 18), animal(FIREFISH, 2), 0.0, RULES) == 0.0


def test_deeper_prey_is_safer_and_longer_prey_no_worse_off() -> None:
    """Depth, not length, stops an engulfer [mihalitsis2017]; prey of a tenth of its length is typical
    [coghlan2022].
    """
    hunter = animal(GROUPER, 30)
    by_depth = [eaten_per_day(hunter, prey_of_depth(d), 0.0, RULES) for d in (1.0, 4.0, 6.0, 8.0, 10.0)]
    assert all(a >= b for a, b in pairwise(by_depth))
    assert by_depth[0] > 10.0 * by_depth[-1]
    by_length = [fits(hunter, animal(FIREFISH, length), 0.0, RULES) for length in (3.0, 6.0, 9.0, 14.0)]
    assert by_length[0] > 0.99
    assert all(a >= b > 0.0 for a, b in pairwise(by_length))


def test_the_smallest_run_extra_risk() -> None:
    """Mortality falls steeply up to 43 mm of length [goatley2016]."""
    hunter = animal(GROUPER, 30)
    below, above = (eaten_per_day(hunter, animal(FIREFISH, length), 0.0, RULES) for length in (4.2, 4.4))
    assert below > 1.2 * above > 0.0


def test_spines_protect_as_a_named_trait_and_a_blade_does_not() -> None:
    """Depth and named armour protect, nothing else (common practice [cp])."""
    hunter = animal(GROUPER, 30)
    plain = eaten_per_day(hunter, prey_of_depth(3.0), 0.0, RULES)
    assert eaten_per_day(hunter, prey_of_depth(3.0, guard="spines"), 0.0, RULES) < plain
    assert eaten_per_day(hunter, prey_of_depth(3.0, weapon="scalpel", form="disc"), 0.0, RULES) == plain
    assert eaten_per_day(hunter, prey_of_depth(9.0), 0.0, RULES) < 0.1 * plain


def test_harm_needs_attacks_and_no_escape() -> None:
    """Parrotfishes take 4 to 40 chases an hour all day and feed normally where they can leave
    [parrotfish_data].
    """
    dose = np.linspace(0.0, 60.0, 25)
    hazards = harm_per_day(dose, np.array(RULES["x0_per_h"]), RULES)
    assert hazards[0] == 0.0
    assert all(a < b for a, b in pairwise(hazards))
    # The dose is attacks times the share of water in reach: 40 an hour with nothing in reach is none.
    assert harm_per_day(np.array(40.0 * 0.0), np.array(RULES["x0_per_h"]), RULES) == 0.0


def test_those_who_receive_are_hurt_and_not_those_who_give() -> None:
    """Only receivers had damaged fins in small groups (Atlantic salmon parr under feed restriction, 10 d;
    authors not recorded).
    """
    three = (party(BICOLOR_DAMSEL, cm, day=day) for cm, day in ((8.0, 0.0), (6.5, 5.0), (5.5, 9.0)))
    verdict = judged(large(*three))
    chases = rates(verdict, 30.0)
    fought = [lot.harm["fought"] for lot in verdict.lots]
    assert list(np.argsort(fought)) == list(np.argsort(chases.sum(axis=0)))
    assert int(np.argmax(chases.sum(axis=1))) == int(np.argmin(fought))


def test_constant_hazard_over_90_days_is_that_over_30_thrice() -> None:
    """Arithmetic: P(90) = 1 - (1 - P(30))^3."""
    days = np.array([0.0, 10.0, 30.0, 45.0, 90.0])
    grown = cumulative(days, np.full(5, harm_per_day(np.array(5.0), np.array(1.0), RULES)))
    p30, p90 = (1.0 - math.exp(-float(at(days, grown, day))) for day in (30.0, 90.0))
    assert p90 >= p30
    assert p90 == pytest.approx(1.0 - (1.0 - p30) ** 3)


def test_nine_individuals_in_ten_lie_within_a_factor_of_four() -> None:
    """Individual SD over mean 0.7 to 1.2 in every raw count [stegastes_data], [farming_data]: nine in ten
    within about a factor of 4 of the median.
    """
    _, temper = draw(animal_alone(), 400, QUICK.seed, RULES)
    low, middle, high = np.quantile(temper[:, 0], (0.05, 0.5, 0.95))
    assert 0.7 <= temper.std() / temper.mean() <= 1.2
    assert 3.0 <= high / middle <= 4.5
    assert 3.0 <= middle / low <= 4.5


def animal_alone() -> tuple[Individual, ...]:
    return tank(party(BICOLOR_DAMSEL)).animals
