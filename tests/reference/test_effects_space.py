"""Published effects of room and rock, each beside its source."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.reference.effects import (
    BROWN_TANG,
    CLOWN_TANG,
    MOON_WRASSE,
    PAIRS,
    SUNSET_WRASSE,
    among_rock,
    ground_of_hunters,
    large,
    met,
    spread_of_use_cm,
)
from tests.society.build import DOMINO, GRAMMA, HUMBUG, ORCHID, RULES, fish, judged, party, tank

from slackwater.society.company import Situation
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import Rockwork, custom
from slackwater.tank.shapes import Glass


@pytest.mark.parametrize(
    ("resident", "late"), [(ORCHID, GRAMMA), (DOMINO, HUMBUG), (MOON_WRASSE, SUNSET_WRASSE)]
)
def test_attacks_vanish_as_ranges_part(resident: str, late: str) -> None:
    """Defence ends where the territory does [norman1984]; by arithmetic, none without overlap."""
    pair = party(resident, 7), party(late, 7, day=5)
    lengths = (60.0, 120.0, 240.0, 480.0)
    attacks = [met(tank(*pair, length_cm=length, rocks="none")) for length in lengths]
    assert all(a > b for a, b in pairwise(attacks))
    sides = tuple(replace(p, side=side) for p, side in zip(pair, ("left", "right"), strict=True))
    assert met(replace(tank(*sides), divider_cm=30.0)) == 0.0


@pytest.mark.parametrize(
    ("name", "low_m", "high_m"),
    [
        ("Acanthurus lineatus", 0.86, 1.88),  # [craig1996] 2.3 m2, [nursall1974] 11.1 m2
        ("Acanthurus sohal", 1.99 * 0.7, 1.99 * 1.3),  # [alwany2005] 12.5 m2
        (HUMBUG, 0.59 * 0.7, 0.59 * 1.3),  # [sale1971] 1.10 m2
        ("Centropyge argi", 0.60 * 0.7, 0.60 * 1.3),  # [luckhurst1978] 1.13 m2
        (MOON_WRASSE, 1.9 * 0.7, 1.9 * 1.3),  # [robertson_choat1974] 11.9 m2
    ],
)
def test_grounds_are_as_large_as_measured(name: str, low_m: float, high_m: float) -> None:
    radius_m = math.sqrt(fish(name).number("home_area_m2") / math.pi)
    assert low_m <= radius_m <= high_m


def defended_floor(rocks: str) -> float:
    """Return the share of the floor on which a surgeonfish is under a clown tang's pressure."""
    pair = party(CLOWN_TANG, 15), party(BROWN_TANG, 10, day=10)
    verdict = judged(large(*pair, rocks=rocks))
    floor = verdict.fields[0].ground.height < 0.2
    pressure = verdict.spans[-1].stages[0].pressure[floor, 1]
    return float((pressure > RULES["quiet_per_h"]).mean())


def test_a_floor_below_the_territory_is_defended_to_the_last_corner_unless_screened() -> None:
    """A floor of 0.6 m2 against a territory of 2.3 m2 [craig1996]: own arithmetic."""
    assert defended_floor("none") == 1.0
    assert defended_floor("wall") < 1.0


@pytest.mark.xfail(strict=True, reason="missed: grounds do not shrink as neighbours come")
def test_grounds_shrink_with_neighbours_of_the_own_kind() -> None:
    """Territories shrink with local density [norman1984], by a third of their area in [mensink2015]."""
    assert spread_of_use_cm(7) / spread_of_use_cm(0) <= 0.95


@pytest.mark.xfail(strict=True, reason="missed: most home areas here are estimates by family")
def test_hunters_range_further_than_grazers_of_their_mass() -> None:
    """Predators' ranges exceed those of herbivores at equal mass [nash2015]."""
    assert ground_of_hunters() > 1.0


def wall_across(share: float, glass: Glass) -> Rockwork:
    """Return a thin wall across the middle of a tank, up to a share of its width."""
    half_cm = (1.0, 0.5 * share * glass.width_cm, 0.5 * glass.height_cm)
    middle_cm = (0.5 * glass.length_cm, half_cm[1], half_cm[2])
    return custom([Piece(PieceKind.SLAB, middle_cm, half_cm)])


def test_fewer_lines_of_sight_are_fewer_meetings() -> None:
    """Boulders cut the visible area and let two to three times as many fish share a bed [dolinsek2004],
    [venter2008]. Only the meetings are shown here, not that more fish then come.
    """

    def walled(share: float) -> Situation:
        open_tank = large(party(MOON_WRASSE, 9), party(SUNSET_WRASSE, 8, day=5), length_cm=90.0)
        return replace(open_tank, rockworks=(wall_across(share, open_tank.glass),))

    meet = [float(np.max(judged(walled(share)).spans[-1].stages[0].meet)) for share in (0.2, 0.6, 0.95)]
    assert all(a > b for a, b in pairwise(meet))


@pytest.mark.parametrize(("first", "then"), PAIRS)
def test_a_little_rock_hardly_lowers_attacks_on_a_latecomer(first: str, then: str) -> None:
    """More branching coral did not lower aggression against those five days late [geange2010].

    Rock that hides without blocking views is unknown here; sparse rock stands in for it.
    """
    assert among_rock(first, then, 5.0)[1] >= 0.75


@pytest.mark.parametrize(("first", "then"), PAIRS)
def test_rock_helps_the_more_the_more_there_is(first: str, then: str) -> None:
    """Aggression falls with the amount of structure, little of it can do nothing [zhang2021]; doubled
    coral raised survival 1.55-fold when both came together [geange2010].
    """
    by_amount = among_rock(first, then, 0.0)
    assert all(a > b for a, b in pairwise(by_amount))
    assert by_amount[0] - by_amount[1] < by_amount[1] - by_amount[3]
