"""Who ranks above whom: published indices of a matrix of wins.

`wins[i, j]` counts how often i won against j; leading axes, where allowed, hold draws. Nothing here
knows of tanks, so that every function can be checked against the papers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.errors import InputError

Array = NDArray[np.float64]

DRAWS = 2000
"""Draws of a randomisation test."""

_MOST_CELLS = 4_000_000
_LEAST_FOR_A_TEST = 3


def checked(wins: ArrayLike) -> Array:
    """Return wins as a matrix of floats.

    Raises
    ------
    InputError
        If it is not square, holds a negative number or none, or an animal beat itself.
    """
    matrix = np.asarray(wins, float)
    if matrix.ndim != 2 or matrix.shape[0] != matrix.shape[1]:  # noqa: PLR2004 - a matrix has two axes
        raise _bad(f"of shape {matrix.shape}", "every animal has one row and one column")
    if not (np.isfinite(matrix).all() and (matrix >= 0.0).all()):
        raise _bad("negative or no number", "wins are counted")
    if np.diagonal(matrix).any():
        raise _bad("not 0 on its diagonal", "nobody wins against itself")
    return matrix


def _bad(given: str, limit: str) -> InputError:
    return InputError(field="wins", given=given, limit=limit, remedy="Check who is said to chase whom.")


def shares(wins: Array, *, corrected: bool = True) -> Array:
    """Return the share of its meetings with j that i won, 0 where they never met. [0 to 1]

    Parameters
    ----------
    wins
        Shape (..., n, n).
    corrected
        Draw shares of few meetings towards one half.

    Notes
    -----
    Corrected for chance D = (s + 1/2) / (n + 1) [devries2006]; plain P = s / n [david1987].
    """
    met = wins + np.swapaxes(wins, -1, -2)
    part = (wins + 0.5) / (met + 1.0) if corrected else wins / np.maximum(met, 1.0)
    return np.asarray(np.where(met > 0.0, part, 0.0))


def david_scores(share: Array) -> Array:
    """Return David's score of each animal, shape (..., n). [-]

    Notes
    -----
    DS = w + w2 - l - l2 with w = sum_j P_ij, w2 = sum_j P_ij w_j and l, l2 the same of the losses
    [david1987], [gammell2003]. The scores sum to 0.
    """
    lost = np.swapaxes(share, -1, -2)
    won_sum, lost_sum = share.sum(-1), lost.sum(-1)
    won_twice = np.einsum("...ij,...j->...i", share, won_sum)
    lost_twice = np.einsum("...ij,...j->...i", lost, lost_sum)
    return np.asarray(won_sum + won_twice - lost_sum - lost_twice)


def normalised(scores: Array) -> Array:
    """Return David's scores on the scale 0 to N - 1: (DS + N (N - 1) / 2) / N [devries2006]. [-]"""
    count = scores.shape[-1]
    return np.asarray((scores + 0.5 * count * (count - 1.0)) / count)


def steepness(norm: Array) -> Array:
    """Return how steep an order is: minus the slope of the normalised scores on rank. [0 to 1]

    Notes
    -----
    1 where everyone beats all below it always; 0 where all are equal [devries2006].
    """
    count = norm.shape[-1]
    if count < 2:  # noqa: PLR2004 - one animal has no order
        return np.full(norm.shape[:-1], math.nan)
    rank = np.arange(count) - 0.5 * (count - 1.0)
    ordered = -np.sort(-norm, axis=-1)
    return np.asarray(-(ordered * rank).sum(-1) / (rank**2).sum())


def steepness_p(wins: Array, *, corrected: bool = True, draws: int = DRAWS, seed: int = 0) -> float:
    """Return how often chance alone makes an order at least as steep. [0 to 1]

    Notes
    -----
    In each draw every pair's wins are drawn anew, from none to all of their meetings alike
    [devries2006].
    """
    seen = steepness(normalised(david_scores(shares(wins, corrected=corrected))))
    rng = np.random.default_rng(seed)
    upper = np.triu(wins + wins.T, 1)
    drawn = rng.integers(0, upper.astype(np.int64) + 1, size=(_few(draws, wins), *wins.shape))
    chance = drawn + np.swapaxes(upper - drawn, -1, -2)
    got = steepness(normalised(david_scores(shares(chance, corrected=corrected))))
    return float((1 + (got >= seen - 1e-12).sum()) / (1 + len(got)))


