"""Outcompeted: a race for the food, and feeds too few for the kind.

A day's food is put in by feeds at stations. It stays within reach for a while: whoever is quick and
not kept off eats of it until full, and the others have what is left. Every coefficient is assumed.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society.company import Individual, Keeping, Place

Array = NDArray[np.float64]

MOST_FEEDS = 12

_FEWEST_FEEDS = 0.01
_NEWTON_STEPS = 12
_HABITS = ("algae", "detritus", "plankton", "benthos", "fish", "sessile", "parasites")
_LEVELS = ("top", "middle", "bottom", "rock")
_SIDES = {"left": -1.0, "right": 1.0}


@dataclass(frozen=True)
class Race:
    """How the race for the food ends, by animal in the order of the company.

    Parameters
    ----------
    missed
        Share of its need that each animal goes without, shape (n,). [0 to 1]
    of_meal
        Share of the food put in that reaches it, shape (n,); the rest is lost, or eaten beyond
        need. [0 to 1]
    """

    missed: Array
    of_meal: Array


def race(company: tuple[Individual, ...], keeping: Keeping, rules: Rules) -> Race:
    """Return how the race for the food ends.

    Parameters
    ----------
    company
        Everyone who is fed in this tank.
    keeping
        Feeds, stations, and how the food is given.
    rules
        The coefficients.

    Notes
    -----
    In a day i takes g_i (1 - exp(-v_i b_i t_i / g_i)) of what it must be fed: v_i its pace, b_i the
    share of the time in which nobody keeps it off, g_i what its gut takes in that many feeds, t_i how
    long there is food, from

        sum_j c_ij e_j a (1 - exp(-v_j t_i / a)) + R t_i / T sum_j o_ij d_j = R sum_j o_ij d_j

    d what each must be fed, e what it would eat, a the appetite, which falls with the number of feeds,
    R the ration, T the longest time, o likeness of food and place, c the same less what feeding both
    ends or the strong first takes away from a rival. Rivals count as if nobody kept them off, and no
    appetite grows with the number of feeds: so more feeds or stations take food from nobody.
    """
    return _race(company, keeping, rules)


@dataclass(frozen=True)
class RaceTerms:
    """What a race is made of, pair by pair: no part of it depends on who else is there.

    Parameters
    ----------
    found
        Share of its food that each finds by itself, shape (n,). [0 to 1]
    pace
        v, how fast each eats what it must be fed, a moderate eater 1, shape (n,). [-]
    bold
        How each stands up to those that keep it off, shape (n,). [-]
    gut
        g, the most that each takes in a day over what it must be fed, shape (n,). [-]
    push
        How hard j keeps i off one station, [i, j]. [-]
    eats
        What j would eat of the food that i is after, c_ij e_j a, [i, j]. [g^0.8]
    haste
        v_j / a, how soon j has eaten it, shape (n,). [-]
    share
        What is put in for j of the food that i is after, o_ij d_j, [i, j]. [g^0.8]
    ration
        R, the food put in as a multiple of need. [-]
    longest
        T, the time after which food is lost. [-]
    stations
        How many stations the places for food are worth to each, shape (n,). [-]
    """

    found: Array
    pace: Array
    bold: Array
    gut: Array
    push: Array
    eats: Array
    haste: Array
    share: Array
    ration: float
    longest: float
    stations: Array


def race_terms(company: tuple[Individual, ...], keeping: Keeping, rules: Rules) -> RaceTerms:
    """Return what a race is made of, pair by pair.

    Parameters
    ----------
    company, keeping, rules
        As for :func:`race`.
    """
    feeds = max(keeping.feeds_per_day, _FEWEST_FEEDS)
    eaters = _eaters(company, keeping, rules)
    counted = _counted(eaters, keeping, rules)
    appetite = 1.0 + rules["race_hunger"] / feeds
    return RaceTerms(
        found=eaters.found,
        pace=eaters.pace,
        bold=eaters.bold,
        gut=np.minimum(rules["race_gut"], feeds / eaters.feeds),
        push=_push(eaters, counted, rules),
        eats=counted * (eaters.fed + rules["race_greed"] * eaters.body * eaters.found) * appetite,
        haste=eaters.pace / appetite,
        share=_shared(eaters, rules["race_apart"], rules) * eaters.fed,
        ration=rules["race_ration"],
        longest=rules["race_lasts"] * feeds,
        stations=np.array([keeping.stations_felt(a.party.side) for a in company], dtype=float),
    )


def starved_share(
    animal: Individual, company: tuple[Individual, ...], keeping: Keeping, rules: Rules
) -> float:
    """Return the share of its food that an animal goes without. [0 to 1]"""
    return float(race(company, keeping, rules).missed[company.index(animal)])


def starving_per_day(share: float, animal: Individual, rules: Rules) -> float:
    """Return the hazard from going short, rising with the square of the share missed. [1/d]"""
    fragile = rules.words("fragile")[animal.species.word("hardiness")]
    over = max(0.0, share - rules["starve_from"])
    return rules["starve_per_d"] * fragile * over**2


def keeps_weight_from(
    company: tuple[Individual, ...], keeping: Keeping, rules: Rules
) -> tuple[int | None, ...]:
    """Return for each animal the fewest feeds a day from which it keeps its weight, else None. [1/d]

    Whole feeds up to `MOST_FEEDS`, all else as the keeping says.
    """
    found: list[int | None] = [None] * len(company)
    for feeds in range(MOST_FEEDS, 0, -1):
        missed = race(company, replace(keeping, feeds_per_day=float(feeds)), rules).missed
        found = [feeds if m <= rules["starve_from"] else f for m, f in zip(missed, found, strict=True)]
    return tuple(found)


def grazes(animal: Individual) -> float:
    """Return the share of its food that it finds by itself all day where there is enough of it. [-]"""
    diet = animal.species.diet
    picks = 0.6 if animal.species.word("special_food") == "pods" else 0.0
    own = diet["algae"] + diet["detritus"] + 0.2 * diet["benthos"] + 0.5 * diet["parasites"]
    return min(0.9, own + picks)


@dataclass(frozen=True)
class _Eaters:
    """What the race asks of each animal, shape (n,); `diet` is (n, kinds of food)."""

    found: Array
    body: Array
    pace: Array
    bold: Array
    guard: Array
    feeds: Array
    log_cm: Array
    diet: Array
    level: Array
    sump: Array
    side: Array

    @property
    def fed(self) -> Array:
        """What each must be fed, beside what it finds. [-]"""
        return self.body * (1.0 - self.found)


@functools.lru_cache(maxsize=16)
def _race(company: tuple[Individual, ...], keeping: Keeping, rules: Rules) -> Race:
    if not company:
        return Race(np.zeros(0), np.zeros(0))
    terms = race_terms(company, keeping, rules)
    free = terms.bold / (terms.bold + terms.push.sum(axis=1) / terms.stations)
    taken = np.minimum(-terms.gut * np.expm1(-terms.pace * free * _lasts(terms) / terms.gut), 1.0)
    fed = np.diag(terms.share)
    put_in = terms.ration * fed.sum()
    return Race((1.0 - terms.found) * (1.0 - taken), fed * taken / put_in)


def _eaters(company: tuple[Individual, ...], keeping: Keeping, rules: Rules) -> _Eaters:
    def each(values: list[float]) -> Array:
        return np.array(values, dtype=float)

    species = [a.species for a in company]
    bold, guard = rules.words("race_bold"), rules.words("race_guard")
    found = rules["race_found"] * each([grazes(a) for a in company])
    return _Eaters(
        found=found,
        body=each([a.species.mass_g(a.length_cm) for a in company]) ** 0.8,
        pace=each([_pace(a, keeping, rules) for a in company]),
        bold=each([bold[s.word("boldness")] for s in species]),
        guard=each([guard[s.word("intolerance")] for s in species]),
        feeds=(1.0 - found) * each([s.number("feeds_needed") for s in species]),
        log_cm=np.log(each([a.length_cm for a in company])),
        diet=np.array([[s.diet[habit] for habit in _HABITS] for s in species]),
        level=each([float(_LEVELS.index(s.word("feeds_at"))) for s in species]),
        sump=each([float(a.party.place is Place.SUMP) for a in company]),
        side=each([_SIDES.get(a.party.side or "", 0.0) for a in company]),
    )


def _pace(animal: Individual, keeping: Keeping, rules: Rules) -> float:
    """Return how fast it eats what it needs, a moderate eater 1: food must reach it when it is awake."""
    species = animal.species
    pace = rules.words("speed")[species.word("feeding_speed")]
    if species.word("feeds_at") == "bottom" and not keeping.food_both_ends:
        pace *= rules["race_below"]
    if species.word("feeding_time") == "night":
        pace *= rules["race_night"]
    return pace


def _shared(eaters: _Eaters, apart: float, rules: Rules) -> Array:
    """Return o[i, j]: how far i and j are after the same food in the same place. [0 to 1]"""
    alike = np.minimum(eaters.diet[:, None, :], eaters.diet[None, :, :]).sum(axis=2)
    food = rules["race_common"] + (1.0 - rules["race_common"]) * alike
    near = np.where(_equal(eaters.level), 1.0, apart)
    divided = np.multiply.outer(eaters.side, eaters.side) < 0.0
    shared = np.where(_equal(eaters.sump) & ~divided, food * near, 0.0)
    np.fill_diagonal(shared, 1.0)
    return np.asarray(shared)


def _equal(values: Array) -> NDArray[np.bool_]:
    return np.asarray(values[:, None] == values[None, :])


def _counted(eaters: _Eaters, keeping: Keeping, rules: Rules) -> Array:
    """Return c[i, j]: how far j counts in i's race, less so when fed elsewhere or before. [0 to 1]"""
    apart = rules["race_apart"] * (rules["both_ends"] if keeping.food_both_ends else 1.0)
    shared = _shared(eaters, apart, rules)
    if not keeping.strong_first:
        return shared
    return np.asarray(shared * (1.0 - (1.0 - rules["strong_first"]) * _above(np.log(eaters.pace), rules)))


