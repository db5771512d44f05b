"""Who ranks above whom: from a tally, or a diary, to an order that says how sure it is."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.plan.tallied import WON, everyone, wins
from slackwater.plan.wording import listed
from slackwater.rules import Rules, load_rules
from slackwater.service.tally_file import entries_in
from slackwater.society.diary import Entry, Watch
from slackwater.society.elo import Rated
from slackwater.society.elo import by_day as elo_by_day
from slackwater.society.ranks import Indices, indices
from slackwater.society.standing import Doubt, Rank, Reversal, Won, matrix, ranked, reversals

MOST_RANKED = 200

SAYS_WHO = (
    "David's score, normalised and corrected for chance, and steepness [david1987], [devries2006]; "
    "Landau's h and de Vries' h' [landau1951], [devries1995]; Kendall's K [appleby1983]; triangle "
    "transitivity [shizuka2012]; Elo rating [albers2001]. Bounds hold nine in ten; two chases count "
    "as one, since they come in bouts (assumed)."
)

_FEW_ANIMALS = 6
_STEEP, _FLAT = 0.7, 0.3
_SMALL_P = 0.05


@dataclass(frozen=True)
class Pair:
    """How often one won against another."""

    who: str
    whom: str
    count: int


@dataclass(frozen=True)
class OrderIndices:
    """The published indices of the order; None where so few animals allow none. [-]"""

    steepness: float | None
    steep_p: float | None
    landau_h: float | None
    devries_h: float | None
    linear_p: float | None
    kendall_k: float | None
    directional_consistency: float | None
    triangle_transitivity: float | None
    settled_triangles: int
    circles: int
    unknown_pairs: int
    tied_pairs: int
    pairs: int


@dataclass(frozen=True)
class RankAnswer:
    """The order that a tally tells, the top first, and how surely.

    `borne_per_h` is how often an hour each was chased or bitten in the watches of a known length,
    empty where there were none. [1/h]
    """

    sentence: str
    chases: int
    first_day: dt.date | None
    last_day: dt.date | None
    ranks: tuple[Rank, ...]
    elo: dict[str, float]
    borne_per_h: dict[str, float]
    elo_by_day: tuple[Rated, ...]
    names: tuple[str, ...]
    pairs: tuple[Pair, ...]
    indices: OrderIndices
    reversals: tuple[Reversal, ...]
    notes: tuple[str, ...]
    says_who: str


def rank_file(path: Path, today: dt.date, zone: dt.tzinfo = dt.UTC) -> RankAnswer:
    """Return the order that a tally file tells.

    Parameters
    ----------
    path
        A CSV file: date, who, whom, count, kind, minutes, or a diary as it is exported.
    today
        The day on which it is asked; no line can lie after it.
    zone
        The keeper's clock.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return rank_entries(entries_in(path, today, zone), zone)


def rank_entries(entries: Iterable[Entry], zone: dt.tzinfo = dt.UTC) -> RankAnswer:
    """Return the order that a diary tells.

    Parameters
    ----------
    entries
        Those that hold, oldest first.
    zone
        The keeper's clock.
    """
    told = tuple(entries)
    return replace(rank_wins(wins(told, zone)), borne_per_h=_borne_per_h(told))


def _borne_per_h(entries: Sequence[Entry]) -> dict[str, float]:
    timed = [e.seen for e in entries if isinstance(e.seen, Watch) and e.seen.watched_min]
    hours = sum(watch.watched_min or 0.0 for watch in timed) / 60.0
    borne: dict[str, int] = {}
    for watch in timed:
        for one in watch.chases:
            if one.how in WON:
                borne[one.whom] = borne.get(one.whom, 0) + one.count
    return {name: count / hours for name, count in sorted(borne.items())}


def rank_wins(won: Sequence[Won], rules: Rules | None = None) -> RankAnswer:
    """Return the order that wins tell.

    Parameters
    ----------
    won
        Chases and bites, oldest first.
    rules
        The coefficients; those of the package if left out.

    Raises
    ------
    InputError
        If nobody chased anybody, or more animals are named than a tank holds.
    """
    rules = rules or load_rules()
    names = everyone(won)
    _check(names)
    table = matrix(won, names)
    found = ranked(table, names, Doubt(clump=rules["rank.clump"]))
    told = indices(table)
    by_day = elo_by_day([(w.on, w.who, w.whom, w.count) for w in won], names)
    changes = reversals(won, rules["rank.clump"], rules["rank.reversal_odds"])
    days = [w.on for w in won]
    return RankAnswer(
        sentence=_sentence(found, int(table.sum()), rules),
        chases=int(table.sum()),
        first_day=min(days),
        last_day=max(days),
        ranks=found,
        elo=dict(zip(names, by_day[-1].ratings, strict=True)),
        borne_per_h={},
        elo_by_day=by_day,
        names=names,
        pairs=_pairs(table, names),
        indices=_plain(told, len(names)),
        reversals=changes,
        notes=tuple(_notes(found, told, table, changes, rules)),
        says_who=SAYS_WHO,
    )


