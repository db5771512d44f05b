"""Elo ratings: a rank that follows each win as it comes, and so has dates."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

START = 1000.0
STEP = 100.0
_SCALE = 400.0


class Curve(StrEnum):
    """How the chance to win grows with the lead in rating."""

    NORMAL = "normal"
    LOGISTIC = "logistic"


@dataclass(frozen=True)
class Elo:
    """How ratings are kept: the curve, the most that one win moves, the start, whole points or not.

    Notes
    -----
    The winner gains and the loser drops k (1 - p), p = Phi((R_w - R_l) / (200 sqrt 2)) or
    1 / (1 + 10^((R_l - R_w) / 400)); k 100, start 1000 [albers2001], [neumann2011]. The sum stays.
    """

    curve: Curve = Curve.NORMAL
    step: float = STEP
    start: float = START
    whole: bool = False

    def gain(self, winner: float, loser: float) -> float:
        """Return what a win moves from one rating to another."""
        moved = self.step * (1.0 - self.chance(winner - loser))
        return float(round(moved)) if self.whole else moved

    def chance(self, lead: float) -> float:
        """Return the chance to win at a lead in rating. [0 to 1]"""
        if self.curve is Curve.LOGISTIC:
            return 1.0 / (1.0 + math.exp(-math.log(10.0) * lead / _SCALE))
        return 0.5 * (1.0 + math.erf(lead / _SCALE))


def ratings(
    wins: Iterable[tuple[str, str]], names: Sequence[str], elo: Elo | None = None
) -> dict[str, float]:
    """Return the ratings after a run of wins, each as (winner, loser)."""
    elo = elo or Elo()
    held = dict.fromkeys(names, elo.start)
    for winner, loser in wins:
        moved = elo.gain(held[winner], held[loser])
        held[winner] += moved
        held[loser] -= moved
    return held


@dataclass(frozen=True)
class Rated:
    """The ratings at the end of one day, in the order of the names."""

    on: dt.date
    ratings: tuple[float, ...]


def by_day(
    wins: Sequence[tuple[dt.date, str, str, int]], names: Sequence[str], elo: Elo | None = None
) -> tuple[Rated, ...]:
    """Return the ratings at the end of each day.

    Parameters
    ----------
    wins
        Day, winner, loser and how often; in the order of the days.
    names
        Everyone.
    elo
        How the ratings are kept.
    """
    elo = elo or Elo()
    held = dict.fromkeys(names, elo.start)
    found: list[Rated] = []
    for n, (on, winner, loser, count) in enumerate(wins):
        for _ in range(count):
            moved = elo.gain(held[winner], held[loser])
            held[winner] += moved
            held[loser] -= moved
        if n + 1 == len(wins) or wins[n + 1][0] != on:
            found.append(Rated(on, tuple(held.values())))
    return tuple(found)
