"""Choosing beside trying every part of a small wish list, in the table and in the full model."""

from __future__ import annotations

import datetime as dt
import itertools
import math

import numpy as np
import pytest
from tests.plan.tanks import wanted

from slackwater.plan.choose import choose
from slackwater.plan.choose_model import pick
from slackwater.plan.pool import Pool
from slackwater.plan.question import Question
from slackwater.plan.search import Search, Terms, search_of
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import load_facts

WISHES = 8


def random_list(seed: int, wishes: int) -> Question:
    """Return a list of kinds that the tank is large enough for, drawn from a fixed seed."""
    draw, facts = np.random.default_rng(seed), load_facts()
    fit = [n for n in facts.species_names if facts.species(n).number("min_length_cm") <= 120.0]
    rows = tuple(
        wanted(
            name,
            facts.species(name).number("sale_length_cm"),
            count=int(draw.choice((1, 1, 1, 2))),
            wish=float(draw.integers(1, 11)),
        )
        for name in draw.choice(fit, wishes, replace=False).tolist()
    )
    glass = Glass(Shape.RECTANGULAR, 120.0, 50.0, 50.0)
    return Question(
        title="an invented tank",
        made_on=dt.date(2027, 1, 1),
        start=dt.date(2027, 1, 9),
        glass=glass,
        rockworks=(preset("moderate", glass, 5.0),),
        rock_word="moderate",
        keeping=Keeping(),
        residents=(),
        wishes=rows,
        quarantine=None,
    )


def left_of_attacks(pool: Pool, attacker: int, there: list[int]) -> float:
    """Return what the strongest peacekeepers could leave of a line's attacks, as many as are there."""
    left = pool.restrained[:, attacker]
    keepers = [line for line in range(len(left)) if left[line] < 0.97]
    count = sum(line in there for line in keepers)
    if count == 0:
        return 1.0
    if count >= min(len(keepers), 4):
        return float(left.prod())
    return float(np.sort(left)[:count].prod())


def keeps_the_table(search: Search, wishes: tuple[int, ...], worst: float = 0.1) -> bool:
    """Say whether a company keeps every cap of the table, by plain sums."""
    pool, there = search.pool, list(wishes)
    left = np.array([left_of_attacks(pool, line, there) for line in range(len(pool.outgrown))])
    if any(pool.outgrown[line] for line in there):
        return False
    if any(pool.swallowed[i, j] >= math.log(2.0) for i in there for j in there if i != j):
        return False
    for animal, line in enumerate(pool.line.tolist()):
        if line not in there:
            continue
        spare = -math.log(1.0 - worst) / 90.0 - float(pool.fixed_per_day[animal])
        if spare <= 0.0 or pool.eaten[there, animal].sum() > 90.0 * spare:
            return False
        for dose in (
            (pool.fought[there, animal] * left[there]).sum(),
            pool.bitten[there, animal].sum(),
        ):
            kappa = pool.rules["kappa"]
            if kappa * dose**2 / (dose + pool.tolerated[animal] + 1e-12) > spare:
                return False
    return True


@pytest.mark.parametrize("seed", range(6))
def test_the_solver_finds_what_trying_everything_finds(seed: int) -> None:
    search = search_of(random_list(seed, WISHES), Terms(), load_rules())
    parts = itertools.chain.from_iterable(itertools.combinations(range(WISHES), k) for k in range(WISHES + 1))
    best = max(search.weight(frozenset(p)) for p in parts if keeps_the_table(search, p))
    picked = pick(search.pool, search.bounds)
    assert picked is not None
    assert picked.proven
    assert search.weight(picked.wishes) == best == picked.bound


@pytest.mark.slow
@pytest.mark.parametrize("seed", [3, 11])
def test_what_is_proven_is_the_best_that_the_full_model_bears(seed: int) -> None:
    question = random_list(seed, 6)
    search = search_of(question, Terms(), load_rules())
    fits = [n for n in range(6) if not search.pool.outgrown[n]]
    parts = itertools.chain.from_iterable(itertools.combinations(fits, k) for k in range(len(fits) + 1))
    borne = [frozenset(p) for p in parts if not search.trials.refuses(frozenset(p))]
    best = max(search.weight(part) for part in borne)
    found = choose(question, most=1)
    assert found.proven
    assert found.choices[0].weight == best
    assert all(keeps_the_table(search, tuple(part)) for part in borne), "the table bars what is borne"
