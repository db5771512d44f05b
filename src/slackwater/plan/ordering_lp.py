"""Bounds for orders by linear programming: three-cycles are cut off as they show up.

One variable a pair, x_ij = 1 when the lower index i comes first. For three items i < j < k the row
0 <= x_ij + x_jk - x_ik <= 1 forbids going round in either sense [grotschel1984].
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.ordering_search import Matrix, Order

if TYPE_CHECKING:
    import highspy

Vector = NDArray[np.float64]
Shares = NDArray[np.float64]
Columns = NDArray[np.int32]
Indices = NDArray[np.intp]

VIOLATION = 1e-6
NEAR = 0.1
"""Rows that hold with less than this to spare are added before branching, which may need them."""

ROWS_PER_ROUND_AND_ITEM = 20
NODES = 100
"""Where branching ends: nodes, unlike seconds, give the same answer on every machine."""

SIGNS = np.array([1.0, 1.0, -1.0])


@dataclass(frozen=True)
class Bounded:
    """A lower bound on the excess of every order, and the order that the solution leans to."""

    bound: float
    order: Order


class Relaxation:
    """The pairs of three or more items, and the three-cycle rows found to matter so far.

    Parameters
    ----------
    excess
        `excess[i, j]`, what i before j costs over the cheaper direction, shape (n, n);
        `inf` where j must come first.
    """

    def __init__(self, excess: Matrix) -> None:
        self._items = len(excess)
        self._first, self._second = np.triu_indices(self._items, 1)
        forth, back = excess[self._first, self._second], excess[self._second, self._first]
        self._low, self._high = 1.0 * np.isinf(back), 1.0 - np.isinf(forth)
        forth, back = np.nan_to_num(forth, posinf=0.0), np.nan_to_num(back, posinf=0.0)
        self._scale = _scale_of(max(forth.max(), back.max()))
        self._weight, self._constant = (forth - back) / self._scale, float(back.sum())
        self._columns = np.arange(len(forth), dtype=np.int32)
        self._triples = _triples(self._items)
        self._chosen: Indices = np.empty(0, dtype=np.intp)
        self._solver = quiet_solver()
        self._solver.addVars(len(forth), self._low, self._high)
        self._solver.changeColsCost(len(forth), self._columns, self._weight)

    def solve(self) -> Bounded:
        """Solve with ever more three-cycle rows until none is violated."""
        shares: Shares = np.where(self._weight > 0, self._low, self._high)
        while len(violated := self._rows_beyond(VIOLATION, shares)):
            self._add_rows(violated[: ROWS_PER_ROUND_AND_ITEM * self._items])
            shares = self._run()
        reduced, from_rows = self._reduced_weights()
        return Bounded(self._excess_at(self._dual_value(reduced, from_rows)), self._leaning(shares))

    def branch(self, best: Order, best_excess: float) -> Bounded:
        """Search the orders that may still beat `best` by branch and cut; call after `solve`.

        The bound holds also when the search ends at its limit of nodes.
        """
        near = self._rows_beyond(-NEAR, self._shares())
        self._fix_pairs(best_excess)
        self._add_rows(near)
        self._solver.changeColsIntegrality(
            len(self._columns), self._columns, np.ones(len(self._columns), dtype=np.uint8)
        )
        self._start_from(best)
        return self._branch_until_no_cycle()

    def _branch_until_no_cycle(self) -> Bounded:
        bound, nodes = 0.0, 0
        while True:
            self._solver.setOptionValue("mip_max_nodes", NODES - nodes)
            shares = self._run()
            info = self._solver.getInfo()
            bound = max(bound, self._excess_at(info.mip_dual_bound))
            nodes += info.mip_node_count
            violated = self._rows_beyond(VIOLATION, shares)
            if not len(violated) or nodes >= NODES:
                return Bounded(bound, self._leaning(shares))
            self._add_rows(violated)

    def _excess_at(self, objective: float) -> float:
        return self._constant + self._scale * objective

    def _run(self) -> Shares:
        self._solver.run()
        return self._shares()

    def _shares(self) -> Shares:
        return np.array(self._solver.getSolution().col_value)

    def _rows_beyond(self, least: float, shares: Shares) -> Indices:
        """Return the triples not yet rows that are violated by more than `least`, worst first."""
        level = shares[self._triples] @ SIGNS
        violation = np.maximum(level - 1.0, -level)
        violation[self._chosen] = -np.inf
        beyond = np.flatnonzero(violation > least)
        return beyond[np.argsort(-violation[beyond], kind="stable")]

    def _add_rows(self, triples: Indices) -> None:
        count = len(triples)
        self._solver.addRows(
            count,
            np.zeros(count),
            np.ones(count),
            3 * count,
            np.arange(0, 3 * count, 3, dtype=np.int32),
            self._triples[triples].ravel(),
            np.tile(SIGNS, count),
        )
        self._chosen = np.concatenate([self._chosen, triples])

    def _reduced_weights(self) -> tuple[Vector, float]:
        """Return the weights less the rows' prices, and what the rows themselves pay."""
        prices = np.array(self._solver.getSolution().row_dual)
        spread = (prices[:, None] * SIGNS).ravel()
        columns = self._triples[self._chosen].ravel()
        charged = np.bincount(columns, spread, minlength=len(self._weight))
        return self._weight - charged, float(np.minimum(prices, 0.0).sum())

    def _dual_value(self, reduced: Vector, from_rows: float) -> float:
        """Return a bound that holds for any prices, however loosely the solver found them."""
        return from_rows + float(np.minimum(reduced * self._low, reduced * self._high).sum())

    def _fix_pairs(self, best_excess: float) -> None:
        """Settle each pair whose other direction alone costs more than the gap left."""
        reduced, from_rows = self._reduced_weights()
        bound = self._excess_at(self._dual_value(reduced, from_rows))
        gap = (best_excess - bound) / self._scale + VIOLATION
        high = np.where(reduced > gap, self._low, self._high)
        low = np.where(reduced < -gap, self._high, self._low)
        self._solver.changeColsBounds(len(self._columns), self._columns, low, high)

    def _start_from(self, order: Order) -> None:
        place = np.argsort(order)
        shares = (place[self._first] < place[self._second]).astype(np.float64)
        self._solver.setSolution(len(self._columns), self._columns, shares)

    def _leaning(self, shares: Shares) -> Order:
        """Return the items by how many others they precede in `shares`, most first."""
        precedes = np.bincount(self._first, shares, minlength=self._items)
        precedes += np.bincount(self._second, 1.0 - shares, minlength=self._items)
        return np.argsort(-precedes, kind="stable")


