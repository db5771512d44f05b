"""Local search for orders: one item moved at a time, begun again from shaken orders.

`excess[i, j]` is what i before j costs over the cheaper direction; `inf` where j must come first.
"""

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]
Order = NDArray[np.intp]

SHAKES = 2000
SHAKEN_ITEMS = 8


def excess_of(order: Order, excess: Matrix) -> float:
    """Return what `order` pays over the cheaper direction of every pair."""
    return float(np.triu(excess[np.ix_(order, order)], 1).sum())


def search(order: Order, excess: Matrix, *, target: float, rng: np.random.Generator) -> Order:
    """Return the best order seen while shaking and mending, `order` included.

    Parameters
    ----------
    order
        Where to start, shape (n,); it breaks no "j must come first".
    excess
        `excess[i, j]`, shape (n, n).
    target
        An excess that cannot or need not be bettered, such as a proven bound: stop there.
    rng
        Draws the shakes.
    """
    finite = _with_finite_penalty(excess)
    descent = _Descent(finite)
    best = descent.run(order)
    best_excess = excess_of(best, finite)
    for _ in range(SHAKES):
        if best_excess <= target:
            break
        trial = descent.run(_shaken(best, rng))
        trial_excess = excess_of(trial, finite)
        if trial_excess <= best_excess:
            best, best_excess = trial, trial_excess
    return best


def _with_finite_penalty(excess: Matrix) -> Matrix:
    """Price a forbidden pair above all others together, since infinite sums cannot be compared."""
    forbidden = np.isinf(excess)
    return np.where(forbidden, 1.0 + excess[~forbidden].sum(), excess)


def _shaken(order: Order, rng: np.random.Generator) -> Order:
    for take, put in rng.integers(len(order), size=(SHAKEN_ITEMS, 2)):
        order = _moved(order, take, put)
    return order


def _moved(order: Order, take: int, put: int) -> Order:
    """Return the order with the item at place `take` moved to place `put`."""
    moved = order.copy()
    if take < put:
        moved[take:put] = order[take + 1 : put + 1]
    else:
        moved[put + 1 : take + 1] = order[put:take]
    moved[put] = order[take]
    return moved


class _Descent:
    """The best move of one item, over and over; all places of an item are priced in O(n)."""

    def __init__(self, excess: Matrix) -> None:
        self._lead = excess - excess.T
        self._earlier = np.tri(len(excess), k=-1)
        self._least_gain = 1e-12 * float(excess.sum())

    def run(self, order: Order) -> Order:
        """Return the order from which no single move gains."""
        while True:
            change = self._changes(order)
            take, put = divmod(int(change.argmin()), len(order))
            if change[take, put] >= -self._least_gain:
                return order
            order = _moved(order, take, put)

    def _changes(self, order: Order) -> Matrix:
        """Return `change[p, q]`: what moving the item at place p to place q adds to the cost."""
        lead = self._lead[np.ix_(order, order)]
        passed = lead.cumsum(axis=1)
        change: Matrix = passed.diagonal()[:, None] - passed + self._earlier * lead
        return change
