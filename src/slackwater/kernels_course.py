"""The compiled loop that follows attacks to harm in one rock layout: moments, draws and windows.

It does for the animals what `society.judge` does, with everything that the rock does not touch worked
out beforehand. i attacks j; p, q parties; n animals; g stages; t moments; d draws; w windows.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import Doubles, loop

Counts = NDArray[np.int64]

_TINY = 1e-12


class Course(NamedTuple):
    """What happens to the animals over time, without the rock.

    `stage_rate` (G, P, P) [1/h], `party` (N), `stage` (T), `here` (T, N), `rate` (T, D, N, N) [1/h],
    `over` (T, N, N), `most` (D, N) [1/h], `breeding` (N), `weapon` (N), `bites` (N, N) [1/h],
    `tolerated` (T, N) [1/h], `law`: kappa, bite meet, third, breeding.
    """

    stage_rate: Doubles
    party: Counts
    stage: Counts
    here: Doubles
    rate: Doubles
    over: Doubles
    most: Doubles
    breeding: Doubles
    weapon: Doubles
    bites: Doubles
    tolerated: Doubles
    law: Doubles


class Windows(NamedTuple):
    """From hazards to harm: `weight` (N, W, T) [d], `slow`, `cramped` (N, W), `kind` (N).

    Windows that an animal does not have weigh nothing and carry -1 in `slow`.
    """

    weight: Doubles
    slow: Doubles
    cramped: Doubles
    kind: Counts


@loop()
def _attacks(t: int, d: int, course: Any, found: Any, sees: Doubles, rate: Doubles) -> None:
    """Fill the attacks of one moment and draw after limited time and third parties [1/h]."""
    meet, _, close = found
    size = course.party.shape[0]
    for i in range(size):
        p, total = course.party[i], 0.0
        for j in range(size):
            q = course.party[j]
            nest = 1.0 + course.law[3] * course.breeding[i] * close[p, q]
            rate[i, j] = course.rate[t, d, i, j] * nest * meet[p, q]
            total += rate[i, j]
        calm = 1.0 / (1.0 + total / max(course.most[d, i], 1e-9))
        for k in range(size):
            if k != i and course.here[t, k] > 0.0:
                seen = sees[course.party[k], p] * course.here[t, k]
                calm *= 1.0 - course.law[2] * course.over[t, d, k, i] * seen
        for j in range(size):
            rate[i, j] *= calm


@loop()
def _hazard(t: int, course: Any, found: Any, rate: Doubles, out: Doubles) -> None:
    """Fill hazards of attacks and bites of one moment and draw [1/d]."""
    meet, exposed = found
    kappa, half = course.law[0], course.law[1]
    for j in range(out.shape[0]):
        q, dose, bitten = course.party[j], 0.0, 0.0
        for i in range(out.shape[0]):
            met = meet[course.party[i], q]
            dose += rate[i, j] * course.weapon[i]
            if course.bites[i, j] > 0.0 and course.here[t, i] > 0.0 and course.here[t, j] > 0.0:
                bitten += course.bites[i, j] * met / (met + half)
        dose *= exposed[q]
        borne = course.tolerated[t, j]
        out[j] = kappa * (dose * dose / (dose + borne) + bitten * bitten / (bitten + borne))


@loop()
def followed(course: Any, found: Any, sees: Doubles) -> Doubles:
    """Return the hazards of attacks and bites by draw, animal and moment, shape (N, D, T) [1/d]."""
    meet, exposed, close = found
    draws, size, moments = course.rate.shape[1], course.party.shape[0], course.stage.shape[0]
    out, rate, hazard = np.zeros((size, draws, moments)), np.zeros((size, size)), np.zeros(size)
    for t in range(moments):
        g = course.stage[t]
        for d in range(draws):
            _attacks(t, d, course, (meet[g], exposed[g], close[g]), sees, rate)
            _hazard(t, course, (meet[g], exposed[g]), rate, hazard)
            out[:, d, t] = hazard
    return out


@loop()
def _chances(hazards: Doubles, weight: Doubles, slow: float, left: Doubles) -> float:
    """Fill the chance of no harm over one window by draw and return the mean chance of harm."""
    mean = 0.0
    for d in range(hazards.shape[0]):
        grown = slow
        for t in range(hazards.shape[1]):
            grown += weight[t] * hazards[d, t]
        left[d] = np.exp(-grown)
        mean += (1.0 - left[d]) / hazards.shape[0]
    return mean


@loop()
def _fared(hazards: Doubles, windows: Any, n: int, drawn: Doubles) -> None:
    """Fill one animal's chance of harm by draw over its worst window, little room apart."""
    best, left = -1.0, np.empty(drawn.shape[0])
    for w in range(windows.slow.shape[1]):
        if windows.slow[n, w] >= 0.0:
            mean = _chances(hazards, windows.weight[n, w], windows.slow[n, w], left)
            if mean > best + _TINY:
                best, spared = mean, np.exp(-windows.cramped[n, w])
                for d in range(drawn.shape[0]):
                    drawn[d] = 1.0 - left[d] / spared


@loop()
def judged(hazards: Doubles, windows: Any, out: Doubles) -> None:
    """Fill each animal's chance of harm, little room apart, then that of the worst kind.

    `hazards` is (N, D, T) [1/d].
    """
    size, draws = hazards.shape[0], hazards.shape[1]
    drawn = np.empty((size, draws))
    for n in range(size):
        _fared(hazards[n], windows, n, drawn[n])
        out[n] = drawn[n].sum() / draws
    worst = 0.0
    for kind in range(windows.kind.max() + 1):
        mean = 0.0
        for d in range(draws):
            most = 0.0
            for n in range(size):
                most = max(most, drawn[n, d] if windows.kind[n] == kind else 0.0)
            mean += most / draws
        worst = max(worst, mean)
    out[size] = worst
