"""Attack rates: tempers, contests, hunger, limited time and third parties."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.society.build import (
    CHROMIS,
    CLOWN,
    DOMINO,
    GRAMMA,
    RULES,
    SCOPAS_TANG,
    YELLOW_TANG,
    animal,
    fish,
    party,
    tank,
)

from slackwater.society.attacks import (
    activity,
    breeders,
    constants,
    contest,
    diluted,
    grown_temper,
    hunger,
    restrained,
    settled,
    slopes,
    temper_per_h,
)
from slackwater.society.company import Keeping, Sex

FIXED = RULES.replaced(
    {
        "residency_length": 0.06,
        "gap_floor": 0.4,
        "gap_width": 0.25,
        "contest.own": 16.0,
        "contest.genus": 8.0,
        "contest.others": 3.0,
        "hunger": 0.5,
        "station_calm": 0.7,
        "station_crowd": 2.0,
        "budget_tempers": 3.0,
        "budget_per_h": 180.0,
        "third_ratio": 0.25,
        "third_most": 0.5,
        "familiar_rest": 0.5,
        "familiar_days": 2.0,
    }
)


def q(ratio: float, slope: float, start: float = 0.0) -> float:
    ones = np.ones((1, 1))
    return float(contest(math.log(ratio) * ones, start * ones, slope * ones, FIXED)[0, 0])


def test_temper_is_that_of_the_word_for_a_full_grown_animal() -> None:
    grown = animal(DOMINO, 2.0 * fish(DOMINO).number("adult_length_cm"))
    assert temper_per_h(grown, RULES) == pytest.approx(
        RULES.words("temper")[fish(DOMINO).word("temper_own")], rel=0.01
    )


def test_the_young_are_milder() -> None:
    shares = [grown_temper(animal(DOMINO, length), RULES) for length in (1.0, 3.0, 6.0, 12.0)]
    assert shares == sorted(shares)
    assert RULES["temper_young"] <= shares[0] < shares[-1] <= 1.0


def test_slopes_by_kinship() -> None:
    situation = tank(party(YELLOW_TANG), party(YELLOW_TANG, day=9), party(SCOPAS_TANG), party(GRAMMA))
    matrix = slopes(situation.animals, FIXED)
    assert [matrix[0, k] for k in range(4)] == [16.0, 16.0, 8.0, 3.0]
    assert np.array_equal(matrix, matrix.T)


def test_equals_win_half_and_chances_sum_to_one_between_others() -> None:
    assert q(1.0, 3.0) == pytest.approx(0.5)
    assert q(1.3, 3.0) + q(1.0 / 1.3, 3.0) == pytest.approx(1.0)
    # 1 / (1 + exp(-3 ln 1.3)) = 1.3^3 / (1 + 1.3^3)
    assert q(1.3, 3.0) == pytest.approx(1.3**3 / (1.0 + 1.3**3))


def test_within_a_species_attacks_fall_off_as_the_gap_opens() -> None:
    near = 0.4 + 0.6 * math.exp(-((math.log(1.2) / 0.25) ** 2))
    assert q(1.2, 16.0) == pytest.approx(1.2**16 / (1.0 + 1.2**16) * near)
    assert q(1.1, 16.0) > q(1.3, 16.0) > q(2.0, 16.0) > 0.4 - 1e-9


def test_hunger_is_one_up_to_eight_hours() -> None:
    assert hunger(Keeping(feeds_per_day=3), 2, FIXED) == pytest.approx(1.0)
    assert hunger(Keeping(feeds_per_day=6), 2, FIXED) == pytest.approx(1.0)


def test_hunger_after_a_day_by_hand() -> None:
    # Mean over 24 h of 0 up to 8 h, then 1 - exp(-x/8), x to 16: (16 - 8 (1 - e^-2)) / 24.
    late = (16.0 - 8.0 * (1.0 - math.exp(-2.0))) / 24.0
    assert hunger(Keeping(feeds_per_day=1), 2, FIXED) == pytest.approx(1.0 + 0.5 * late, rel=1e-3)


def test_more_places_to_feed_calm_until_there_is_one_each() -> None:
    two = [hunger(Keeping(feeds_per_day=3, stations=s), 4, FIXED) for s in (1, 2, 4, 8)]
    assert two == pytest.approx([1.0, 1.0, 0.85, 0.775])


def test_activity_is_low_where_one_sleeps() -> None:
    day, night = animal(DOMINO), animal("Myripristis murdjan", 12)
    situation = tank(day.party, night.party)
    shared = activity(situation.animals, RULES)
    assert shared[0, 0] == 1.0
    assert shared[0, 1] < 1.0
    assert shared[1, 0] < 1.0


def test_guards_are_those_with_a_mate_or_a_host() -> None:
    pair = tank(party(CLOWN, 7, count=2, sex=Sex.PAIR), party(CHROMIS, 5))
    host = Keeping(inverts=("anemone",))
    assert breeders(pair.animals, Keeping(), RULES).tolist() == [RULES["nest_share"]] * 2 + [0.0]
    assert breeders(pair.animals, host, RULES).tolist() == [1.0, 1.0, 0.0]
    assert breeders(tank(party(CLOWN)).animals, host, RULES).tolist() == [0.5]


def test_limited_time_by_hand() -> None:
    # Ten attacks an hour at a temper of 5: 10 / (1 + 10 / 15) = 6.
    rate = np.array([[[0.0, 4.0, 6.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]])
    out = diluted(rate, np.array([[5.0, 5.0, 5.0]]), FIXED)
    assert out.sum() == pytest.approx(6.0)
    assert out[0, 0].tolist() == pytest.approx([0.0, 2.4, 3.6])


def test_nobody_attacks_more_often_than_time_allows() -> None:
    rate = np.full((1, 4, 4), 1e6)
    assert diluted(rate, np.full((1, 4), 1e6), FIXED).sum(axis=-1).max() <= 180.0


def test_third_parties_restrain_by_size_and_sight() -> None:
    # Animal 2 is e^0.25 times as long as 0: over = 1/2, so one attack in four less when in view.
    ratio = np.zeros((1, 3, 3))
    ratio[0, 2, 0], ratio[0, 0, 2] = 0.25, -0.25
    rate = np.zeros((1, 3, 3))
    rate[0, 0, 1] = 8.0
    hidden, seen = np.zeros((3, 3)), np.zeros((3, 3))
    seen[2, 0] = 1.0
    assert restrained(rate, ratio, hidden, FIXED)[0, 0, 1] == pytest.approx(8.0)
    assert restrained(rate, ratio, seen, FIXED)[0, 0, 1] == pytest.approx(6.0)


def test_familiarity_falls_to_its_rest() -> None:
    calm = settled(np.array([-1.0, 0.0, 2.0, 1e3]), np.ones(4), FIXED)
    assert calm.tolist() == pytest.approx([1.0, 1.0, 0.5 + 0.5 * math.exp(-1.0), 0.5])


def test_a_group_lets_a_latecomer_in() -> None:
    days = np.array([0.0, RULES["join_days"], 1e3])
    ratio = settled(days, np.full(3, 0.2), RULES) / settled(days, np.ones(3), RULES)
    assert ratio.tolist() == pytest.approx([1.0, 0.2 + 0.8 * math.exp(-1.0), 0.2])


def test_the_constant_factors_multiply() -> None:
    situation = tank(party(YELLOW_TANG, 8), party(SCOPAS_TANG, 8), party(GRAMMA))
    fixed = constants(situation, RULES)
    expected = fixed.temper_per_h[0] * fixed.recognition[0, 1] * fixed.hunger
    assert fixed.base[0, 1] == pytest.approx(expected)
    assert np.all(np.diag(fixed.recognition) == 0.0)
    assert np.all(np.diag(fixed.base) == 0.0)


def test_who_comes_after_the_horizon_does_not_crowd_the_food() -> None:
    both = tank(party(YELLOW_TANG, 8), party(SCOPAS_TANG, 8, day=400))
    alone = constants(tank(party(YELLOW_TANG, 8)), RULES)
    assert constants(replace(both, horizon_days=180.0), RULES).hunger == alone.hunger
