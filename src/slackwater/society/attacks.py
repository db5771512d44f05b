"""Attack rates as products of named factors, for every draw at once.

lambda_ij = a_i S_ij C_ij Q_ij R_ij F_ij H B_ij E_ij, attacks per hour of daylight, i attacks j.
Then limited time and dilution, then third parties.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.bonds import acceptance, bonds
from slackwater.society.company import Individual, Keeping, Sex, Situation
from slackwater.society.recognition import Kin, kin, recognition

Array = NDArray[np.float64]

_FED_HOURS = 8.0


def temper_per_h(animal: Individual, rules: Rules) -> float:
    """Return a_i, attacks on an equal stranger of its own species always in view. [1/h]

    Young animals are milder: the rate falls to a share below half of adult length (common
    practice; the shape is assumed).
    """
    base = rules.words("temper")[animal.species.word("temper_own")]
    return base * grown_temper(animal, rules) * animal.party.own_temper


def grown_temper(animal: Individual, rules: Rules) -> float:
    """Return the share of its adult temper that an animal of this length shows. [-]"""
    grown = animal.length_cm / animal.species.number("adult_length_cm")
    full = 1.0 / (1.0 + np.exp(-(grown - rules["temper_half_grown"]) / 0.12))
    return float(rules["temper_young"] + (1.0 - rules["temper_young"]) * full)


def hunger(keeping: Keeping, animals: int, rules: Rules) -> float:
    """Return H: hours since food and its layout. [-]

    Notes
    -----
    Flat for 8 h after a meal, then rising 1 + h (1 - exp(-(t - 8)/8)), averaged over the interval
    between feeds ([sakakura1998]: equal to 8 h, highest at 24 h). More stations than rivals calm;
    places for food count for what they are worth (`society/stations.py`).
    """
    interval = 24.0 / max(keeping.feeds_per_day, 0.1)
    hours = np.linspace(0.0, interval, 49)
    late = 1.0 - np.exp(-np.maximum(hours - _FED_HOURS, 0.0) / _FED_HOURS)
    hungry = 1.0 + rules["hunger"] * float(late.mean())
    crowd = min(animals / keeping.stations_felt(), rules["station_crowd"])
    layout = rules["station_calm"] + (1.0 - rules["station_calm"]) * crowd / rules["station_crowd"]
    return hungry * float(layout)


def slopes(animals: tuple[Individual, ...], rules: Rules) -> Array:
    """Return the contest slope: 16 within a species, 8 within a genus, 3 between others. [-]"""
    n = len(animals)
    out = np.full((n, n), rules["contest.others"])
    for a in animals:
        for b in animals:
            if a.species.name == b.species.name:
                out[a.index, b.index] = rules["contest.own"]
            elif a.species.genus == b.species.genus:
                out[a.index, b.index] = rules["contest.genus"]
    return out


def contest(log_ratio: Array, start: Array, slope: Array, rules: Rules) -> Array:
    """Return Q_ij from relative length and residency, broadcasting over draws. [-]

    Parameters
    ----------
    log_ratio
        ln(L_i / L_j), shape (..., n, n).
    start
        Head start of i over j minus that of j over i, shape (n, n).
    slope
        Contest slopes, shape (n, n).
    rules
        The coefficients.

    Notes
    -----
    P = logistic(slope ln(L_i/L_j) + slope ln(1.06) head start): a resident's lead equals 6 % of
    length [rhodes1998]. Within a genus Q = P [q0 + (1 - q0) exp(-(ln(L_i/L_j)/w)^2)]: attacks fall
    off as the size gap opens [ang2010]; between others Q = P.
    """
    edge = np.log(1.0 + rules["residency_length"])
    wins = 1.0 / (1.0 + np.exp(-np.clip(slope * (log_ratio + edge * start), -40.0, 40.0)))
    gap = np.exp(-((log_ratio / rules["gap_width"]) ** 2))
    near = rules["gap_floor"] + (1.0 - rules["gap_floor"]) * gap
    within = slope >= rules["contest.genus"]
    return np.asarray(wins * np.where(within, near, 1.0))


def activity(animals: tuple[Individual, ...], rules: Rules) -> Array:
    """Return how far two are about at the same hours, [i, j]. [-]"""
    day = {"day": 1.0, "dusk": 0.6, "both": 0.8, "night": rules["night_share"]}
    share = np.array([day[a.species.word("activity")] for a in animals])
    return np.asarray(np.minimum(share[:, None], 1.0) * np.sqrt(share[None, :]))


def breeders(animals: tuple[Individual, ...], keeping: Keeping, rules: Rules) -> Array:
    """Return how much of the time each animal guards a host or nest, shape (n,). [0 to 1]"""
    out = np.zeros(len(animals))
    for a in animals:
        guard = a.species.word("breeding_guard")
        mates = [
            b
            for b in animals
            if b.index != a.index and b.species.name == a.species.name and {a.sex, b.sex} == _BOTH
        ]
        host = guard == "host" and keeping.has_host
        if guard != "none" and mates:
            out[a.index] = 1.0 if host else rules["nest_share"]
        elif host:
            out[a.index] = 0.5
    return out


_BOTH = {Sex.MALE, Sex.FEMALE}


@dataclass(frozen=True)
class Constants:
    """The factors that neither time nor draws change."""

    temper_per_h: Array
    recognition: Array
    bond: Array
    accepted: Array
    slope: Array
    activity: Array
    breeding: Array
    hunger: float
    weapon: Array
    boldness: Array
    relation: NDArray[np.int64]

    @property
    def base(self) -> Array:
        """a_i S_ij C_ij H activity_ij. [1/h]"""
        product = self.temper_per_h[:, None] * self.recognition * self.bond * self.activity
        return np.asarray(product * self.hunger)


def constants(situation: Situation, rules: Rules) -> Constants:
    """Return the constant factors of a company."""
    animals = situation.animals
    n = len(animals)
    weapon, bold = rules.words("weapon"), rules.words("bold")
    same = np.zeros((n, n))
    relation = np.zeros((n, n), dtype=np.int64)
    for a in animals:
        for b in animals:
            if a.index != b.index:
                same[a.index, b.index] = recognition(a.species, b.species, rules)
            relation[a.index, b.index] = int(kin(a.species, b.species, rules))
    rivals = sum(1 for a in animals if a.party.day <= situation.horizon_days)
    return Constants(
        temper_per_h=np.array([temper_per_h(a, rules) for a in animals]),
        recognition=same,
        bond=bonds(situation, rules),
        accepted=acceptance(situation, rules),
        slope=slopes(animals, rules),
        activity=activity(animals, rules),
        breeding=breeders(animals, situation.keeping, rules),
        hunger=hunger(situation.keeping, rivals, rules),
        weapon=np.array([weapon[a.species.word("weapon")] for a in animals]),
        boldness=np.array([bold[a.species.word("boldness")] for a in animals]),
        relation=relation,
    )


def diluted(rate: Array, temper: Array, rules: Rules) -> Array:
    """Return rates after limited time and dilution: total L becomes L / (1 + L / L_max).

    L_max = min(3 a_i, 180 per hour): a bout costs time ([craig1996]: 2.4 s each).

    Parameters
    ----------
    rate
        lambda_ij, shape (D, n, n). [1/h]
    temper
        a_i, shape (D, n). [1/h]
    rules
        The coefficients.
    """
    total = rate.sum(axis=-1, keepdims=True)
    most = np.minimum(rules["budget_tempers"] * temper, rules["budget_per_h"])[..., None]
    return np.asarray(rate / (1.0 + total / np.maximum(most, 1e-9)))


def restrained(rate: Array, log_ratio: Array, sees: Array, rules: Rules) -> Array:
    """Return rates after third parties: times (1 - s) for each that dominates i and sees it.

    `s` grows with the size ratio to 0.5 (no reef coefficient: assumed). `sees[k, i]` is the share
    of i's time in view of k. Shape of `rate` and `log_ratio`: (D, n, n).
    """
    over = 1.0 / (1.0 + np.exp(-(log_ratio - rules["third_ratio"]) / rules["third_width"]))
    calm = 1.0 - rules["third_most"] * over * sees
    n = rate.shape[-1]
    calm = np.where(np.eye(n, dtype=bool), 1.0, calm)
    factor = calm.prod(axis=-2)
    return np.asarray(rate * factor[..., :, None])


def settled(days: Array, accepted: Array, rules: Rules) -> Array:
    """Return F: 1 towards a stranger, falling to f_inf towards a settled neighbour. [-]

    Parameters
    ----------
    days
        Days since two met. [d]
    accepted
        What is left of C once a latecomer has its place in a group, 1 between all others.
    rules
        The coefficients.

    Notes
    -----
    f_inf + (1 - f_inf) exp(-t / tau); 0.41 of chases and 0.61 of interactions remain towards
    neighbours (parrotfishes), within 4 days. A group lets a latecomer in over `join_days`.
    """
    known = np.maximum(days, 0.0)
    rest = rules["familiar_rest"]
    calm = rest + (1.0 - rest) * np.exp(-known / rules["familiar_days"])
    joined = accepted + (1.0 - accepted) * np.exp(-known / rules["join_days"])
    return np.asarray(calm * joined)


__all__ = [
    "Constants",
    "Kin",
    "activity",
    "breeders",
    "constants",
    "contest",
    "diluted",
    "grown_temper",
    "hunger",
    "restrained",
    "settled",
    "slopes",
    "temper_per_h",
]
