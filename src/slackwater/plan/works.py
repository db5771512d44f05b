"""How often a rung worked: what the trade expects, moved by the shop's own results."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from scipy.special import betaincinv

from slackwater.plan.rungs import Rung
from slackwater.rules import Rules
from slackwater.society.diary import Entry, RemedyBegun, RemedyEnded, Result

_FEW = 10


class Suits(StrEnum):
    """How the trade thinks of a rung against a pattern."""

    SUITS = "suits"
    MAY_HELP = "may help"
    SELDOM = "seldom helps"
    CANNOT = "cannot help"


@dataclass(frozen=True)
class Tried:
    """One recorded result of a rung against a pattern."""

    rung: str
    pattern: str
    result: Result


@dataclass(frozen=True)
class Works:
    """How likely a rung is to work.

    `mean`, `low` and `high` of the posterior, nine in ten between the two [0 to 1]; `tried` and
    `worked` count the results with this pattern here, one that only helped as a half.
    """

    mean: float
    low: float
    high: float
    tried: int
    worked: float

    @property
    def sentence(self) -> str:
        """What can honestly be said of it."""
        span = f"between {self.low:.0%} and {self.high:.0%}"
        if not self.tried:
            return f"no result here yet; the trade's word alone, taken as {span} (assumed)"
        count = f"{self.worked:g} of {self.tried} here"
        if self.tried < _FEW:
            return f"worked {count}: too few for a rate; with the trade's word {span}"
        return f"worked {count}; {span}"


def results(entries: Iterable[Entry]) -> tuple[Tried, ...]:
    """Return the results of remedies that a diary records.

    Parameters
    ----------
    entries
        Those of one tank that hold, oldest first.
    """
    begun: dict[int, RemedyBegun] = {}
    found = []
    for entry in entries:
        seen = entry.seen
        if isinstance(seen, RemedyBegun):
            begun[entry.number] = seen
        elif isinstance(seen, RemedyEnded) and seen.begun in begun:
            first = begun[seen.begun]
            found.append(Tried(first.rung, first.pattern, seen.result))
    return tuple(found)


def works(rung: Rung, mean: float, pattern: str, tried: Sequence[Tried], rules: Rules) -> Works:
    """Return how likely a rung is to work.

    Parameters
    ----------
    rung
        Which one.
    mean
        The chance before any result is known. [0 to 1]
    pattern
        What it is tried against.
    tried
        All results on record; those given up tell nothing.
    rules
        The coefficients.

    Notes
    -----
    A Beta prior worth `works.weight` results, and each result as one more, with another pattern as a
    quarter: conjugate to counts of successes [gelman2013].
    """
    weight = rules["works.weight"]
    good, bad = mean * weight, (1.0 - mean) * weight
    here, worked = 0, 0.0
    for one in tried:
        if one.rung != rung.value or one.result is Result.GIVEN_UP:
            continue
        share = _share(one.result, rules)
        counts = 1.0 if one.pattern == pattern else rules["works.other_pattern"]
        good, bad = good + counts * share, bad + counts * (1.0 - share)
        if one.pattern == pattern:
            here, worked = here + 1, worked + share
    low, high = (float(betaincinv(good, bad, q)) for q in (0.05, 0.95))
    return Works(good / (good + bad), low, high, here, worked)


def _share(result: Result, rules: Rules) -> float:
    if result is Result.WORKED:
        return 1.0
    return rules["works.helped"] if result is Result.HELPED else 0.0