def _push(eaters: _Eaters, counted: Array, rules: Rules) -> Array:
    """Return [i, j]: how hard j keeps i off one station. [-]"""
    push = counted * eaters.guard[None, :] * _above(eaters.log_cm, rules)
    np.fill_diagonal(push, 0.0)
    return np.asarray(push)


def _above(log_size: Array, rules: Rules) -> Array:
    """Return [i, j]: how surely j is above i in length or pace, one half between equals. [0 to 1]"""
    return np.asarray(1.0 / (1.0 + np.exp((log_size[:, None] - log_size[None, :]) / rules["race_step"])))


def _lasts(terms: RaceTerms) -> Array:
    """Return how long in a day there is food for each animal, in times of a moderate eater. [-]

    Newton's steps from zero never overshoot, as food is eaten ever more slowly.
    """
    ration = terms.ration * terms.share.sum(axis=1)
    drift = ration / terms.longest
    lasts = np.zeros(len(ration))
    for _ in range(_NEWTON_STEPS):
        hungry = np.exp(-terms.haste * lasts[:, None])
        gone = (terms.eats * (1.0 - hungry)).sum(axis=1) + drift * lasts
        lasts += (ration - gone) / ((terms.eats * terms.haste * hungry).sum(axis=1) + drift)
    return lasts
