"""How fast and how exact the encounter field is: ours, and plain numpy, in one run.

The company is invented: 30 animals with homes and habits drawn from a fixed seed. Run it with
``python benchmarks/bench_field.py`` from the top of the repository.
"""

import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.rivals import sight_twin

from slackwater import kernels, kernels_tank
from slackwater.society.encounters import encounters, reach
from slackwater.tank.cells import Cells, cut
from slackwater.tank.rock import VARIANTS, Rockwork, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sight import clear_pairs

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
RADII_CM = (7.5, 15.0, 30.0)
ANIMALS = 30
REFERENCE_CM = 2.5
HARDLY, OFTEN = 1e-6, 1e-3

Use = NDArray[np.float32]
Matrix = NDArray[np.float64]


def invented_use(cells: Cells) -> Use:
    """Return the use of 30 animals as smooth functions of place, so that cells may differ."""
    rng = np.random.default_rng(7)
    homes = rng.uniform([5.0, 8.0, 8.0], [115.0, 57.0, 50.0], (ANIMALS, 3))
    decay_cm = np.where(np.arange(ANIMALS) < 0.6 * ANIMALS, rng.uniform(6.0, 22.0, ANIMALS), 60.0)
    level_cm, spread_cm = rng.uniform(10.0, 45.0, ANIMALS), rng.uniform(8.0, 20.0, ANIMALS)
    to_rock_cm = rng.uniform(5.0, 30.0, ANIMALS)
    away = np.linalg.norm(cells.points_cm[:, None] - homes, axis=2)
    use = cells.free_l[:, None] * np.exp(-away / decay_cm)
    use *= np.exp(-(((cells.points_cm[:, 2:] - level_cm) / spread_cm) ** 2))
    use *= np.exp(-cells.rock_distance_cm[:, None] / to_rock_cm)
    return np.asarray(use / use.sum(axis=0), np.float32)


def evaluate(rockwork: Rockwork, edge_cm: float) -> Matrix:
    """Return E from rock and animals alone."""
    cells = cut(TANK, rockwork, edge_cm)
    use = invented_use(cells)
    return encounters(reach(cells, use, RADII_CM), use)


def evaluate_plainly(rockwork: Rockwork, edge_cm: float, dtype: type[np.floating]) -> Matrix:
    """Return E with the sums in vectorised numpy."""
    cells = cut(TANK, rockwork, edge_cm)
    return np.asarray(sight_twin.encounters(cells, invented_use(cells), RADII_CM, 64, dtype))


def seconds(work: Callable[[], Any], repeats: int) -> tuple[float, float]:
    """Return the best and the median time."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times), float(np.median(times))


def print_speed(rockwork: Rockwork) -> None:
    """Print the parts and the whole, and the whole against numpy."""
    for edge_cm, repeats in ((10.0, 50), (7.5, 30), (5.0, 15), (4.0, 5)):
        cells = cut(TANK, rockwork, edge_cm)
        use = invented_use(cells)
        cutting, _ = seconds(partial(cut, TANK, rockwork, edge_cm), repeats)
        reaching, _ = seconds(partial(reach, cells, use, RADII_CM), repeats)
        whole, median = seconds(partial(evaluate, rockwork, edge_cm), repeats)
        print(
            f"{edge_cm:4.1f} cm {len(cells):6d} cells: cut {1e3 * cutting:6.2f} ms, "
            f"reach {1e3 * reaching:6.2f} ms, whole {1e3 * whole:6.2f} ms (median {1e3 * median:.2f})"
        )


def print_ratio(rockwork: Rockwork, edge_cm: float) -> None:
    """Print how many times longer vectorised numpy takes."""
    ours, _ = seconds(partial(evaluate, rockwork, edge_cm), 15)
    for dtype in (np.float32, np.float64):
        plain, _ = seconds(partial(evaluate_plainly, rockwork, edge_cm, dtype), 2)
        print(f"numpy {dtype.__name__} at {edge_cm:g} cm: {plain:.2f} s, {plain / ours:.0f} times ours")


def print_agreement(rockwork: Rockwork) -> None:
    """Print the pairs on which sight differs from float64, and the error of E."""
    points = cut(TANK, rockwork, 5.0).points_cm
    twin = np.vstack(
        [
            sight_twin.clear_rows(rockwork, points[start : start + 64], points)
            for start in range(0, len(points), 64)
        ]
    )
    wrong = int((clear_pairs(rockwork, points) != twin).sum())
    print(f"sight at 5 cm: {wrong} of {twin.size} pairs differ from float64 ({wrong / twin.size:.1e})")
    plain = evaluate_plainly(rockwork, 5.0, np.float64)
    apart = np.abs(evaluate(rockwork, 5.0) / plain - 1.0)[plain > HARDLY]
    print(f"E at 5 cm: largest relative difference from float64 {apart.max():.1e}")


def print_convergence(word: str) -> None:
    """Print the error of E against fine cells, over a word's layouts, for pairs that meet."""
    layouts = [preset(word, TANK, 5.0, variant) for variant in range(VARIANTS)]
    fine = [evaluate(layout, REFERENCE_CM) for layout in layouts]
    for edge_cm in (10.0, 7.5, 5.0, 4.0):
        found = [evaluate(layout, edge_cm) for layout in layouts]
        errors = np.concatenate(
            [100.0 * np.abs(e / f - 1.0)[f > OFTEN] for e, f in zip(found, fine, strict=True)]
        )
        median, ninth, most = np.percentile(errors, [50.0, 90.0, 100.0])
        print(
            f"E, {word} rock, {edge_cm:4.1f} cm against {REFERENCE_CM} cm: median {median:.2f} %, "
            f"9 in 10 below {ninth:.2f} %, most {most:.1f} %"
        )


if __name__ == "__main__":
    kernels.warm()
    kernels_tank.warm()
    DENSE = preset("dense", TANK)
    print(f"{len(DENSE.pieces)} pieces of rock, {ANIMALS} animals, {len(RADII_CM)} reaction distances")
    print_speed(DENSE)
    print_ratio(DENSE, 5.0)
    print_agreement(DENSE)
    print_convergence("moderate")
    print_convergence("dense")
