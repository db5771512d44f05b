"""Walkers: a company that moves and attacks at random, apart from the field, to check it.

It checks the arithmetic of the field (cells, sight, sums), not what fish are like: walkers move
independently, keep to a Gaussian round their home, and attack by chance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.society.encounters import encounters, reach
from slackwater.tank.cells import Cells, cut, solids_of
from slackwater.tank.pieces import Point, as_table
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass, Shape, shell

Array = NDArray[np.float64]

STEP_S = 1.0
"""Time of one step. [s]"""

ANYWHERE = (-math.inf, math.inf)
"""The stretch of a walker that no divider holds back. [cm]"""

MOST_CHASES = 20_000
"""Attacks of a day that are kept one by one with a track."""

_LEAST_DAYS = 2
_BOXES_AND_CYLINDERS = frozenset({Shape.RECTANGULAR, Shape.CUBE, Shape.CYLINDER})


@dataclass(frozen=True)
class Walker:
    """An animal that walks: a Gaussian round its home, as far as the free water allows.

    Parameters
    ----------
    home_cm
        Middle of the Gaussian. [cm]
    spread_cm
        Its standard deviation along x, y, z. [cm]
    reaction_cm
        Distance at which its attacks fall to exp(-1). [cm]
    memory_s
        Time in which it forgets where it was. [s]
    stretch_cm
        The part of the tank along x that it is kept to, as by a divider. [cm]

    Raises
    ------
    InputError
        If a spread, the reaction distance or the memory is not positive.
    """

    home_cm: Point
    spread_cm: Point
    reaction_cm: float
    memory_s: float = 30.0
    stretch_cm: tuple[float, float] = ANYWHERE

    def __post_init__(self) -> None:
        """Refuse what cannot walk."""
        for name in ("spread_cm", "reaction_cm", "memory_s"):
            given = getattr(self, name)
            if not (np.isfinite(given).all() and np.min(given) > 0.0):
                raise _bad(f"walker.{name}", str(given), "it must be greater than 0", "Give a larger value.")


@dataclass(frozen=True, eq=False)
class Scene:
    """A tank and the walkers in it.

    Parameters
    ----------
    glass, rockwork
        The tank.
    walkers
        Who is in it.
    rate_per_h
        Attacks of i on j at full encounter: beside i, in plain sight, [i, j]; the diagonal counts
        for nothing. [1/h]

    Raises
    ------
    InputError
        If the rates do not fit the walkers, or one is negative.
    """

    glass: Glass
    rockwork: Rockwork
    walkers: tuple[Walker, ...]
    rate_per_h: Array

    def __post_init__(self) -> None:
        """Refuse rates that do not fit."""
        count = len(self.walkers)
        if self.rate_per_h.shape != (count, count):
            raise _bad(
                "rate_per_h",
                f"of shape {self.rate_per_h.shape}",
                f"{count} walkers need {count} rows and columns",
                "Give one rate for every ordered pair.",
            )
        if not (np.isfinite(self.rate_per_h).all() and (self.rate_per_h >= 0.0).all()):
            raise _bad("rate_per_h", "negative or no number", "attacks are counted", "Give 0 or more.")

    @property
    def between_per_h(self) -> Array:
        """The rates with nothing on the diagonal, [i, j]. [1/h]"""
        return np.where(np.eye(len(self.walkers), dtype=bool), 0.0, self.rate_per_h)


@dataclass(frozen=True)
class Outing:
    """How long walkers walk.

    Parameters
    ----------
    days
        Days, each begun afresh from where the animals are on average.
    hours
        Hours of light in a day. [h]
    seed
        Of everything random.
    every_s
        Interval of the track of the first day; without one no track is kept. [s]

    Raises
    ------
    InputError
        If there is less than one day or step.
    """

    days: int = 1
    hours: float = 12.0
    seed: int = 0
    every_s: float | None = None

    def __post_init__(self) -> None:
        """Refuse an outing of no length."""
        if self.days < 1 or self.steps < 1:
            given = f"{self.days} days of {self.hours:g} h"
            raise _bad("outing", given, "walkers need a day and a step", "Give at least 1 day.")
        if self.every_s is not None and not STEP_S <= self.every_s <= self.steps * STEP_S:
            raise _bad(
                "every_s",
                f"{self.every_s:g} s",
                f"a step takes {STEP_S:g} s and a day {self.steps} steps",
                "Give an interval between the two.",
            )

    @property
    def steps(self) -> int:
        """Steps in a day."""
        return round(3600.0 * self.hours / STEP_S)

    @property
    def stride(self) -> int | None:
        """Steps from one entry of the track to the next."""
        return None if self.every_s is None else round(self.every_s / STEP_S)


@dataclass(frozen=True, eq=False)
class Walk:
    """What walkers did.

    Parameters
    ----------
    outing
        How long they walked.
    by_day
        Attacks of i on j, shape (D, n, n).
    track_cm
        Where each was in the first day, shape (T, n, 3), if asked for. [cm]
    chases
        Step, attacker and victim of the attacks of that day in turn, at most `MOST_CHASES`,
        shape (K, 3), kept with the track.
    """

    outing: Outing
    by_day: NDArray[np.int64]
    track_cm: NDArray[np.float32] | None
    chases: NDArray[np.int64]

    @property
    def attacks(self) -> NDArray[np.int64]:
        """Attacks of i on j over all days, [i, j]."""
        return np.asarray(self.by_day.sum(axis=0))

    @property
    def steps(self) -> int:
        """Steps of all animals over all days."""
        days, animals, _ = self.by_day.shape
        return self.outing.steps * int(days * animals)

    @property
    def per_h(self) -> Array:
        """Attacks an hour of light, [i, j]. [1/h]"""
        return np.asarray(self.by_day.mean(axis=0) / self.outing.hours)

    @property
    def error_per_h(self) -> Array:
        """Standard error of `per_h` from the spread between days, inf for one day, [i, j]. [1/h]"""
        days = len(self.by_day)
        if days < _LEAST_DAYS:
            return np.full(self.by_day.shape[1:], np.inf)
        return np.asarray(self.by_day.std(axis=0, ddof=1) / (math.sqrt(days) * self.outing.hours))


def walk(scene: Scene, outing: Outing) -> Walk:
    """Let the walkers of a scene walk, and count who attacks whom.

    Parameters
    ----------
    scene
        The tank and its walkers.
    outing
        How long, how random, and whether to keep a track.

    Returns
    -------
    Walk
        The same for the same arguments.

    Raises
    ------
    InputError
        If a walker finds no free water round its home.

    Notes
    -----
    A step proposes x' = m + k (x - m) + s sqrt(1 - k^2) z with k = exp(-step / memory) and z
    standard normal, a reversible Ornstein-Uhlenbeck move; a proposal outside free water is
    refused. The stationary law is therefore the Gaussian restricted to free water, exactly, and
    every day begins in it. Attacks of i on j fall at the rate a_ij exp(-d^2 / rho_i^2) while j is
    in plain sight, by thinning a Poisson process of rate a_ij: sight is looked at only where an
    attack would otherwise happen.
    """
    days = np.random.default_rng(outing.seed).spawn(outing.days)
    count = len(scene.walkers)
    kept = outing.steps // outing.stride if outing.stride else 0
    by_day = np.zeros((outing.days, count, count), np.int64)
    track = np.zeros((kept, count, 3), np.float32)
    chases = np.full((MOST_CHASES if kept else 0, 3), -1, np.int64)
    for day, rng in enumerate(days):
        kept_of_it = (track, chases) if day == 0 else (track[:0], chases[:0])
        _walk_a_day(scene, outing, rng, kept_of_it, by_day[day])
    return Walk(outing, by_day, track if kept else None, chases[chases[:, 0] >= 0])


def _walk_a_day(
    scene: Scene,
    outing: Outing,
    rng: np.random.Generator,
    kept: tuple[NDArray[np.float32], NDArray[np.int64]],
    attacks: NDArray[np.int64],
) -> None:
    from slackwater import kernels_walk

    track, chases = kept

    rate = scene.between_per_h
    pairs = np.ascontiguousarray(np.argwhere(rate > 0.0))
    upto = np.cumsum(rate[pairs[:, 0], pairs[:, 1]]) * STEP_S / 3600.0
    rock, water = _solids(scene), _water(scene)
    stride = outing.stride or outing.steps
    astray = kernels_walk.walk(
        rng, _gaits(scene.walkers), water, rock, pairs, upto, outing.steps, stride, track, attacks, chases
    )
    if astray >= 0:
        raise _bad(
            f"walkers.{astray}.home_cm",
            str(scene.walkers[astray].home_cm),
            "there is no free water round it",
            "Move the home out of the rock, or give it more spread.",
        )


def _gaits(walkers: tuple[Walker, ...]) -> Array:
    rows = [
        (*w.home_cm, *w.spread_cm, math.exp(-STEP_S / w.memory_s), w.reaction_cm, *_within(w.stretch_cm))
        for w in walkers
    ]
    return np.array(rows, float).reshape(-1, 10)


def _within(stretch_cm: tuple[float, float]) -> tuple[float, float]:
    """Return a stretch in plain numbers: compiled loops know no infinity."""
    low, high = stretch_cm
    return max(low, -1e30), min(high, 1e30)


def _water(scene: Scene) -> Array:
    glass = scene.glass
    is_round = float(glass.shape is Shape.CYLINDER)
    return np.array([glass.length_cm, glass.width_cm, glass.height_cm, scene.rockwork.sand_cm, is_round])


def _solids(scene: Scene) -> Array:
    """Return what stands in the way: rock, walls, and for odd outlines what lies beyond the panes."""
    glass = scene.glass
    if glass.shape in _BOXES_AND_CYLINDERS:
        return solids_of(glass, scene.rockwork)
    return np.ascontiguousarray(np.vstack([solids_of(glass, scene.rockwork), as_table(shell(glass))]))


def restricted_use(cells: Cells, walkers: tuple[Walker, ...]) -> NDArray[np.float32]:
    """Return the use of walkers: their Gaussians on free water, summing to 1, shape (C, n). [-]"""
    points = cells.points_cm.astype(float)
    columns = []
    for walker in walkers:
        away = (points - np.array(walker.home_cm)) / np.array(walker.spread_cm)
        low, high = walker.stretch_cm
        inside = (points[:, 0] >= low) & (points[:, 0] <= high)
        use = cells.free_l * np.exp(-0.5 * (away**2).sum(axis=1)) * inside
        columns.append(use / use.sum())
    return np.array(columns, np.float32).reshape(-1, len(cells)).T


def field_prediction(scene: Scene, edge_cm: float) -> Array:
    """Return the attacks an hour that the field expects of walkers, [i, j]. [1/h]

    Parameters
    ----------
    scene
        The tank and its walkers.
    edge_cm
        Cell edge. [cm]

    Notes
    -----
    a_ij E_ij with E from cells and encounters, and the Gaussian restricted to free water as use.
    """
    cells = cut(scene.glass, scene.rockwork, edge_cm)
    use = restricted_use(cells, scene.walkers)
    radii_cm, rung = np.unique([w.reaction_cm for w in scene.walkers], return_inverse=True)
    meet = encounters(reach(cells, use, radii_cm.tolist()), use)
    own = np.arange(len(scene.walkers))
    return np.asarray(scene.between_per_h * meet[rung, own])


def _bad(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=given, limit=limit, remedy=remedy)
