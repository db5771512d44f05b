"""How fast wish lists are chosen from, how often the best is proven, and how sure the table is.

Lists are drawn from a fixed seed out of all kinds described in full, so that they are harsher than
what customers ask for. Run it with ``python benchmarks/bench_choose.py`` from the top of the
repository.
"""

from __future__ import annotations

import datetime as dt
import sys
import time
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.plan.tanks import wanted
from tests.rivals.test_choice_rivals import keeps_the_table

from slackwater import kernels, kernels_tank
from slackwater.plan import search as searching
from slackwater.plan.choose import Choices, choose
from slackwater.plan.choose_model import pick
from slackwater.plan.question import Question
from slackwater.plan.search import Terms, search_of
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import load_facts

SIZES = ((8, 120.0, 10), (12, 120.0, 10), (20, 150.0, 6), (40, 180.0, 4), (80, 240.0, 1))
COMPANIES, LONG_LIST = 120, 40


def invented_list(wishes: int, length_cm: float, seed: int) -> Question:
    """Return a wish list with weights of 1 to 10 and groups as large as their kind needs."""
    draw, facts = np.random.default_rng(seed), load_facts()
    glass = Glass(Shape.RECTANGULAR, length_cm, 60.0, 60.0)
    known = [n for n in facts.species_names if facts.species(n).text("described") != "named"]
    rows = []
    for name in draw.choice(known, wishes, replace=False).tolist():
        kind = facts.species(name)
        count = max(1, int(kind.number("company_min")))
        rows.append(
            wanted(name, kind.number("sale_length_cm"), count=count, wish=float(draw.integers(1, 11)))
        )
    return Question(
        title="an invented list",
        made_on=dt.date(2027, 1, 1),
        start=dt.date(2027, 1, 9),
        glass=glass,
        rockworks=(preset("moderate", glass, 5.0),),
        rock_word="moderate",
        keeping=Keeping(),
        residents=(),
        wishes=tuple(rows),
        quarantine=None,
    )


class Clock:
    """Counts the time that the solver takes."""

    def __init__(self) -> None:
        self.seconds, self.most, self.calls = 0.0, 0.0, 0

    def pick(self, *given: Any, **told: Any) -> Any:  # noqa: ANN401 - stands in for `pick`
        """Solve, and count."""
        start = time.perf_counter()
        found = pick(*given, **told)
        spent = time.perf_counter() - start
        self.seconds, self.most, self.calls = self.seconds + spent, max(self.most, spent), self.calls + 1
        return found


def timed(question: Question, most: int) -> tuple[Choices, float, Clock]:
    """Return the choices, the time they took, and that of the solver."""
    clock = Clock()
    start = time.perf_counter()
    with patch.object(searching, "pick", clock.pick):
        found = choose(question, most=most)
    return found, time.perf_counter() - start, clock


def print_lists() -> None:
    """Print times, proof rates and gaps by length of the list."""
    for wishes, length_cm, seeds in SIZES:
        most = 10 if wishes <= LONG_LIST else 1
        runs = [timed(invented_list(wishes, length_cm, seed), most) for seed in range(1, seeds + 1)]
        proven = sum(found.proven for found, _, _ in runs)
        total, solver = (sorted(r[1] for r in runs), sorted(r[2].seconds for r in runs))
        hardest = max(r[2].most for r in runs)
        gap = max(found.gap for found, _, _ in runs)
        offered = sorted(len(found.choices) for found, _, _ in runs)
        print(
            f"{wishes:3d} wishes, {seeds:2d} lists: proven {proven}, largest gap {100.0 * gap:.0f} %; "
            f"up to {most} choices (found {offered[0]} to {offered[-1]}) in {total[len(total) // 2]:.2f} s "
            f"(most {total[-1]:.1f}), of it the solver {solver[len(solver) // 2]:.2f} s "
            f"(most {solver[-1]:.2f}); "
            f"hardest single solution {hardest:.3f} s",
            flush=True,
        )


def print_table() -> None:
    """Print how often the full model bears a company that the table bars."""
    rules, barred, borne = load_rules(), 0, 0
    for seed in range(COMPANIES):
        question = invented_list(3 + seed % 8, 150.0, 1000 + seed)
        for worst in (0.1, 0.35):
            search = search_of(question, Terms(worst=worst), rules)
            fits = tuple(n for n in range(len(question.wishes)) if not search.pool.outgrown[n])
            if fits and not search.trials.refuses(frozenset(fits)):
                borne += 1
                barred += not keeps_the_table(search, fits, worst)
    print(f"of {borne} companies that the full model bears, the table bars {barred}")


if __name__ == "__main__":
    kernels.warm()
    kernels_tank.warm()
    print_table()
    print_lists()
