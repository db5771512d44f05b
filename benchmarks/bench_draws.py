"""How fast 500 draws go through a company of 30: beside 500 judgements, one for each draw, in one run.

The company is invented: fifteen lines of two, drawn from the table with a fixed seed, in a tank of
180 cm with moderate rock, released in five goes. Run it with ``python benchmarks/bench_draws.py`` from
the top of the repository.
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from slackwater import kernels, kernels_draws
from slackwater.society.company import Party, Situation
from slackwater.society.judge import Settings, judge
from slackwater.society.spread import spread
from slackwater.tank.rock import VARIANTS, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import load_facts

LINES, OF_EACH, GOES = 15, 2, 5
DRAWS = 500
SEPARATE = 10
SMALL_CM = 20.0
AIM_S = 0.3


def invented_company() -> Situation:
    """Return 30 animals of 15 species."""
    facts = load_facts()
    small = [n for n in sorted(facts.species_names) if facts.species(n).number("adult_length_cm") < SMALL_CM]
    chosen = np.random.default_rng(7).choice(small, LINES, replace=False)
    kinds = [facts.species(str(name)) for name in chosen]
    glass = Glass(Shape.RECTANGULAR, 180.0, 60.0, 60.0)
    parties = [
        Party(kind, kind.number("sale_length_cm"), 21.0 * (n % GOES), OF_EACH) for n, kind in enumerate(kinds)
    ]
    layouts = tuple(preset("moderate", glass, 5.0, v) for v in range(VARIANTS))
    return Situation(glass, layouts, tuple(parties))


def seconds(work: Callable[[], object], repeats: int) -> list[float]:
    """Return how long some work takes, time after time. [s]"""
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return times


def main() -> None:
    """Print the times and their ratio."""
    kernels.warm()
    kernels_draws.warm()
    situation = invented_company()
    verdict = judge(situation, Settings(fine=False, draws=1))
    spread(verdict, 8)
    together = seconds(lambda: spread(verdict, DRAWS), 9)
    apart = seconds(lambda: judge(situation, Settings(fine=False, draws=1)), SEPARATE)
    whole = DRAWS * statistics.median(apart)
    best, middle = min(together), statistics.median(together)
    moments = len(verdict.moments)
    print(f"{len(situation.animals)} animals, {moments} moments, {len(situation.rockworks)} layouts")
    print(f"{DRAWS} draws: best {best:.3f} s, median {middle:.3f} s (aim {AIM_S} s)")
    print(f"{SEPARATE} judgements of one draw: median {statistics.median(apart):.3f} s each")
    print(f"{DRAWS} of them would take {whole:.0f} s: {whole / middle:.0f} times as long")


if __name__ == "__main__":
    main()