def _scale_of(largest: float) -> float:
    """Return the power of two that brings `largest` near a thousand when divided by it."""
    return float(2.0 ** np.floor(np.log2(largest) - 10.0)) if largest > 0 else 1.0


def _triples(items: int) -> Columns:
    """Return the columns of (i, j), (j, k), (i, k) for all i < j < k, shape (triples, 3)."""
    column = np.zeros((items, items), dtype=np.int32)
    column[np.triu_indices(items, 1)] = np.arange(items * (items - 1) // 2)
    rising = np.less.outer(np.arange(items), np.arange(items))
    i, j, k = np.nonzero(rising[:, :, None] & rising)
    return np.stack([column[i, j], column[j, k], column[i, k]], axis=1)


def quiet_solver() -> "highspy.Highs":
    """Return a solver that prints nothing, repeats itself exactly and stops at no gap but zero."""
    import highspy  # half a second, and not needed up to 20 items

    class Quiet(highspy.Highs):
        def enableCallbacks(self) -> None:  # noqa: N802
            """Leave callbacks off: turning them on prints a banner before output can be stopped."""

    solver = Quiet()  # type: ignore[no-untyped-call]
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("parallel", "off")
    solver.setOptionValue("dual_feasibility_tolerance", 1e-9)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.0)
    return solver
