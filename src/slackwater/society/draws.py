"""Seeded draws: every animal's hidden strength and temper, independent of its place in a list."""

from __future__ import annotations

import functools
import zlib
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Individual

Array = NDArray[np.float64]


def _identities(animals: tuple[Individual, ...]) -> dict[int, str]:
    """Return a name for each animal that depends neither on the list's order nor on small changes.

    Animals of one species are numbered by day of release, then by length.
    """
    by_species: dict[str, list[Individual]] = {}
    for animal in animals:
        by_species.setdefault(animal.species.name, []).append(animal)
    names: dict[int, str] = {}
    for species, members in by_species.items():
        ranked = sorted(members, key=lambda a: (a.party.day, -a.length_cm, a.party.sex, a.number))
        names |= {animal.index: f"{species}|{rank}" for rank, animal in enumerate(ranked)}
    return names


def _quantiles(seed: int, draws: int) -> Array:
    """Return a shuffled set of the middle quantiles of the standard normal, shape (draws,)."""
    rng = np.random.default_rng(seed)
    return np.asarray(rng.permutation(_normal_quantiles(draws)))


@functools.cache
def _normal_quantiles(draws: int) -> Array:
    normal = NormalDist()
    return np.array([normal.inv_cdf((k + 0.5) / draws) for k in range(draws)])


def _temper(animal: Individual, key: int, draws: int, rules: Rules) -> Array:
    own = animal.party.own_sigma
    sigma = rules["temper_sigma"] if own is None else own
    return np.asarray(np.exp(sigma * _quantiles(key ^ 0x5BD1, draws)))


def draw(animals: tuple[Individual, ...], draws: int, seed: int, rules: Rules) -> tuple[Array, Array]:
    """Return hidden strength (a factor on length) and temper (a factor on rates), (D, n) each.

    Notes
    -----
    Strength: normal, SD 5 % of length. Temper: log-normal, median 1, sigma 0.8 (individual SD is
    about the mean in every raw set of counts). Each animal's draws cover its distribution evenly
    and follow from who it is, so that permuting the company changes nothing.
    """
    strength = np.ones((draws, len(animals)))
    temper = np.ones((draws, len(animals)))
    names = _identities(animals)
    for animal in animals:
        key = zlib.crc32(f"{names[animal.index]}|{seed}".encode())
        strength[:, animal.index] = 1.0 + rules["strength_sd"] * _quantiles(key, draws)
        temper[:, animal.index] = _temper(animal, key, draws, rules)
    return strength, temper
