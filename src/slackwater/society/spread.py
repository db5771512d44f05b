"""How widely attacks and harm may lie: individuals, what was not told, and the coefficients.

Encounters are held at their central values. What is drawn: strength, temper, lengths and sexes that
were not told, and the fitted coefficients, each within its own spread.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Individual
from slackwater.society.draws import WideDraws, draw_widely
from slackwater.society.harm import Ease, ease, window_weights
from slackwater.society.judge import Judgement, Lot, Span
from slackwater.society.predation import eagerness_per_day, over_limits
from slackwater.society.spread_factors import factors, limits, slope_of
from slackwater.society.spread_held import held as held_at

Array = NDArray[np.float64]

DRAWS = 500
NINE_IN_TEN = (0.05, 0.95)


@dataclass(frozen=True)
class Range:
    """Nine in ten draws lie between `low` and `high`."""

    low: float
    high: float

    @classmethod
    def of(cls, drawn: Array) -> Range:
        """Return the range of some draws, shape (D,)."""
        low, high = (float(q) for q in np.quantile(drawn, NINE_IN_TEN))
        return cls(low, high)


@dataclass(frozen=True)
class Outlook:
    """How surely one animal fares as the judgement says.

    `harm` is its chance of harm [0 to 1], `attacks` those received [1/h], both over its worst 90
    days; `sure` one of sure, fairly sure, unsure; `two_outcomes` says that a good share of the
    draws goes well and some go ill.
    """

    harm: Range
    attacks: Range
    sure: str
    two_outcomes: bool


@dataclass(frozen=True)
class Spread:
    """Draws of how everyone fares over its worst 90 days, shape (D, n) each.

    `harm` is the chance of any harm, `free` the same but for too little room [0 to 1], `attacks`
    those received [1/h].
    """

    verdict: Judgement
    harm: Array
    free: Array
    attacks: Array

    def outlook(self, lot: Lot, *, with_room: bool = True) -> Outlook:
        """Return how surely an animal fares, with or without harm by too little room."""
        n = lot.animal.index
        drawn = (self.harm if with_room else self.free)[:, n]
        said = lot.p if with_room else float(self.verdict.community_draws(lot).mean())
        return _outlook(drawn, self.attacks[:, n], said, self.verdict.rules)


def _outlook(harm: Array, attacks: Array, said: float, rules: Rules) -> Outlook:
    return Outlook(Range.of(harm), Range.of(attacks), how_sure(harm, said, rules), two_outcomes(harm, rules))


def how_sure(harm: Array, said: float, rules: Rules) -> str:
    """Return how surely draws agree with what was said on whether an animal copes.

    Parameters
    ----------
    harm
        Its chance of harm by draw, shape (D,). [0 to 1]
    said
        The chance that the answer gives. [0 to 1]
    rules
        The coefficients.
    """
    copes = rules["ease.jostled"]
    against = float(((harm < copes) != (said < copes)).mean())
    if against <= rules["spread.settled"]:
        return "sure"
    return "fairly sure" if against <= rules["spread.leaning"] else "unsure"


def two_outcomes(harm: Array, rules: Rules) -> bool:
    """Return whether draws part: a good share copes, a good share does not, and some are besieged."""
    well = float((harm < rules["ease.jostled"]).mean())
    parts = rules["spread.split"] < well < 1.0 - rules["spread.split"]
    return parts and ease(Range.of(harm).high, rules) is Ease.BESIEGED


def spread(verdict: Judgement, draws: int = DRAWS, seed: int = 0) -> Spread:
    """Return how widely everyone's attacks and harm may lie.

    Parameters
    ----------
    verdict
        The judgement, whose encounters are held.
    draws
        How many draws; each is given one of the layouts.
    seed
        The same seed gives the same draws, for any number of threads.
    """
    asked = _Asked(verdict, draw_widely(verdict.situation.animals, draws, seed, verdict.rules))
    n = len(verdict.situation.animals)
    days_of = verdict.hazards.days
    weight = np.stack([window_weights(days_of, lot.window) for lot in verdict.lots], axis=1)
    found = asked.endured(weight, np.ones(n))
    slow, room = asked.slow(weight)
    days = np.maximum(weight.sum(axis=0), 1e-9)
    free = 1.0 - np.exp(-(found[:, 0] + slow))
    harm = 1.0 - np.exp(-(found[:, 0] + slow + room))
    return Spread(verdict, harm, free, found[:, 1] / days)


@dataclass(frozen=True)
class PairOutlook:
    """Nine in ten draws of one animal's attacks on another [1/h], and of the harm by its kind."""

    attacks: Range
    harm: Range
    sure: str


