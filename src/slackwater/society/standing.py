"""What a tally says of rank, and how surely: bounds, who likely tops, when two changed places."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln

from slackwater.society import ranks

Array = NDArray[np.float64]

_LOW, _HIGH = 0.05, 0.95
_MOST_LN = 600.0
_MOST_CELLS, _LEAST_DRAWS = 8_000_000, 100


@dataclass(frozen=True)
class Won:
    """One animal chased off another so many times on a day."""

    on: dt.date
    who: str
    whom: str
    count: int


@dataclass(frozen=True)
class Doubt:
    """How much a tally leaves open.

    Parameters
    ----------
    clump
        Chases that come in one bout and so count as one. [-]
    draws, seed
        Of the posterior.
    """

    clump: float = 1.0
    draws: int = 1000
    seed: int = 0


@dataclass(frozen=True)
class Rank:
    """One animal's rank.

    `place` counts from 1 at the top; `place_low` and `place_high` hold nine in ten of what it may
    be, as do `norm_low` and `norm_high` of the normalised David's score; `top` is the chance that it
    ranks first; shares are of all wins and of all losses. [0 to 1]
    """

    name: str
    place: int
    place_low: int
    place_high: int
    norm: float
    norm_low: float
    norm_high: float
    top: float
    delivered: int
    received: int
    delivered_share: float
    received_share: float


def matrix(wins: Sequence[Won], names: Sequence[str]) -> Array:
    """Return how often each won against each, `[i, j]` in the order of the names."""
    at = {name: n for n, name in enumerate(names)}
    out = np.zeros((len(names), len(names)))
    if wins:
        who = np.array([at[w.who] for w in wins])
        whom = np.array([at[w.whom] for w in wins])
        np.add.at(out, (who, whom), [float(w.count) for w in wins])
    return out


def drawn_norms(wins: Array, doubt: Doubt) -> Array:
    """Return draws of the normalised David's scores, shape (draws, n). [-]

    Notes
    -----
    Each pair's share of wins is Beta(s / c + 1/2, s' / c + 1/2), c chases a bout, also where they
    never met; pairs are taken as independent. Very many animals get fewer draws.
    """
    rng = np.random.default_rng(doubt.seed)
    count = len(wins)
    upper = np.triu_indices(count, 1)
    won, lost = wins[upper] / doubt.clump, wins.T[upper] / doubt.clump
    draws = max(min(doubt.draws, _MOST_CELLS // max(count**2, 1)), _LEAST_DRAWS)
    share = np.zeros((draws, count, count))
    drawn = rng.beta(won + 0.5, lost + 0.5, size=(draws, len(won)))
    share[:, upper[0], upper[1]] = drawn
    share[:, upper[1], upper[0]] = 1.0 - drawn
    return ranks.normalised(ranks.david_scores(share))


def ranked(wins: Array, names: Sequence[str], doubt: Doubt) -> tuple[Rank, ...]:
    """Return everyone's rank, the top first.

    Parameters
    ----------
    wins
        `[i, j]`, how often i won against j.
    names
        Whose they are.
    doubt
        How much the tally leaves open.
    """
    norm = ranks.normalised(ranks.david_scores(ranks.shares(wins)))
    drawn = drawn_norms(wins, doubt)
    places = (-drawn).argsort(axis=1).argsort(axis=1) + 1
    low, high = np.quantile(drawn, (_LOW, _HIGH), axis=0)
    first, last = np.quantile(places, (_LOW, _HIGH), axis=0, method="nearest")
    given, taken, total = wins.sum(1), wins.sum(0), max(wins.sum(), 1.0)
    order = sorted(range(len(names)), key=lambda n: (-norm[n], names[n]))
    return tuple(
        Rank(
            name=names[n],
            place=place,
            place_low=int(first[n]),
            place_high=int(last[n]),
            norm=float(norm[n]),
            norm_low=float(low[n]),
            norm_high=float(high[n]),
            top=float((places[:, n] == 1).mean()),
            delivered=int(given[n]),
            received=int(taken[n]),
            delivered_share=float(given[n] / total),
            received_share=float(taken[n] / total),
        )
        for place, n in enumerate(order, start=1)
    )


@dataclass(frozen=True)
class Reversal:
    """Two that changed places: who led before, who leads since the day `on`, and the odds for it.

    `before` and `after` are the wins of the one that led before and of the other, in that order.
    """

    on: dt.date
    led: str
    leads: str
    before: tuple[int, int]
    after: tuple[int, int]
    odds: float


def reversals(wins: Sequence[Won], clump: float, least_odds: float) -> tuple[Reversal, ...]:
    """Return the pairs that changed places, and when, in the order of the days.

    Parameters
    ----------
    wins
        The tally.
    clump
        Chases that count as one. [-]
    least_odds
        Odds from which a change is told; so many times more with every pair that is sought. [-]

    Notes
    -----
    The odds are those of two shares of wins, before and after a day, against one throughout: the
    evidence of Beta(1, 1) binomials, mean over the days on which it may have changed [kass1995].
    A change is sought again on either side of one that was found.
    """
    pairs: dict[tuple[str, str], dict[dt.date, list[int]]] = {}
    for won in wins:
        pair = (won.who, won.whom) if won.who < won.whom else (won.whom, won.who)
        row = pairs.setdefault(pair, {}).setdefault(won.on, [0, 0])
        row[0 if won.who == pair[0] else 1] += won.count
    found = []
    bar = least_odds * max(len(pairs), 1)
    for pair, by_day in pairs.items():
        days = sorted(by_day)
        table = np.array([by_day[day] for day in days], float)
        found += _changes(pair, days, table, _splits(table / clump, bar))
    return tuple(sorted(found, key=lambda r: (r.on, r.led, r.leads)))


@dataclass(frozen=True)
class _Split:
    """The first day of a stretch in which two share the wins otherwise than before."""

    at: int
    odds: float


def _splits(table: Array, least_odds: float, offset: int = 0) -> list[_Split]:
    """Return where the share of wins changes: the likeliest day, then again on either side of it."""
    if len(table) < 2 or not table.sum(0).all():  # noqa: PLR2004 - one day holds no change
        return []
    first = table.cumsum(0)[:-1]
    total = table.sum(0)
    each = _evidence(first) + _evidence(total - first) - _evidence(total)
    odds = float(np.exp(np.minimum(each, _MOST_LN)).mean())
    if odds < least_odds:
        return []
    n = int(each.argmax()) + 1
    return [
        *_splits(table[:n], least_odds, offset),
        _Split(offset + n, odds),
        *_splits(table[n:], least_odds, offset + n),
    ]


def _evidence(won: Array) -> Array:
    """Return ln of the evidence of wins (..., 2) whose share is anything from 0 to 1 alike."""
    return np.asarray(betaln(won[..., 0] + 1.0, won[..., 1] + 1.0))


def _changes(
    pair: tuple[str, str], days: list[dt.date], table: Array, splits: list[_Split]
) -> list[Reversal]:
    """Return the splits at which the lead passes over; a clearer lead, or an even stretch, is none."""
    edges = [0, *(s.at for s in splits), len(days)]
    held = [table[a:b].sum(0) for a, b in pairwise(edges)]
    found, last = [], held[0]
    for split, now in zip(splits, held[1:], strict=True):
        led = 0 if last[0] >= last[1] else 1
        if now[led] < now[1 - led] and last[0] != last[1]:
            order = [led, 1 - led]
            found.append(
                Reversal(
                    days[split.at], pair[led], pair[1 - led], _two(last[order]), _two(now[order]), split.odds
                )
            )
        if now[0] != now[1]:
            last = now
    return found


def _two(wins: Array) -> tuple[int, int]:
    return int(wins[0]), int(wins[1])
