"""Other ways to the same orders: every permutation, a general solver, one method against another."""

from itertools import combinations, permutations

import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater.plan import order as ordering
from slackwater.plan.order import best_order, optimal_orders, worst_first_order

Matrix = NDArray[np.float64]
Pairs = list[tuple[int, int]]


def some_pairs(items: int, seed: int) -> Pairs:
    """Draw a few pairs that can all be kept, since some permutation keeps them."""
    rng = np.random.default_rng(seed)
    line = rng.permutation(items)
    places = (sorted(rng.choice(items, 2, replace=False)) for _ in range(seed % 4))
    return [(int(line[p]), int(line[q])) for p, q in places]


def allowed_orders(items: int, before: Pairs) -> list[tuple[int, ...]]:
    orders = permutations(range(items))
    return [o for o in orders if all(o.index(i) < o.index(j) for i, j in before)]


def paid(cost: Matrix, order: tuple[int, ...]) -> float:
    return sum(float(cost[i, j]) for i, j in combinations(order, 2))


@pytest.mark.parametrize("seed", range(12))
def test_the_best_order_is_the_best_of_all_permutations(seed: int) -> None:
    items = 2 + seed % 6
    cost = np.random.default_rng(seed).normal(size=(items, items))
    before = some_pairs(items, seed)
    answer = best_order(cost, before=before)
    best = min(allowed_orders(items, before), key=lambda order: paid(cost, order))
    assert answer.cost == pytest.approx(paid(cost, best), rel=1e-12)
    assert answer.order == best


def test_the_best_order_of_eight_is_the_best_of_40320() -> None:
    cost = np.random.default_rng(8).random((8, 8))
    orders = np.array(list(permutations(range(8))))
    paid_by_all = sum(cost[orders[:, p], orders[:, q]] for p, q in combinations(range(8), 2))
    assert best_order(cost).cost == pytest.approx(np.min(paid_by_all), rel=1e-12)


@pytest.mark.parametrize("seed", range(12))
def test_the_count_and_the_first_of_equal_orders_match_all_permutations(seed: int) -> None:
    items = 3 + seed % 4
    cost = np.random.default_rng(seed).integers(0, 3, (items, items)).astype(float)
    before = some_pairs(items, seed)
    orders = allowed_orders(items, before)
    least = min(paid(cost, order) for order in orders)
    best = [order for order in orders if paid(cost, order) == least]
    assert optimal_orders(cost, before=before) == len(best)
    assert best_order(cost, before=before).order == best[0]


@pytest.mark.parametrize("seed", range(3))
def test_a_general_solver_finds_the_same_cost_for_ten(seed: int) -> None:
    cost = np.random.default_rng(seed).random((10, 10))
    assert best_order(cost).cost == pytest.approx(least_cost_by_general_solver(cost), rel=1e-9)


def least_cost_by_general_solver(cost: Matrix) -> float:
    """One 0-1 variable for each ordered pair, and no three items in a circle."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: TID251  (a rival)

    items = len(cost)
    column = np.arange(items * items).reshape(items, items)
    one_way = np.zeros((items * (items - 1) // 2, items * items))
    for row, (i, j) in enumerate(combinations(range(items), 2)):
        one_way[row, [column[i, j], column[j, i]]] = 1.0
    no_circle = np.zeros((items * (items - 1) * (items - 2), items * items))
    for row, (i, j, k) in enumerate(permutations(range(items), 3)):
        no_circle[row, [column[i, j], column[j, k], column[k, i]]] = 1.0
    found = milp(
        (cost - np.diag(cost.diagonal())).ravel(),
        integrality=np.ones(items * items, dtype=np.int64),
        bounds=Bounds(0.0, 1.0),
        constraints=[LinearConstraint(one_way, 1.0, 1.0), LinearConstraint(no_circle, ub=2.0)],
        options={"mip_rel_gap": 0.0},
    )
    assert found.fun is not None
    return found.fun


@pytest.mark.parametrize("seed", range(6))
def test_bounds_and_subsets_agree_where_both_can_be_used(seed: int) -> None:
    items = 10 + 2 * seed
    cost = np.random.default_rng(seed).random((items, items))
    prices = ordering._prices(cost, some_pairs(items, seed))
    by_bounds = ordering._by_bounds(prices, np.random.default_rng(seed))
    assert by_bounds.proven
    assert by_bounds.cost == pytest.approx(ordering._by_subsets(prices).cost, rel=1e-9)


@pytest.mark.parametrize("seed", range(20))
def test_no_permutation_spares_the_worst_off_more(seed: int) -> None:
    items = 2 + seed % 5
    before = some_pairs(items, seed)
    weight = np.random.default_rng(seed).exponential(size=(items, items, 4))

    def burden(item: int, others: frozenset[int]) -> float:
        """Grow with the set but not by mere sums: the fiercest in each of four respects."""
        felt = weight[item, sorted(others)]
        return float(felt.max(axis=0).sum()) if others else 0.0

    def worst(order: tuple[int, ...]) -> float:
        return max(burden(item, frozenset(order[:place])) for place, item in enumerate(order))

    order, borne = worst_first_order(burden, items, before=before)
    assert order in allowed_orders(items, before)
    assert borne == worst(order)
    assert borne == min(map(worst, allowed_orders(items, before)))
