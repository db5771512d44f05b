"""The race for the food."""

from __future__ import annotations

from dataclasses import replace
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.society.build import (
    CHROMIS,
    CLOWN,
    FIREFISH,
    GRAMMA,
    RULES,
    YELLOW_TANG,
    altered,
    animal,
    fish,
    party,
    tank,
)

from slackwater.society import food
from slackwater.society.company import Individual, Keeping, Party, Place
from slackwater.society.food import grazes, keeps_weight_from, race, starved_share, starving_per_day

SEAHORSE, MOON_WRASSE, MANDARIN = "Hippocampus reidi", "Thalassoma lunare", "Synchiropus splendidus"
CARDINAL, COPPERBAND, GROUPER = "Sphaeramia nematoptera", "Chelmon rostratus", "Cephalopholis argus"
KINDS = (
    CHROMIS, CLOWN, FIREFISH, GRAMMA, YELLOW_TANG, SEAHORSE, MOON_WRASSE, MANDARIN, CARDINAL,
    COPPERBAND, GROUPER,
)  # fmt: skip

MANY = settings(max_examples=80, deadline=None, derandomize=True)


def missed(*parties: Party, keeping: Keeping | None = None) -> float:
    """Return what the first animal of a company misses."""
    animals = tank(*parties).animals
    return starved_share(animals[0], animals, keeping or Keeping(), RULES)


def slowest(*parties: Party, keeping: Keeping | None = None) -> int | None:
    """Return from how many feeds the slowest of a company keeps its weight."""
    found = keeps_weight_from(tank(*parties).animals, keeping or Keeping(), RULES)
    return None if None in found else max(f for f in found if f is not None)


@st.composite
def companies(draw: st.DrawFn) -> tuple[Individual, ...]:
    """One to six parties of any kinds, sizes and numbers."""
    sizes, counts = st.floats(3.0, 20.0), st.integers(1, 4)
    names = draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=6))
    return tank(*(party(name, draw(sizes), count=draw(counts)) for name in names)).animals


keepings = st.builds(
    Keeping,
    feeds_per_day=st.floats(0.1, 8.0),
    stations=st.integers(1, 4),
    food_both_ends=st.booleans(),
    strong_first=st.booleans(),
)


def test_alone_and_well_fed_nothing_is_missed() -> None:
    assert missed(party(GRAMMA), keeping=Keeping(feeds_per_day=4)) == 0.0


def test_fast_and_pushy_rivals_take_more() -> None:
    slow = party(SEAHORSE, 12)
    assert missed(slow) < missed(slow, party(MOON_WRASSE, 12)) < missed(slow, party(MOON_WRASSE, 12, count=3))


@MANY
@given(companies(), keepings)
def test_shares_lie_between_nothing_and_all_and_no_more_is_eaten_than_put_in(
    company: tuple[Individual, ...], keeping: Keeping
) -> None:
    ended = race(company, keeping, RULES)
    assert np.all((ended.missed >= 0.0) & (ended.missed <= 1.0))
    assert np.all(ended.of_meal >= 0.0)
    assert ended.of_meal.sum() <= 1.0


@MANY
@given(companies(), keepings, st.floats(1.0, 4.0), st.integers(1, 3))
def test_more_feeds_or_stations_take_food_from_nobody(
    company: tuple[Individual, ...], keeping: Keeping, more: float, stations: int
) -> None:
    base = race(company, keeping, RULES).missed
    oftener = replace(keeping, feeds_per_day=keeping.feeds_per_day * more)
    wider = replace(keeping, stations=keeping.stations + stations)
    for helped in (oftener, wider, replace(keeping, strong_first=True)):
        assert np.all(race(company, helped, RULES).missed <= base + 1e-12)


@MANY
@given(companies(), keepings)
def test_small_changes_stay_small(company: tuple[Individual, ...], keeping: Keeping) -> None:
    near = replace(keeping, feeds_per_day=keeping.feeds_per_day * 1.001)
    assert np.abs(race(company, near, RULES).missed - race(company, keeping, RULES).missed).max() < 0.005


