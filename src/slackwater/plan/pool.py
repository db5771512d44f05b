"""A wish list as one table: the least that each line deals every animal, whoever else is chosen.

Every pair is taken in its kindest order, at the homes that each would choose alone, settled, at
the median temper, one pair at a time. What breaks a cap here breaks it in any order.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.question import Question, Wanted
from slackwater.plan.room import too_small_for
from slackwater.rules import Rules
from slackwater.society.attacks import Constants, constants, contest
from slackwater.society.bites import bites_per_h
from slackwater.society.company import Individual, Situation
from slackwater.society.encounters import reach
from slackwater.society.field import Field, Rungs, edge_for, ground_of
from slackwater.society.harm import WINDOW_DAYS
from slackwater.society.needs import jumping_per_day, unmet_per_day
from slackwater.society.predation import eaten_per_day
from slackwater.society.recognition import LADDER_CM
from slackwater.society.space import room_of
from slackwater.society.use import settle, usable

Array = NDArray[np.float64]

LAST_DAYS = 365.0
_LOOKS = 9
_MINDED_PER_H = 0.1


@dataclass(frozen=True)
class Pool:
    """What each line (residents first, then wishes) deals every animal at the very least.

    `line` (n,) is the line of each animal, `fought` and `bitten` (L, n) doses [1/h], `eaten`
    (L, n) the hazard over its worst 90 days, `swallowed` (L, L) that over a year by line of
    predator and prey [-], `tolerated` (n,) X0 [1/h], `fixed_per_day` (n,) the hazard that no
    company changes, `outgrown` (L,) whether the tank is too small for all of it grown, and
    `restrained` (L, L) what line k leaves of the attacks of line i by dominating it [-].
    """

    question: Question
    rules: Rules
    animals: tuple[Individual, ...]
    line: NDArray[np.int64]
    fought: Array
    bitten: Array
    eaten: Array
    swallowed: Array
    tolerated: Array
    fixed_per_day: Array
    outgrown: NDArray[np.bool_]
    restrained: Array

    @property
    def residents(self) -> int:
        """How many of the lines live there already."""
        return len(self.question.residents)

    @property
    def wishes(self) -> tuple[Wanted, ...]:
        """The wishes, in the order of the list."""
        return self.question.wishes

    def animals_of(self, wish: int) -> NDArray[np.int64]:
        """Return the numbers of the animals of a wish."""
        return np.flatnonzero(self.line == self.residents + wish)


def pool_of(question: Question, rules: Rules) -> Pool:
    """Return the table of a whole wish list, at search resolution in the first rock layout.

    Parameters
    ----------
    question
        The tank, its residents and all wishes.
    rules
        The coefficients.
    """
    situation = question.situation({w.key: 0.0 for w in question.wishes}, layouts=1)
    animals = situation.animals
    line = np.array([a.party_index for a in animals], dtype=np.int64)
    fixed = constants(situation, rules)
    field = _naive(situation, rules)
    rate = _kindest_rates(question, situation, fixed, rules)
    fought, meet = _doses(situation, field, rate, fixed, rules)
    members = _members(line)
    count = members.sum(axis=1)
    longest_plan = rules["spacing_days"] * max(len(question.groups) - 1, 0) + 1.0
    meals = _meals(situation, longest_plan, rules) * count[:, None]
    room = room_of(question.glass)
    lines = (*question.residents, *question.wishes)
    return Pool(
        question=question,
        rules=rules,
        animals=animals,
        line=line,
        fought=fought,
        bitten=_bitten(animals, meet, members, rules),
        eaten=meals[:, line] * WINDOW_DAYS,
        swallowed=meals * count * LAST_DAYS,
        tolerated=rules["x0_per_h"] * fixed.boldness,
        fixed_per_day=np.array(
            [unmet_per_day(a, situation, rules) + jumping_per_day(a, situation, rules) for a in animals]
        ),
        outgrown=np.array([too_small_for(w.species, w.count, room, rules) for w in lines]),
        restrained=_restrained(situation, fixed, count, rules),
    )


def _members(line: NDArray[np.int64]) -> Array:
    """Return which animals belong to which line, shape (L, n)."""
    return np.asarray(np.arange(int(line.max()) + 1)[:, None] == line[None, :], dtype=float)


def _naive(situation: Situation, rules: Rules) -> Field:
    """Return the field of all lines, each at the homes it would choose alone; one pass."""
    ground = ground_of(situation.glass, situation.rockworks[0], edge_for(situation, fine=False))
    leaders = _leaders(situation)
    settled = [settle(a, ground, situation, rules) for a in leaders]
    use = np.stack([taken for taken, _ in settled], axis=1)
    open_water = np.stack([usable(a, ground, situation, rules) for a in leaders], axis=1)
    felt = reach(ground.cells, use.astype(np.float32), LADDER_CM)
    shares = np.stack([homes for _, homes in settled], axis=1)
    return Field(situation, ground, leaders, use, open_water, felt, Rungs.of(leaders, rules), shares)


def _leaders(situation: Situation) -> tuple[Individual, ...]:
    """Return the first animal of each line."""
    parties = [a.party_index for a in situation.animals]
    return tuple(situation.animals[parties.index(n)] for n in range(len(situation.parties)))


def _starts(question: Question, situation: Situation) -> Array:
    """Return whose head start no choice can change: 1 of i over j, -1 of j over i, else nan."""
    animals = situation.animals
    day = np.array([a.party.day for a in animals])
    name = np.array([a.species.name for a in animals])
    here = np.array([a.party_index < len(question.residents) for a in animals])
    settled = here[:, None] | here[None, :] | (name[:, None] == name[None, :])
    return np.asarray(np.where(settled, np.sign(day[None, :] - day[:, None]), np.nan))


def _kindest_rates(question: Question, situation: Situation, fixed: Constants, rules: Rules) -> Array:
    """Return central rates without encounter in the order kindest to j, settled, [i, j]. [1/h]"""
    length = np.array([a.length_cm for a in situation.animals])
    ratio = np.log(length[:, None] / length[None, :])
    told = _starts(question, situation)
    tried = [np.where(np.isnan(told), start, told) for start in (-1.0, 0.0, 1.0)]
    lead = rules["head_start_most"] - 1.0
    factor = np.minimum.reduce(
        [contest(ratio, s, fixed.slope, rules) * (1.0 + lead * np.maximum(s, 0.0)) for s in tried]
    )
    rate = fixed.base * factor * rules["familiar_rest"]
    np.fill_diagonal(rate, 0.0)
    return np.asarray(rate)


def _doses(
    situation: Situation, field: Field, rate: Array, fixed: Constants, rules: Rules
) -> tuple[Array, Array]:
    """Return doses by line on animals (L, n) and encounters between lines (L, L).

    The victim moves away from one attacking line at a time, and only the water within reach of
    that line counts.
    """
    line = np.array([a.party_index for a in situation.animals])
    members = _members(line)
    head = members / members.sum(axis=1, keepdims=True)
    by_line = members @ rate @ head.T
    met = [_met(situation, field, victim, by_line[:, victim], rules) for victim in range(len(by_line))]
    meet, exposed = (np.stack(part, axis=1) for part in zip(*met, strict=True))
    dealt = rate * meet[np.ix_(line, line)]
    spent = 1.0 + (dealt @ members.T)[:, line] / _most_per_h(fixed, rules)[:, None]
    hurt = dealt / spent * fixed.weapon[:, None] * exposed[np.ix_(line, line)]
    return np.asarray(members @ hurt), np.asarray(meet)


def _met(situation: Situation, field: Field, victim: int, rate: Array, rules: Rules) -> tuple[Array, Array]:
    """Return a victim's encounter with each line, and the share of its water within their reach."""
    felt = np.stack([field.felt(i, victim) for i in range(len(rate))], axis=1)
    pressure = felt * rate
    use = np.repeat(field.use[:, victim, None], len(rate), axis=1)
    nearest = field.ground.distance2.argmin(axis=0)
    for line in np.flatnonzero(rate * (use * felt).sum(axis=0) > _MINDED_PER_H):
        use[:, line], _ = settle(
            field.leaders[victim], field.ground, situation, rules, pressure[nearest, line]
        )
    stays = use * np.exp(-rules["retreat"] * np.minimum(pressure, 200.0))
    meet = (stays * felt).sum(axis=0) / np.maximum(stays.sum(axis=0), 1e-12)
    return meet, np.asarray(field.usable[:, victim] @ (pressure / (pressure + rules["quiet_per_h"])))


