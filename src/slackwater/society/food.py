"""Outcompeted: a race for the food, and feeds too few for the kind."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Individual, Keeping

Array = NDArray[np.float64]


def eager(animal: Individual, rules: Rules) -> float:
    """Return how strongly an animal takes part in the race: speed and size. [-]"""
    speed = rules.words("speed")[animal.species.word("feeding_speed")]
    return speed * float((animal.length_cm / 10.0) ** 0.5)


def starved_share(
    animal: Individual, company: tuple[Individual, ...], keeping: Keeping, rules: Rules
) -> float:
    """Return the share of its food that an animal goes without. [0 to 1]

    Notes
    -----
    Its own share of a meal is w / (w + rivals / (stations * feeds)), with rivals that eat the
    same food at the same level counted in full. Feeds below the kind's need take their part
    too. Grazers, pod pickers and sifters feed all day and stand outside part of the race.
    Assumed throughout.
    """
    need = animal.species.number("feeds_needed")
    alone = grazes(animal)
    short = max(0.0, 1.0 - keeping.feeds_per_day / max(need, 0.1)) * (1.0 - alone)
    rivals = sum(
        eager(other, rules) * _same_food(animal, other) for other in company if other.index != animal.index
    )
    spread = max(keeping.stations, 1) * max(keeping.feeds_per_day, 0.25) / 2.0
    spread *= rules["both_ends"] if keeping.food_both_ends else 1.0
    spread *= rules["strong_first"] if keeping.strong_first else 1.0
    mine = eager(animal, rules)
    crowd = rivals / (spread * rules["race_room"])
    lost = crowd / (mine + crowd) * (1.0 - alone)
    return float(min(1.0, short + rules["race_weight"] * lost**2))


def grazes(animal: Individual) -> float:
    """Return the share of its food that it finds by itself all day. [-]"""
    diet = animal.species.diet
    picks = 0.6 if animal.species.word("special_food") == "pods" else 0.0
    return min(0.9, diet["algae"] + diet["detritus"] + 0.2 * diet["benthos"] + picks)


def _same_food(a: Individual, b: Individual) -> float:
    mine, theirs = a.species.diet, b.species.diet
    overlap = sum(min(mine[kind], theirs[kind]) for kind in mine)
    near = 1.0 if a.species.word("feeds_at") == b.species.word("feeds_at") else 0.5
    own = 0.5 if a.species.name == b.species.name else 1.0
    return overlap * near * own


def starving_per_day(share: float, animal: Individual, rules: Rules) -> float:
    """Return the hazard from going short, rising with the square of the share missed. [1/d]"""
    fragile = rules.words("fragile")[animal.species.word("hardiness")]
    over = max(0.0, share - rules["starve_from"])
    return rules["starve_per_d"] * fragile * over**2