def _check(names: Sequence[str]) -> None:
    if not names:
        raise InputError(
            field="the tally",
            given="without a chase or a bite",
            limit="rank is told by who drives off whom",
            remedy="Write down who chases whom; ten minutes after a feed are a good time.",
        )
    if len(names) > MOST_RANKED:
        raise InputError(
            field="the tally",
            given=f"of {len(names)} animals",
            limit=f"{MOST_RANKED} are the most that are ranked together",
            remedy="Rank one tank at a time, and check that names are spelt alike.",
        )


def _pairs(table: NDArray[np.float64], names: Sequence[str]) -> tuple[Pair, ...]:
    found = [Pair(names[i], names[j], int(table[i, j])) for i, j in np.argwhere(table > 0.0).tolist()]
    return tuple(sorted(found, key=lambda p: (-p.count, p.who, p.whom)))


def _plain(told: Indices, count: int) -> OrderIndices:
    return OrderIndices(
        steepness=_number(told.steepness),
        steep_p=_number(told.steep_p),
        landau_h=_number(told.h),
        devries_h=_number(told.h_prime),
        linear_p=_number(told.linear_p),
        kendall_k=_number(told.kendall),
        directional_consistency=_number(told.consistency),
        triangle_transitivity=_number(told.triangles.transitivity),
        settled_triangles=told.triangles.settled,
        circles=told.triangles.circles,
        unknown_pairs=told.unknown,
        tied_pairs=told.tied,
        pairs=count * (count - 1) // 2,
    )


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _sentence(found: Sequence[Rank], chases: int, rules: Rules) -> str:
    counted = f"{chases} {'chase' if chases == 1 else 'chases'} among {len(found)}"
    if chases < rules["rank.few_wins"]:
        return f"Too few to rank: {counted}. The order below is a first guess."
    first = found[0]
    if first.top >= rules["rank.sure"]:
        told = f"{first.name} ranks first (chance {first.top:.0%}; {counted})."
    else:
        likely = [r.name for r in found if r.top >= 1.0 - rules["rank.sure"]]
        told = f"Who ranks first is open between {listed(likely)} ({counted})."
    return f"{told} {_load(found)}"


def _load(found: Sequence[Rank]) -> str:
    giver = max(found, key=lambda r: r.delivered)
    bearer = max(found, key=lambda r: r.received)
    return (
        f"{giver.name} deals {giver.delivered_share:.0%} of the chases; {bearer.name} bears "
        f"{bearer.received_share:.0%} of them."
    )


def _notes(
    found: Sequence[Rank],
    told: Indices,
    table: NDArray[np.float64],
    changes: Sequence[Reversal],
    rules: Rules,
) -> Iterable[str]:
    """Yield what the figures do and do not allow to say."""
    pairs = len(found) * (len(found) - 1) // 2
    if told.unknown:
        yield f"{told.unknown} of {pairs} pairs were never seen to meet; their order is a guess."
    if len(found) < _FEW_ANIMALS:
        yield "With fewer than six animals no test can tell a straight order from chance."
    else:
        straighter = "straighter" if told.linear_p < _SMALL_P else "no straighter"
        yield f"The order is {straighter} than chance makes it ({_test(told)})."
    if table.sum() >= rules["rank.few_wins"]:
        yield _steep(told)
    if told.triangles.circles:
        yield f"{told.triangles.circles} of {told.triangles.settled} settled threes run in a circle."
    yield from (
        f"{one.leads} passed {one.led} about {one.on.isoformat()}: {one.before[1]} to {one.before[0]} "
        f"before, {one.after[1]} to {one.after[0]} since."
        for one in changes
    )


def _test(told: Indices) -> str:
    return f"h' {told.h_prime:.2f}, p {told.linear_p:.2g}"


def _steep(told: Indices) -> str:
    value = f"(steepness {told.steepness:.2f} of 1)"
    if told.steepness >= _STEEP:
        return f"Those above nearly always win {value}."
    if told.steepness <= _FLAT:
        return f"Those above win little more often than those below {value}, or too little was seen."
    return f"Those above win more often, not always {value}."
