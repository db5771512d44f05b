"""The company rule: mates, harem, shoal, and one too many."""

from __future__ import annotations

import numpy as np
import pytest
from tests.society.build import CHROMIS, CLOWN, RULES, YELLOW_TANG, party, tank

from slackwater.society.bonds import acceptance, bond, bonds
from slackwater.society.company import Party, Sex

ANTHIAS = "Pseudanthias squamipinnis"
MALE, FEMALE, PAIR = Sex.MALE, Sex.FEMALE, Sex.PAIR


def between(*parties: Party, i: int = 0, j: int = -1) -> float:
    animals = tank(*parties).animals
    return bond(animals[i], animals[j], animals, RULES)


def test_a_settled_pair_is_bonded_and_a_third_is_a_rival() -> None:
    pair, third = party(CLOWN, 7, count=2, sex=PAIR), party(CLOWN, 6, day=30)
    assert between(pair, third, i=0, j=1) == RULES["bond.mates"]
    assert between(pair, third, i=0, j=2) == RULES["bond.rival"] > 1.0
    assert between(pair, third, i=2, j=0) == RULES["bond.rival"]


def test_two_pairs_are_each_others_rivals() -> None:
    four = party(CLOWN, 7, count=4, sex=PAIR)
    assert between(four, i=2, j=3) == RULES["bond.mates"]
    assert between(four, i=0, j=2) == RULES["bond.rival"]


def test_a_shoal_together_is_bonded_if_large_enough() -> None:
    assert between(party(CHROMIS, 4, count=8)) == RULES["bond.shoal"]
    assert between(party(CHROMIS, 4, count=2)) == RULES["bond.loose"]


def test_a_shoaler_that_comes_later_is_less_welcome() -> None:
    late = between(party(CHROMIS, 4, count=8), party(CHROMIS, 4, day=30))
    assert RULES["bond.shoal"] < late == RULES["bond.late_shoal"] < 1.0


def test_a_harem_is_bonded_and_a_late_female_nearly() -> None:
    male, females = party(ANTHIAS, 9, sex=MALE), party(ANTHIAS, 7, count=3, sex=FEMALE)
    assert between(male, females) == RULES["bond.mates"]
    late = party(ANTHIAS, 7, day=30, sex=FEMALE)
    assert between(male, late) == RULES["bond.late_harem"]
    assert between(party(ANTHIAS, 6, count=4)) == RULES["bond.unsexed_harem"]


def test_two_males_are_rivals_by_trait() -> None:
    rivalry = RULES.words("male_rivalry")
    tangs = between(party(ANTHIAS, 9, sex=MALE), party(ANTHIAS, 9, day=20, sex=MALE))
    assert tangs in rivalry.values()
    assert tangs >= 1.0


@pytest.mark.parametrize(("sexes", "rule"), [((MALE, FEMALE), "mates"), ((Sex.UNKNOWN,) * 2, "may_pair")])
def test_two_pair_formers_together(sexes: tuple[Sex, Sex], rule: str) -> None:
    two = [party(CLOWN, 5.0, sex=sex) for sex in sexes]
    assert between(*two) == RULES[f"bond.{rule}"]


def test_three_pair_formers_are_one_too_many() -> None:
    assert between(party(CLOWN, 5.0, count=3)) == RULES["bond.rival"]


def test_a_mate_offered_later_may_be_taken() -> None:
    assert between(party(CLOWN, 8, sex=FEMALE), party(CLOWN, 5, day=30, sex=MALE)) == RULES["bond.late_mate"]
    assert between(party(CLOWN, 8), party(CLOWN, 4, day=30)) == RULES["bond.late_mate"]
    assert between(party(CLOWN, 8), party(CLOWN, 7.5, day=30)) == 1.0


def test_kinds_that_live_singly_have_no_bond() -> None:
    singles = "Centropyge loricula", "Pseudocheilinus hexataenia", "Pseudochromis fridmani"
    for name in singles:
        assert between(party(name), party(name, day=20)) >= RULES["bond.late_mate"]


def test_between_species_there_is_no_bond() -> None:
    matrix = bonds(tank(party(CLOWN, 7, count=2, sex=PAIR), party(YELLOW_TANG, 8)), RULES)
    expected = np.ones((3, 3))
    expected[0, 1] = expected[1, 0] = RULES["bond.mates"]
    assert np.array_equal(matrix, expected)


def test_males_within_a_shoal_are_held_back_by_it() -> None:
    shoal = between(party(CHROMIS, 6, count=8, sex=MALE))
    alone = between(party(CHROMIS, 6, sex=MALE), party(CHROMIS, 6, day=20, sex=MALE))
    assert shoal == pytest.approx(RULES["bond.shoal"] * alone)


FLASHERS = "Paracheilinus carpenteri", "Paracheilinus mccoskeri"


@pytest.mark.parametrize(("other", "factor"), [(MALE, "male_rivalry.yes"), (FEMALE, None)])
def test_males_of_a_genus_show_off_to_each_other(other: Sex, factor: str | None) -> None:
    one, two = party(FLASHERS[0], 7, sex=MALE), party(FLASHERS[1], 7, sex=other)
    assert bonds(tank(one, two), RULES)[0, 1] == (RULES[factor] if factor else 1.0)


def test_males_of_two_genera_do_not() -> None:
    males = party(FLASHERS[0], 7, sex=MALE), party("Cirrhilabrus solorensis", 7, sex=MALE)
    assert bonds(tank(*males), RULES)[0, 1] == 1.0


def test_a_late_female_comes_to_belong() -> None:
    harem = party(ANTHIAS, 9, sex=MALE), party(ANTHIAS, 7, count=4, sex=FEMALE)
    left = acceptance(tank(*harem, party(ANTHIAS, 6, day=60, sex=FEMALE)), RULES)
    assert left[1, -1] == left[0, -1] == RULES["bond.mates"] / RULES["bond.late_harem"] < 1.0
    assert left[0, 1] == 1.0


def test_a_late_male_never_does() -> None:
    rivals = tank(party(ANTHIAS, 9, sex=MALE), party(ANTHIAS, 9, day=60, sex=MALE))
    assert acceptance(rivals, RULES)[0, 1] == 1.0


@pytest.mark.parametrize(("count", "sorted_out"), [(5, True), (2, False)])
def test_an_unsexed_group_sorts_itself_if_large_enough(count: int, *, sorted_out: bool) -> None:
    left = acceptance(tank(party(ANTHIAS, 7, count=count)), RULES)[0, 1]
    assert bool(left < 1.0) is sorted_out


def test_a_late_shoaler_comes_to_belong_and_a_loner_does_not() -> None:
    late = tank(party(CHROMIS, 4, count=8), party(CHROMIS, 4, day=30))
    assert acceptance(late, RULES)[0, -1] == RULES["bond.shoal"] / RULES["bond.late_shoal"]
    lone = tank(party("Centropyge loricula", 7), party("Centropyge bispinosa", 7, day=30))
    assert acceptance(lone, RULES)[0, 1] == 1.0
