from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.plan import ordering_lp
from slackwater.plan.order import Ordering, best_order, optimal_orders, worst_first_order

Matrix = NDArray[np.float64]


def uneven_company(items: int, seed: int) -> Matrix:
    """Invented costs as a shop meets them: temper by likeness by size, in six families."""
    rng = np.random.default_rng(seed)
    family = rng.integers(0, 6, items)
    temper, length_cm = rng.lognormal(0.0, 1.0, items), rng.uniform(4.0, 25.0, items)
    likeness = np.where(np.equal.outer(family, family), 1.0, 0.1)
    return temper[:, None] * likeness * np.minimum(3.0, np.divide.outer(length_cm, length_cm) ** 1.5)


def noise(items: int, seed: int) -> Matrix:
    return np.random.default_rng(seed).random((items, items))


def paid(cost: Matrix, order: tuple[int, ...]) -> float:
    return float(sum(cost[i, j] for p, i in enumerate(order) for j in order[p + 1 :]))


def assert_honest(answer: Ordering, cost: Matrix) -> None:
    assert sorted(answer.order) == list(range(len(cost)))
    assert answer.cost == pytest.approx(paid(cost, answer.order), rel=1e-12)
    assert answer.bound <= answer.cost
    assert answer.proven == (answer.gap == 0.0)


# --- the cheapest order of pairs


def test_the_cheaper_direction_of_a_single_pair_is_taken() -> None:
    answer = best_order([[0.0, 5.0], [2.0, 0.0]])
    assert answer == Ordering((1, 0), 2.0, 2.0, 0.0, proven=True, method="subsets")


@pytest.mark.parametrize("items", [0, 1])
def test_none_or_one_item_is_an_order_that_costs_nothing(items: int) -> None:
    answer = best_order(np.ones((items, items)))
    assert answer.order == tuple(range(items))
    assert (answer.cost, answer.proven) == (0.0, True)


def test_the_diagonal_is_ignored() -> None:
    assert best_order([[np.nan, 5.0], [2.0, np.inf]]).cost == 2.0


def test_costs_may_be_negative() -> None:
    answer = best_order([[0.0, -5.0], [-2.0, 0.0]])
    assert (answer.order, answer.cost) == ((0, 1), -5.0)


def test_the_costs_given_are_left_as_they_were() -> None:
    cost = noise(5, 0)
    kept = cost.copy()
    best_order(cost)
    assert np.array_equal(cost, kept)


@pytest.mark.parametrize("items", [2, 7, 13])
def test_of_equal_orders_the_first_in_dictionary_order_is_given(items: int) -> None:
    assert best_order(np.ones((items, items))).order == tuple(range(items))


def test_a_circle_of_likings_gives_up_its_cheapest_link() -> None:
    # 0 before 1, 1 before 2 and 2 before 0 are free; the other ways cost 3, 2 and 1.
    cost = [[0, 0, 1], [3, 0, 0], [0, 2, 0]]
    assert best_order(cost).order == (0, 1, 2)
    assert best_order(cost).cost == 1.0


@pytest.mark.parametrize("items", [12, 24])
def test_a_surcharge_on_both_ways_of_a_pair_leaves_the_order(items: int) -> None:
    cost = uneven_company(items, 3)
    surcharge = noise(items, 4)
    moved = best_order(cost + surcharge + surcharge.T)
    assert moved.order == best_order(cost).order


@pytest.mark.parametrize("items", [21, 40, 60])
def test_a_lifelike_company_is_proven_by_cutting_planes(items: int) -> None:
    cost = uneven_company(items, 1)
    answer = best_order(cost)
    assert_honest(answer, cost)
    assert (answer.proven, answer.method) == (True, "cutting planes")


def test_indifferent_pairs_in_a_large_company_cost_nothing_extra() -> None:
    answer = best_order(np.ones((25, 25)))
    assert (answer.cost, answer.proven) == (300.0, True)  # 25 x 24 / 2


@pytest.mark.parametrize("whole", [False, True])
def test_a_fractional_relaxation_is_settled_by_branch_and_cut(whole: bool) -> None:  # noqa: FBT001
    cost = np.rint(noise(24, 0) * 1000) if whole else noise(24, 0)
    answer = best_order(cost)
    assert_honest(answer, cost)
    assert (answer.proven, answer.method) == (True, "branch and cut")


def test_a_gap_too_wide_to_branch_is_shown() -> None:
    cost = noise(30, 0)
    answer = best_order(cost)
    assert_honest(answer, cost)
    assert (answer.proven, answer.method) == (False, "local search")
    assert answer.gap == pytest.approx((answer.cost - answer.bound) / answer.cost)
    assert 0.0 < answer.gap < 0.01


def test_branching_finds_the_circles_it_was_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    cost = noise(21, 12)
    known = best_order(cost)
    monkeypatch.setattr(ordering_lp, "NEAR", 0.0)
    assert best_order(cost) == known
    assert (known.proven, known.method) == (True, "branch and cut")


def test_branching_cut_short_shows_its_gap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ordering_lp, "NEAR", 0.0)
    monkeypatch.setattr(ordering_lp, "NODES", 1)
    cost = noise(21, 12)
    answer = best_order(cost)
    assert_honest(answer, cost)
    assert (answer.proven, answer.method) == (False, "local search")
    assert 0.0 < answer.gap < 0.001


