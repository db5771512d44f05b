"""What the draws change: coefficients, sexes not told, and each animal's own temper."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.bonds import bond, display
from slackwater.society.company import Individual, Sex
from slackwater.society.draws import WideDraws
from slackwater.society.judge import Judgement
from slackwater.society.recognition import Kin, kinship
from slackwater.taxa.facts import Species
from slackwater.taxa.relatedness import divergence

Array = NDArray[np.float64]

_SEXES = (Sex.FEMALE, Sex.MALE)
_NOTHING, _MOST = 1e-12, 0.95


@dataclass(frozen=True)
class Factors:
    """What the draws change, as the kernel wants it.

    `temper`, `nest` (share of the time on guard), `weapon`, `bears` (factor on X0) and `bites` (a
    factor on bites dealt) are (D, n),
    `scale` (factor on recognition and company) (D, n, n), `open_by` (ln of the factor on the
    pressure that spoils a place) (D,), `drawn` the coefficients for all alike (D, 7).
    """

    temper: Array
    scale: Array
    nest: Array
    weapon: Array
    bears: Array
    bites: Array
    open_by: Array
    drawn: Array


def factors(verdict: Judgement, wide: WideDraws) -> Factors:
    """Return what the draws change in a judgement."""
    by_word = functools.partial(_by_word, verdict.situation.animals, wide)
    x0 = wide.factor("x0_per_h")[:, None]
    return Factors(
        temper=wide.temper * by_word("temper", "temper_own"),
        scale=_recognised(verdict, wide) * _companionable(verdict, wide),
        nest=_guarding(verdict, wide),
        weapon=verdict.fixed.weapon * by_word("weapon", "weapon"),
        bears=x0 * by_word("bold", "boldness"),
        bites=by_word("bite_rate", "bite_rate"),
        open_by=np.log(wide.factor("quiet_per_h")),
        drawn=_scalars(verdict.rules, wide),
    )


def _by_word(animals: tuple[Individual, ...], wide: WideDraws, prefix: str, trait: str) -> Array:
    """Return the factor on each animal's coefficient by its word for a trait, shape (D, n)."""
    words = [f"{prefix}.{a.species.word(trait)}" for a in animals]
    return np.stack([wide.factor(word) for word in words], axis=1)


def _scalars(rules: Rules, wide: WideDraws) -> Array:
    """Return the coefficients that count for all animals alike, by draw, shape (D, 7)."""
    names = (
        "kappa",
        "head_start_most",
        "breeding",
        "gap_floor",
        "contest.own",
        "contest.genus",
        "contest.others",
    )
    return np.stack([rules[name] * wide.factor(name) for name in names], axis=1)


def _recognised(verdict: Judgement, wide: WideDraws) -> Array:
    """Return the factor on recognition, shape (D, n, n).

    S = t + (1 - t) x: intolerance t as drawn, and x, what is owed to likeness, by the span of
    strangers, or by a harsh temper towards the genus. What a look-alike is owed is held.
    """
    rules, fixed = verdict.rules, verdict.fixed
    animals = verdict.situation.animals
    words = [a.species.word("intolerance") for a in animals]
    floor = np.array([rules.words("intolerance")[word] for word in words])[:, None]
    owed = (fixed.recognition - floor) / (1.0 - floor)
    alike = _alike(verdict, wide, owed)
    drawn = np.minimum(floor[:, 0] * _by_word(animals, wide, "intolerance", "intolerance"), _MOST)[:, :, None]
    share = drawn + (1.0 - drawn) * alike
    own = fixed.relation == Kin.OWN
    return np.asarray(np.where(own, 1.0, share / np.maximum(fixed.recognition, _NOTHING)))


def _alike(verdict: Judgement, wide: WideDraws, owed: Array) -> Array:
    """Return what is owed to likeness by draw, shape (D, n, n)."""
    rules, relation, animals = verdict.rules, verdict.fixed.relation, verdict.situation.animals
    base = np.minimum(rules["stranger_base"], owed)
    grown = wide.factor("stranger_base")[:, None, None] * base
    likeness = wide.factor("stranger_span")[:, None, None] * (owed - base)
    stranger = np.minimum(grown + likeness, np.maximum(rules["stranger_cap"], owed))
    temper = _by_word(animals, wide, "congener", "temper_genus")[:, :, None]
    congener = owed * temper * _related(verdict, wide)
    congener = np.minimum(congener, np.maximum(rules["congener_cap"], owed))
    strange = (relation == Kin.GUILD) | (relation == Kin.STRANGER)
    return np.asarray(np.where(strange, stranger, np.where(relation == Kin.CONGENER, congener, owed)))


