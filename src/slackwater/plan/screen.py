"""A quick look at hundreds of kinds at once beside those who live there, at some sixty home sites.

How residents are felt at each place is worked out once. A candidate's use of the water at a home is
a product of its liking and nearness, so that encounters of all candidates at all homes come from a
few matrix products; by symmetry of sight and distance the same products serve both directions.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.question import Question
from slackwater.rules import Rules
from slackwater.society.attacks import activity, contest, hunger, temper_per_h
from slackwater.society.bites import bites_per_h
from slackwater.society.company import Individual, Party, Situation
from slackwater.society.encounters import reach
from slackwater.society.field import edge_for, ground_of
from slackwater.society.harm import WINDOW_DAYS, harm_per_day
from slackwater.society.predation import eaten_per_day
from slackwater.society.recognition import (
    LADDER_CM,
    reaction_radius_cm,
    recognition,
    rung_weights,
)
from slackwater.society.use import Ground, home_radius_cm, liking, settle
from slackwater.taxa.facts import Species

Array = NDArray[np.float64]

MOST_SITES = 60
_RADIUS_STEP = 1.05
_YEAR_DAYS = 365.0
_LOOKS = 5


@dataclass(frozen=True)
class Beside:
    """Encounters of candidates with residents by home site, as felt at each rung of the ladder.

    `by_rung` has shape (n, H, R, S) [-], `sites` are the numbers of the home sites.
    """

    by_rung: NDArray[np.float32]
    sites: NDArray[np.int64]


@dataclass(frozen=True)
class Screened:
    """How candidates would fare at each home, and what they would do to those who live there.

    `own` and `others` are chances of harm over 90 days of the candidate and of the worst-off
    resident, (n, H); `share` how likely it takes each home, (n, H), rows sum to 1; `eats` and
    `eaten` whether an eating is more likely than not within a year. [0 to 1]
    """

    species: tuple[Species, ...]
    own: Array
    others: Array
    share: Array
    eats: NDArray[np.bool_]
    eaten: NDArray[np.bool_]

    @property
    def worst(self) -> Array:
        """The worse of both chances, over the homes as they would be taken, shape (n,). [0 to 1]"""
        return np.asarray((np.maximum(self.own, self.others) * self.share).sum(axis=1))


def newcomer(species: Species) -> Individual:
    """Return an animal of a kind at the usual size when sold."""
    length_cm = min(species.number("sale_length_cm"), species.number("adult_length_cm"))
    return Individual(0, 0, Party(species, length_cm), 0)


def screen(question: Question, kinds: Sequence[Species], rules: Rules) -> Screened:
    """Return how each kind would fare beside those who live there, one animal, released last.

    Parameters
    ----------
    question
        The tank and its residents; wishes are left out.
    kinds
        The candidates.
    rules
        The coefficients.

    Notes
    -----
    Residents live where each would alone, hold their full head start, and are settled; harm they
    do one another is left out. Fields at answer resolution, in the first rock layout. What passes
    here is put to the full model before it is told.
    """
    situation = question.situation({}, layouts=1)
    residents = tuple(situation.animals)
    ground = ground_of(situation.glass, situation.rockworks[0], edge_for(situation, fine=True))
    guests = tuple(newcomer(kind) for kind in kinds)
    beside = beside_residents(situation, ground, guests, rules)
    pairs = _Pairs.of(guests, residents, situation, rules)
    comes, goes = (_mixed(beside.by_rung, rung) for rung in (pairs.rung_in, pairs.rung_out))
    taken = (pairs.rate_in[:, None, :] * comes).sum(axis=2)
    bitten = _bites(pairs.bites_in, comes, rules).sum(axis=2)
    dealt = pairs.rate_out[:, None, :] * goes
    theirs = _harm(dealt, _bites(pairs.bites_out, goes, rules), pairs.their_bold, rules)
    pressure = (pairs.chased_in[:, None, :] * comes).sum(axis=2)
    return Screened(
        species=tuple(kinds),
        own=_harm(taken, bitten, pairs.bold, rules),
        others=theirs.max(axis=2, initial=0.0),
        share=_shares(ground, guests, beside.sites, pressure, rules),
        eats=pairs.eats,
        eaten=pairs.eaten,
    )


def beside_residents(
    situation: Situation, ground: Ground, guests: Sequence[Individual], rules: Rules
) -> Beside:
    """Return the encounters of each candidate at each home with each resident, at every rung.

    Parameters
    ----------
    situation
        The tank with its residents.
    ground
        Its water.
    guests
        The candidates.
    rules
        The coefficients.
    """
    sites = _sites(ground)
    felt = _felt(situation, ground, rules)
    near_rock = np.exp(-ground.cells.rock_distance_cm / rules["structure_reach_cm"])
    alike: defaultdict[tuple[float, str], list[int]] = defaultdict(list)
    for n, guest in enumerate(guests):
        step = round(math.log(home_radius_cm(guest, rules)) / math.log(_RADIUS_STEP))
        alike[_RADIUS_STEP**step, guest.species.word("level")].append(n)
    rockless = not ground.cells.rockwork.pieces
    out = np.zeros((len(guests), len(sites), felt.shape[1]), np.float32)
    for (radius_cm, _), members in sorted(alike.items()):
        near = np.exp(-ground.distance2[:, sites] / (2.0 * radius_cm**2)).astype(np.float32)
        free, rocky = _basis(guests[members[0]], ground, near_rock, rules)
        at_free, at_rock = (near.T @ (part[:, None] * felt) for part in (free, rocky))
        mass_free, mass_rock = near.T @ free, near.T @ rocky
        for n in members:
            held = 0.0 if rockless else guests[n].species.number("structure_use")
            mass = (1.0 - held + _LEAST) * mass_free + held * mass_rock
            met = (1.0 - held + _LEAST) * at_free + held * at_rock
            out[n] = met / np.maximum(mass, 1e-12)[:, None]
    shape = (len(guests), len(sites), len(LADDER_CM), len(situation.animals))
    return Beside(out.reshape(shape), sites)


_LEAST = 1e-4


def _sites(ground: Ground) -> NDArray[np.int64]:
    """Return the numbers of some sixty of the candidate homes, evenly chosen."""
    count = len(ground.sites.points_cm)
    return np.unique(np.linspace(0, count - 1, min(count, MOST_SITES)).round().astype(np.int64))


def _felt(situation: Situation, ground: Ground, rules: Rules) -> NDArray[np.float32]:
    """Return how each resident is felt at each cell, by rung of the ladder, shape (C, R * S)."""
    animals = situation.animals
    if not animals:
        return np.zeros((len(ground.height), 0), np.float32)
    leaders = {a.party_index: a for a in reversed(animals)}
    use = np.stack([settle(leaders[p], ground, situation, rules)[0] for p in sorted(leaders)], axis=1)
    by_line = reach(ground.cells, use.astype(np.float32), LADDER_CM)
    each = by_line[:, :, [a.party_index for a in animals]]
    return np.ascontiguousarray(each.transpose(1, 0, 2).reshape(each.shape[1], -1))


def _basis(
    guest: Individual, ground: Ground, near_rock: Array, rules: Rules
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the level's liking times free water, in the open and near rock, shape (C,)."""
    level = liking(
        guest.species, ground.cells.rock_distance_cm.astype(float), ground.height, rules, rockless=True
    )
    free = level * ground.cells.free_l
    return free.astype(np.float32), (free * near_rock).astype(np.float32)


