"""Walkers against the field over many days, and how fast they walk: ours, numpy and Mesa, in one run.

The company is invented: 30 walkers with homes, spreads and rates drawn from a fixed seed. Run it
with ``python benchmarks/bench_walkers.py [DAYS]`` from the top of the repository. All of it runs
on one thread.
"""

import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.rivals import walk_twin
from walkers_in_mesa import Tank

from slackwater import kernels, kernels_walk
from slackwater.society.walkers import STEP_S, Outing, Scene, Walk, Walker, field_prediction, walk
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
RADII_CM = (7.5, 15.0, 30.0)
ANIMALS, AT_HOME = 30, 18
DAYS = 40
PER_DAY = 1.0
REPEATS = 3
NUMPY_STEPS, MESA_STEPS = 2000, 1500


@dataclass(frozen=True)
class Pace:
    """How fast a company walks, and how often it attacks in its own time."""

    per_s: float
    attacks_per_s: float

    @classmethod
    def of(cls, steps: int, begun: float, attacks: NDArray[np.int64]) -> "Pace":
        """Return the pace of a run that has just ended."""
        return cls(steps * len(attacks) / (time.perf_counter() - begun), attacks.sum() / (steps * STEP_S))


def invented_scene() -> Scene:
    """Return 30 walkers, 18 of them close to their homes, in dense rock."""
    rng = np.random.default_rng(7)
    homes = rng.uniform([5.0, 8.0, 8.0], [115.0, 57.0, 50.0], (ANIMALS, 3)).tolist()
    spread_cm = np.where(np.arange(ANIMALS) < AT_HOME, rng.uniform(6.0, 22.0, ANIMALS), 45.0)
    spreads = np.outer(spread_cm, [1.0, 0.8, 0.6]).tolist()
    walkers = tuple(
        Walker(tuple(home), tuple(spread), RADII_CM[i % len(RADII_CM)])
        for i, (home, spread) in enumerate(zip(homes, spreads, strict=True))
    )
    return Scene(TANK, preset("dense", TANK), walkers, rng.uniform(10.0, 100.0, (ANIMALS, ANIMALS)))


def print_agreement(scene: Scene, walked: Walk) -> None:
    """Print how far the field is from the walkers, by cell edge."""
    hours, days = walked.outing.hours, walked.outing.days
    by_day = walked.by_day.sum(axis=(1, 2))
    error = 100.0 * by_day.std(ddof=1) / np.sqrt(days) / by_day.mean()
    print(f"{days} days: {by_day.mean():.0f} attacks a day, standard error {error:.2f} %")
    for edge_cm in (3.0, 5.0):
        expected = field_prediction(scene, edge_cm)
        often = expected * hours > PER_DAY
        z = (walked.per_h - expected)[often] / walked.error_per_h[often]
        total = 100.0 * (expected.sum() / walked.per_h.sum() - 1.0)
        borne = 100.0 * np.abs(expected.sum(axis=0) / walked.per_h.sum(axis=0) - 1.0)
        print(
            f"field at {edge_cm:g} cm: total {total:+.2f} %; z-scores of {len(z)} pairs: "
            f"mean {z.mean():+.2f}, sd {z.std():.2f}, most {np.abs(z).max():.1f}; "
            f"borne by an animal: median {np.median(borne):.2f} % off, most {borne.max():.2f} %"
        )


def ours(scene: Scene) -> Pace:
    """Let the compiled loop run for some hours."""
    begun = time.perf_counter()
    walked = walk(scene, Outing(hours=4.0))
    return Pace.of(walked.outing.steps, begun, walked.attacks)


def in_numpy(scene: Scene) -> Pace:
    """Let vectorised numpy run for some steps."""
    begun = time.perf_counter()
    attacks = walk_twin.walk(scene, NUMPY_STEPS, np.random.default_rng(0))
    return Pace.of(NUMPY_STEPS, begun, attacks)


def in_mesa(scene: Scene) -> Pace:
    """Let the plain Mesa model run for some steps."""
    tank = Tank(scene, seed=0)
    begun = time.perf_counter()
    for _ in range(MESA_STEPS):
        tank.step()
    return Pace.of(MESA_STEPS, begun, np.array([fish.attacks for fish in tank.fish]))


def print_speed(scene: Scene) -> None:
    """Print animal-steps a second, the best of several turns taken one after another."""
    turns = [(ours(scene), in_numpy(scene), in_mesa(scene)) for _ in range(REPEATS)]
    best = [max(paces, key=lambda pace: pace.per_s) for paces in zip(*turns, strict=True)]
    for name, pace in zip(("ours", "numpy", "Mesa"), best, strict=True):
        print(
            f"{name} on one thread: {pace.per_s / 1e6:.3f} million animal-steps a second "
            f"({pace.attacks_per_s:.2f} attacks a second); ours {best[0].per_s / pace.per_s:.0f} times"
        )


if __name__ == "__main__":
    kernels.use_threads(1)
    kernels_walk.warm()
    SCENE = invented_scene()
    print(f"{len(SCENE.rockwork.pieces)} pieces of rock, {ANIMALS} walkers")
    print_speed(SCENE)
    print_agreement(SCENE, walk(SCENE, Outing(days=int(sys.argv[1]) if len(sys.argv) > 1 else DAYS, seed=1)))