def test_the_solver_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    best_order(noise(24, 0))
    assert capfd.readouterr() == ("", "")


def test_the_same_seed_gives_the_same_order() -> None:
    cost = noise(24, 0)
    assert best_order(cost, seed=5) == best_order(cost, seed=5)


# --- what must come first


@pytest.mark.parametrize("items", [8, 24])
def test_what_must_come_first_does_against_its_cost(items: int) -> None:
    cost = uneven_company(items, 2)
    free = best_order(cost)
    last, first = free.order[-1], free.order[0]
    bound = best_order(cost, before=[(last, first)])
    assert bound.order.index(last) < bound.order.index(first)
    assert bound.proven
    assert bound.cost >= free.cost
    assert_honest(bound, cost)


@pytest.mark.parametrize("items", [9, 24])
def test_a_full_chain_leaves_one_order(items: int) -> None:
    wanted = tuple(int(i) for i in np.random.default_rng(6).permutation(items))
    answer = best_order(noise(items, 7), before=pairwise(wanted))
    assert answer.order == wanted
    assert answer.proven


def test_the_search_keeps_what_must_come_first_when_it_shakes() -> None:
    cost = noise(22, 2)
    before = [(3, 17), (17, 8), (20, 1)]
    answer = best_order(cost, before=before)
    place = {item: p for p, item in enumerate(answer.order)}
    assert all(place[i] < place[j] for i, j in before)
    assert answer.method == "branch and cut"
    assert_honest(answer, cost)


# --- counting


def test_every_order_of_indifferent_items_is_best() -> None:
    assert optimal_orders(np.zeros((6, 6))) == 720  # 6!
    assert optimal_orders(np.zeros((16, 16)), most=10**14) == 20_922_789_888_000  # 16!


def test_counting_stops_where_told() -> None:
    assert optimal_orders(np.zeros((7, 7))) == 1000
    assert optimal_orders(np.zeros((7, 7)), most=3) == 3


def test_a_single_best_order_is_counted_once() -> None:
    assert optimal_orders(np.triu(np.ones((5, 5)), 1).T) == 1


def test_what_must_come_first_halves_the_count() -> None:
    assert optimal_orders(np.zeros((5, 5)), before=[(4, 0)]) == 60  # 5! / 2


# --- sparing the worst-off


def test_the_item_that_bears_least_goes_last() -> None:
    # Each bears the boldness of those before it over its own: 0 + 1/2 in (1, 2), then 3/3 for 0.
    bold = [3.0, 1.0, 2.0]
    order, worst = worst_first_order(lambda i, others: sum(bold[j] for j in others) / bold[i], 3)
    assert (order, worst) == ((1, 2, 0), 1.0)


def test_of_items_that_bear_alike_the_lowest_index_goes_last() -> None:
    order, worst = worst_first_order(lambda _, others: float(len(others)), 4)
    assert (order, worst) == ((3, 2, 1, 0), 3.0)


def test_an_item_that_others_must_follow_waits_for_them() -> None:
    order, _ = worst_first_order(lambda _, others: float(len(others)), 3, before=[(0, 2), (1, 2)])
    assert order == (1, 0, 2)


def test_a_burden_beyond_bearing_is_an_answer() -> None:
    order, worst = worst_first_order(lambda _, others: np.inf if others else 0.0, 2)
    assert (order, worst) == ((1, 0), np.inf)


def test_no_items_bear_nothing() -> None:
    assert worst_first_order(lambda _, __: 1.0, 0) == ((), 0.0)


# --- input that cannot be used


@pytest.mark.parametrize(
    ("cost", "said"),
    [
        (np.ones((2, 3)), "cost is of shape 2 x 3; it must be a square table"),
        ([1.0, 2.0], "cost is of shape 2; it must be a square table"),
        ([[1.0, 2.0], [3.0]], "cost is no table of numbers"),
        ([[0.0, np.inf], [1.0, 0.0]], r"cost\[0, 1\] is inf; costs must be finite"),
        ([[0.0, 1.0], [np.nan, 0.0]], r"cost\[1, 0\] is nan; costs must be finite"),
    ],
)
def test_a_table_that_is_not_square_and_finite_is_refused(cost: Matrix, said: str) -> None:
    with pytest.raises(InputError, match=said):
        best_order(cost)


@pytest.mark.parametrize(
    ("before", "said"),
    [
        ([(0, 1), (1, 2), (2, 0)], "before is a circle through 0, 1, 2; no item can come before"),
        ([(1, 1)], "before is a circle through 1"),
        ([(0, 3)], r"before is \(0, 3\); items are numbered 0 to 2"),
        ([(-1, 0)], r"before is \(-1, 0\)"),
    ],
)
def test_precedence_that_cannot_be_kept_is_refused(before: list[tuple[int, int]], said: str) -> None:
    with pytest.raises(InputError, match=said):
        best_order(np.zeros((3, 3)), before=before)
    with pytest.raises(InputError, match=said):
        worst_first_order(lambda _, __: 0.0, 3, before=before)


def test_too_many_items_to_count_are_refused() -> None:
    with pytest.raises(InputError, match="cost is a table of 17 items; best orders are counted up to 16"):
        optimal_orders(np.zeros((17, 17)))


def test_a_burden_that_is_no_number_is_refused() -> None:
    with pytest.raises(InputError, match="burden of item 0 is nan"):
        worst_first_order(lambda _, __: np.nan, 2)
