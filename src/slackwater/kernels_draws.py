"""The compiled loop that carries individuals and coefficients through the attacks of a company.

One draw is one thread's work from first to last, in a fixed order, so results do not depend on the
number of threads. The arithmetic is that of `society.attacks` and `society.harm`, which check it.

Axes: d draws, m moments, l layouts of the rock, i attacker, j victim. A row of `drawn` is one draw:
kappa, what a full head start and a nest do, the attacks left at a wide size gap, and the contest
slopes within a species, within a genus and between others. `limits` holds what a head start is
worth in ln of length, the width of the size gap, the most attacks an hour, the most as a multiple
of temper, and of third parties the ln ratio, its width, and the most that one restrains.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import Doubles, loop, prange

Counts = NDArray[np.int64]

_OTHERS, _THIRD = 2, 3
_LEAST = 1e-9


@loop()
def _measure(size: Doubles, drawn: Doubles, limits: Doubles, might: Doubles) -> None:
    """Write exp(slope ln L) of everyone, by kind of contest, and exp(ln L / width) for third parties.

    The chance of winning is then a quotient, without one exponential a pair.
    """
    for i in range(size.shape[0]):
        for kind in range(_THIRD):
            might[kind, i] = np.exp(drawn[4 + kind] * size[i])
        might[_THIRD, i] = np.exp(size[i] / limits[5])


@loop()
def _dealt(
    rate: Doubles,
    size: Doubles,
    might: Doubles,
    temper: Doubles,
    scale: Doubles,
    nest: Doubles,
    still: Doubles,
    start: Doubles,
    near: Doubles,
    slope_of: Counts,
    drawn: Doubles,
    limits: Doubles,
) -> None:
    """Write the attacks of everyone on everyone, before limited time and third parties. [1/h]"""
    n = size.shape[0]
    for i in range(n):
        for j in range(n):
            if still[i, j] <= 0.0:
                rate[i, j] = 0.0
                continue
            kind, first = slope_of[i, j], start[i, j] - start[j, i]
            worth = np.exp(-drawn[4 + kind] * limits[0] * first) if first != 0.0 else 1.0
            won = might[kind, i] / (might[kind, i] + might[kind, j] * worth)
            if kind < _OTHERS:
                gap = (size[i] - size[j]) / limits[1]
                won *= drawn[3] + (1.0 - drawn[3]) * np.exp(-gap * gap)
            lead = 1.0 + (drawn[1] - 1.0) * start[i, j]
            guard = 1.0 + (drawn[2] - 1.0) * nest[i] * near[i, j]
            rate[i, j] = still[i, j] * scale[i, j] * lead * guard * won * temper[i]


@loop()
def _restrain(rate: Doubles, might: Doubles, most: Doubles, sees: Doubles, limits: Doubles) -> None:
    """Bring everyone's attacks down to its time, and by each superior that sees it."""
    n = rate.shape[0]
    step = np.exp(limits[4] / limits[5])
    for i in range(n):
        total = 0.0
        for j in range(n):
            total += rate[i, j]
        if total <= 0.0:
            continue
        kept = 1.0 / (1.0 + total / max(min(limits[3] * most[i], limits[2]), _LEAST))
        for k in range(n):
            if k != i:
                over = might[_THIRD, k] / (might[_THIRD, k] + might[_THIRD, i] * step)
                kept *= 1.0 - limits[6] * over * sees[k, i]
        for j in range(n):
            rate[i, j] *= kept


@loop()
def _hazard(dose: float, tolerated: float, kappa: float) -> float:
    return kappa * dose * dose / (dose + tolerated)


@loop()
def _add(
    sums: Doubles,
    rate: Doubles,
    weapon: Doubles,
    bites: Doubles,
    group: Doubles,
    bitten: Doubles,
    exposed: Doubles,
    opens: Doubles,
    open_by: float,
    tolerated: Doubles,
    bears: Doubles,
    kappa: float,
    weight: Doubles,
) -> None:
    """Add to everyone's sums what it endures at one moment."""
    n = rate.shape[0]
    for j in range(n):
        if weight[j] == 0.0:
            continue
        got, got_by, hurt, hurt_by, bit, bit_by = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
        for i in range(n):
            got += rate[i, j]
            got_by += rate[i, j] * group[i]
            hurt += rate[i, j] * weapon[i]
            hurt_by += rate[i, j] * weapon[i] * group[i]
            bit += bitten[i, j] * bites[i]
            bit_by += bitten[i, j] * bites[i] * group[i]
        share, bear = exposed[j] * np.exp(opens[j] * open_by), tolerated[j] * bears[j]
        sums[0, j] += weight[j] * (_hazard(hurt * share, bear, kappa) + _hazard(bit, bear, kappa))
        sums[1, j] += weight[j] * got
        sums[2, j] += weight[j] * (_hazard(hurt_by * share, bear, kappa) + _hazard(bit_by, bear, kappa))
        sums[3, j] += weight[j] * got_by


