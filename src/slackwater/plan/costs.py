"""What each release costs the others: pair doses by who comes first, from one coarse field."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.question import Question
from slackwater.rules import Rules
from slackwater.society.attacks import Constants, constants, contest
from slackwater.society.company import Individual, Situation
from slackwater.society.field import edge_for, party_rates, settle_company, stage_of
from slackwater.society.harm import harm_per_day

Array = NDArray[np.float64]

TOGETHER, FIRST, LATER = 0.0, 1.0, -1.0


@dataclass(frozen=True)
class PairDoses:
    """Doses between the animals of the finished company, by who was there first.

    `first[i, j]` is what j takes from i when i was there before j, `later[i, j]` when i came
    after it, `together[i, j]` when both came on one day: attacks an hour times harm per attack
    and the share of j's water within reach. [1/h]
    """

    first: Array
    later: Array
    together: Array
    tolerated: Array
    item: NDArray[np.int64]
    resident: NDArray[np.bool_]


def _rates(situation: Situation, fixed: Constants, start: float, rules: Rules) -> Array:
    """Return central rates without encounter, i's head start over j as given. [1/h]"""
    lengths = np.array([a.length_cm for a in situation.animals])
    ratio = np.log(lengths[:, None] / lengths[None, :])
    won = contest(ratio, np.full(ratio.shape, start), fixed.slope, rules)
    lead = 1.0 + (rules["head_start_most"] - 1.0) * max(start, 0.0)
    rate = fixed.base * won * lead * rules["familiar_rest"] * fixed.weapon[:, None]
    np.fill_diagonal(rate, 0.0)
    return np.asarray(rate)


def pair_doses(question: Question, rules: Rules) -> PairDoses:
    """Return the pair doses of the finished company at search resolution.

    Encounter and exposure are those of everyone together in the first rock layout, released on
    one day; head start and contest then follow from who came first. Released animals of one wish
    count as one item.
    """
    together = {w.key: 0.0 for w in question.wishes}
    situation = question.situation(together, layouts=1)
    animals = situation.animals
    fixed = constants(situation, rules)
    field = settle_company(situation, situation.rockworks[0], fixed, rules, edge_for(situation, fine=False))
    here = np.ones(len(field.leaders), dtype=bool)
    stage = stage_of(field, party_rates(situation, fixed, 1.0, rules), here, rules)
    party = np.array([a.party_index for a in animals])
    meet = stage.meet[np.ix_(party, party)] * stage.exposed[party][None, :]
    residents = len(question.residents)
    group = np.array(
        [-1] * residents
        + [next(g for g, m in enumerate(question.groups) if n in m) for n in range(len(question.wishes))]
    )
    return PairDoses(
        first=_rates(situation, fixed, FIRST, rules) * meet,
        later=_rates(situation, fixed, LATER, rules) * meet,
        together=_rates(situation, fixed, TOGETHER, rules) * meet,
        tolerated=rules["x0_per_h"] * fixed.boldness,
        item=group[party],
        resident=party < residents,
    )


@dataclass(frozen=True)
class Burdens:
    """Burdens of items (wishes) by who stands before them, from pair doses."""

    doses: PairDoses
    rules: Rules
    items: int

    def of(self, last: int, before: frozenset[int]) -> float:
        """Return the hazard of the worst-off animal of an item released after `before`. [1/d]

        It never falls as `before` grows: an attacker with a head start deals no less than one
        that came later.
        """
        d = self.doses
        members = np.flatnonzero(d.item == last)
        ahead = d.resident | np.isin(d.item, list(before))
        same = d.item == last
        parts = np.where(ahead[:, None], d.first, np.where(same[:, None], d.together, d.later))
        dose = parts[:, members].sum(axis=0)
        return float(harm_per_day(dose, d.tolerated[members], self.rules).max())

    def of_residents(self) -> float:
        """Return the hazard of the worst-off resident, which no order changes. [1/d]"""
        d = self.doses
        if not d.resident.any():
            return 0.0
        parts = np.where(d.resident[:, None], d.first, d.later)
        dose = parts[:, d.resident].sum(axis=0)
        return float(harm_per_day(dose, d.tolerated[d.resident], self.rules).max())

    def cost(self) -> Array:
        """Return cost[i, j], paid when item i is released before item j. [1/d]

        What both take from each other then, each alone: the sum over their members.
        """
        out = np.zeros((self.items, self.items))
        for i in range(self.items):
            for j in range(self.items):
                if i != j:
                    out[i, j] = self._harm(i, j, self.doses.first) + self._harm(j, i, self.doses.later)
        return out

    def _harm(self, i: int, j: int, dose: Array) -> float:
        d = self.doses
        block = dose[np.ix_(d.item == i, d.item == j)].sum(axis=0)
        return float(harm_per_day(block, d.tolerated[d.item == j], self.rules).sum())


def leaders(animals: tuple[Individual, ...]) -> dict[str, Individual]:
    """Return the first animal of each party, by key."""
    first: dict[str, Individual] = {}
    for animal in animals:
        first.setdefault(animal.party.key, animal)
    return first
