"""One animal's own temper, learnt from counted chases: gamma-Poisson, beside its species' value."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.errors import InputError
from slackwater.rules import Rules

SHOP, TANK = "shop", "tank"
_MILDER, _ROUGHER = 0.75, 1.4
_NINE_IN_TEN = 1.645
_SHOP_LOOK = "; a look in a crowded shop tank counts for little, as crowding spreads and hides a bully"


@dataclass(frozen=True)
class Tally:
    """Chases dealt by one animal, counted over some hours, in the tank or in a crowded shop cube.

    `expected_per_h` is what the model expects of an animal of ordinary temper there. [1/h]
    """

    chases: int
    hours: float
    expected_per_h: float
    where: str = TANK


@dataclass(frozen=True)
class OwnTemper:
    """An animal's temper as a factor on its species' rate: median, spread in ln, and why.

    `low` and `high` hold nine in ten of what it may be.
    """

    factor: float
    sigma: float
    low: float
    high: float
    sentence: str


def own_temper(tally: Tally, rules: Rules) -> OwnTemper:
    """Return what a tally says of one animal's temper.

    Parameters
    ----------
    tally
        What was counted, and what was expected.
    rules
        The coefficients.

    Raises
    ------
    InputError
        If chases are negative, or no time was watched.

    Notes
    -----
    The prior is the log-normal spread between individuals (sigma 0.8) as a gamma of equal mean and
    variance; chases are Poisson. A look in a crowded shop tank counts for a fifth of its hours:
    crowding there spreads and hides a bully (common practice).
    """
    _check(tally)
    weight = rules["shop_look"] if tally.where == SHOP else 1.0
    sigma = rules["temper_sigma"]
    mean, relative = math.exp(sigma**2 / 2.0), math.exp(sigma**2) - 1.0
    shape = 1.0 / relative + weight * tally.chases
    rate = 1.0 / (relative * mean) + weight * tally.hours * tally.expected_per_h
    return _told(shape, rate, tally)


def _check(tally: Tally) -> None:
    if tally.chases < 0 or not math.isfinite(tally.hours) or tally.hours <= 0.0:
        raise InputError(
            field="tally",
            given=f"{tally.chases} chases in {tally.hours:g} h",
            limit="chases cannot be negative, and some time must have been watched",
            remedy="Count for ten minutes or more, for example 3 chases in 10 min.",
        )


def _told(shape: float, rate: float, tally: Tally) -> OwnTemper:
    """Return a gamma of a shape and rate as the log-normal that the draws use."""
    mean = shape / rate
    sigma = math.sqrt(math.log(1.0 + 1.0 / shape))
    median = mean * math.exp(-(sigma**2) / 2.0)
    reach = math.exp(_NINE_IN_TEN * sigma)
    word = "milder than" if median < _MILDER else "rougher than" if median > _ROUGHER else "much like"
    low, high = median / reach, median * reach
    said = (
        f"{word} its kind, {median:.1f} times, nine in ten between {low:.1f} and {high:.1f} "
        f"({tally.chases} chases in {tally.hours:g} h{_SHOP_LOOK if tally.where == SHOP else ''})"
    )
    return OwnTemper(median, sigma, low, high, said)
