"""Who was there first: head starts, what wipes them, and how long two have known each other."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Deed, Event, Individual, Place, Situation

Array = NDArray[np.float64]

_FORGOTTEN_DAYS = 10.0


@dataclass(frozen=True)
class Claim:
    """A share of an animal's ownership and the day from which that share counts."""

    share: float
    since: float


def _wipe(event: Event, animal: Individual, rules: Rules) -> tuple[float, float]:
    """Return how much of a claim an event wipes, and from which day a new one counts."""
    if event.do is Deed.RESCAPE:
        return rules["rescape_wipe"] * animal.species.number("structure_use"), event.day
    if event.species == animal.species.name:
        gone = 1.0 - math.exp(-event.days / rules["absence_days"])
        return gone, event.day + event.days
    return 0.0, event.day


def claims(animal: Individual, situation: Situation, day: float, rules: Rules) -> tuple[Claim, ...]:
    """Return an animal's claims to the place as they stand on a day.

    Notes
    -----
    A rescape wipes the claims of rock owners, not of roamers; two weeks out of sight wipe most
    of any claim (common practice).
    """
    held = [Claim(1.0, animal.party.day)]
    for event in situation.events:
        wiped, since = _wipe(event, animal, rules)
        if wiped <= 0.0 or since > day or since <= animal.party.day - 0.5:
            continue
        kept = [Claim(c.share * (1.0 - wiped), c.since) for c in held]
        held = [*kept, Claim(wiped, since)]
    return tuple(held)


def _lead(days: float, rules: Rules) -> float:
    """Return the strength of a head start, 1 - exp(-days / tau), 0 if there is none. [-]"""
    return 1.0 - math.exp(-days / rules["head_start_days"]) if days > 0.0 else 0.0


def head_start(mine: tuple[Claim, ...], theirs: tuple[Claim, ...], box_days: float, rules: Rules) -> float:
    """Return how much of the full head start the first holds over the second. [0 to 1]

    Notes
    -----
    Strongest within 48 h [almany2004]. Days that the newcomer spent in a box in the tank take
    part of it away (common practice).
    """
    lead = sum(a.share * b.share * _lead(b.since - a.since, rules) for a in mine for b in theirs)
    boxed = 1.0 - rules["box_relief"] * (1.0 - math.exp(-box_days / rules["box_days"]))
    return lead * boxed


def head_starts(situation: Situation, day: float, rules: Rules) -> Array:
    """Return the head start of i over j on a day, [i, j] between 0 and 1. [-]"""
    first = _first_of_each(situation)
    held = [claims(a, situation, day, rules) for a in first]
    by_party = [
        [head_start(mine, theirs, b.party.box_days, rules) for b, theirs in zip(first, held, strict=True)]
        for mine in held
    ]
    out = _by_animal(by_party, situation)
    np.fill_diagonal(out, 0.0)
    return out


def _first_of_each(situation: Situation) -> list[Individual]:
    """Return one animal of each party: who was there first is the same for all of a party."""
    first: dict[int, Individual] = {}
    for animal in situation.animals:
        first.setdefault(animal.party_index, animal)
    return [first[p] for p in sorted(first)]


def _by_animal(by_party: list[list[float]], situation: Situation) -> Array:
    """Return values between parties as values between their animals."""
    place = {p: n for n, p in enumerate(sorted({a.party_index for a in situation.animals}))}
    party = np.array([place[a.party_index] for a in situation.animals], dtype=np.int64)
    count = len(by_party)
    return np.array(by_party, dtype=float).reshape(count, count)[np.ix_(party, party)]


def _first_sight(a: Individual, b: Individual) -> float:
    """Return the day on which two meet; half of the newcomer's days in a box count before it. [d]"""
    newcomer = max(a, b, key=lambda one: (one.party.day, one.party.box_days))
    return newcomer.party.day - 0.5 * newcomer.party.box_days


def known_since(situation: Situation, day: float) -> Array:
    """Return the day on which i and j met, as it counts on a day, [i, j]. [d]

    A box in the tank lets them see each other beforehand; a rescape or an absence of ten days
    or more makes them strangers again.
    """
    animals = situation.animals
    first = _first_of_each(situation)
    met = _by_animal([[_first_sight(a, b) for b in first] for a in first], situation)
    for event in situation.events:
        until = event.day + event.days
        if event.do is Deed.RESCAPE and event.day <= day:
            met = np.where(met < event.day, event.day, met)
        if event.do is Deed.TAKE_OUT and until <= day and event.days >= _FORGOTTEN_DAYS:
            for a in animals:
                if a.species.name == event.species:
                    met[a.index, :] = np.maximum(met[a.index, :], until)
                    met[:, a.index] = np.maximum(met[:, a.index], until)
    return np.asarray(met)


def present(animal: Individual, situation: Situation, day: float) -> bool:
    """Return whether an animal swims in the tank on a day."""
    if day < animal.party.day or animal.party.place is not Place.TANK:
        return False
    return not any(
        e.do is Deed.TAKE_OUT
        and e.species == animal.species.name
        and e.day <= day < e.day + e.days
        and animal.party.day <= e.day
        and not _arrives_with(animal, e)
        for e in situation.events
    )


def _arrives_with(animal: Individual, event: Event) -> bool:
    return animal.party.day == event.day


def change_days(situation: Situation) -> tuple[float, ...]:
    """Return the days on which the company or the rock changes, from the first release on."""
    days = {p.day for p in situation.parties}
    for event in situation.events:
        days |= {event.day, event.day + event.days}
    return tuple(sorted(d for d in days if d < situation.horizon_days))
