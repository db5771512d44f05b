"""Who troubles whom in one company: every animal's comfort, and the attacks between each two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import load_rules
from slackwater.service.explaining import EXPLAINING, Direction, direction_of
from slackwater.service.tank_view import TankView
from slackwater.society.company import Individual
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement, Lot, central_rates, judge

LEAST_PER_H = 0.03
"""Attacks below which no arrow is drawn. [1/h]"""

_LOW, _HIGH = 0.05, 0.95


@dataclass(frozen=True)
class Fares:
    """How the worst-off of one party fares.

    Parameters
    ----------
    key, name, scientific_name
        Which party.
    count
        How many it is. [-]
    resident
        Whether it lives there already.
    comfort
        The word.
    p, low, high
        Chance of harm in its worst 90 days, mean and the span of nine draws in ten. [0 to 1]
    received_per_h
        Attacks on one of it. [1/h]
    cause
        What harms it most, empty where nothing does.
    """

    key: str
    name: str
    scientific_name: str
    count: int
    resident: bool
    comfort: str
    p: float
    low: float
    high: float
    received_per_h: float
    cause: str


@dataclass(frozen=True)
class Arrow:
    """What one party deals to one animal of another.

    Parameters
    ----------
    attacker, victim
        Their keys.
    per_h
        Attacks of all of one party on one of the other. [1/h]
    harm
        Chance that this attacker alone harms the worst-off of the other. [0 to 1]
    """

    attacker: str
    victim: str
    per_h: float
    harm: float


@dataclass(frozen=True)
class Troubles:
    """A company as it would settle: the worst-off first, and all arrows, the strongest first."""

    fares: tuple[Fares, ...]
    arrows: tuple[Arrow, ...]
    mood: str
    layouts: int


def troubles(view: TankView) -> Troubles:
    """Return who troubles whom once all of a company are in.

    Parameters
    ----------
    view
        The tank; wishes are released in the order of the list, three weeks apart.

    Notes
    -----
    Rates are those of the median animal on the last day judged, after limited time and third parties.
    """
    verdict = _verdict(view)
    return Troubles(
        fares=tuple(sorted(_fares(view, verdict), key=lambda one: (-one.p, one.key))),
        arrows=tuple(
            sorted(_arrows(verdict), key=lambda arrow: (-arrow.per_h, arrow.attacker, arrow.victim))
        ),
        mood=verdict.mood.value,
        layouts=len(verdict.situation.rockworks),
    )


def why(view: TankView, attacker: str, victim: str) -> Direction:
    """Return one arrow factor by factor, with who says so.

    Raises
    ------
    LookupError
        If one of the two is not in the company.
    """
    verdict = _verdict(view)
    return direction_of(verdict, _one(verdict, attacker), _one(verdict, victim))


def _verdict(view: TankView) -> Judgement:
    return judge(view.today, EXPLAINING, view.rules)


def _one(verdict: Judgement, key: str) -> Individual:
    return next(a for a in verdict.situation.animals if a.party.key == key)


def _fares(view: TankView, verdict: Judgement) -> list[Fares]:
    received = _between(verdict).sum(axis=0)
    found = []
    for j, wanted in enumerate(view.company):
        lots = [lot for lot in verdict.lots if lot.animal.party.key == wanted.key]
        worst = max(lots, key=lambda lot: lot.p)
        found.append(
            Fares(
                key=wanted.key,
                name=wanted.species.common_name,
                scientific_name=wanted.species.name,
                count=wanted.count,
                resident=wanted.resident,
                comfort=verdict.ease(worst).value,
                p=worst.p,
                low=float(np.quantile(worst.draws, _LOW)),
                high=float(np.quantile(worst.draws, _HIGH)),
                received_per_h=float(received[j]),
                cause=_cause(worst),
            )
        )
    return found


def _cause(lot: Lot) -> str:
    most = max(lot.harm, key=lambda cause: lot.harm[cause])
    return most if ease(lot.harm[most], load_rules()) is not ease(0.0, load_rules()) else ""


def _between(verdict: Judgement) -> NDArray[np.float64]:
    """Return attacks of all of one party on one of another on the last day, [i, j]. [1/h]"""
    span = verdict.spans[-1]
    rate = central_rates(verdict, span, span.end)["rate"]
    party = np.array([a.party_index for a in verdict.situation.animals])
    members = np.array([party == p for p in range(len(verdict.situation.parties))], dtype=float)
    return np.asarray(members @ rate @ members.T / members.sum(axis=1)[None, :])


def _arrows(verdict: Judgement) -> list[Arrow]:
    parties = verdict.situation.parties
    between = _between(verdict)
    found = []
    for i, attacker in enumerate(parties):
        for j, victim in enumerate(parties):
            if between[i, j] >= LEAST_PER_H:
                harm = float(verdict.harm_by(attacker.species.name, victim.species.name).mean())
                found.append(Arrow(attacker.key, victim.key, float(between[i, j]), harm))
    return found


def figures(found: Troubles, keys: Sequence[str]) -> tuple[tuple[float | None, ...], ...]:
    """Return the arrows as rows of attackers and columns of victims; None where none is drawn. [1/h]"""
    rates = {(arrow.attacker, arrow.victim): arrow.per_h for arrow in found.arrows}
    return tuple(tuple(rates.get((i, j)) for j in keys) for i in keys)
