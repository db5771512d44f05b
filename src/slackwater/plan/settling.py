"""Is it settling? A tally against the fall that the model expects, and the day to look again."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammainc, gammaln

from slackwater.plan.tallied import Look
from slackwater.rules import Rules
from slackwater.society.judge import Judgement, central_rates
from slackwater.taxa.facts import Species

Array = NDArray[np.float64]
Curve = Callable[[float], float]
"""Chases an hour on a day, today being 0; only its shape counts. [1/h]"""

_NEVER = 1e-6
_MANY, _QUARTERS = 300, 4.0
_STEPS = (0.0, 0.5, 1.0, 2.0, 3.0, 5.0, 8.0, 14.0, 30.0, 60.0)
_TELLING_FALL = 0.9
_NINE_IN_TEN = (0.05, 0.5, 0.95)


class Outlook(StrEnum):
    """What a tally says of a quarrel."""

    SETTLING = "settling"
    OPEN = "too early to say"
    LASTING = "not settling"


@dataclass(frozen=True)
class Belief:
    """What is believed of one animal's chases of another.

    One entry for each way in which chasing may go on: `fall`, its power of the expected fall (1 as
    expected, 0 no fall, below 0 a rise); `pace`, how many times as long it takes; `weight`, how
    likely; `shape` and `rate`, a gamma of the chases an hour on day `since`. Shape (S,).
    """

    since: float
    fall: Array
    pace: Array
    weight: Array
    shape: Array
    rate: Array
    curve: Curve

    def level(self, day: float) -> Array:
        """Return the chases on a day as a share of those on day `since`, by way, shape (S,). [-]"""
        begun = max(self.curve(self.since), _NEVER)
        ratio = [max(self.curve(self.since + (day - self.since) / p), _NEVER) / begun for p in self.pace]
        return np.asarray(np.array(ratio) ** self.fall)

    def below(self, per_h: float, day: float) -> float:
        """Return the chance that fewer chases an hour than this fall on a day. [0 to 1]"""
        reach = self.rate * per_h / self.level(day)
        return float((self.weight * gammainc(self.shape, reach)).sum())

    def draws(self, day: float, count: int, seed: int) -> Array:
        """Return draws of the chases an hour on a day, shape (count,). [1/h]"""
        rng = np.random.default_rng(seed)
        way = rng.choice(len(self.fall), size=count, p=self.weight)
        return np.asarray(rng.gamma(self.shape[way], 1.0 / self.rate[way]) * self.level(day)[way])


def prior(curve: Curve, since: float, rules: Rules) -> Belief:
    """Return what is believed of chasing that began on a day, before anything is counted.

    Parameters
    ----------
    curve
        The chases expected by day.
    since
        The first day that was watched; today is 0. [d]
    rules
        The coefficients.
    """
    falls, paces = rules.words("settling_fall"), rules.words("settling_pace")
    ways = list(product(falls, paces))
    likely = rules.words("settling_way")
    weight = np.array([likely[fall] for fall, _ in ways])
    shape = 1.0 / (math.exp(rules["settling.spread"] ** 2) - 1.0)
    rate = shape / rules["settling.first_per_h"]
    many = np.ones(len(ways))
    return Belief(
        since=since,
        fall=np.array([falls[fall] for fall, _ in ways]),
        pace=np.array([paces[pace] for _, pace in ways]),
        weight=weight / weight.sum(),
        shape=shape * many,
        rate=rate * many,
        curve=curve,
    )


def updated(belief: Belief, seen: Sequence[Look], rules: Rules) -> Belief:
    """Return what is believed after more looks.

    Notes
    -----
    Counts are Poisson with the gamma of each way as its conjugate prior [gelman2013]; the ways are
    weighed by their evidence. Chases come in bouts: so many count as one (`settling.clump`, assumed).
    """
    clump = rules["settling.clump"]
    shape, rate, log = belief.shape, belief.rate, np.log(belief.weight)
    for look in seen:
        level, count = belief.level(look.day), look.count / clump
        hours = level * look.hours / clump
        log = log + _evidence(shape, rate, count, hours)
        shape, rate = shape + count, rate + hours
    weight = np.exp(log - log.max())
    return replace(belief, weight=weight / weight.sum(), shape=shape, rate=rate)


def _evidence(shape: Array, rate: Array, count: Array | float, hours: Array) -> Array:
    """Return ln of the evidence of a count, up to what is the same for all ways."""
    return np.asarray(
        shape * np.log(rate)
        - gammaln(shape)
        + gammaln(shape + count)
        - (shape + count) * np.log(rate + hours)
        + count * np.log(hours)
    )


@dataclass(frozen=True)
class NextLook:
    """When to look again, and what to count.

    `day` counts from today [d], `watches` are watches of `watch_min` minutes. Up to `settled_to` chases
    in all speak for settling, from `lasting_from` on against it; None where no count would decide.
    `decides` is the chance that this look decides. [0 to 1]
    """

    day: int
    watches: int
    watch_min: float
    settled_to: int | None
    lasting_from: int | None
    decides: float


@dataclass(frozen=True)
class Settling:
    """Whether a quarrel is settling.

    `p` is the chance that fewer than `level_per_h` chases an hour are left on day `by_day`; `now` and
    `then` are low, middle and high of the chases an hour today and on that day, nine in ten between
    the outer two. [1/h]
    """

    outlook: Outlook
    p: float
    level_per_h: float
    by_day: float
    now: tuple[float, float, float]
    then: tuple[float, float, float]
    watched_h: float
    counted: int
    next_look: NextLook


def settling(seen: Sequence[Look], curve: Curve, level_per_h: float, rules: Rules) -> Settling:
    """Return whether a quarrel is settling.

    Parameters
    ----------
    seen
        Every watch of it, oldest first; quiet ones too.
    curve
        The chases expected by day; only the shape counts.
    level_per_h
        Chases an hour up to which no harm is looked for. [1/h]
    rules
        The coefficients.
    """
    seen = gathered(seen)
    since = seen[0].day if seen else 0.0
    by_day = max(since + rules["settling.by_days"], rules["settling.least_ahead_days"])
    belief = updated(prior(curve, since, rules), seen, rules)
    p = belief.below(level_per_h, by_day)
    says = outlook(p, rules)
    watched_days = seen[-1].day - since if seen else 0.0
    if says is Outlook.SETTLING and watched_days < rules["settling.least_span_days"]:
        says = Outlook.OPEN
    return Settling(
        outlook=says,
        p=p,
        level_per_h=level_per_h,
        by_day=by_day,
        now=_spread(belief, 0.0),
        then=_spread(belief, by_day),
        watched_h=sum(look.hours for look in seen),
        counted=sum(look.count for look in seen),
        next_look=_next_look(belief, (level_per_h, by_day), says, rules),
    )


def gathered(seen: Sequence[Look]) -> Sequence[Look]:
    """Return very many looks as one for each quarter of a day; a few hundred stay as they are."""
    if len(seen) <= _MANY:
        return seen
    parts: dict[int, list[Look]] = {}
    for look in seen:
        parts.setdefault(math.floor(_QUARTERS * look.day), []).append(look)
    return [
        Look(
            sum(k.day * k.hours for k in part) / sum(k.hours for k in part),
            sum(k.hours for k in part),
            sum(k.count for k in part),
        )
        for _, part in sorted(parts.items())
    ]


def outlook(p: float, rules: Rules) -> Outlook:
    """Return what a chance of settling says."""
    if p >= rules["settling.sure"]:
        return Outlook.SETTLING
    return Outlook.LASTING if p <= 1.0 - rules["settling.sure"] else Outlook.OPEN


def _spread(belief: Belief, day: float) -> tuple[float, float, float]:
    low, middle, high = np.quantile(belief.draws(day, 4000, 1), _NINE_IN_TEN)
    return float(low), float(middle), float(high)


def _next_look(belief: Belief, end: tuple[float, float], says: Outlook, rules: Rules) -> NextLook:
    """Return the first day on which a look is likely to decide, or the longest wait that is wise."""
    if says is Outlook.LASTING:
        return _look_on(belief, 1, end, rules)
    if says is Outlook.SETTLING:
        return _look_on(belief, round(rules["settling.calm_days"]), end, rules)
    tried: list[NextLook] = []
    for day in range(1, round(rules["settling.longest_days"]) + 1):
        tried.append(_look_on(belief, day, end, rules))
        if tried[-1].decides >= rules["settling.decides"]:
            break
    return tried[-1]


def _look_on(belief: Belief, day: int, end: tuple[float, float], rules: Rules) -> NextLook:
    watches, watch_min = round(rules["settling.watches"]), rules["settling.watch_min"]
    hours, clump = watches * watch_min / 60.0, rules["settling.clump"]
    rate = belief.draws(float(day), 400, 2)
    rng = np.random.default_rng(3)
    counts = np.rint(clump * rng.poisson(rate * hours / clump)).astype(int)
    most = int(counts.max()) + 1
    chance = [
        updated(belief, [Look(float(day), hours, count)], rules).below(*end) for count in range(most + 1)
    ]
    sure = rules["settling.sure"]
    settled = [count for count, p in enumerate(chance) if p >= sure]
    lasting = [count for count, p in enumerate(chance) if p <= 1.0 - sure]
    decided = np.isin(counts, [*settled, *lasting]).mean()
    return NextLook(
        day,
        watches,
        watch_min,
        max(settled, default=None),
        min(lasting, default=None),
        float(decided),
    )


def level_per_h(victim: Species, rules: Rules) -> float:
    """Return the chases an hour up to which no harm is looked for; fewer for the timid. [1/h]"""
    return rules["settling.level_per_h"] * rules.words("settling_bold")[victim.word("boldness")]


def usual_curve(began: float, rules: Rules) -> Curve:
    """Return the usual fall of chasing between two that met on a day: towards half within days."""
    rest, days = rules["familiar_rest"], rules["familiar_days"]
    return lambda day: rest + (1.0 - rest) * math.exp(-max(day - began, 0.0) / days)


def model_curve(verdict: Judgement, pair: tuple[int, int], began: float, rules: Rules) -> Curve:
    """Return the chases that the model expects of one animal on another, by day.

    Where the model expects no fall, as between old neighbours, the usual one from the first chase on.

    Parameters
    ----------
    verdict
        The company as it stands, today being day 0.
    pair
        Who turns on whom, by index.
    began
        The day of the first chase. [d]
    rules
        The coefficients.
    """
    span = verdict.spans[0]
    there = max(verdict.situation.animals[n].party.day for n in pair)
    days = [max(began, there) + step for step in _STEPS]
    rates = [float(central_rates(verdict, span, day)["rate"][pair]) for day in days]
    if rates[-1] > _TELLING_FALL * rates[0] or rates[0] <= 0.0:
        return usual_curve(began, rules)
    return lambda day: float(np.interp(day, days, rates))