def _related(verdict: Judgement, wide: WideDraws) -> Array:
    """Return the factor on kinship between congeners as it fades with divergence, shape (D, n, n)."""
    rules, animals = verdict.rules, verdict.situation.animals
    low, high = rules["congener_least"], rules["congener_most"]
    fades_ma = rules["congener_ma"] * wide.factor("congener_ma")
    out = np.ones((len(wide.temper), len(animals), len(animals)))
    for i, j in zip(*np.nonzero(verdict.fixed.relation == Kin.CONGENER), strict=True):
        age_ma = divergence(animals[i].species, animals[j].species).age_ma
        out[:, i, j] = (low + (high - low) * np.exp(-age_ma / fades_ma)) / kinship(age_ma, rules)
    return out


def _companionable(verdict: Judgement, wide: WideDraws) -> Array:
    """Return the factor on the company rule: its coefficients, and sexes not told, shape (D, n, n)."""
    animals, rules = verdict.situation.animals, verdict.rules
    out = np.ones((len(wide.temper), len(animals), len(animals)))
    groups = _kinds(animals, lambda kind: kind.genus)
    for a, b in ((a, b) for group in groups for a in group for b in group if a.index != b.index):
        taken = verdict.fixed.bond[a.index, b.index]
        if _either(a) or _either(b):
            out[:, a.index, b.index] = _by_sex(a, b, animals, wide, rules) / taken
        if a.species.name == b.species.name:
            out[:, a.index, b.index] *= _bond_factor(a, b, animals, wide, rules)
    return out


def _kinds(animals: tuple[Individual, ...], of: Callable[[Species], str]) -> list[list[Individual]]:
    """Return the animals that are of one name, where there are several."""
    by_name: dict[str, list[Individual]] = {}
    for a in animals:
        by_name.setdefault(of(a.species), []).append(a)
    return [group for group in by_name.values() if len(group) > 1]


def _either(animal: Individual) -> bool:
    """Say whether its sex was not told and is fixed: a kind that changes sex becomes what is wanted."""
    return animal.sex is Sex.UNKNOWN and animal.species.word("sex_change") == "none"


def _by_sex(
    a: Individual, b: Individual, animals: tuple[Individual, ...], wide: WideDraws, rules: Rules
) -> Array:
    """Return the company rule between two by their sexes as drawn, shape (D,)."""
    table = [[_bond_of(a, one, b, other, animals, rules) for other in _SEXES] for one in _SEXES]
    return np.asarray(np.array(table)[wide.male[:, a.index].astype(int), wide.male[:, b.index].astype(int)])


def _bond_of(
    a: Individual, one: Sex, b: Individual, other: Sex, animals: tuple[Individual, ...], rules: Rules
) -> float:
    first, second = _sexed(a, one), _sexed(b, other)
    if a.species.name != b.species.name:
        return display(first, second, rules)
    return bond(first, second, animals, rules)


def _sexed(animal: Individual, sex: Sex) -> Individual:
    return replace(animal, party=replace(animal.party, sex=sex)) if _either(animal) else animal


def _bond_factor(
    a: Individual, b: Individual, animals: tuple[Individual, ...], wide: WideDraws, rules: Rules
) -> Array:
    """Return the factor that the fitted coefficients of company put on a pair, shape (D,)."""
    out = np.ones(len(wide.temper))
    plain = bond(a, b, animals, rules)
    for name in (name for name in wide.coefficient if name.startswith("bond.")):
        raised = bond(a, b, animals, rules.replaced({name: math.e * rules[name]}))
        out *= wide.factor(name) ** math.log(raised / plain)
    return out


def _guarding(verdict: Judgement, wide: WideDraws) -> Array:
    """Return how much of the time each guards a host or nest, by the sexes as drawn, shape (D, n)."""
    animals, rules = verdict.situation.animals, verdict.rules
    out = np.repeat(verdict.fixed.breeding[None, :], len(wide.temper), axis=0)
    for group in _kinds(animals, lambda kind: kind.name):
        if not any(_either(a) for a in group) or group[0].species.word("breeding_guard") != "nest":
            continue
        index = [a.index for a in group]
        males = wide.male[:, index].sum(axis=1, keepdims=True)
        mated = np.where(wide.male[:, index], males < len(group), males > 0)
        out[:, index] = rules["nest_share"] * mated
    return out


def slope_of(verdict: Judgement) -> NDArray[np.int64]:
    """Return the kind of contest: 0 within a species, 1 within a genus, 2 between others, (n, n)."""
    names = np.array([a.species.name for a in verdict.situation.animals])
    genera = np.array([a.species.genus for a in verdict.situation.animals])
    within = (names[:, None] == names).astype(np.int64) + (genera[:, None] == genera)
    return np.asarray(2 - within, dtype=np.int64)


def limits(rules: Rules) -> Array:
    """Return the coefficients that no draw changes, in the order of the kernel, shape (7,)."""
    return np.array(
        [
            math.log1p(rules["residency_length"]),
            rules["gap_width"],
            rules["budget_per_h"],
            rules["budget_tempers"],
            rules["third_ratio"],
            rules["third_width"],
            rules["third_most"],
        ]
    )
