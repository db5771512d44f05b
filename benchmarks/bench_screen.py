"""How fast 400 kinds are looked at beside 20 residents at 60 homes: all at once, and one by one.

The tank is invented. One by one is what the encounters of one kind at one home take by themselves,
the twenty residents' included, times the number of kinds and homes. Run it with
``python benchmarks/bench_screen.py`` from the top of the repository.
"""

from __future__ import annotations

import datetime as dt
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.plan.tanks import resident

from slackwater import kernels, kernels_tank
from slackwater.plan.question import Question
from slackwater.plan.screen import beside_residents, newcomer, screen
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.society.encounters import encounters, reach
from slackwater.society.field import edge_for, ground_of
from slackwater.society.recognition import LADDER_CM
from slackwater.society.use import home_radius_cm, settle, usable
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import load_facts

KINDS, RESIDENTS, SAMPLES, REPEATS = 400, 20, 20, 5
LONG_AGO = dt.date(2026, 1, 1)
LENGTH_CM = 120.0
OFTEN = 1e-3


def invented_tank() -> Question:
    """Return a tank of 120 x 60 x 55 cm with twenty residents drawn from a fixed seed."""
    facts, glass = load_facts(), Glass(Shape.RECTANGULAR, LENGTH_CM, 60.0, 55.0)
    fit = [n for n in facts.species_names if facts.species(n).number("min_length_cm") <= LENGTH_CM]
    names = np.random.default_rng(3).choice(fit, RESIDENTS, replace=False).tolist()
    rows = tuple(resident(n, facts.species(n).number("sale_length_cm"), LONG_AGO) for n in names)
    return Question(
        title="an invented tank",
        made_on=dt.date(2027, 1, 1),
        start=dt.date(2027, 1, 9),
        glass=glass,
        rockworks=(preset("moderate", glass, 5.0),),
        rock_word="moderate",
        keeping=Keeping(),
        residents=rows,
        wishes=(),
        quarantine=None,
    )


def seconds(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """Return the best time of several."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    """Print the times, their ratio, and how well both agree."""
    question, rules, facts = invented_tank(), load_rules(), load_facts()
    here = {w.species.name for w in question.residents}
    kinds = [facts.species(n) for n in facts.species_names if n not in here][:KINDS]
    situation = question.situation({}, layouts=1)
    ground = ground_of(situation.glass, situation.rockworks[0], edge_for(situation, fine=True))
    guests = [newcomer(kind) for kind in kinds]
    beside = beside_residents(situation, ground, guests, rules)
    theirs = [settle(a, ground, situation, rules)[0] for a in situation.animals]

    def one(n: int, home: int) -> np.ndarray:
        near = np.exp(-ground.distance2[:, home] / (2.0 * home_radius_cm(guests[n], rules) ** 2))
        use = usable(guests[n], ground, situation, rules) * near
        both = np.stack([use / use.sum(), *theirs], axis=1).astype(np.float32)
        return encounters(reach(ground.cells, both, LADDER_CM), both)[:, 1:, 0]

    draw = np.random.default_rng(5)
    picks = [(int(draw.integers(KINDS)), int(draw.integers(len(beside.sites)))) for _ in range(SAMPLES)]
    apart = []
    for n, h in picks:
        plain = one(n, int(beside.sites[h]))
        apart.append(np.abs(beside.by_rung[n, h] / plain - 1.0)[plain > OFTEN])
    single = seconds(lambda: [one(n, int(beside.sites[h])) for n, h in picks], 2) / SAMPLES
    field = seconds(lambda: beside_residents(situation, ground, guests, rules))
    whole = seconds(lambda: screen(question, kinds, rules))
    count = KINDS * len(beside.sites)
    print(f"{KINDS} kinds, {len(beside.sites)} homes, {RESIDENTS} residents, {len(ground.cells)} cells")
    print(
        f"encounters all at once {field:.3f} s; one by one {1e3 * single:.1f} ms each, {count * single:.0f} s"
    )
    print(f"one by one takes {count * single / field:.0f} times as long")
    print(f"with rates, bites, gape and homes of all pairs: {whole:.2f} s")
    errors = 100.0 * np.concatenate(apart)
    print(f"difference where they meet: median {np.median(errors):.2f} %, largest {errors.max():.1f} %")


if __name__ == "__main__":
    kernels.warm()
    kernels_tank.warm()
    main()