def pair_outlook(
    verdict: Judgement, attacker: Individual, victim: Individual, when: tuple[Span, float]
) -> PairOutlook:
    """Return how widely one animal's attacks on another on a day, and the harm they do, may lie.

    Parameters
    ----------
    verdict
        The judgement of the company that they live in.
    attacker, victim
        Two of its animals.
    when
        The span and day of the attacks.
    """
    asked = _Asked(verdict, draw_widely(verdict.situation.animals, DRAWS, 0, verdict.rules))
    j, animals = victim.index, verdict.situation.animals
    alone = np.array([float(a.index == attacker.index) for a in animals])
    kind = np.array([float(a.species.name == attacker.species.name) for a in animals])
    weight = np.zeros((len(verdict.moments), len(animals)))
    weight[_nearest(verdict.moments, when), j] = 1.0
    attacks = asked.endured(weight, alone)[:, 3, j]
    window = verdict.worst_window_by(attacker.species.name, victim)
    weight[:, j] = window_weights(verdict.hazards.days, window)
    harm = 1.0 - np.exp(-asked.endured(weight, kind)[:, 2, j])
    said = float(verdict.harm_by(attacker.species.name, victim.species.name).mean())
    return PairOutlook(Range.of(attacks), Range.of(harm), how_sure(harm, said, verdict.rules))


def _nearest(moments: tuple[tuple[Span, float], ...], when: tuple[Span, float]) -> int:
    """Return the moment of a span that is nearest to a day."""
    span, day = when
    return min(range(len(moments)), key=lambda m: (moments[m][0] is not span, abs(moments[m][1] - day)))


@dataclass(frozen=True)
class _Asked:
    """A judgement with the draws carried through it."""

    verdict: Judgement
    wide: WideDraws

    def endured(self, weight: Array, group: Array) -> Array:
        """Return what everyone endures by draw, as the kernel tells it, shape (D, 4, n)."""
        from slackwater import kernels_draws

        kept = np.flatnonzero(weight.any(axis=1))
        held = held_at(self.verdict, tuple(kept.tolist()))
        factor = factors(self.verdict, self.wide)
        strength = np.log(self.wide.strength) + np.log(self.wide.size)
        own = self.verdict.fixed.temper_per_h * factor.temper
        return np.asarray(
            kernels_draws.endured(
                held.size, strength, factor.temper, own, factor.scale, factor.nest, factor.weapon,
                factor.bears, factor.bites, factor.open_by, factor.drawn, held.still, held.start,
                held.near, held.sees, held.exposed, held.opens, held.bitten, held.tolerated,
                np.ascontiguousarray(weight[kept]), slope_of(self.verdict), group,
                limits(self.verdict.rules),
            )
        )  # fmt: skip

    def slow(self, weight: Array) -> tuple[Array, Array]:
        """Return the summed hazards that need no attack, by draw, and those of too little room. [-]"""
        hazards = self.verdict.hazards
        summed = {name: (weight * rows).sum(axis=0) for name, rows in hazards.slow.items()}
        starving = self.wide.factor("starve_per_d")[:, None] * summed["outcompeted"]
        rest = summed["unmet need"] + summed["jumped"]
        return starving + rest + self._eaten(weight), np.broadcast_to(summed["cramped"], starving.shape)

    def _eaten(self, weight: Array) -> Array:
        """Return the summed hazard of being eaten, with lengths as drawn, shape (D, n). [-]"""
        size = self.wide.size
        out = np.zeros(size.shape)
        for (i, j), rates in self.verdict.hazards.eaten_by.items():
            times = size[:, j] / size[:, i]
            if np.ptp(times) == 0.0:
                out[:, j] += float(weight[:, j] @ rates)
                continue
            for m in np.flatnonzero((rates > 0.0) & (weight[:, j] > 0.0)):
                day = self.verdict.moments[m][1]
                out[:, j] += weight[m, j] * _meals(self.verdict, (i, j), day, times)
        return out


def _meals(verdict: Judgement, pair: tuple[int, int], day: float, times: Array) -> Array:
    """Return the hazard that one eats another whose length over its own is so many times as told, (D,).

    As :func:`slackwater.society.predation.eaten_per_day` has it. [1/d]
    """
    hunter, prey = (verdict.situation.animals[n] for n in pair)
    rules = verdict.rules
    over = np.outer(over_limits(hunter, prey, day, rules), times)
    fits = 1.0 / (1.0 + np.exp(np.clip((over - 1.0) / rules["gape_softness"], -40.0, 40.0)))
    return np.asarray(eagerness_per_day(hunter, prey, rules) * fits.prod(axis=0))
