"""Forecasts held against what happened."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import beta

from slackwater.plan.scoring import FEW, Forecast, bounds, score, settled
from slackwater.plan.tallied import Look


def test_the_brier_score_by_hand() -> None:
    """(0.9 - 1)^2 + (0.2 - 0)^2 + (0.5 - 1)^2 = 0.30, over three: 0.10."""
    told = score([Forecast(0.9, happened=True), Forecast(0.2, happened=False), Forecast(0.5, happened=True)])
    assert told.brier == pytest.approx(0.10)
    assert told.always_mean == pytest.approx(2 / 3 * 1 / 3)


def test_jeffreys_bounds_are_those_of_a_beta() -> None:
    for happened, count in ((3, 7), (1, 10), (9, 10)):
        low, high = bounds(happened, count)
        good, bad = happened + 0.5, count - happened + 0.5
        assert low == pytest.approx(float(beta.ppf(0.05, good, bad)))
        assert high == pytest.approx(float(beta.ppf(0.95, good, bad)))
    assert bounds(0, 10)[0] == 0.0
    assert bounds(10, 10)[1] == 1.0


def test_three_of_seven_is_no_rate() -> None:
    told = score([Forecast(0.4, happened=n < 3) for n in range(7)])
    assert "Too few" in told.sentence
    assert "Too few to tell" in told.classes[0].sentence
    assert "43" not in told.classes[0].sentence


def test_good_forecasts_agree_and_bad_ones_are_found_out() -> None:
    rng = np.random.default_rng(6)
    chance = rng.uniform(0.0, 1.0, 400)
    good = score([Forecast(float(p), happened=bool(rng.uniform() < p)) for p in chance])
    assert sum(one.agrees for one in good.classes) >= len(good.classes) - 1
    assert "better than always telling the mean" in good.sentence
    bad = score([Forecast(float(p), happened=bool(rng.uniform() > p)) for p in chance])
    assert "no better than" in bad.sentence
    assert any("less often" in one.sentence for one in bad.classes)


def test_every_forecast_falls_into_one_class() -> None:
    told = score([Forecast(p, happened=True) for p in (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0)])
    assert sum(one.count for one in told.classes) == told.count == 7


def test_without_forecasts_there_is_no_score() -> None:
    told = score([])
    assert told.brier is None
    assert told.classes == ()
    assert FEW >= 10


def test_whether_a_quarrel_settled_is_told_only_by_enough_watching() -> None:
    quiet = [Look(13.0, 0.5, 1), Look(14.0, 0.5, 2)]
    assert settled(quiet, 14.0, 12.0) is True
    assert settled([Look(13.0, 0.5, 20)], 14.0, 12.0) is False
    assert settled([Look(14.0, 1 / 6, 0)], 14.0, 12.0) is None
    assert settled([Look(2.0, 5.0, 0)], 14.0, 12.0) is None