def _most_per_h(fixed: Constants, rules: Rules) -> Array:
    return np.asarray(np.minimum(rules["budget_tempers"] * fixed.temper_per_h, rules["budget_per_h"]))


def _restrained(situation: Situation, fixed: Constants, count: Array, rules: Rules) -> Array:
    """Return the least that line k leaves of the attacks of line i, always in view, [k, i]. [-]

    At the sizes of release or a year later, whichever restrains more.
    """
    leaders = _leaders(situation)
    awake = np.minimum(fixed.activity.max(axis=1), 1.0)[[a.index for a in leaders]]
    left = np.ones((len(leaders), len(leaders)))
    for days in (0.0, LAST_DAYS):
        length = np.array([a.length_at(days) for a in leaders])
        ratio = np.log(length[:, None] / length[None, :])
        over = 1.0 / (1.0 + np.exp(-(ratio - rules["third_ratio"]) / rules["third_width"]))
        left = np.minimum(left, 1.0 - rules["third_most"] * over * awake[:, None])
    np.fill_diagonal(left, 1.0)
    return np.asarray(left ** count[:, None])


def _bitten(animals: tuple[Individual, ...], meet: Array, members: Array, rules: Rules) -> Array:
    """Return bites by line on animals, (L, n). [1/h]"""
    line = members.argmax(axis=0)
    bites = np.array([[bites_per_h(a, b, rules) for b in animals] for a in animals])
    met = meet / (meet + rules["bite_meet"])
    return np.asarray(members @ (bites * met[np.ix_(line, line)]))


