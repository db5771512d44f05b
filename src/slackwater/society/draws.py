"""Seeded draws: every animal's hidden strength and temper, independent of its place in a list."""

from __future__ import annotations

import functools
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules, coefficient_spreads
from slackwater.society.company import Individual, Sex

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


@dataclass(frozen=True)
class WideDraws:
    """Draws of all that is uncertain: individuals, what was not told, and the coefficients.

    `strength` (a factor on length that shows in contests alone), `size` (a factor on length) and
    `temper` are (D, n); `male` says which animals are males, (D, n); `coefficient` holds a factor
    on each fitted coefficient, (D,) by name.
    """

    strength: Array
    size: Array
    temper: Array
    male: NDArray[np.bool_]
    coefficient: Mapping[str, Array]

    def factor(self, rule: str) -> Array:
        """Return the factor on a coefficient by draw, 1 where it was not fitted, shape (D,)."""
        found = self.coefficient.get(rule)
        return np.ones(len(self.temper)) if found is None else found


def draw_widely(animals: tuple[Individual, ...], draws: int, seed: int, rules: Rules) -> WideDraws:
    """Return draws of individuals, of sizes and sexes not told, and of the fitted coefficients.

    Notes
    -----
    Strength and temper are those of :func:`draw`. A length not told is log-normal about what was
    taken; a sex not told is either, with even chances; coefficients are log-normal about their
    fitted values and independent, which makes intervals rather too wide than too narrow.
    """
    strength, temper = draw(animals, draws, seed, rules)
    size = np.ones_like(strength)
    male = np.zeros(strength.shape, dtype=bool)
    names = _identities(animals)
    for animal in animals:
        n, key = animal.index, zlib.crc32(f"{names[animal.index]}|{seed}".encode())
        if animal.party.length_sigma > 0.0:
            size[:, n] = np.exp(animal.party.length_sigma * _quantiles(key ^ 0x2C9D, draws))
        drawn = _quantiles(key ^ 0x71E3, draws) < 0.0
        male[:, n] = drawn if animal.sex is Sex.UNKNOWN else animal.sex is Sex.MALE
    return WideDraws(strength, size, temper, male, _coefficients(draws, seed))


def _coefficients(draws: int, seed: int) -> dict[str, Array]:
    def factor(name: str, spread: float) -> Array:
        return np.asarray(np.exp(spread * _quantiles(zlib.crc32(f"{name}|{seed}".encode()), draws)))

    return {name: factor(name, spread) for name, spread in coefficient_spreads().items()}
