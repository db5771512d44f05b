"""How often `settling` is right: tallies of walkers whose end is known, judged day by day.

Run `python -m scripts.trial_settling`; the figures stand in docs/science/quarrel.md. The walkers
check the arithmetic and the spread of counts, not what fish are like.
"""

from __future__ import annotations

import math
import sys
from collections import Counter
from dataclasses import dataclass

import numpy as np

from slackwater.plan.scoring import Forecast, score
from slackwater.plan.settling import Outlook, Settling, settling, usual_curve
from slackwater.plan.tallied import Look
from slackwater.rules import load_rules
from slackwater.society.walkers import Outing, Scene, Walker, field_prediction, walk
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape

DAYS = (1, 2, 3, 5, 7)
WATCHES, WATCH_MIN = 3, 10
GLASS = Glass(Shape.RECTANGULAR, 120.0, 50.0, 50.0)


@dataclass(frozen=True)
class Quarrel:
    """One invented quarrel: chases an hour at first, the share left in the end, days of its fall, luck."""

    first_per_h: float
    rest: float
    fall_days: float
    seed: int

    def rate_per_h(self, day: float) -> float:
        """Return the chases expected in an hour of a day, before that day's luck. [1/h]"""
        return self.first_per_h * (self.rest + (1.0 - self.rest) * math.exp(-day / self.fall_days))

    @property
    def settles(self) -> bool:
        """Whether it ends below the level of harm."""
        rules = load_rules()
        return bool(self.rate_per_h(rules["settling.by_days"]) < rules["settling.level_per_h"])


def quarrels(count: int, seed: int) -> list[Quarrel]:
    """Return quarrels of every kind: other falls and other paces than those that `settling` weighs."""
    rng = np.random.default_rng(seed)
    return [
        Quarrel(
            first_per_h=float(np.exp(rng.normal(np.log(15.0), 0.9))),
            rest=float(np.exp(rng.uniform(np.log(0.05), np.log(2.0)))),
            fall_days=float(rng.uniform(1.0, 5.0)),
            seed=int(rng.integers(2**31)),
        )
        for _ in range(count)
    ]


def looks(quarrel: Quarrel, days: int, noise: float = 0.3) -> list[Look]:
    """Return three watches a day of two walkers, every day with a luck of its own."""
    rng = np.random.default_rng(quarrel.seed)
    found = []
    scene = _scene(rng)
    unit_per_h = field_prediction(scene, 10.0)[0, 1]
    for day in range(days):
        wanted = quarrel.rate_per_h(day) * np.exp(rng.normal(0.0, noise) - 0.5 * noise**2)
        rate = scene.rate_per_h * wanted / unit_per_h
        there = Scene(scene.glass, scene.rockwork, scene.walkers, rate)
        out = walk(there, Outing(days=WATCHES, hours=WATCH_MIN / 60.0, seed=int(rng.integers(2**31))))
        counts = out.by_day[:, 0, 1]
        found += [Look(day + 0.25 * n, WATCH_MIN / 60.0, int(c)) for n, c in enumerate(counts)]
    return found


def _scene(rng: np.random.Generator) -> Scene:
    rock = preset("moderate", GLASS, 5.0, int(rng.integers(3)))
    homes = rng.uniform((20.0, 10.0, 30.0), (100.0, 40.0, 45.0), size=(2, 3))
    walkers = tuple(Walker((h[0], h[1], h[2]), (25.0, 12.0, 10.0), 40.0) for h in homes.tolist())
    return Scene(GLASS, rock, walkers, np.array([[0.0, 1.0], [0.0, 0.0]]))


def said(seen: list[Look], days: int) -> Settling:
    """Return what `settling` says after so many days of watching."""
    rules = load_rules()
    held = [Look(look.day - (days - 1), look.hours, look.count) for look in seen if look.day < days]
    curve = usual_curve(held[0].day, rules)
    return settling(held, curve, rules["settling.level_per_h"], rules)


Said = list[tuple[bool, Settling]]
"""What was said of quarrels, and whether each settles."""


def trial(count: int, seed: int = 5) -> dict[int, Said]:
    """Return, by days watched, what was said of quarrels that settle and of those that do not."""
    out: dict[int, Said] = {days: [] for days in DAYS}
    for quarrel in quarrels(count, seed):
        seen = looks(quarrel, max(DAYS))
        for days in DAYS:
            out[days].append((quarrel.settles, said(seen, days)))
    return out


def rates(told: Said) -> dict[str, float]:
    """Return shares: false alarms among those that settle, misses among those that do not, undecided."""
    counted = Counter((truth, one.outlook) for truth, one in told)
    settle = sum(n for (truth, _), n in counted.items() if truth)
    last = counted.total() - settle
    undecided = sum(n for (_, word), n in counted.items() if word is Outlook.OPEN)
    return {
        "false alarms": counted[True, Outlook.LASTING] / max(settle, 1),
        "misses": counted[False, Outlook.SETTLING] / max(last, 1),
        "undecided": undecided / counted.total(),
    }


def main(count: int) -> None:
    """Print the figures."""
    found = trial(count)
    settle = sum(truth for truth, _ in found[1])
    print(f"{count} quarrels, {settle} settle within 14 days")
    for days, told in found.items():
        print(days, {name: f"{share:.1%}" for name, share in rates(told).items()})
    for days, told in found.items():
        scored = score([Forecast(one.p, happened=truth) for truth, one in told])
        print(f"after {days} days: Brier {scored.brier:.3f}, always the mean {scored.always_mean:.3f}")
        for one in scored.classes:
            print("  ", one.sentence)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
