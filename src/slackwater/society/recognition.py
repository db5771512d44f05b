"""How alike two animals look and live, and so how far one takes the other for a rival."""

from __future__ import annotations

import functools
import math
from enum import IntEnum

from slackwater.rules import Rules
from slackwater.taxa.colour import areas, colour_likeness
from slackwater.taxa.facts import Species
from slackwater.taxa.relatedness import divergence


class Kin(IntEnum):
    """What j is to i, nearest first."""

    OWN = 0
    LOOKALIKE = 1
    CONGENER = 2
    GUILD = 3
    STRANGER = 4


LADDER_CM = (7.5, 15.0, 30.0, 60.0, 120.0)

_REMEMBERED = 1 << 16

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


def look_likeness(a: Species, b: Species, rules: Rules) -> float:
    """Return how alike two animals look: form first, colour within it. [0 to 1]

    Notes
    -----
    form * (1 - w + w * colour), with colour from the shares of named areas (CIEDE2000): body form
    counts before colour between species [thresher1976]; w is assumed.
    """
    form = form_likeness(a, b)
    if form <= 0.0:
        return 0.0
    colour = colour_likeness(_dress(a.text("colours")), _dress(b.text("colours")))
    weight = rules["colour_weight"]
    return form * (1.0 - weight + weight * colour)


@functools.lru_cache(maxsize=2048)
def _dress(text: str) -> dict[str, float]:
    return areas(text)


def diet_overlap(a: Species, b: Species) -> float:
    """Return Schoener's overlap of two diets, 1 - half the sum of absolute differences. [-]"""
    mine, theirs = a.diet, b.diet
    return 1.0 - 0.5 * sum(abs(mine[kind] - theirs[kind]) for kind in mine)


def food_rivalry(a: Species, b: Species, rules: Rules) -> float:
    """Return how far two species are after food that can be kept from the other. [0 to 1]

    Notes
    -----
    Schoener's overlap in which plankton counts for less, since what drifts by cannot be defended
    ([brown1964]; algal competitors are attacked, carnivores not [low1971]), and food taken off
    the sand is not the food taken off the rock: times 1 - the difference in how closely they keep
    to rock. The share of plankton is assumed.
    """
    drifting = min(a.diet["plankton"], b.diet["plankton"])
    defended = diet_overlap(a, b) - (1.0 - rules["plankton_defended"]) * drifting
    apart = abs(a.number("structure_use") - b.number("structure_use"))
    return defended * (1.0 - rules["ground_apart"] * apart)


def same_home(a: Species, b: Species) -> float:
    """Return 1 where two species live in the same kind of home on the same level, else 0. [-]

    Open water is nobody's home, so sharing it does not count.
    """
    mine = a.word("home_kind")
    if mine == "open_water" or mine != b.word("home_kind"):
        return 0.0
    return 1.0 if a.word("level") == b.word("level") else 0.7


@functools.lru_cache(maxsize=_REMEMBERED)
def kin(a: Species, b: Species, rules: Rules) -> Kin:
    """Return what `b` is to `a`."""
    if a.name == b.name:
        return Kin.OWN
    if b.name in a.lookalikes or a.name in b.lookalikes:
        return Kin.LOOKALIKE
    if a.genus == b.genus:
        return Kin.CONGENER
    alike = look_likeness(a, b, rules) * max(food_rivalry(a, b, rules), same_home(a, b))
    return Kin.GUILD if alike >= rules["guild_likeness"] else Kin.STRANGER


def kinship(age_ma: float, rules: Rules) -> float:
    """Return S between congeners of ordinary temper by divergence time, 0.06 to 0.55. [-]

    Notes
    -----
    0.06 + 0.49 exp(-t / T): the bounds are the two measured ratios [stegastes_data], the fall
    with divergence is assumed.
    """
    low, high = rules["congener_least"], rules["congener_most"]
    return low + (high - low) * math.exp(-age_ma / rules["congener_ma"])


def congener_share(a: Species, b: Species, rules: Rules) -> float:
    """Return S of `a` towards `b` of its own genus: kinship times its temper towards its genus. [-]"""
    share = kinship(divergence(a, b).age_ma, rules) * rules.words("congener")[a.word("temper_genus")]
    return min(share, rules["congener_cap"])


def stranger_share(a: Species, b: Species, rules: Rules) -> float:
    """Return S of `a` towards `b` of another genus, before intolerance. [-]

    Notes
    -----
    base + span * look * max(rivalry for food, same kind of home), and a little more where the two
    genera parted late and share their form.
    """
    look = look_likeness(a, b, rules)
    alike = look * max(food_rivalry(a, b, rules), same_home(a, b))
    young = kinship(divergence(a, b).age_ma, rules) - kinship(rules["near_kin_ma"], rules)
    near = rules["near_kin"] * look * max(young, 0.0)
    return rules["stranger_base"] + rules["stranger_span"] * alike + near


@functools.lru_cache(maxsize=_REMEMBERED)
def recognition(a: Species, b: Species, rules: Rules) -> float:
    """Return S_ij: the attack rate of `a` on `b` as a share of that on an equal of its kind. [-]

    Notes
    -----
    Own species 1; a congener by divergence time and the temper towards its genus; a stranger by
    look, food, home and late kinship, never above what an ordinary congener gets unless it is a
    named look-alike. Intolerance t lifts all others: t + (1 - t) S, so that nobody is treated
    better than t and the more alike still draw more (assumed).
    """
    relation = kin(a, b, rules)
    if relation is Kin.OWN:
        return 1.0
    floor = rules.words("intolerance")[a.word("intolerance")]
    return floor + (1.0 - floor) * _by_relation(a, b, relation, rules)


def _by_relation(a: Species, b: Species, relation: Kin, rules: Rules) -> float:
    if relation is Kin.CONGENER:
        return congener_share(a, b, rules)
    stranger = stranger_share(a, b, rules)
    if relation is Kin.LOOKALIKE:
        kindred = congener_share(a, b, rules) if a.genus == b.genus else 0.0
        named = rules.words("lookalike")[a.word("temper_lookalike")]
        return max(named, kindred, stranger)
    return min(stranger, rules["stranger_cap"])


def reaction_radius_cm(a: Species, b: Species, length_cm: float, rules: Rules) -> float:
    """Return rho_ij, the distance at which `a` of a given length reacts to `b`. [cm]

    Notes
    -----
    Own species > congener and look-alike > guild > stranger: the order is sourced [ebersole1977],
    the distances at 10 cm of length and their growth with its square root are assumed. One that
    cruises sweeps more water in the same time than one that sits ([hutchinson2007]: encounters
    grow with speed), so its distance counts for more. Kept within the ladder 7.5 to 120 cm.
    """
    word = ("own", "congener", "congener", "guild", "stranger")[kin(a, b, rules)]
    at_ten = rules.words("reaction_cm")[word] * rules.words("roams")[a.word("swim_style")]
    return float(min(max(at_ten * (length_cm / 10.0) ** 0.5, LADDER_CM[0]), LADDER_CM[-1]))


def rung_weights(radius_cm: float) -> tuple[int, float]:
    """Return the lower rung of the ladder and the share of the next one up.

    Between two rungs the encounter is interpolated in the logarithm of the radius, so that a
    small change of length makes a small change of encounter.
    """
    steps = math.log2(radius_cm / LADDER_CM[0])
    lower = min(int(steps), len(LADDER_CM) - 2)
    return lower, steps - lower
