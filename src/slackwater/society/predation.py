"""Eaten: depth against gape, length against length, by hunting style."""

from __future__ import annotations

import math

from slackwater.rules import Rules
from slackwater.society.company import Individual

_MILLIMETRE_CM = 0.1


def fits(predator: Individual, prey: Individual, day: float, rules: Rules) -> float:
    """Return how surely the prey fits the predator's mouth on a day. [0 to 1]

    Notes
    -----
    Edible iff 0.9 times body depth <= g * standard length of the predator ([mihalitsis2017]: g
    0.27 grouper, 0.20 hawkfish; 0.9 for compression assumed) and the prey is short enough; both
    limits are softened so that a millimetre does not turn the answer.
    """
    depth, length = over_limits(predator, prey, day, rules)
    return _below(depth, rules) * _below(length, rules)


def over_limits(predator: Individual, prey: Individual, day: float, rules: Rules) -> tuple[float, float]:
    """Return depth over gape and length over reach, infinite where nothing can be swallowed. [-]"""
    hunter, quarry = predator.species, prey.species
    long_cm = predator.length_at(day - predator.party.day)
    prey_cm = prey.length_at(day - prey.party.day)
    gape_cm = hunter.number("gape_ratio") * hunter.standard_length_cm(long_cm)
    reach_cm = hunter.number("prey_length_ratio") * long_cm
    if gape_cm <= 0.0 or reach_cm <= 0.0:
        return math.inf, math.inf
    depth_cm = rules["compression"] * quarry.body_depth_cm(prey_cm)
    return depth_cm / gape_cm, prey_cm / reach_cm


def _below(ratio: float, rules: Rules) -> float:
    if math.isinf(ratio):
        return 0.0
    x = (ratio - 1.0) / rules["gape_softness"]
    return 1.0 / (1.0 + math.exp(min(max(x, -40.0), 40.0)))


def hunts(animal: Individual, rules: Rules) -> bool:
    """Return whether an animal eats fish at all, in any way."""
    appetite = rules.words("appetite")[animal.species.word("appetite_fish")]
    return appetite > 0.0 and rules.words("hunting")[animal.species.word("hunting")] > 0.0


def eaten_per_day(predator: Individual, prey: Individual, day: float, rules: Rules) -> float:
    """Return the hazard that one predator eats one prey. [1/d]"""
    eager = eagerness_per_day(predator, prey, rules)
    return eager * fits(predator, prey, day, rules) if eager > 0.0 else 0.0


def eagerness_per_day(predator: Individual, prey: Individual, rules: Rules) -> float:
    """Return the hazard that one predator eats one prey that fits its mouth. [1/d]"""
    hunter = predator.species
    if predator.species.name == prey.species.name and hunter.word("appetite_fish") != "main":
        return 0.0
    appetite = rules.words("appetite")[hunter.word("appetite_fish")]
    style = rules.words("hunting")[hunter.word("hunting")]
    if appetite <= 0.0 or style <= 0.0:
        return 0.0
    spared = rules.words("guard")[prey.species.word("guard")]
    return appetite * style * spared * _tiny(prey.length_cm, rules)


def _tiny(length_cm: float, rules: Rules) -> float:
    """Return the extra risk of the very small, gone within a millimetre either way of the refuge. [-]"""
    below = (rules["refuge_cm"] + _MILLIMETRE_CM - length_cm) / (2.0 * _MILLIMETRE_CM)
    return 1.0 + (rules["tiny_prey"] - 1.0) * min(max(round(below, 9), 0.0), 1.0)
