"""The order of releases: which comes before which, and for what the answer is proven best.

`best_order` adds up a cost for every pair, which depends on which of the two comes first (the
linear ordering problem). `worst_first_order` looks at the worst-off animal instead.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from math import comb
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.errors import InputError
from slackwater.plan.ordering_lp import Relaxation
from slackwater.plan.ordering_search import Matrix, Order, excess_of, search

Method = Literal["subsets", "cutting planes", "branch and cut", "local search"]
Subsets = NDArray[np.int64]
Vector = NDArray[np.float64]
Flags = NDArray[np.bool_]

SUBSET_LIMIT = 20
COUNT_LIMIT = 16
ROUNDING = 1e-12
"""Of the total excess: sums nearer than this are equal."""

PROOF = 1e-9
"""Of the total excess: a bound this near is met."""

HOPELESS = 0.02
"""Share of the excess beyond which branching does not close a gap in bearable time (seen on noise)."""

WHOLE = 2.0**53
"""Up to here sums of whole numbers are exact."""


@dataclass(frozen=True)
class Ordering:
    """An order, its cost, and how far below that the best order could still lie.

    Parameters
    ----------
    order
        The items, first to last.
    cost
        Sum of `cost[i, j]` over all i before j, in the unit of the costs.
    bound
        No order costs less than this, in the unit of the costs.
    gap
        (cost - bound) over the larger of their sizes; 0 when proven. [-]
    proven
        Whether no order is cheaper.
    method
        What settled it; "local search" means the best found, with `bound` as the only certificate.
    """

    order: tuple[int, ...]
    cost: float
    bound: float
    gap: float
    proven: bool
    method: Method


def best_order(cost: ArrayLike, *, before: Iterable[tuple[int, int]] = (), seed: int = 0) -> Ordering:
    """Return the order with the least sum of pair costs.

    Parameters
    ----------
    cost
        `cost[i, j]`, paid when i comes before j, any unit, shape (n, n). The diagonal is ignored.
    before
        Pairs (i, j): i must come before j.
    seed
        Starts the local search, which only runs when the linear program leaves a gap.

    Returns
    -------
    Ordering
        Up to 20 items always proven, and the first in dictionary order of all the best.

    Raises
    ------
    InputError
        If `cost` is not square or not finite, or `before` goes round or names no item.

    Notes
    -----
    Up to 20 items by dynamic programming over subsets. Beyond, by linear programming with
    three-cycle rows [grotschel1984], then local search, then, if the gap is within 2 % of the
    excess, branch and cut up to a limit of nodes. The excess is what an order pays over the cheaper
    direction of every pair. Proofs hold to 1e-9 of its total.

    Examples
    --------
    >>> best_order([[0, 5, 1], [2, 0, 4], [3, 1, 0]]).order
    (2, 1, 0)
    """
    prices = _prices(cost, before)
    if len(prices.cost) <= SUBSET_LIMIT:
        return _by_subsets(prices)
    return _by_bounds(prices, np.random.default_rng(seed))


def optimal_orders(cost: ArrayLike, *, before: Iterable[tuple[int, int]] = (), most: int = 1000) -> int:
    """Return how many orders share the least sum of pair costs, counting no further than `most`.

    Parameters
    ----------
    cost
        `cost[i, j]`, paid when i comes before j, any unit, shape (n, n), n up to 16.
    before
        Pairs (i, j): i must come before j.
    most
        Where to stop counting.

    Raises
    ------
    InputError
        As `best_order`, and beyond 16 items.
    """
    prices = _prices(cost, before)
    if len(prices.cost) > COUNT_LIMIT:
        raise InputError(
            field="cost",
            given=f"a table of {len(prices.cost)} items",
            limit=f"best orders are counted up to {COUNT_LIMIT}",
            remedy="Count a smaller group, or ask for one best order.",
        )
    least = _least_costs(prices.excess)
    slack = ROUNDING * prices.total_excess
    ways = np.zeros(least.size, dtype=np.int64)
    ways[0] = 1
    for rest, grown, added in _additions(prices.excess):
        ways[grown] += np.where(least[rest] + added <= least[grown] + slack, ways[rest], 0)
    return min(int(ways[-1]), most)


def worst_first_order(
    burden: Callable[[int, frozenset[int]], float],
    items: int,
    *,
    before: Iterable[tuple[int, int]] = (),
) -> tuple[tuple[int, ...], float]:
    """Return the order that spares the worst-off item most, and what that item bears.

    Parameters
    ----------
    burden
        `burden(i, others)`: what i bears when exactly `others` came before it, any unit. It must
        not fall when `others` grows.
    items
        Number of items, n.
    before
        Pairs (i, j): i must come before j.

    Returns
    -------
    tuple
        The items first to last, and the greatest burden, in the unit of `burden` (0 for no items).

    Raises
    ------
    InputError
        If a burden is not a number, or `before` goes round or names no item.

    Notes
    -----
    Filled from the back: of the items that nothing left must follow, the one that bears least with
    all others before it goes last; of equals the lowest index [lawler1973]. It asks for at most
    n (n + 1) / 2 burdens.

    Proof: take any order and move that item to the end. The others then have the same items or
    fewer before them, so none bears more; it bears no more than the old last item did.

    Examples
    --------
    >>> bold = [3.0, 1.0, 2.0]
    >>> worst_first_order(lambda i, others: sum(bold[j] for j in others) / bold[i], 3)
    ((1, 2, 0), 1.0)
    """
    precedes = _precedence(items, before)
    left, backwards, worst = list(range(items)), [], 0.0 if items == 0 else -np.inf
    while left:
        free = [item for item in left if not precedes[item, left].any()]
        borne = {item: _burden_of(burden, item, left) for item in free}
        last = min(free, key=borne.__getitem__)
        worst = max(worst, borne[last])
        backwards.append(last)
        left.remove(last)
    return tuple(reversed(backwards)), float(worst)


def _burden_of(burden: Callable[[int, frozenset[int]], float], item: int, left: list[int]) -> float:
    borne = burden(item, frozenset(left) - {item})
    if np.isnan(borne):
        raise InputError(
            field=f"burden of item {item}",
            given=str(borne),
            limit="burdens are compared, so each must be a number",
            remedy="Give what the item bears after the others named.",
        )
    return borne


@dataclass(frozen=True)
class _Prices:
    """Costs split into what every order pays and what a pair pays over its cheaper direction.

    `excess[i, j]` is `inf` where j must come before i.
    """

    cost: Matrix
    excess: Matrix
    base: float

    @property
    def total_excess(self) -> float:
        return float(self.excess[np.isfinite(self.excess)].sum())

    @property
    def are_whole(self) -> bool:
        return bool(np.all(self.cost == np.rint(self.cost)) and np.abs(self.cost).sum() < WHOLE)

    def raised(self, bound: float) -> float:
        """Return a bound on the excess raised to the next whole cost, where costs are whole."""
        return float(np.ceil(self.base + bound - 1e-6)) - self.base if self.are_whole else bound


def _prices(cost: ArrayLike, before: Iterable[tuple[int, int]]) -> _Prices:
    table = _checked(cost)
    precedes = _precedence(len(table), before)
    paid = np.where(precedes, table, np.where(precedes.T, table.T, np.minimum(table, table.T)))
    excess = np.where(precedes.T, np.inf, table - paid)
    return _Prices(cost=table, excess=excess, base=float(np.triu(paid, 1).sum()))


def _checked(cost: ArrayLike) -> Matrix:
    """Return the costs as a square table of finite numbers with a diagonal of 0."""
    table = _square(cost)
    np.fill_diagonal(table, 0.0)
    if not np.isfinite(table).all():
        i, j = np.argwhere(~np.isfinite(table))[0]
        raise InputError(
            field=f"cost[{i}, {j}]",
            given=str(table[i, j]),
            limit="costs must be finite numbers",
            remedy="Say what must come first by `before`, not by an endless cost.",
        )
    return table


def _square(cost: ArrayLike) -> Matrix:
    try:
        table = np.array(cost, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise _not_square("no table of numbers") from error
    if table.size == 0:
        return np.zeros((0, 0))
    if table.shape != (len(table), len(table)):
        raise _not_square("of shape " + " x ".join(map(str, table.shape)))
    return table


def _not_square(given: str) -> InputError:
    return InputError(
        field="cost",
        given=given,
        limit="it must be a square table, with a row and a column for each item",
        remedy="Give cost[i, j] for every i before j.",
    )


def _precedence(items: int, before: Iterable[tuple[int, int]]) -> Flags:
    """Return `precedes[i, j]`, true where i must come before j directly or through others."""
    precedes = np.zeros((items, items), dtype=np.bool_)
    for first, then in before:
        if not (0 <= first < items and 0 <= then < items):
            raise InputError(
                field="before",
                given=f"({first}, {then})",
                limit=f"items are numbered 0 to {items - 1}",
                remedy="Name two of the items.",
            )
        precedes[first, then] = True
    for through in range(items):
        precedes |= np.logical_and.outer(precedes[:, through], precedes[through])
    _refuse_circles(precedes)
    return precedes


def _refuse_circles(precedes: Flags) -> None:
    in_circle = np.flatnonzero(precedes.diagonal())
    if in_circle.size:
        raise InputError(
            field="before",
            given="a circle through " + ", ".join(map(str, in_circle)),
            limit="no item can come before itself",
            remedy="Take out one of the pairs that close the circle.",
        )


def _settled(prices: _Prices, order: Order, bound: float, method: Method) -> Ordering:
    """Return the record of an order with a bound on the excess, proven when the two meet."""
    cost = float(np.triu(prices.cost[np.ix_(order, order)], 1).sum())
    proven = excess_of(order, prices.excess) <= bound + PROOF * prices.total_excess
    least = cost if proven else prices.base + bound
    gap = 0.0 if proven else (cost - least) / max(abs(cost), abs(least))
    return Ordering(tuple(map(int, order)), cost, least, gap, proven, method)


def _by_bounds(prices: _Prices, rng: np.random.Generator) -> Ordering:
    relaxation = Relaxation(prices.excess)
    relaxed = relaxation.solve()
    bound = prices.raised(relaxed.bound)
    target = bound + PROOF * prices.total_excess
    order = search(relaxed.order, prices.excess, target=target, rng=rng)
    excess = excess_of(order, prices.excess)
    if excess <= target:
        return _settled(prices, order, bound, "cutting planes")
    if excess - bound > HOPELESS * excess:
        return _settled(prices, order, bound, "local search")
    branched = relaxation.branch(order, excess)
    bound = max(bound, prices.raised(branched.bound))
    best = min(order, branched.order, key=lambda order: excess_of(order, prices.excess))
    answer = _settled(prices, best, bound, "branch and cut")
    return answer if answer.proven else replace(answer, method="local search")


def _by_subsets(prices: _Prices) -> Ordering:
    least = _least_costs(prices.excess)
    order = _first_order(least, prices.excess, ROUNDING * prices.total_excess)
    return _settled(prices, order, float(least[-1]), "subsets")


def _least_costs(excess: Matrix) -> Vector:
    """Return the least excess among the items of every subset, shape (2^n,); bit i is item i."""
    least = np.full(1 << len(excess), np.inf)
    least[0] = 0.0
    for rest, grown, added in _additions(excess):
        least[grown] = np.minimum(least[grown], least[rest] + added)
    return least


def _first_order(least: Vector, excess: Matrix, slack: float) -> Order:
    """Return the first in dictionary order of the orders that reach `least` to within `slack`."""
    order: list[int] = []
    left = list(range(len(excess)))
    while left:
        subset = sum(1 << item for item in left)
        costs = ((item, least[subset ^ (1 << item)] + excess[item, left].sum()) for item in left)
        front = next(item for item, cost in costs if cost <= least[subset] + slack)
        order.append(front)
        left.remove(front)
    return np.array(order, dtype=np.intp)


def _additions(excess: Matrix) -> Iterator[tuple[Subsets, Subsets, Vector]]:
    """Yield, by size and by item, the subsets without it, the same with it put in front, its cost."""
    items = len(excess)
    half = items // 2
    low, high = _sums(excess[:, :half]), _sums(excess[:, half:])
    for subsets in _by_size(items):
        for item in range(items):
            rest = subsets[(subsets >> item) & 1 == 0]
            added = low[item][rest & ((1 << half) - 1)] + high[item][rest >> half]
            yield rest, rest | (1 << item), added


def _sums(costs: Matrix) -> Matrix:
    """Return the sum of each row over every subset of columns, shape (rows, 2^columns)."""
    sums = np.zeros((costs.shape[0], 1 << costs.shape[1]))
    for column in range(costs.shape[1]):
        size = 1 << column
        sums[:, size : 2 * size] = sums[:, :size] + costs[:, column, None]
    return sums


def _by_size(items: int) -> list[Subsets]:
    """Return all subsets but the full one, grouped by size."""
    subsets = np.arange(1 << items)
    by_size = subsets[np.argsort(np.bitwise_count(subsets), kind="stable")]
    ends = np.cumsum([comb(items, size) for size in range(items)])
    return np.split(by_size, ends)[:-1]
