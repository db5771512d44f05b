"""The race for the food as rows for the solver, which bar nobody that the race itself would feed.

An animal gets its fill as long as there is food for a certain time, and there is food for that time
where what all would eat by then is no more than what is put in. Both sums run over whoever is
there, so that each is one row; how long it needs grows with those that keep it off.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.pool import Array, Pool
from slackwater.society.food import RaceTerms, race_terms, starving_per_day
from slackwater.society.harm import WINDOW_DAYS

Whole = NDArray[np.int64]

_SCALE, _STEP = 10_000, 200


@dataclass(frozen=True)
class Shortage:
    """An animal of `line` goes short where others push it enough and eat too much.

    Where the sum of `push` over the lines that are there is `least` or more, that of `weights` may
    not exceed nothing. Whole numbers, rounded in favour of the company.
    """

    line: int
    push: tuple[int, ...]
    least: int
    weights: tuple[int, ...]

    def excess(self, there: Sequence[int]) -> int:
        """Return by how much more some lines eat than is put in for them; above 0 the row bars them."""
        return sum(self.weights[line] for line in there)


@dataclass(frozen=True)
class FoodTable:
    """What every animal of a pool needs of the food, and what each line takes from it.

    `push` (n, L) is how hard each line keeps an animal off the food in units of its own boldness,
    `full` (n,) how long there must be food for it with nobody near, infinite where no time is
    enough. [-]
    """

    pool: Pool
    terms: RaceTerms
    members: Array
    push: Array
    full: Array

    def always(self) -> list[Shortage]:
        """Return the rows that hold whoever pushes."""
        return list(dict.fromkeys(self._row(n, 0) for n in np.flatnonzero(self.full > 0.0).tolist()))

    def against(self, wishes: frozenset[int]) -> list[Shortage]:
        """Return rows that bar a company in which some go short.

        One as hard pushed as there, which is the sharpest, and one pushed as little as still bars it,
        which bars the most others.
        """
        there = [n for n in range(len(self.pool.outgrown)) if self._is_there(n, wishes)]
        found = []
        for animal in np.flatnonzero(np.isin(self.pool.line, there) & (self.full > 0.0)).tolist():
            sharp = self._row(animal, int(self._pushes(animal)[there].sum()))
            if sharp.excess(there) > 0:
                found += [sharp, self._widest(animal, sharp, there)]
        return list(dict.fromkeys(found))

    def _widest(self, animal: int, sharp: Shortage, there: Sequence[int]) -> Shortage:
        """Return the row of the least push that still bars a company, by halving."""
        spared, widest = 0, sharp
        while widest.least - spared > _STEP:
            row = self._row(animal, (widest.least + spared) // 2)
            if row.excess(there) > 0:
                widest = row
            else:
                spared = row.least
        return widest

    def _is_there(self, line: int, wishes: frozenset[int]) -> bool:
        return line < self.pool.residents or line - self.pool.residents in wishes

    def _pushes(self, animal: int) -> Whole:
        return np.asarray(np.floor(_SCALE * self.push[animal]), dtype=np.int64)

    def _row(self, animal: int, least: int) -> Shortage:
        weights = self._weights(animal, self.full[animal] * (1.0 + least / _SCALE))
        line, push = int(self.pool.line[animal]), self._pushes(animal)
        return Shortage(line, tuple(push.tolist()), least, tuple(weights.tolist()))

    def _weights(self, animal: int, lasts: float) -> Whole:
        """Return by how much each line takes more than is put in for it, until a time, (L,)."""
        terms = self.terms
        if not math.isfinite(lasts):
            return np.asarray(np.arange(len(self.members)) == self.pool.line[animal], dtype=np.int64)
        eaten = -terms.eats[animal] * np.expm1(-terms.haste * lasts)
        given = terms.ration * terms.share[animal] * (1.0 - lasts / terms.longest)
        taken = self.members @ (eaten - given)
        return np.asarray(np.floor(_SCALE * taken / np.abs(taken).max()), dtype=np.int64)


def food_table(pool: Pool, most: Array) -> FoodTable:
    """Return what every animal of a pool needs of the food.

    Parameters
    ----------
    pool
        The wish list.
    most
        Greatest hazard over 90 days by line, shape (L,). [-]

    Notes
    -----
    With the terms of :func:`slackwater.society.food.race`, i misses no more than it bears where
    t_i >= -(g_i / v_i) ln(1 - s_i / g_i) (1 + k_i / b_i), s_i the least share of what it must be fed,
    k_i how hard it is kept off; and t_i >= t where sum_j [e_ij (1 - exp(-h_j t)) - R o_ij d_j (1 - t / T)]
    is not above nothing, since that sum grows with t.
    """
    terms = race_terms(pool.animals, pool.question.keeping, pool.rules)
    members = np.asarray(np.arange(len(pool.outgrown))[:, None] == pool.line[None, :], dtype=float)
    push = (terms.push @ members.T) / (terms.stations * terms.bold)[:, None]
    return FoodTable(pool, terms, members, push, _full(pool, terms, most))


def _full(pool: Pool, terms: RaceTerms, most: Array) -> Array:
    """Return how long there must be food for each animal with nobody near, shape (n,). [-]"""
    missed = np.array([_bearable_share(pool, n, float(most[line])) for n, line in enumerate(pool.line)])
    needs = 1.0 - missed / np.maximum(1.0 - terms.found, 1e-12)
    filled = np.clip(needs / terms.gut, 0.0, 1.0)
    with np.errstate(divide="ignore"):
        return np.asarray(-terms.gut / terms.pace * np.log1p(-filled))


def _bearable_share(pool: Pool, animal: int, most: float) -> float:
    """Return the greatest share of its food that an animal may miss within a hazard. [0 to 1]"""
    spare = most / WINDOW_DAYS - float(pool.fixed_per_day[animal])
    rules, one = pool.rules, pool.animals[animal]
    from_full = starving_per_day(1.0 + rules["starve_from"], one, rules)
    return min(rules["starve_from"] + math.sqrt(max(spare, 0.0) / from_full), 1.0)
