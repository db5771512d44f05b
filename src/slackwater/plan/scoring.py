"""Forecasts held against what happened: Brier score and a calibration table, honest about small numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from scipy.special import betaincinv

from slackwater.plan.tallied import Look

EDGES = (0.0, 0.1, 0.3, 0.7, 0.9, 1.0)
"""Bounds of the classes of forecasts. [0 to 1]"""

FEW = 10
"""Forecasts below which no rate is told, only a range."""

_LEAST_WATCHED_H = 0.33
_LAST_DAYS = 4.0


@dataclass(frozen=True)
class Forecast:
    """One forecast that has come due: the chance that was told, and whether it happened. [0 to 1]"""

    p: float
    happened: bool


@dataclass(frozen=True)
class Class:
    """Forecasts of about the same chance.

    `mean` is what they said; `low` and `high` bound nine in ten of what the true share may be
    [0 to 1]; `agrees` says whether the one lies within the other.
    """

    lower: float
    upper: float
    count: int
    happened: int
    mean: float
    low: float
    high: float
    agrees: bool
    sentence: str


@dataclass(frozen=True)
class Score:
    """How good forecasts were: their Brier score, that of always telling the mean, and the classes."""

    count: int
    happened: int
    brier: float | None
    always_mean: float | None
    classes: tuple[Class, ...]
    sentence: str


def score(forecasts: Sequence[Forecast]) -> Score:
    """Return how good forecasts were.

    Notes
    -----
    Brier score: the mean of (p - o)^2 [brier1950]; bounds of a share by Jeffreys' interval, the
    Beta(k + 1/2, n - k + 1/2) between 5 and 95 % [brown2001].
    """
    count = len(forecasts)
    happened = sum(f.happened for f in forecasts)
    brier = sum((f.p - f.happened) ** 2 for f in forecasts) / count if count else None
    share = happened / count if count else 0.0
    classes = tuple(
        _class(lower, upper, found)
        for lower, upper in pairwise(EDGES)
        if (found := [f for f in forecasts if lower <= f.p < upper or (upper == 1.0 and f.p == 1.0)])
    )
    always = share * (1.0 - share) if count else None
    return Score(count, happened, brier, always, classes, _sentence(count, brier, always, classes))


def bounds(happened: int, count: int) -> tuple[float, float]:
    """Return Jeffreys' bounds of a share, nine in ten between them. [0 to 1]"""
    good, bad = happened + 0.5, count - happened + 0.5
    low = float(betaincinv(good, bad, 0.05)) if happened else 0.0
    high = float(betaincinv(good, bad, 0.95)) if happened < count else 1.0
    return low, high


def _class(lower: float, upper: float, found: list[Forecast]) -> Class:
    count, happened = len(found), sum(f.happened for f in found)
    mean = sum(f.p for f in found) / count
    low, high = bounds(happened, count)
    agrees = low <= mean <= high
    few = " Too few to tell." if count < FEW else ""
    verdict = (
        "that agrees" if agrees else "it happened more often" if mean < low else "it happened less often"
    )
    span = f"true share between {low:.0%} and {high:.0%}"
    said = f"said about {mean:.0%}, happened {happened} of {count} times ({span}): {verdict}.{few}"
    return Class(lower, upper, count, happened, mean, low, high, agrees, said)


def _sentence(count: int, brier: float | None, always: float | None, classes: tuple[Class, ...]) -> str:
    if brier is None or always is None:
        return "No forecast has come due yet."
    told = f"{count} {'forecast' if count == 1 else 'forecasts'} came due."
    if count < FEW:
        return f"{told} Too few for a score; from {FEW} on one is told."
    better = "better than" if brier < always else "no better than"
    off = sum(not one.agrees for one in classes)
    told += f" Brier score {brier:.2f}, {better} always telling the mean ({always:.2f})."
    return f"{told} {off} of {len(classes)} classes are off." if off else told


def settled(seen: Sequence[Look], by_day: float, level_per_h: float) -> bool | None:
    """Return whether a quarrel had settled by a day, None where too little was watched.

    Parameters
    ----------
    seen
        The watches.
    by_day
        The day by which it should have. [d]
    level_per_h
        Chases an hour below which it has. [1/h]
    """
    last = [k for k in seen if by_day - _LAST_DAYS <= k.day <= by_day + _LAST_DAYS]
    hours = sum(k.hours for k in last)
    if hours < _LEAST_WATCHED_H:
        return None
    return sum(k.count for k in last) / hours < level_per_h