@dataclass(frozen=True)
class _Pairs:
    """What does not depend on place, candidates by residents (n, S): `in` comes at the candidate.

    Rates are harm-weighted central attacks an hour without encounter; `chased_in` is unweighted.
    """

    rate_in: Array
    rate_out: Array
    chased_in: Array
    rung_in: Array
    rung_out: Array
    bites_in: Array
    bites_out: Array
    bold: Array
    their_bold: Array
    eats: NDArray[np.bool_]
    eaten: NDArray[np.bool_]

    @classmethod
    def of(
        cls,
        guests: tuple[Individual, ...],
        residents: tuple[Individual, ...],
        situation: Situation,
        rules: Rules,
    ) -> _Pairs:
        """Return the table of all pairs."""
        rows = [[_pair(g, r, rules) for r in residents] for g in guests]
        told = np.array(rows, dtype=float).reshape(len(guests), len(residents), _COLUMNS)
        alike_in, alike_out, radius_in, radius_out, bites_in, bites_out, slope, eats, eaten = np.moveaxis(
            told, 2, 0
        )
        day = hunger(situation.keeping, len(residents) + 1, rules) * rules["familiar_rest"]
        ratio = np.log(_lengths(residents)[None, :] / _lengths(guests)[:, None])
        won = contest(ratio, np.ones_like(ratio), slope, rules) * rules["head_start_most"]
        lost = contest(-ratio, -np.ones_like(ratio), slope, rules)
        theirs, ours = _awake(residents, rules)[None, :], _awake(guests, rules)[:, None]
        chased_in = day * theirs * np.sqrt(ours) * alike_in * won * _tempers(residents, rules)[None, :]
        rate_out = day * ours * np.sqrt(theirs) * alike_out * lost * _tempers(guests, rules)[:, None]
        weapon, bold = rules.words("weapon"), rules.words("bold")
        certain = -math.log(1.0 - rules["eaten_from"])
        return cls(
            rate_in=chased_in * _words(residents, "weapon", weapon)[None, :],
            rate_out=rate_out * _words(guests, "weapon", weapon)[:, None],
            chased_in=chased_in,
            rung_in=radius_in,
            rung_out=radius_out,
            bites_in=bites_in,
            bites_out=bites_out,
            bold=rules["x0_per_h"] * _words(guests, "boldness", bold)[:, None],
            their_bold=rules["x0_per_h"] * _words(residents, "boldness", bold)[None, None, :],
            eats=(eats * _YEAR_DAYS).max(axis=1, initial=0.0) >= certain,
            eaten=(eaten * _YEAR_DAYS).sum(axis=1) >= certain,
        )