def test_the_steps_of_newton_suffice() -> None:
    company = tank(*(party(name, 8.0, count=3) for name in KINDS)).animals
    for feeds in (0.05, 1.0, 12.0):
        keeping = Keeping(feeds_per_day=feeds)
        food._race.cache_clear()
        usual = race(company, keeping, RULES).missed
        food._race.cache_clear()
        with patch.object(food, "_NEWTON_STEPS", 80):
            assert race(company, keeping, RULES).missed == pytest.approx(usual, abs=1e-12)
    food._race.cache_clear()


def test_food_at_both_ends_helps_those_that_feed_on_the_floor() -> None:
    pair = party(MANDARIN, 6), party(MOON_WRASSE, 12)
    assert missed(*pair, keeping=Keeping(food_both_ends=True)) < missed(*pair)


def test_the_strong_first_helps_the_slow_and_not_the_strong() -> None:
    pair = party(COPPERBAND, 12), party(MOON_WRASSE, 12)
    first = Keeping(strong_first=True)
    assert missed(*pair, keeping=first) < missed(*pair)
    assert missed(*pair[::-1], keeping=first) == missed(*pair[::-1]) == 0.0


def test_a_pushy_fish_keeps_others_off_one_station_but_not_off_three() -> None:
    meek, pushy = party(CHROMIS, 6), altered(CHROMIS, intolerance="tyrant")
    alone, bullied = missed(meek, party(CHROMIS, 6)), missed(meek, Party(pushy, 6.0))
    wide = Keeping(stations=3)
    assert alone < bullied
    assert missed(meek, Party(pushy, 6.0), keeping=wide) < bullied


def test_who_is_fed_elsewhere_is_no_rival() -> None:
    slow, fast = party(SEAHORSE, 12), party(MOON_WRASSE, 12)
    sump = replace(fast, place=Place.SUMP)
    divided = replace(slow, side="left"), replace(fast, side="right")
    assert missed(slow, sump) == missed(*divided) == missed(slow)


def test_night_feeders_fed_by_day_go_short() -> None:
    night, day = (Party(altered(SEAHORSE, feeding_time=time), 12.0) for time in ("night", "day"))
    assert missed(night) > missed(day)


def test_grazers_feed_by_themselves() -> None:
    assert grazes(animal(YELLOW_TANG)) > 0.5 > grazes(animal(CHROMIS))
    for name in KINDS:
        assert 0.0 <= grazes(animal(name)) <= 0.9
    assert missed(party(YELLOW_TANG, 12), keeping=Keeping(feeds_per_day=0.05)) < 0.5


def test_feeds_from_which_the_slowest_keeps_its_weight() -> None:
    # Common practice: seahorses two or three feeds, anthias-like chromis about three, a tang one.
    assert slowest(party(SEAHORSE, 12, count=2)) in {2, 3}
    assert slowest(party(YELLOW_TANG, 12)) == 1
    alone, crowded = slowest(party(COPPERBAND, 11)), slowest(party(COPPERBAND, 11), party(MOON_WRASSE, 14))
    assert alone is not None
    assert crowded is None or crowded > alone
    assert keeps_weight_from((), Keeping(), RULES) == ()


def test_no_number_of_feeds_helps_where_the_others_take_all() -> None:
    greedy = RULES.replaced({"race_ration": 0.2})
    animals = tank(party(SEAHORSE, 12), party(GROUPER, 20, count=4)).animals
    assert keeps_weight_from(animals, Keeping(), greedy)[0] is None


def test_a_race_is_remembered_for_the_same_rules_only() -> None:
    animals = tank(party(SEAHORSE, 12), party(MOON_WRASSE, 12)).animals
    assert race(animals, Keeping(), RULES) is race(animals, Keeping(), RULES)
    other = RULES.replaced({"race_ration": 5.0})
    assert race(animals, Keeping(), other).missed[0] < race(animals, Keeping(), RULES).missed[0]


def test_a_little_less_is_made_good_and_the_fragile_suffer_more() -> None:
    tough, fragile = animal(CHROMIS), animal(SEAHORSE)
    assert starving_per_day(RULES["starve_from"], tough, RULES) == 0.0
    harder = RULES.words("fragile")
    assert harder[fish(SEAHORSE).word("hardiness")] > harder[fish(CHROMIS).word("hardiness")]
    assert starving_per_day(0.8, fragile, RULES) > starving_per_day(0.8, tough, RULES) > 0.0
