"""What holds of every matrix of wins, and a second way to the same counts."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.society import ranks
from slackwater.society.elo import Elo, ratings

Array = NDArray[np.float64]


@st.composite
def tallies(draw: st.DrawFn) -> Array:
    count = draw(st.integers(2, 7))
    cells = draw(st.lists(st.integers(0, 9), min_size=count * count, max_size=count * count))
    wins = np.array(cells, float).reshape(count, count)
    np.fill_diagonal(wins, 0.0)
    return wins


@pytest.mark.parametrize("corrected", [True, False])
@given(wins=tallies())
@settings(max_examples=60, deadline=None)
def test_scores_sum_to_nothing_and_stay_in_bounds(wins: Array, *, corrected: bool) -> None:
    scores = ranks.david_scores(ranks.shares(wins, corrected=corrected))
    norm = ranks.normalised(scores)
    assert scores.sum() == pytest.approx(0.0, abs=1e-9)
    assert -1e-9 <= float(ranks.steepness(norm)) <= 1.0 + 1e-9
    assert -1e-9 <= ranks.landau_h(wins) <= ranks.devries_h(wins) + 1e-12 <= 1.0 + 1e-9


@given(tallies())
@settings(max_examples=60, deadline=None)
def test_where_all_have_met_the_normalised_score_is_the_sum_of_shares(wins: Array) -> None:
    met = wins + np.where(np.eye(len(wins), dtype=bool), 0.0, 1.0)
    for corrected in (True, False):
        share = ranks.shares(met, corrected=corrected)
        assert ranks.normalised(ranks.david_scores(share)) == pytest.approx(share.sum(-1))


@given(tallies(), st.randoms(use_true_random=False))
@settings(max_examples=40, deadline=None)
def test_other_names_only_permute(wins: Array, chance: object) -> None:
    order = list(range(len(wins)))
    chance.shuffle(order)  # type: ignore[attr-defined]
    moved = wins[np.ix_(order, order)]
    a, b = ranks.indices(wins, draws=100), ranks.indices(moved, draws=100)
    assert b.scores == pytest.approx(a.scores[order])
    for name in ("steepness", "h", "h_prime", "kendall", "consistency"):
        assert getattr(b, name) == pytest.approx(getattr(a, name), nan_ok=True)
    assert (b.triangles.settled, b.triangles.circles) == (a.triangles.settled, a.triangles.circles)


@given(tallies())
@settings(max_examples=60, deadline=None)
def test_triangles_counted_one_by_one(wins: Array) -> None:
    settled = circles = 0
    for i, j, k in itertools.combinations(range(len(wins)), 3):
        pairs = ((i, j), (j, k), (i, k))
        if any(wins[a, b] == wins[b, a] for a, b in pairs):
            continue
        settled += 1
        above = [sum(wins[a, b] > wins[b, a] for b in (i, j, k) if b != a) for a in (i, j, k)]
        circles += above == [1, 1, 1]
    told = ranks.triangles(wins)
    assert (told.settled, told.circles) == (settled, circles)


def test_in_an_odd_company_kendall_and_landau_agree() -> None:
    rng = np.random.default_rng(4)
    wins = np.triu(rng.integers(0, 2, (7, 7)), 1).astype(float)
    wins += np.triu(1.0 - wins, 1).T
    assert ranks.kendall_k(wins) == pytest.approx(ranks.landau_h(wins))


def test_a_straight_order_of_eight_is_not_chance_and_one_of_three_may_be() -> None:
    straight = np.triu(np.ones((8, 8)), 1) * 10
    told = ranks.indices(straight)
    assert told.linear_p < 0.01
    assert told.steep_p < 0.01
    small = ranks.linearity_test(np.triu(np.ones((3, 3)), 1))
    assert small.p == pytest.approx(0.75, abs=0.05)  # 6 of the 8 tournaments of three run straight


def test_without_any_win_nothing_is_steep_and_nothing_is_known() -> None:
    told = ranks.indices(np.zeros((4, 4)))
    assert told.unknown == 6
    assert np.isnan(told.consistency)
    assert told.steepness == pytest.approx(0.0)


def test_two_animals_have_no_circle_and_no_test() -> None:
    told = ranks.indices(np.array([[0.0, 3.0], [1.0, 0.0]]))
    assert np.isnan(told.kendall)
    assert np.isnan(told.linear_p)
    assert told.h == pytest.approx(1.0)


@pytest.mark.parametrize("wins", [[[0.0, 1.0]], [[0.0, -1.0], [0.0, 0.0]], [[1.0, 0.0], [0.0, 0.0]]])
def test_what_is_no_matrix_of_wins_is_refused(wins: list[list[float]]) -> None:
    with pytest.raises(InputError, match="wins is"):
        ranks.indices(wins)


def test_the_sum_of_elo_stays() -> None:
    run = [("a", "b"), ("c", "a"), ("b", "a"), ("c", "b")] * 5
    held = ratings(run, "abc", Elo())
    assert sum(held.values()) == pytest.approx(3000.0)