@loop(parallel=True)
def endured(
    size: Doubles,
    strength: Doubles,
    temper: Doubles,
    own: Doubles,
    scale: Doubles,
    nest: Doubles,
    weapon: Doubles,
    bears: Doubles,
    bites: Doubles,
    open_by: Doubles,
    drawn: Doubles,
    still: Doubles,
    start: Doubles,
    near: Doubles,
    sees: Doubles,
    exposed: Doubles,
    opens: Doubles,
    bitten: Doubles,
    tolerated: Doubles,
    weight: Doubles,
    slope_of: Counts,
    group: Doubles,
    limits: Doubles,
) -> Doubles:
    """Return what every animal endures in every draw, summed over its moments, shape (D, 4, n).

    Rows: hazard from attacks and bites [-], attacks received [1/h d], and both from the attackers
    of `group` alone.

    Parameters
    ----------
    size
        ln of length, (M, n).
    strength, temper, own
        By draw, (D, n): ln of hidden strength and uncertain size; factor on temper; a_i [1/h].
    scale
        Factor on recognition and company, (D, n, n).
    nest, weapon, bears, bites
        By draw, (D, n): guarding, harm per attack, factors on what is tolerated and on bites dealt.
    open_by
        ln of the factor on the pressure that spoils a place, (D,).
    drawn
        Coefficients by draw, (D, 7), as the module says.
    still
        Attacks without contest, head start and nest, (M, L, n, n). [1/h]
    start
        Head starts, (M, n, n).
    near, sees
        Nearness to the attacker's home, and how far k sees i, (M, L, n, n).
    exposed, opens
        Share of usable water in reach, and its change with ln of that pressure, (M, L, n).
    bitten
        Bites by attacker and victim, (M, L, n, n). [1/h]
    tolerated
        X0, (M, n). [1/h]
    weight
        What each moment counts in each animal's window, (M, n). [d]
    slope_of
        Kind of contest: 0 own species, 1 genus, 2 others, (n, n).
    group
        1 for the attackers asked about, (n,).
    limits
        As the module says, (7,).
    """
    draws, n = strength.shape
    moments, layouts = still.shape[:2]
    out = np.zeros((draws, 4, n))
    for d in prange(draws):
        layout = np.int64(d) % layouts
        rate, might = np.empty((n, n)), np.empty((4, n))
        here = np.empty(n)
        for m in range(moments):
            for i in range(n):
                here[i] = size[m, i] + strength[d, i]
            _measure(here, drawn[d], limits, might)
            _dealt(
                rate, here, might, temper[d], scale[d], nest[d], still[m, layout], start[m],
                near[m, layout], slope_of, drawn[d], limits,
            )  # fmt: skip
            _restrain(rate, might, own[d], sees[m, layout], limits)
            _add(
                out[d], rate, weapon[d], bites[d], group, bitten[m, layout], exposed[m, layout],
                opens[m, layout], open_by[d], tolerated[m], bears[d], drawn[d, 0], weight[m],
            )  # fmt: skip
    return out


def warm() -> None:
    """Run the kernel once on nobody in particular, so that compiled code stands in the cache."""
    one: Any = np.ones((1, 1))
    pair, place = np.zeros((1, 1, 1, 1)), np.ones((1, 1, 1))
    endured(
        one, one, one, one, np.ones((1, 1, 1)), one, one, one, one, np.zeros(1), np.ones((1, 7)), pair,
        np.zeros((1, 1, 1)), pair, pair, place, place, pair, one, one, np.zeros((1, 1), np.int64),
        np.ones(1), np.ones(7),
    )  # fmt: skip
