"""How surely a tally tells rank, and when two changed places."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from slackwater.society.elo import by_day
from slackwater.society.standing import Doubt, Won, drawn_norms, matrix, ranked, reversals

DAY = dt.date(2027, 3, 1)


def won(day: int, pair: str, count: int = 1) -> Won:
    return Won(DAY + dt.timedelta(days=day), pair[0], pair[1], count)


def test_a_clear_order_has_narrow_bounds_and_a_short_tally_wide_ones() -> None:
    long = ranked(matrix([won(0, "ab", 40), won(0, "bc", 40), won(1, "ac", 40)], "abc"), "abc", Doubt())
    short = ranked(matrix([won(0, "ab"), won(0, "bc")], "abc"), "abc", Doubt())
    assert [r.name for r in long] == ["a", "b", "c"]
    assert [(r.place_low, r.place_high) for r in long] == [(1, 1), (2, 2), (3, 3)]
    assert long[0].top > 0.99
    assert 0.4 < short[0].top < 0.95
    assert short[0].place_high > 1
    assert short[0].norm_high - short[0].norm_low > 2 * (long[0].norm_high - long[0].norm_low)


def test_the_draws_come_to_the_mean_of_the_beta_worked_by_hand() -> None:
    """Two animals, 3 wins to 1: Beta(3.5, 1.5) has mean 0.7, and the normalised score is that share."""
    drawn = drawn_norms(matrix([won(0, "ab", 3), won(0, "ba", 1)], "ab"), Doubt(draws=20_000))
    assert drawn[:, 0].mean() == pytest.approx(0.7, abs=0.005)
    halved = drawn_norms(matrix([won(0, "ab", 3), won(0, "ba", 1)], "ab"), Doubt(2.0, 20_000))
    assert halved[:, 0].mean() == pytest.approx(2.0 / 3.0, abs=0.005)  # Beta(2, 1)


def test_bounds_hold_the_truth_as_often_as_they_say() -> None:
    """Own simulation: shares drawn evenly, eight chases each; nine in ten bounds hold the true score."""
    rng = np.random.default_rng(9)
    inside, runs = 0, 300
    for n in range(runs):
        truth = rng.uniform()
        wins = float(rng.binomial(8, truth))
        drawn = drawn_norms(np.array([[0.0, wins], [8.0 - wins, 0.0]]), Doubt(draws=400, seed=n))
        low, high = np.quantile(drawn[:, 0], (0.05, 0.95))
        inside += low <= truth <= high
    assert 0.85 <= inside / runs <= 0.95


def test_who_delivers_and_who_carries_the_load() -> None:
    told = {r.name: r for r in ranked(matrix([won(0, "ac", 6), won(0, "bc", 2)], "abc"), "abc", Doubt())}
    assert told["a"].delivered_share == pytest.approx(0.75)
    assert told["c"].received_share == pytest.approx(1.0)
    assert (told["a"].delivered, told["c"].received) == (6, 8)


def test_a_change_of_places_has_its_day() -> None:
    tally = [won(day, "ab" if day < 6 else "ba", 4) for day in range(12)]
    (found,) = reversals(tally, 2.0, 10.0)
    assert (found.on, found.led, found.leads) == (DAY + dt.timedelta(days=6), "a", "b")
    assert (found.before, found.after) == ((24, 0), (0, 24))
    assert found.odds > 100


def test_a_change_and_back_again() -> None:
    tally = [won(day, "ba" if 6 <= day < 12 else "ab", 5) for day in range(18)]
    found = reversals(tally, 2.0, 10.0)
    assert [(r.on - DAY).days for r in found] == [6, 12]
    assert [r.leads for r in found] == ["b", "a"]


def test_a_stray_win_is_no_change_and_neither_is_a_clearer_lead() -> None:
    assert reversals([won(0, "ab", 5), won(1, "ba"), won(2, "ab", 5)], 2.0, 10.0) == ()
    growing = [won(d, "ab", 3) for d in range(9)] + [won(d, "ba", 2) for d in range(4)]
    assert reversals(growing, 1.0, 10.0) == ()


def test_even_tallies_rarely_show_a_change() -> None:
    """False changes among 200 even pairs watched ten days: fewer than one in ten at odds of 10."""
    rng = np.random.default_rng(2)
    seen = 0
    for _ in range(200):
        a = rng.binomial(6, 0.5, 10)
        rows = [won(d, "ab", int(n)) for d, n in enumerate(a)] + [
            won(d, "ba", int(6 - n)) for d, n in enumerate(a)
        ]
        seen += bool(reversals(rows, 1.0, 10.0))
    assert seen <= 20


def test_elo_has_a_row_for_each_day() -> None:
    rows = by_day([(DAY, "a", "b", 2), (DAY, "a", "b", 1), (DAY + dt.timedelta(days=3), "b", "a", 1)], "ab")
    assert [(r.on - DAY).days for r in rows] == [0, 3]
    assert rows[0].ratings[0] > rows[1].ratings[0] > 1000.0
    assert sum(rows[1].ratings) == pytest.approx(2000.0)
