"""The company rule C: who is mate, harem or shoal to whom, and who is a rival."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Individual, Sex, Situation

Array = NDArray[np.float64]

_PAIR = 2
_JUVENILE, _HALF_STEP = 0.6, 0.05
"""Length over a mate's up to which a juvenile may still turn into its mate, told over a step either way."""


def _mates(a: Individual, b: Individual) -> bool:
    same_party = a.party_index == b.party_index
    if a.party.sex is Sex.PAIR and same_party:
        return a.number // 2 == b.number // 2
    return False


def _released_together(a: Individual, b: Individual) -> bool:
    return abs(a.party.day - b.party.day) < 1.0


def _opposite(a: Individual, b: Individual) -> bool:
    return {a.sex, b.sex} == {Sex.MALE, Sex.FEMALE}


def _kindred(animals: tuple[Individual, ...], one: Individual) -> tuple[Individual, ...]:
    """Return the animals of the same species released on the same day."""
    return tuple(a for a in animals if a.species.name == one.species.name and _released_together(a, one))


def bond(a: Individual, b: Individual, animals: tuple[Individual, ...], rules: Rules) -> float:
    """Return C_ij between two animals of one species. [-]

    Notes
    -----
    A settled pair, a harem and a shoal released together 0.05; rival males 2; a third beside a
    pair 2; young pair-formers released together between 0.05 and 1 by their chance of pairing;
    else 1. Common practice; the numbers are assumed. Two released some hours apart are in between
    (a weighted geometric mean), so that an hour does not turn the answer.
    """
    if _mates(a, b):
        return rules["bond.mates"]
    apart = min(abs(a.party.day - b.party.day), 1.0)
    together = _between(a, b, _kindred(animals, a), rules) if apart < 1.0 else 1.0
    late = _between(a, b, (), rules) if apart > 0.0 else 1.0
    return float(together ** (1.0 - apart) * late**apart)


def _between(a: Individual, b: Individual, group: tuple[Individual, ...], rules: Rules) -> float:
    """Return C for two released in one group, or on different days if there is no group."""
    rule = a.species.word("social_rule")
    together = len(group)
    if a.sex is Sex.MALE and b.sex is Sex.MALE:
        return _between_males(a, rule, together, rules)
    if Sex.PAIR in (a.party.sex, b.party.sex):
        return rules["bond.rival"] if rule != "shoal" else rules["bond.loose"]
    if not together:
        return _late_joiner(a, b, rule, rules)
    return _together(a, b, rule, group, rules)


def _between_males(a: Individual, rule: str, together: int, rules: Rules) -> float:
    """Return C between two males, `together` the size of the group that they were released in."""
    rivalry = rules.words("male_rivalry")[a.species.word("males_rival")]
    if rule in {"shoal", "any"} and together >= a.species.number("company_min"):
        return rules["bond.shoal"] * rivalry
    return rivalry


def _late_joiner(a: Individual, b: Individual, rule: str, rules: Rules) -> float:
    """Return C for animals of one species that met on different days."""
    if rule in {"shoal", "any"}:
        return rules["bond.late_shoal"]
    if rule in {"harem", "colony"} and (_opposite(a, b) or a.sex is b.sex is Sex.FEMALE):
        return rules["bond.late_harem"]
    if rule in {"pair", "pair_or_single"}:
        return float(rules["bond.late_mate"] ** (1.0 if _opposite(a, b) else _may_turn(a, b)))
    return 1.0


def _may_turn(a: Individual, b: Individual) -> float:
    """Return how surely one is a juvenile that may still become the other's mate. [0 to 1]"""
    small, large = sorted((a, b), key=lambda one: one.length_cm)
    if a.species.word("sex_change") == "none" or small.sex is not Sex.UNKNOWN:
        return 0.0
    over = _JUVENILE + _HALF_STEP - small.length_cm / large.length_cm
    return min(max(over / (2.0 * _HALF_STEP), 0.0), 1.0)


