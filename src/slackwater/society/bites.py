"""Bitten: eaters of fins, scales and skin, blind to order, size step and rock."""

from __future__ import annotations

from slackwater.rules import Rules
from slackwater.society.company import Individual


def bites_per_h(biter: Individual, victim: Individual, rules: Rules) -> float:
    """Return the bites an hour that a biter by habit deals one victim. [1/h]

    Notes
    -----
    By trait: whom it bites, how often, how slow and how long-finned the victim is. Common
    practice; the rates are assumed.
    """
    habit = biter.species.word("bites")
    if habit == "none" or biter.species.name == victim.species.name:
        return 0.0
    rate = rules.words("bite_rate")[biter.species.word("bite_rate")]
    return rate * _tempts(biter, victim, habit, rules)


def _tempts(biter: Individual, victim: Individual, habit: str, rules: Rules) -> float:
    slow = rules.words("bitten_slow")[victim.species.word("swim_style")]
    fins = rules.words("bitten_fins")[victim.species.word("fins")]
    if habit == "slow_or_long_finned":
        return max(slow, fins)
    if habit == "resting":
        return slow if victim.species.word("swim_style") == "rest" else 0.3 * fins
    return 1.0 if victim.length_cm > 1.2 * biter.length_cm else 0.0
