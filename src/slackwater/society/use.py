"""Where each animal lives: its use of the water, homes chosen softly in order of arrival."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Individual, Place, Situation
from slackwater.tank.cells import Cells, cut
from slackwater.taxa.facts import Species

Array = NDArray[np.float64]

_LEVELS = {
    "bottom": (0.05, 0.15),
    "low": (0.25, 0.22),
    "middle": (0.50, 0.25),
    "top": (0.80, 0.20),
    "all": (0.45, 0.60),
}
_SITE_EDGE_CM = 15.0
_MOST_SITES = 160


@dataclass(frozen=True)
class Sites:
    """Candidate homes: coarse cells of the same water."""

    points_cm: Array
    free_l: Array
    rock_distance_cm: Array
    height: Array
    edge_cm: float


def liking(
    species: Species, rock_distance_cm: Array, height: Array, rules: Rules, *, rockless: bool
) -> Array:
    """Return how well each place suits a species, before any home or neighbour. [-]

    Parameters
    ----------
    species
        Who would live there.
    rock_distance_cm
        Distance to the nearest rock, shape (C,). [cm]
    height
        Height above the sand over water depth, shape (C,). [-]
    rules
        The coefficients.
    rockless
        Whether the tank has no rock at all.
    """
    mean, spread = _LEVELS[species.word("level")]
    level = np.exp(-0.5 * ((height - mean) / spread) ** 2)
    held = species.number("structure_use")
    if rockless:
        return np.asarray(level)
    near = np.exp(-rock_distance_cm / rules["structure_reach_cm"])
    return np.asarray(level * ((1.0 - held) + held * near + 1e-4))


def home_radius_cm(animal: Individual, rules: Rules) -> float:
    """Return the radius of the animal's ground: that of a circle of its home area. [cm]

    Notes
    -----
    r = sqrt(A / pi) scaled by length over adult length: a small animal uses less.
    """
    area_m2 = animal.species.number("home_area_m2")
    grown = min(animal.length_cm / animal.species.number("adult_length_cm"), 1.2)
    radius = 100.0 * math.sqrt(area_m2 / math.pi) * grown**0.5
    return float(min(max(radius * rules["home_radius_share"], 5.0), 400.0))


def sites_of(cells: Cells) -> Sites:
    """Return the candidate homes of a water, coarser the larger it is."""
    edge = max(_SITE_EDGE_CM, (1000.0 * float(cells.free_l.sum()) / _MOST_SITES) ** (1.0 / 3.0))
    coarse = cut(cells.glass, cells.rockwork, edge)
    return Sites(
        coarse.points_cm.astype(float),
        coarse.free_l.astype(float),
        coarse.rock_distance_cm.astype(float),
        heights(coarse),
        edge,
    )


def heights(cells: Cells) -> Array:
    """Return the height of each cell above the sand over the depth of water. [-]"""
    sand = cells.rockwork.sand_cm
    depth = cells.glass.height_cm - sand
    return np.asarray((cells.points_cm[:, 2].astype(float) - sand) / depth)


def allowed(animal: Individual, x_cm: NDArray[np.floating], situation: Situation) -> NDArray[np.bool_]:
    """Return which places an animal can reach, given dividers and the sump. [bool]"""
    if animal.party.place is Place.SUMP:
        return np.ones(x_cm.shape, dtype=bool)
    if situation.divider_cm is None or animal.party.side is None:
        return np.ones(x_cm.shape, dtype=bool)
    left = x_cm < situation.divider_cm
    return left if animal.party.side == "left" else ~left


@dataclass(frozen=True)
class Ground:
    """One water with its cells, candidate homes and the squared distances between them."""

    cells: Cells
    sites: Sites
    height: Array
    distance2: Array

    @classmethod
    def of(cls, cells: Cells) -> Ground:
        """Return the ground of a water."""
        sites = sites_of(cells)
        points = cells.points_cm.astype(float)
        distance2 = (
            (points**2).sum(1)[:, None]
            + (sites.points_cm**2).sum(1)[None, :]
            - 2.0 * points @ sites.points_cm.T
        )
        return cls(cells, sites, heights(cells), np.maximum(distance2, 0.0))


def usable(animal: Individual, ground: Ground, situation: Situation, rules: Rules) -> Array:
    """Return the water an animal could use, as shares of a whole, shape (C,). [-]"""
    cells = ground.cells
    rockless = not cells.rockwork.pieces
    suits = liking(
        animal.species, cells.rock_distance_cm.astype(float), ground.height, rules, rockless=rockless
    )
    share = suits * cells.free_l * allowed(animal, cells.points_cm[:, 0], situation)
    return np.asarray(share / max(float(share.sum()), 1e-12))


def settle(
    animal: Individual,
    ground: Ground,
    situation: Situation,
    rules: Rules,
    pressure_at_sites: Array | None = None,
) -> tuple[Array, Array]:
    """Return where an animal spends its time and the shares of its candidate homes.

    Parameters
    ----------
    animal
        Who settles.
    ground
        The water.
    situation
        For dividers.
    rules
        The coefficients.
    pressure_at_sites
        Attacks an hour that the animal would draw at each candidate home from those already
        there, shape (H,). [1/h]

    Returns
    -------
    use, shares
        Use of each cell, shape (C,), summing to 1; share of each home, shape (H,), summing to 1.

    Notes
    -----
    Homes are chosen softly: shares over sites by need and pressure, never a bare arg-max, so that
    a small change of the tank stays a small change of the answer.
    """
    sites = ground.sites
    rockless = not ground.cells.rockwork.pieces
    suits = liking(animal.species, sites.rock_distance_cm, sites.height, rules, rockless=rockless)
    suits = suits * sites.free_l * allowed(animal, sites.points_cm[:, 0], situation)
    score = rules["home_choice"] * np.log(np.maximum(suits, 1e-9) / max(float(suits.max()), 1e-9))
    if pressure_at_sites is not None:
        score = score - rules["home_pressure"] * np.minimum(pressure_at_sites, 200.0)
    shares = np.exp(score - score.max())
    shares /= shares.sum()
    radius = home_radius_cm(animal, rules)
    near = np.exp(-ground.distance2 / (2.0 * radius**2))
    whole = usable(animal, ground, situation, rules)
    masses = np.maximum(whole @ near, 1e-12)
    use = whole * (near @ (shares / masses))
    return use / max(float(use.sum()), 1e-12), shares


def retreat(use: Array, pressure: Array, rules: Rules) -> Array:
    """Return use after one step away from pressure, u * exp(-gamma P), summing to 1."""
    moved = use * np.exp(-rules["retreat"] * np.minimum(pressure, 200.0))
    return np.asarray(moved / max(float(moved.sum()), 1e-12))
