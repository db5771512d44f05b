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


def _identity(animal: Individual) -> str:
    """Return a name that does not depend on the order in which parties are listed."""
    party = animal.party
    return f"{party.species.name}|{party.length_cm:.2f}|{party.day:.1f}|{party.sex}|{animal.number}"


def _quantiles(seed: int, draws: int) -> Array:
    """Return a shuffled set of the middle quantiles of the standard normal, shape (draws,)."""
    rng = np.random.default_rng(seed)
    return np.asarray(rng.permutation(_normal_quantiles(draws)))


@functools.cache
def _normal_quantiles(draws: int) -> Array:
    normal = NormalDist()
    return np.array([normal.inv_cdf((k + 0.5) / draws) for k in range(draws)])


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
    seen: dict[str, int] = {}
    for animal in animals:
        name = _identity(animal)
        seen[name] = seen.get(name, 0) + 1
        key = zlib.crc32(f"{name}|{seen[name]}|{seed}".encode())
        strength[:, animal.index] = 1.0 + rules["strength_sd"] * _quantiles(key, draws)
        temper[:, animal.index] = np.exp(rules["temper_sigma"] * _quantiles(key ^ 0x5BD1, draws))
    return strength, temper
