"""How an animal grows over the years, when it matures, and when a tank has become too small for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.rules import Rules
from slackwater.society.company import Individual
from slackwater.society.predation import eaten_per_day
from slackwater.society.space import Room, shortfall

DAYS_PER_MONTH = 365.0 / 12.0
SLOW, FAST = 0.5, 1.3
MOST_MONTHS = 60

_HUNTING_DAYS = 90.0
_LOOK_MONTHS = 3


@dataclass(frozen=True)
class Size:
    """An animal some months from now.

    Parameters
    ----------
    months
        Months from today. [month]
    length_cm, low_cm, high_cm
        Length at the usual pace of growth, and at 0.5 and 1.3 times that pace (assumed). [cm]
    mass_g
        Mass at the usual pace. [g]
    """

    months: float
    length_cm: float
    low_cm: float
    high_cm: float
    mass_g: float


@dataclass(frozen=True)
class Window:
    """Months from today between which something is to be expected. [month]"""

    first: float
    last: float


def size_after(animal: Individual, months: float) -> Size:
    """Return the length and mass of an animal some months from its release.

    Notes
    -----
    Von Bertalanffy growth towards the usual adult length in a tank, mass by the length-mass relation
    of the species [bertalanffy1938].
    """
    low, usual, high = (animal.length_at(pace * DAYS_PER_MONTH * months) for pace in (SLOW, 1.0, FAST))
    return Size(months, usual, low, high, animal.species.mass_g(usual))


def months_to(animal: Individual, length_cm: float, pace: float = 1.0) -> float | None:
    """Return the months until an animal is so long, 0 if it is already, None if it never will be. [month]

    Parameters
    ----------
    animal
        The animal, at its length today.
    length_cm
        The length that it is to reach. [cm]
    pace
        How fast it grows beside what is usual. [-]
    """
    adult = animal.adult_cm
    if animal.length_cm >= length_cm:
        return 0.0
    if length_cm >= adult:
        return None
    per_month = pace * animal.species.number("growth_k_per_year") / 12.0
    return math.log((adult - animal.length_cm) / (adult - length_cm)) / per_month


def matures(animal: Individual) -> Window:
    """Return when an animal is likely to mature; a window at 0 has passed.

    Notes
    -----
    Its age is the time in which it would have grown from nothing to its length, at 0.5 and 1.3 times
    the usual pace: an estimate.
    """
    at = animal.species.number("maturity_months")
    first, last = (max(at - _age_months(animal, pace), 0.0) for pace in (SLOW, FAST))
    return Window(first, last)


def _age_months(animal: Individual, pace: float) -> float:
    """Return the months in which it has grown to its length; those of the full-grown have no end."""
    adult = animal.adult_cm
    if animal.length_cm >= adult:
        return math.inf
    per_month = pace * animal.species.number("growth_k_per_year") / 12.0
    return -math.log1p(-animal.length_cm / adult) / per_month


def sex_change(animal: Individual, own_kind: int) -> str:
    """Return what its sex may do once it is mature among so many of its kind, empty if nothing."""
    return _CHANGES.get(animal.species.word("sex_change"), "") if own_kind >= _TWO else ""


_TWO = 2
_CHANGES = {
    "male_first": "the largest becomes the female, the next her mate; a lost female is replaced by him",
    "female_first": "if no male is there or he is lost, the largest female turns within weeks to months",
    "both_ways": "two of them settle between them who is male and who is female",
}


def outgrows(animal: Individual, room: Room, rules: Rules) -> float | None:
    """Return the months until a tank is too small for an animal, 0 if it is so today, else None. [month]

    Notes
    -----
    A small animal needs less: need scales with (L / adult)^1/2, an estimate, as in `space`.
    """
    lacks = shortfall(animal.species, room)
    if lacks <= rules["space_grace"]:
        return None
    return months_to(animal, animal.species.number("adult_length_cm") / (1.0 + lacks) ** 2)


def swallows_from(hunter: Individual, prey: Individual, rules: Rules) -> int | None:
    """Return the first months at which a grown hunter is likely to eat a grown prey, else None. [month]

    Looked at every three months up to five years; likely is more often than not within 90 days.
    """
    limit = -math.log1p(-rules["eaten_from"]) / _HUNTING_DAYS
    for months in range(0, MOST_MONTHS + 1, _LOOK_MONTHS):
        if eaten_per_day(hunter, prey, months * DAYS_PER_MONTH, rules) >= limit:
            return months
    return None