def _few(draws: int, wins: Array) -> int:
    """Return the draws that fit in memory for so many animals; no fewer than a hundred."""
    return max(min(draws, _MOST_CELLS // max(wins.size, 1)), 100)


def dominated(wins: Array) -> Array:
    """Return how many each animal dominates, one half for ties and for pairs that never met, (..., n)."""
    above = np.sign(wins - np.swapaxes(wins, -1, -2))
    count = wins.shape[-1]
    return np.asarray(0.5 * (above.sum(-1) + count - 1.0))


def landau_h(wins: Array) -> float:
    """Return Landau's h: 1 for a straight order, 0 where all dominate as many. [0 to 1]

    Notes
    -----
    12 / (N^3 - N) sum_i (V_i - (N - 1) / 2)^2 [landau1951]; its mean by chance is 3 / (N + 1).
    """
    return float(_h(dominated(wins)))


def _h(above: Array) -> Array:
    count = above.shape[-1]
    if count < 2:  # noqa: PLR2004 - one animal has no order
        return np.full(above.shape[:-1], math.nan)
    return np.asarray(12.0 / (count**3 - count) * ((above - 0.5 * (count - 1.0)) ** 2).sum(-1))


def unknown_pairs(wins: Array) -> int:
    """Count the pairs that never met."""
    return int((np.triu(wins + wins.T == 0.0, 1)).sum())


def tied_pairs(wins: Array) -> int:
    """Count the pairs that met and won as often."""
    return int((np.triu((wins == wins.T) & (wins > 0.0), 1)).sum())


def devries_h(wins: Array) -> float:
    """Return de Vries' h': Landau's h as it is expected once pairs that never met have met. [0 to 1]

    Notes
    -----
    h' = h + 6 u / (N^3 - N), u pairs unknown: the mean of h over all ways in which they may turn
    out [devries1995].
    """
    count = len(wins)
    if count < 2:  # noqa: PLR2004 - one animal has no order
        return math.nan
    return landau_h(wins) + 6.0 * unknown_pairs(wins) / (count**3 - count)


@dataclass(frozen=True)
class LinearityTest:
    """De Vries' test of a straight order: mean h' over the draws, and how often chance does as well."""

    h: float
    p: float


def linearity_test(wins: Array, *, draws: int = DRAWS, seed: int = 0) -> LinearityTest:
    """Return whether an order is straighter than chance would make it.

    Notes
    -----
    Two steps a draw [devries1995]: pairs that never met are settled at random in the matrix seen;
    then all pairs are settled at random. Tied pairs stay tied in both. p is how often the second is
    at least as straight as the first. Fewer than six animals can hardly be told from chance.
    """
    if len(wins) < _LEAST_FOR_A_TEST:
        return LinearityTest(devries_h(wins), math.nan)
    rng = np.random.default_rng(seed)
    tied = (wins == wins.T) & (wins > 0.0)
    chance = _tournaments(rng, _few(draws, wins), len(wins))
    seen = np.where(wins + wins.T > 0.0, wins, chance)
    first = _h(dominated(seen))
    again = _tournaments(rng, len(chance), len(wins))
    second = _h(dominated(np.where(tied, 1.0, again)))
    p = (1 + (second >= first - 1e-12).sum()) / (1 + len(chance))
    return LinearityTest(float(first.mean()), float(p))


def _tournaments(rng: np.random.Generator, draws: int, count: int) -> Array:
    """Return matrices in which every pair is settled at random, shape (draws, n, n)."""
    upper = np.triu(rng.integers(0, 2, size=(draws, count, count)), 1)
    lower = np.triu(1 - upper, 1)
    return np.asarray(upper + np.swapaxes(lower, -1, -2), float)


def kendall_k(wins: Array) -> float:
    """Return Kendall's K: 1 less the circles of three in the order, over the most possible. [0 to 1]

    Notes
    -----
    d = N (N - 1) (2N - 1) / 12 - sum V^2 / 2; d_max = (N^3 - N) / 24 for odd N, (N^3 - 4N) / 24 for
    even [appleby1983]. For odd N, K = h.
    """
    count = len(wins)
    if count < 3:  # noqa: PLR2004 - two make no circle
        return math.nan
    circles = count * (count - 1.0) * (2.0 * count - 1.0) / 12.0 - 0.5 * float((dominated(wins) ** 2).sum())
    most = (count**3 - (count if count % 2 else 4.0 * count)) / 24.0
    return 1.0 - circles / most


def directional_consistency(wins: Array) -> float:
    """Return (H - L) / (H + L), H the wins of the more frequent direction of each pair. [0 to 1]"""
    high = np.triu(np.maximum(wins, wins.T), 1).sum()
    low = np.triu(np.minimum(wins, wins.T), 1).sum()
    return float((high - low) / (high + low)) if high + low else math.nan


@dataclass(frozen=True)
class Triangles:
    """Threes of which every pair is settled: how many, how many run in a circle, and the index."""

    settled: int
    circles: int
    transitivity: float


def triangles(wins: Array) -> Triangles:
    """Return the triangle transitivity: 1 where no settled three runs in a circle, 0 by chance.

    Notes
    -----
    t_tri = 4 (P_t - 0.75), P_t the share of settled threes without a circle [shizuka2012].
    """
    above = (wins > wins.T).astype(float)
    known = above + above.T
    settled = round(float(np.trace(known @ known @ known)) / 6.0)
    circles = round(float(np.trace(above @ above @ above)) / 3.0)
    share = 1.0 - circles / settled if settled else math.nan
    return Triangles(settled, circles, 4.0 * (share - 0.75))


@dataclass(frozen=True)
class Indices:
    """All indices of one matrix.

    `steepness` and `scores` are corrected for chance; `linear_p` and `steep_p` say how often chance
    alone does as well. What cannot be said of so few animals is not a number. [-]
    """

    scores: Array
    norm: Array
    steepness: float
    steep_p: float
    h: float
    h_prime: float
    linear_p: float
    kendall: float
    consistency: float
    triangles: Triangles
    unknown: int
    tied: int


def indices(wins: ArrayLike, *, draws: int = DRAWS, seed: int = 0) -> Indices:
    """Return every index of a matrix of wins.

    Parameters
    ----------
    wins
        `wins[i, j]`, how often i won against j, shape (n, n).
    draws, seed
        Of the two randomisation tests.

    Raises
    ------
    InputError
        If it is no matrix of wins.
    """
    matrix = checked(wins)
    scores = david_scores(shares(matrix))
    norm = normalised(scores)
    test = linearity_test(matrix, draws=draws, seed=seed)
    return Indices(
        scores=scores,
        norm=norm,
        steepness=float(steepness(norm)),
        steep_p=steepness_p(matrix, draws=draws, seed=seed),
        h=landau_h(matrix),
        h_prime=devries_h(matrix),
        linear_p=test.p,
        kendall=kendall_k(matrix),
        consistency=directional_consistency(matrix),
        triangles=triangles(matrix),
        unknown=unknown_pairs(matrix),
        tied=tied_pairs(matrix),
    )