_COLUMNS = 9


def _pair(guest: Individual, resident: Individual, rules: Rules) -> tuple[float, ...]:
    """Return the columns of one pair: likeness, reaction distance and bites both ways, slope, meals."""
    g, r = guest.species, resident.species
    slope = "genus" if g.genus == r.genus else "others"
    return (
        recognition(r, g, rules),
        recognition(g, r, rules),
        reaction_radius_cm(r, g, resident.length_cm, rules),
        reaction_radius_cm(g, r, guest.length_cm, rules),
        bites_per_h(resident, guest, rules),
        bites_per_h(guest, resident, rules),
        rules[f"contest.{slope}"],
        _meal(guest, resident, rules),
        _meal(resident, guest, rules),
    )


def _meal(hunter: Individual, prey: Individual, rules: Rules) -> float:
    """Return the hazard that one eats the other, mean over the next year. [1/d]"""
    if hunter.species.word("appetite_fish") == "none":
        return 0.0
    days = np.linspace(0.0, _YEAR_DAYS, _LOOKS)
    return float(np.mean([eaten_per_day(hunter, prey, day, rules) for day in days]))


def _lengths(animals: tuple[Individual, ...]) -> Array:
    """Return lengths today. [cm]"""
    return np.array([a.length_at(-a.party.day) for a in animals])


def _tempers(animals: tuple[Individual, ...], rules: Rules) -> Array:
    return np.array([temper_per_h(a, rules) for a in animals])


def _words(animals: tuple[Individual, ...], trait: str, values: dict[str, float]) -> Array:
    return np.array([values[a.species.word(trait)] for a in animals])


def _awake(animals: tuple[Individual, ...], rules: Rules) -> Array:
    return np.diag(activity(animals, rules)) ** (2.0 / 3.0)


def _mixed(by_rung: NDArray[np.float32], radius_cm: Array) -> Array:
    """Return encounters (n, H, S) at each pair's reaction distance, between rungs as in the field."""
    rungs = np.array([[rung_weights(float(r)) for r in row] for row in radius_cm]).reshape(
        *radius_cm.shape, 2
    )
    lower = rungs[:, None, None, :, 0].astype(np.int64)
    share = rungs[:, None, :, 1]
    low = np.take_along_axis(by_rung, lower, axis=2)[:, :, 0]
    high = np.take_along_axis(by_rung, np.minimum(lower + 1, len(LADDER_CM) - 1), axis=2)[:, :, 0]
    return np.asarray((1.0 - share) * low + share * high)


def _bites(bites: Array, met: Array, rules: Rules) -> Array:
    """Return bites an hour at each home by each resident or on it, (n, H, S). [1/h]"""
    return np.asarray(bites[:, None, :] * met / (met + rules["bite_meet"]))


def _harm(dose: Array, bitten: Array, tolerated: Array, rules: Rules) -> Array:
    """Return the chance of harm over 90 days from attacks and bites. [0 to 1]"""
    hazard = harm_per_day(dose, tolerated, rules) + harm_per_day(bitten, tolerated, rules)
    return np.asarray(-np.expm1(-WINDOW_DAYS * hazard))


def _shares(
    ground: Ground, guests: tuple[Individual, ...], sites: NDArray[np.int64], pressure: Array, rules: Rules
) -> Array:
    """Return how likely each candidate takes each home, by need and pressure, (n, H)."""
    places = ground.sites
    suits = np.stack(
        [
            liking(
                guest.species,
                places.rock_distance_cm[sites],
                places.height[sites],
                rules,
                rockless=not ground.cells.rockwork.pieces,
            )
            for guest in guests
        ]
    )
    score = rules["home_choice"] * np.log(np.maximum(suits * places.free_l[sites], 1e-9))
    score -= rules["home_pressure"] * np.minimum(pressure, 200.0)
    share = np.exp(score - score.max(axis=1, keepdims=True))
    return np.asarray(share / share.sum(axis=1, keepdims=True))
