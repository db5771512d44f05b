"""From attacks to harm: hazards per day, the worst 90 days, comfort and mood."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules

Array = NDArray[np.float64]

WINDOW_DAYS = 90.0
OUTCOMES = ("eaten", "fought", "bitten", "outcompeted", "cramped", "unmet need", "jumped")


class Ease(StrEnum):
    """Comfort of an animal in four words of our own."""

    AT_EASE = "at ease"
    JOSTLED = "jostled"
    PRESSED = "pressed"
    BESIEGED = "besieged"


class Mood(StrEnum):
    """Mood of a tank: that of its worst-off animal."""

    SETTLED = "settled"
    UNEASY = "uneasy"
    IN_TROUBLE = "in trouble"


def ease(p: float, rules: Rules) -> Ease:
    """Return the word for a chance of harm over 90 days: below 2 %, 10 %, 35 %, above."""
    if p < rules["ease.at_ease"]:
        return Ease.AT_EASE
    if p < rules["ease.jostled"]:
        return Ease.JOSTLED
    return Ease.PRESSED if p < rules["ease.pressed"] else Ease.BESIEGED


def mood(p: float, rules: Rules, *, any_eaten: bool) -> Mood:
    """Return the mood of a tank whose worst-off animal has a chance of harm p."""
    word = ease(p, rules)
    if any_eaten or word is Ease.BESIEGED:
        return Mood.IN_TROUBLE
    return Mood.UNEASY if word is Ease.PRESSED else Mood.SETTLED


def harm_per_day(dose: Array, tolerated: Array, rules: Rules) -> Array:
    """Return the hazard of attacks received, kappa X^2 / (X + X0). [1/d]

    Parameters
    ----------
    dose
        X: attacks an hour times the share of usable water inside attackers' reach. [1/h]
    tolerated
        X0, scaled by boldness. [1/h]
    rules
        The coefficients.

    Notes
    -----
    No dose-response from chases to harm was ever measured in a fish: kappa and X0 are
    assumptions and are shown as such.
    """
    return np.asarray(rules["kappa"] * dose**2 / (dose + tolerated))


@dataclass(frozen=True)
class Window:
    """The worst 90 days of one animal: first and last day, and integrated hazards by outcome."""

    start: float
    end: float


def cumulative(days: Array, hazard: Array) -> Array:
    """Return the integral of a hazard from the first node on, by the trapezoid rule.

    `hazard` has the time nodes first, shape (T, ...); repeated days mark a jump. [-]
    """
    width = np.diff(days).reshape((-1,) + (1,) * (hazard.ndim - 1))
    steps = 0.5 * (hazard[1:] + hazard[:-1]) * width
    return np.concatenate([np.zeros_like(hazard[:1]), np.cumsum(steps, axis=0)])


def at(days: Array, integral: Array, day: float) -> Array:
    """Return a cumulative hazard at a day between nodes, by linear interpolation."""
    return np.asarray(at_days(days, integral, np.array([day]))[0])


def at_days(days: Array, integral: Array, when: Array) -> Array:
    """Return a cumulative hazard at several days between nodes; those days come first."""
    k = np.clip(np.searchsorted(days, when, side="right") - 1, 0, len(days) - 2)
    span = days[k + 1] - days[k]
    share = np.where(span > 0.0, np.minimum((when - days[k]) / np.where(span > 0.0, span, 1.0), 1.0), 0.0)
    share = share.reshape((-1,) + (1,) * (integral.ndim - 1))
    return np.asarray((1.0 - share) * integral[k] + share * integral[k + 1])


def windows(days: Array, first_day: float, horizon: float) -> list[Window]:
    """Return the candidate windows of 90 days from an animal's release to the horizon."""
    starts = sorted({float(d) for d in days if d >= first_day - 1e-9})
    fits = [s for s in starts if s + WINDOW_DAYS <= horizon + 1e-9]
    if not fits:
        return [Window(first_day, horizon)]
    return [Window(s, s + WINDOW_DAYS) for s in fits]


def window_weights(days: Array, window: Window) -> Array:
    """Return what each node counts in the integral of a hazard over a window, shape (T,). [d]

    The integral is linear in the nodes, by the trapezoid rule as :func:`cumulative` takes it.
    """
    each = cumulative(days, np.eye(len(days)))
    return at(days, each, window.end) - at(days, each, window.start)
