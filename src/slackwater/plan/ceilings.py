"""What many do to one: rows for the solver where no handful clashes, to first order.

They steer the search to companies that the full model may bear; they prove nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import numpy as np

from slackwater.plan.choose_model import Ceiling
from slackwater.plan.pool import Array, Pool
from slackwater.society.food import race, starving_per_day
from slackwater.society.harm import WINDOW_DAYS

_MOST_VICTIMS = 4


def going_short(pool: Pool, wishes: frozenset[int]) -> Array:
    """Return the hazard over 90 days of going short and of what no company changes, by line. [-]

    That of its worst-off animal, 0 for lines that are not there; shape (L,).
    """
    company = tuple(
        a for a in pool.animals if a.party_index < pool.residents or a.party_index - pool.residents in wishes
    )
    missed = race(company, pool.question.keeping, pool.rules).missed
    hazard = np.zeros(len(pool.outgrown))
    for animal, share in zip(company, missed.tolist(), strict=True):
        starving = starving_per_day(share, animal, pool.rules)
        grown = WINDOW_DAYS * (starving + float(pool.fixed_per_day[animal.index]))
        hazard[animal.party_index] = max(hazard[animal.party_index], grown)
    return hazard


def crowded(
    pool: Pool, most: Array, wishes: frozenset[int], borne: Mapping[int, float], push: float = 1.0
) -> list[Ceiling]:
    """Return ceilings for the lines that bear too much in a company that the full model refuses.

    Parameters
    ----------
    pool
        The wish list.
    most
        Greatest hazard over 90 days by line, shape (L,). [-]
    wishes
        The company.
    push
        How many times the excess to take away: more than once brings a search on. [-]
    borne
        Chance of harm by line, in the full model. [0 to 1]
    """
    total = {line: -math.log(max(1.0 - p, 1e-9)) for line, p in borne.items()}
    over = {n: (h, push * (h - float(most[n]))) for n, h in total.items() if h > most[n]}
    return _ceilings(pool, wishes, over)


def _ceilings(pool: Pool, wishes: frozenset[int], over: Mapping[int, tuple[float, float]]) -> list[Ceiling]:
    """Return ceilings for the worst-off, from what each bears and by how much that is too much."""
    if not over:
        return []
    now = going_short(pool, wishes)
    other = np.stack([going_short(pool, wishes ^ {n}) for n in range(len(pool.wishes))], axis=1)
    worst = sorted(over, key=lambda line: -over[line][1])[:_MOST_VICTIMS]
    return [_ceiling(pool, wishes, line, over[line], now[line], other[line]) for line in worst]


def _ceiling(
    pool: Pool, wishes: frozenset[int], line: int, over: tuple[float, float], now: float, other: Array
) -> Ceiling:
    inside = np.array([n in wishes for n in range(len(pool.wishes))])
    share = np.where(inside, now - other, other - now) + max(over[0] - now, 0.0) * _of_attacks(
        pool, line, inside
    )
    if line >= pool.residents:
        share[line - pool.residents] = 0.0
    share = np.maximum(share, 0.0)
    return Ceiling(line, tuple(share.tolist()), float(share[inside].sum()) - over[1])


def _of_attacks(pool: Pool, line: int, inside: Iterable[bool]) -> Array:
    """Return each wish's part in the fights and bites that a line bears, those inside sum to 1. [-]"""
    dealt = (pool.fought + pool.bitten)[:, pool.line == line].max(axis=1)[pool.residents :]
    return np.asarray(dealt / max(float(dealt[np.asarray(inside)].sum()), 1e-9))
