"""Small changes of what is told make small changes of attacks and of the chance of harm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scripts.trust_shape import random_tank
from tests.society.build import (
    CHROMIS,
    CLOWN,
    DOMINO,
    FIREFISH,
    GRAMMA,
    HUMBUG,
    ORCHID,
    YELLOW_TANG,
    altered,
    judged,
    party,
    tank,
)

from slackwater.society.company import Keeping, Situation
from slackwater.tank.rock import preset

Array = NDArray[np.float64]

SOME = settings(
    max_examples=10, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
seeds = st.integers(0, 10_000)


@dataclass(frozen=True)
class Fate:
    """Chance of harm and attacks received an hour, by animal."""

    p: Array
    attacks: Array


def fate(situation: Situation) -> Fate:
    lots = judged(situation).lots
    return Fate(np.array([x.p for x in lots]), np.array([x.chases_per_h for x in lots]))


def of_length(length_cm: float, situation: Situation) -> Situation:
    """Return the tank with another length, and the same word for its rock."""
    glass = replace(situation.glass, length_cm=length_cm)
    layouts = tuple(preset(r.word, glass, 5.0, n) for n, r in enumerate(situation.rockworks))
    return replace(situation, glass=glass, rockworks=layouts)


# --- an eyelash, anywhere ---------------------------------------------------------------------


def hardly_moves(before: Situation, after: Situation) -> bool:
    one, other = fate(before), fate(after)
    by_p = np.abs(one.p - other.p).max() <= 1e-3
    return bool(by_p and np.all(np.abs(one.attacks - other.attacks) <= 2e-3 * (1.0 + one.attacks)))


@SOME
@given(seeds, st.integers(0, 6))
def test_a_hundredth_of_a_millimetre_of_an_animal(seed: int, which: int) -> None:
    here = random_tank(seed)
    n = which % len(here.parties)
    longer = replace(here.parties[n], length_cm=here.parties[n].length_cm + 0.001)
    assert hardly_moves(here, here.with_parties((*here.parties[:n], longer, *here.parties[n + 1 :])))


@SOME
@given(seeds)
def test_a_hundredth_of_a_millimetre_of_the_tank(seed: int) -> None:
    here = random_tank(seed)
    assert hardly_moves(here, of_length(here.glass.length_cm + 0.001, here))


@SOME
@given(seeds, st.integers(0, 6))
def test_a_minute_of_the_day(seed: int, which: int) -> None:
    here = random_tank(seed)
    n = which % len(here.parties)
    later = replace(here.parties[n], day=here.parties[n].day + 1.0 / 1440.0)
    assert hardly_moves(here, here.with_parties((*here.parties[:n], later, *here.parties[n + 1 :])))


# --- along a road -----------------------------------------------------------------------------

SLOW_EATER = altered("Pseudochromis fridmani", appetite_fish="rare", gape_ratio=0.5, prey_length_ratio=0.8)


def rivals_of(length_cm: float) -> Situation:
    return tank(party(ORCHID, 6), party(GRAMMA, length_cm, day=5))


def clowns_of(length_cm: float) -> Situation:
    return tank(party(CLOWN, 8), party(CLOWN, length_cm, day=5))


def damsels_of(length_cm: float) -> Situation:
    return tank(party(DOMINO, 6), party(HUMBUG, length_cm, day=5), party(CHROMIS, 4, count=3))


def prey_of(length_cm: float) -> Situation:
    return tank(replace(party(ORCHID, 12), species=SLOW_EATER), party(FIREFISH, length_cm, day=5))


def tank_of(length_cm: float) -> Situation:
    return of_length(length_cm, tank(party(DOMINO, 6), party(HUMBUG, 6, day=5)))


def rivals_after(days: float) -> Situation:
    return tank(party(DOMINO, 6), party(HUMBUG, 6, day=days))


def own_kind_after(days: float) -> Situation:
    return tank(party(GRAMMA, 6), party(GRAMMA, 6, day=days))


def shoal_after(days: float) -> Situation:
    return tank(party(CHROMIS, 4, count=6), party(CHROMIS, 4, day=days), party(YELLOW_TANG, 9))


def boxed_for(days: float) -> Situation:
    return tank(party(DOMINO, 6), replace(party(HUMBUG, 6, day=10), box_days=days))


def fed(times: float) -> Situation:
    two = party(DOMINO, 6), party(HUMBUG, 6, day=10)
    return tank(*two, keeping=Keeping(feeds_per_day=times))


@pytest.mark.parametrize(
    ("made", "along"),
    [
        (rivals_of, np.arange(3.0, 7.0, 0.05)),
        (clowns_of, np.arange(3.0, 7.0, 0.05)),
        (damsels_of, np.arange(3.0, 7.0, 0.05)),
        (prey_of, np.arange(3.5, 5.5, 0.025)),
        (tank_of, np.arange(80.0, 130.0, 1.0)),
        (rivals_after, np.arange(0.0, 4.0, 0.05)),
        (own_kind_after, np.arange(0.0, 3.0, 0.05)),
        (shoal_after, np.arange(0.0, 3.0, 0.05)),
        (boxed_for, np.arange(0.0, 4.0, 0.05)),
        (fed, np.arange(0.5, 4.0, 0.05)),
    ],
)
def test_no_step_on_the_road_is_a_jump(made: Callable[[float], Situation], along: Sequence[float]) -> None:
    road = [fate(made(float(x))) for x in along]
    p = np.abs(np.diff([f.p for f in road], axis=0))
    attacks = np.array([f.attacks for f in road])
    assert p.max() <= 0.04
    assert np.abs(np.diff(np.log(attacks + 0.1), axis=0)).max() <= 0.25