def _meals(situation: Situation, head_start_days: float, rules: Rules) -> Array:
    """Return the least hazard that one of line l eats one of line m, [l, m]. [1/d]

    Mean over a year together. Kindest: the prey came first, with the whole plan to grow in.
    """
    leaders = _leaders(situation)
    out = np.zeros((len(leaders), len(leaders)))
    for i, hunter in enumerate(leaders):
        if hunter.species.word("appetite_fish") == "none" or hunter.species.number("gape_ratio") <= 0.0:
            continue
        for j, prey in enumerate(leaders):
            if i != j:
                older = replace(prey, party=replace(prey.party, day=prey.party.day - head_start_days))
                out[i, j] = _mean_meal(hunter, older, max(hunter.party.day, prey.party.day), rules)
    return out


def _mean_meal(hunter: Individual, prey: Individual, begun: float, rules: Rules) -> float:
    days = np.linspace(begun, begun + LAST_DAYS, _LOOKS)
    return float(np.mean([eaten_per_day(hunter, prey, day, rules) for day in days]))


def greatest_dose(hazard: float, tolerated: float, rules: Rules) -> float:
    """Return the dose X at which kappa X^2 / (X + X0) reaches a hazard. [1/h]

    Parameters
    ----------
    hazard
        The hazard. [1/d]
    tolerated
        X0. [1/h]
    rules
        The coefficients.
    """
    if hazard <= 0.0:
        return 0.0
    kappa = rules["kappa"]
    return (hazard + math.sqrt(hazard * hazard + 4.0 * kappa * hazard * tolerated)) / (2.0 * kappa)