def _together(a: Individual, b: Individual, rule: str, group: tuple[Individual, ...], rules: Rules) -> float:
    """Return C for animals of one species released on one day."""
    size = len(group)
    sexed = Sex.UNKNOWN not in (a.sex, b.sex)
    if rule in {"shoal", "any"}:
        enough = size >= a.species.number("company_min")
        return rules["bond.shoal"] if enough else rules["bond.loose"]
    if rule == "colony":
        return rules["bond.colony"]
    if rule == "harem":
        return rules["bond.mates"] if sexed else rules["bond.unsexed_harem"]
    if rule in {"pair", "pair_or_single"} and size == _PAIR:
        return rules["bond.mates"] if _opposite(a, b) else rules["bond.may_pair"]
    if rule in {"pair", "pair_or_single"}:
        return rules["bond.rival"]
    return 1.0


def display(a: Individual, b: Individual, rules: Rules) -> float:
    """Return C between two species: males of one genus show off to each other as to their own. [-]

    Common practice; never below 1.
    """
    if a.species.genus != b.species.genus or not a.sex is b.sex is Sex.MALE:
        return 1.0
    return max(rules.words("male_rivalry")[a.species.word("males_rival")], 1.0)


def bonds(situation: Situation, rules: Rules) -> Array:
    """Return C[i, j] for all animals; between species 1, and more between males of a genus. [-]"""
    animals = situation.animals
    matrix = np.ones((len(animals), len(animals)))
    for a in animals:
        for b in animals:
            if a.index == b.index:
                continue
            own = a.species.name == b.species.name
            matrix[a.index, b.index] = bond(a, b, animals, rules) if own else display(a, b, rules)
    return matrix


def acceptance(situation: Situation, rules: Rules) -> Array:
    """Return what is left of C[i, j] once everyone in a group has found its place. [-]

    Notes
    -----
    One that joins a shoal or a harem late is chased until it has its place, and then treated as a
    mate or shoal mate ([coker2013]: the familiar are let in, strangers are not). A group of an
    unsexed kind that changes sex sorts itself likewise: one turns male, the others stay his
    females (common practice). 1 between all others.
    """
    animals = situation.animals
    matrix = np.ones((len(animals), len(animals)))
    for a in animals:
        for b in animals:
            if a.index != b.index and a.species.name == b.species.name:
                matrix[a.index, b.index] = _accepted(a, b, animals, rules)
    return matrix


def _accepted(a: Individual, b: Individual, animals: tuple[Individual, ...], rules: Rules) -> float:
    if a.sex is b.sex is Sex.MALE or Sex.PAIR in (a.party.sex, b.party.sex):
        return 1.0
    apart = min(abs(a.party.day - b.party.day), 1.0)
    together = _sorted(a, b, animals, rules) if apart < 1.0 else 1.0
    late = _joined(a, b, rules) if apart > 0.0 else 1.0
    return float(together ** (1.0 - apart) * late**apart)


def _sorted(a: Individual, b: Individual, animals: tuple[Individual, ...], rules: Rules) -> float:
    """Return what is left of C between two of a group released together."""
    harem = a.species.word("social_rule") == "harem"
    sorts = harem and Sex.UNKNOWN in (a.sex, b.sex) and _sorts_itself(a, animals)
    return rules["bond.mates"] / rules["bond.unsexed_harem"] if sorts else 1.0


def _joined(a: Individual, b: Individual, rules: Rules) -> float:
    """Return what is left of C between two once the later has its place."""
    rule = a.species.word("social_rule")
    if rule in {"shoal", "any"}:
        return rules["bond.shoal"] / rules["bond.late_shoal"]
    if rule in {"harem", "colony"} and (_opposite(a, b) or a.sex is b.sex is Sex.FEMALE):
        return rules["bond.mates"] / rules["bond.late_harem"]
    return 1.0


def _sorts_itself(a: Individual, animals: tuple[Individual, ...]) -> bool:
    """Return whether a group is of a kind that needs company and is large enough to sort itself."""
    least = a.species.number("company_min")
    return _PAIR < least <= len(_kindred(animals, a)) and a.species.word("sex_change") != "none"
