"""From attacks to harm: hazards, windows of 90 days, and words."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.society.build import RULES

from slackwater.society.harm import (
    WINDOW_DAYS,
    Ease,
    Mood,
    Window,
    at,
    cumulative,
    ease,
    harm_per_day,
    mood,
    windows,
)

FIXED = RULES.replaced({"ease.at_ease": 0.02, "ease.jostled": 0.1, "ease.pressed": 0.35, "kappa": 0.01})


@pytest.mark.parametrize(
    ("p", "word"),
    [
        (0.0, Ease.AT_EASE),
        (0.019, Ease.AT_EASE),
        (0.02, Ease.JOSTLED),
        (0.099, Ease.JOSTLED),
        (0.1, Ease.PRESSED),
        (0.34, Ease.PRESSED),
        (0.35, Ease.BESIEGED),
        (1.0, Ease.BESIEGED),
    ],
)
def test_words_begin_at_their_thresholds(p: float, word: Ease) -> None:
    assert ease(p, FIXED) is word


@pytest.mark.parametrize(
    ("p", "any_eaten", "word"),
    [
        (0.05, False, Mood.SETTLED),
        (0.2, False, Mood.UNEASY),
        (0.5, False, Mood.IN_TROUBLE),
        (0.0, True, Mood.IN_TROUBLE),
    ],
)
def test_a_tank_is_as_well_as_its_worst_off(p: float, any_eaten: bool, word: Mood) -> None:  # noqa: FBT001
    assert mood(p, FIXED, any_eaten=any_eaten) is word


def test_the_hazard_by_hand() -> None:
    # 0.01 * 3^2 / (3 + 1) = 0.0225
    assert harm_per_day(np.array(3.0), np.array(1.0), FIXED) == pytest.approx(0.0225)


def test_what_is_tolerated_counts_little_and_the_rest_in_full() -> None:
    few, many = harm_per_day(np.array([0.01, 1000.0]), np.array(1.0), FIXED)
    assert few < 0.02 * 0.01 * 0.01
    assert many == pytest.approx(0.01 * 999.0, rel=1e-3)


def test_an_integral_by_the_trapezoid_rule() -> None:
    days, hazard = np.array([0.0, 2.0, 2.0, 6.0]), np.array([1.0, 3.0, 0.0, 4.0])
    assert cumulative(days, hazard).tolist() == [0.0, 4.0, 4.0, 12.0]
    many = cumulative(days, np.stack([hazard, 2.0 * hazard], axis=1))
    assert many[:, 1].tolist() == [0.0, 8.0, 8.0, 24.0]


def test_between_nodes_it_is_linear() -> None:
    days, integral = np.array([0.0, 2.0, 2.0, 6.0]), np.array([0.0, 4.0, 4.0, 12.0])
    assert [float(at(days, integral, day)) for day in (0.0, 1.0, 2.0, 4.0, 6.0, 9.0)] == [
        0.0,
        2.0,
        4.0,
        8.0,
        12.0,
        12.0,
    ]


def test_windows_of_90_days_begin_at_or_after_release_and_end_in_time() -> None:
    found = windows(np.array([0.0, 30.0, 30.0, 60.0, 100.0]), 30.0, 160.0)
    assert found == [Window(30.0, 120.0), Window(60.0, 150.0)]
    assert all(w.end - w.start == WINDOW_DAYS for w in found)


def test_a_short_stay_is_judged_whole() -> None:
    assert windows(np.array([0.0, 30.0]), 30.0, 100.0) == [Window(30.0, 100.0)]


def test_a_constant_hazard_gives_an_exponential_chance() -> None:
    days = np.array([0.0, 45.0, 90.0])
    grown = at(days, cumulative(days, np.full(3, 0.01)), 90.0)
    assert 1.0 - math.exp(-float(grown)) == pytest.approx(1.0 - math.exp(-0.9))
