"""Growth over the years, maturity, and the day on which a tank is too small."""

from __future__ import annotations

import math

import pytest
from tests.society.build import CHROMIS, CLOWN, RULES, YELLOW_TANG, altered, animal, fish

from slackwater.society.company import Individual, Party, Sex
from slackwater.society.growth import (
    matures,
    months_to,
    outgrows,
    sex_change,
    size_after,
    swallows_from,
)
from slackwater.society.space import Room, shortfall

ANTHIAS = "Pseudanthias squamipinnis"
LIONFISH = "Pterois volitans"


def grown(name: str, length_cm: float, **traits: str | float) -> Individual:
    """Return one animal that grows, of a species as the table says but for some traits."""
    return Individual(0, 0, Party(altered(name, **traits), length_cm), 0)


def test_a_tang_bought_at_seven_centimetres_grows_as_published() -> None:
    # Zebrasoma scopas, Linf 13.32 cm, K 1.154: 13.32 - 6.32 exp(-1.154) = 11.33 after a year, then 12.69.
    tang = grown("Zebrasoma scopas", 7.0, adult_length_cm=13.32, growth_k_per_year=1.154)
    assert size_after(tang, 12).length_cm == pytest.approx(11.33, abs=0.01)
    assert size_after(tang, 24).length_cm == pytest.approx(12.69, abs=0.01)


def test_the_band_of_pace_holds_the_usual_length_and_nobody_shrinks() -> None:
    tang = grown(YELLOW_TANG, 8.0)
    sizes = [size_after(tang, months) for months in range(61)]
    assert sizes[0].low_cm == sizes[0].length_cm == sizes[0].high_cm == 8.0
    assert all(s.low_cm <= s.length_cm <= s.high_cm for s in sizes)
    assert [s.length_cm for s in sizes] == sorted(s.length_cm for s in sizes)
    assert sizes[-1].mass_g == pytest.approx(tang.species.mass_g(sizes[-1].length_cm))


def test_months_to_a_length_undo_growth() -> None:
    tang = grown(YELLOW_TANG, 8.0)
    months = months_to(tang, 12.0)
    assert months is not None
    assert size_after(tang, months).length_cm == pytest.approx(12.0, rel=1e-3)
    assert months_to(tang, 7.0) == 0.0
    assert months_to(tang, 90.0) is None


def test_maturity_comes_sooner_to_the_longer_and_has_come_to_the_grown() -> None:
    young, older = matures(grown(YELLOW_TANG, 6.0)), matures(grown(YELLOW_TANG, 9.0))
    assert 0.0 <= young.first < young.last
    assert older.first <= young.first
    assert older.last < young.last
    adult = matures(grown(YELLOW_TANG, 60.0))
    assert (adult.first, adult.last) == (0.0, 0.0)


def test_a_fish_of_known_age_matures_when_the_rest_has_passed() -> None:
    # Half grown at K 1: age ln 2 years at the usual pace, 8.32 months; at 1.3 times 6.40, at half 16.6.
    fish = grown(CHROMIS, 5.0, adult_length_cm=10.0, growth_k_per_year=1.0, maturity_months=20.0)
    window = matures(fish)
    assert window.first == pytest.approx(20.0 - 24.0 * math.log(2.0), abs=1e-9)
    assert window.last == pytest.approx(20.0 - 12.0 * math.log(2.0) / 1.3, abs=1e-9)


def test_sex_changes_among_several_only() -> None:
    assert "female" in sex_change(animal(CLOWN), 2)
    assert sex_change(animal(CLOWN), 1) == ""
    assert sex_change(animal(YELLOW_TANG), 5) == ""


def test_a_tank_is_outgrown_when_need_meets_what_it_offers() -> None:
    tang = grown(YELLOW_TANG, 5.0)
    roomy, tight = Room(400.0, 100.0, 1500.0), Room(100.0, 45.0, 200.0)
    assert outgrows(tang, roomy, RULES) is None
    months = outgrows(tang, tight, RULES)
    assert months is not None
    assert months > 0.0
    length_cm = size_after(tang, months).length_cm
    need = (1.0 + shortfall(tang.species, tight)) * (
        length_cm / tang.species.number("adult_length_cm")
    ) ** 0.5
    assert need == pytest.approx(1.0, rel=1e-6)
    assert outgrows(grown(YELLOW_TANG, 15.0), tight, RULES) == 0.0


def test_a_growing_lionfish_comes_to_swallow_its_small_neighbours() -> None:
    hunter, prey = grown(LIONFISH, 6.0), grown(CHROMIS, 6.0, growth_k_per_year=0.05)
    months = swallows_from(hunter, prey, RULES)
    assert months is not None
    assert months > 0
    assert swallows_from(prey, hunter, RULES) is None
    assert swallows_from(grown(LIONFISH, 25.0), prey, RULES) == 0


def of_sex(name: str, sex: Sex) -> Individual:
    return Individual(0, 0, Party(fish(name), 4.0, sex=sex), 0)


def test_the_smaller_sex_stays_smaller() -> None:
    male, female, untold = (of_sex(ANTHIAS, sex) for sex in (Sex.MALE, Sex.FEMALE, Sex.UNKNOWN))
    ratio = fish(ANTHIAS).number("smaller_sex_ratio")
    assert ratio < 1.0
    assert female.adult_cm == pytest.approx(ratio * male.adult_cm)
    assert untold.adult_cm == male.adult_cm
    assert size_after(female, 60.0).length_cm < size_after(male, 60.0).length_cm


def test_in_anemonefish_the_male_stays_smaller() -> None:
    male, female = (of_sex(CLOWN, sex).adult_cm for sex in (Sex.MALE, Sex.FEMALE))
    assert male < female == fish(CLOWN).number("adult_length_cm")
