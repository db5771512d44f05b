"""How alike two animals look and live, and so how far one takes the other for a rival."""

from __future__ import annotations

import math
from enum import IntEnum

from slackwater.rules import Rules
from slackwater.taxa.facts import Species


class Kin(IntEnum):
    """What j is to i, nearest first."""

    OWN = 0
    LOOKALIKE = 1
    CONGENER = 2
    GUILD = 3
    STRANGER = 4


LADDER_CM = (7.5, 15.0, 30.0, 60.0, 120.0)

_LIKE_FORMS = (
    {"disc", "oval", "deep"},
    {"torpedo", "wrasse", "arrow"},
    {"goby", "blenny", "hawk", "dragonet"},
    {"perch", "basslet", "chromis", "oval"},
    {"wrasse", "basslet"},
    {"goby", "wrasse"},
    {"perch", "lionfish", "frog", "hawk"},
    {"box", "globe"},
    {"horse", "pipe"},
    {"chromis", "deep"},
)


def form_likeness(a: Species, b: Species) -> float:
    """Return how alike two outlines are: 1 same word, 0.5 neighbouring words, 0 else. [-]

    Notes
    -----
    Body form counts before colour between species [thresher1976]; the steps are assumed.
    """
    mine, theirs = a.word("form"), b.word("form")
    if mine == theirs:
        return 1.0
    return 0.5 if any(mine in group and theirs in group for group in _LIKE_FORMS) else 0.0


def diet_overlap(a: Species, b: Species) -> float:
    """Return Schoener's overlap of two diets, 1 - half the sum of absolute differences. [-]"""
    mine, theirs = a.diet, b.diet
    return 1.0 - 0.5 * sum(abs(mine[kind] - theirs[kind]) for kind in mine)


def same_home(a: Species, b: Species) -> float:
    """Return 1 where two species live in the same kind of home on the same level, else 0. [-]

    Open water is nobody's home, so sharing it does not count.
    """
    mine = a.word("home_kind")
    if mine == "open_water" or mine != b.word("home_kind"):
        return 0.0
    return 1.0 if a.word("level") == b.word("level") else 0.7


def kin(a: Species, b: Species, rules: Rules) -> Kin:
    """Return what `b` is to `a`."""
    if a.name == b.name:
        return Kin.OWN
    if b.name in a.lookalikes or a.name in b.lookalikes:
        return Kin.LOOKALIKE
    if a.genus == b.genus:
        return Kin.CONGENER
    alike = form_likeness(a, b) * max(diet_overlap(a, b), same_home(a, b))
    return Kin.GUILD if alike >= rules["guild_likeness"] else Kin.STRANGER


def congener_share(a: Species, rules: Rules) -> float:
    """Return S towards its own genus, between 0.06 and 0.55 unless the species is harsh. [-]"""
    return rules.words("congener")[a.word("temper_genus")]


def recognition(a: Species, b: Species, rules: Rules) -> float:
    """Return S_ij: the attack rate of `a` on `b` as a share of that on an equal of its kind. [-]

    Notes
    -----
    Own species 1; congener by the temper towards its genus; stranger
    0.02 + 0.18 * form * max(diet overlap, same kind of home), never above congeners unless `b` is
    a named look-alike, never below `a`'s own intolerance (assumed).
    """
    relation = kin(a, b, rules)
    floor = rules.words("intolerance")[a.word("intolerance")]
    if relation is Kin.OWN:
        return 1.0
    congener = congener_share(a, rules)
    if relation is Kin.CONGENER:
        return max(congener, floor)
    alike = form_likeness(a, b) * max(diet_overlap(a, b), same_home(a, b))
    stranger = rules["stranger_base"] + rules["stranger_span"] * alike
    if relation is Kin.LOOKALIKE:
        return max(rules.words("lookalike")[a.word("temper_lookalike")], stranger, floor)
    return max(min(stranger, congener), floor)


def reaction_radius_cm(a: Species, b: Species, length_cm: float, rules: Rules) -> float:
    """Return rho_ij, the distance at which `a` of a given length reacts to `b`. [cm]

    Notes
    -----
    Own species > congener and look-alike > guild > stranger: the order is sourced [ebersole1977],
    the distances at 10 cm of length and their growth with its square root are assumed. Kept
    within the ladder 7.5 to 120 cm.
    """
    word = ("own", "congener", "congener", "guild", "stranger")[kin(a, b, rules)]
    at_ten = rules.words("reaction_cm")[word]
    return float(min(max(at_ten * (length_cm / 10.0) ** 0.5, LADDER_CM[0]), LADDER_CM[-1]))


def rung_weights(radius_cm: float) -> tuple[int, float]:
    """Return the lower rung of the ladder and the share of the next one up.

    Between two rungs the encounter is interpolated in the logarithm of the radius, so that a
    small change of length makes a small change of encounter.
    """
    steps = math.log2(radius_cm / LADDER_CM[0])
    lower = min(int(steps), len(LADDER_CM) - 2)
    return lower, steps - lower
