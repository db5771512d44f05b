"""The question put to the model: parties, single animals, growth."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.society.build import CHROMIS, CLOWN, YELLOW_TANG, fish, party, tank

from slackwater.errors import InputError
from slackwater.society.company import Keeping, Sex


def test_animals_are_numbered_through_the_parties() -> None:
    animals = tank(party(CHROMIS, 4, count=3), party(YELLOW_TANG, 8)).animals
    assert [(a.index, a.party_index, a.number) for a in animals] == [
        (0, 0, 0),
        (1, 0, 1),
        (2, 0, 2),
        (3, 1, 0),
    ]


def test_a_tank_needs_a_layout_even_if_bare() -> None:
    with pytest.raises(InputError, match="rock is nothing"):
        replace(tank(party(CHROMIS)), rockworks=())


def test_the_first_of_a_clown_pair_is_the_larger_female() -> None:
    first, second = tank(party(CLOWN, 8, count=2, sex=Sex.PAIR)).animals
    assert (first.sex, second.sex) == (Sex.FEMALE, Sex.MALE)
    assert second.length_cm < first.length_cm == 8.0


def test_the_first_of_other_pairs_is_the_male_and_both_are_as_long() -> None:
    first, second = tank(party("Centropyge loricula", 8, count=2, sex=Sex.PAIR)).animals
    assert (first.sex, second.sex) == (Sex.MALE, Sex.FEMALE)
    assert first.length_cm == second.length_cm


def test_growth_closes_the_gap_to_the_adult_by_its_constant() -> None:
    tang = replace(tank(party(YELLOW_TANG, 6)), grows=True).animals[0]
    adult = fish(YELLOW_TANG).number("adult_length_cm")
    rate = fish(YELLOW_TANG).number("growth_k_per_year")
    assert tang.length_at(-5.0) == tang.length_at(0.0) == 6.0
    assert tang.length_at(365.0) == pytest.approx(adult - (adult - 6.0) * math.exp(-rate))
    assert tang.length_at(1e6) == pytest.approx(adult)


def test_nobody_shrinks_to_the_adult_length() -> None:
    giant = replace(tank(party(YELLOW_TANG, 40)), grows=True).animals[0]
    assert giant.length_at(1000.0) == 40.0


def test_a_host_is_an_anemone_among_the_invertebrates() -> None:
    assert Keeping(inverts=("snails", "anemone")).has_host
    assert not Keeping(inverts=("snails",)).has_host


def test_other_parties_in_the_same_tank() -> None:
    before = tank(party(CHROMIS))
    after = before.with_parties((party(CLOWN),))
    assert after.animals[0].species.name == CLOWN
    assert (after.glass, after.rockworks, after.sand_cm) == (before.glass, before.rockworks, 5.0)
