"""Homes found: holes shared by need, size and arrival, and what is seen of them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.society import build
from tests.society.build import RULES, party

from slackwater.society.attacks import constants
from slackwater.society.company import Party, Sex, Situation
from slackwater.society.field import settle_company, stage_of
from slackwater.society.shelter import (
    Homes,
    body_depth_cm,
    fright_share,
    hole_fit,
    homes_found,
    mouths_cm,
    shared_holes,
    strengths,
)
from slackwater.tank.rock import Rockwork, arranged
from slackwater.tank.stone import Form, Opening, Side, Stone

ROYAL = "Gramma loreto"
JAWFISH = "Opistognathus aurifrons"


def boulder(x_cm: float, *widths_cm: float, side: Side = Side.FRONT) -> Stone:
    openings = tuple(Opening(width, 1, side) for width in widths_cm)
    return Stone(Form.BOULDER, x_cm, 22.0, 0.0, (14.0, 12.0, 14.0), openings=openings)


def homes(rock: Rockwork, *parties: Party) -> Homes:
    situation = Situation(build.glass(), (rock,), parties, horizon_days=180.0, grows=False)
    fixed = constants(situation, RULES)
    field = settle_company(situation, rock, fixed, RULES, 10.0)
    rate = np.ones((len(parties), len(parties))) - np.eye(len(parties))
    stage = stage_of(field, rate, np.ones(len(parties), np.bool_), RULES)
    return homes_found(situation, fixed, field, stage, RULES)


def rockwork(*stones: Stone) -> Rockwork:
    return arranged(stones, build.glass(), 5.0)


# fit


def test_a_hole_fits_within_the_usual_widths_and_shuts_out_larger_bodies() -> None:
    widths = np.array([1.5, 1.9, 2.4, 3.0, 4.0, 5.0, 8.0])
    fit = hole_fit(widths, 2.0, RULES)
    assert fit[2:5] == pytest.approx(1.0, abs=0.02)
    assert fit[0] < 0.01
    assert fit[1] < 0.2
    assert fit[4] > fit[5] > fit[6]


@given(st.floats(0.3, 20.0), st.floats(0.3, 20.0))
def test_a_little_wider_fits_little_otherwise(width_cm: float, depth_cm: float) -> None:
    here, there = hole_fit(np.array([width_cm, 1.01 * width_cm]), depth_cm, RULES)
    assert abs(there - here) < 0.08


# sharing

fits = st.lists(st.lists(st.floats(0.0, 1.0), min_size=4, max_size=4), min_size=3, max_size=3)


@given(fits, st.lists(st.floats(0.2, 5.0), min_size=3, max_size=3))
def test_no_hole_is_overfull_and_nobody_has_more_than_it_wants(
    fit: list[list[float]], power: list[float]
) -> None:
    wanted = np.array([1.0, 2.0, 1.0])
    shares = shared_holes(np.array(fit), wanted, np.array(power), RULES)
    assert (shares >= 0.0).all()
    assert (shares.sum(axis=0) <= 1.0 + 1e-6).all()
    assert (shares.sum(axis=1) <= wanted + 1e-6).all()


@given(fits, st.floats(0.3, 3.0))
def test_a_stronger_party_holds_no_less(fit: list[list[float]], power: float) -> None:
    wanted = np.ones(3)
    before = shared_holes(np.array(fit), wanted, np.array([power, 1.0, 1.0]), RULES)
    after = shared_holes(np.array(fit), wanted, np.array([1.2 * power, 1.0, 1.0]), RULES)
    assert after[0].sum() >= before[0].sum() - 1e-6
    assert after[1:].sum() <= before[1:].sum() + 1e-6


@given(fits, st.floats(0.3, 3.0))
def test_a_small_change_stays_small(fit: list[list[float]], power: float) -> None:
    wanted = np.ones(3)
    before = shared_holes(np.array(fit), wanted, np.array([power, 1.0, 1.0]), RULES)
    after = shared_holes(np.array(fit), wanted, np.array([1.01 * power, 1.0, 1.0]), RULES)
    assert np.abs(after - before).max() < 0.02


def test_the_larger_and_the_earlier_hold_more() -> None:
    fit = np.ones((2, 1))
    small, large = (build.animal(ROYAL, size) for size in (4.0, 7.0))
    shares = shared_holes(fit, np.ones(2), strengths((small, large), RULES), RULES)
    assert shares[1, 0] > 2.0 * shares[0, 0]
    early, late = (build.animal(ROYAL, 6.0, day=day) for day in (-60.0, 30.0))
    shares = shared_holes(fit, np.ones(2), strengths((early, late), RULES), RULES)
    assert shares[0, 0] > 1.5 * shares[1, 0]


def test_a_lone_animal_finds_the_hole_that_fits_it() -> None:
    depth = body_depth_cm(build.animal(ROYAL))
    found = homes(rockwork(boulder(15.0, 1.5 * depth), boulder(45.0, 6.0 * depth)), party(ROYAL))
    assert found.hole_shares[0, 0] > 0.9
    assert found.hole_shares[0, 1] < 0.01
    assert found.found[0] > 0.9


def test_many_animals_and_few_holes_leave_some_without() -> None:
    depth = body_depth_cm(build.animal(ROYAL))
    rock = rockwork(boulder(15.0, 1.5 * depth, 1.6 * depth))
    parties = tuple(party(ROYAL, 6.0, day=day) for day in (-90.0, -30.0, 0.0, 30.0))
    found = homes(rock, *parties)
    assert found.hole_shares.sum() <= 2.0
    assert list(found.found) == sorted(found.found, reverse=True)
    assert found.found[0] > 0.6
    assert found.found[-1] < 0.4


def test_a_settled_pair_shares_a_hole() -> None:
    depth = body_depth_cm(build.animal(ROYAL))
    rock = rockwork(boulder(15.0, 1.5 * depth))
    assert homes(rock, party(ROYAL, count=2, sex=Sex.PAIR)).found[0] > 0.9
    assert homes(rock, party(ROYAL, count=2)).found[0] < 0.6


def test_sand_is_the_home_of_burrowers() -> None:
    need = build.fish(JAWFISH).number("needs_sand_cm")
    flat = homes(rockwork(boulder(15.0, 3.0)), party(JAWFISH))
    assert flat.found[0] == pytest.approx(5.0 / need)
    bed = Stone(Form.SAND_BED, 45.0, 20.0, 0.0, (16.0, 16.0, 1.2 * need))
    assert homes(rockwork(boulder(15.0, 3.0), bed), party(JAWFISH)).found[0] == 1.0


# sight


def test_mouths_open_into_the_water() -> None:
    rock = rockwork(boulder(15.0, 3.0, 4.0), boulder(45.0, 3.0, side=Side.BACK))
    places = mouths_cm(rock)
    assert places.shape == (3, 3)
    assert places[2, 1] > rock.holes[2].centre_cm[1]


def test_what_stands_behind_a_screen_is_out_of_view() -> None:
    screen = Stone(Form.SLAB, 30.0, 20.0, 0.0, (3.0, 38.0, 38.0), openings=())
    rock = rockwork(boulder(14.0, 3.0), screen, boulder(46.0, 3.0))
    found = homes(rock, party(ROYAL), party(ROYAL, day=1.0))
    assert found.in_view.shape == (2, 2)
    open_rock = rockwork(boulder(14.0, 3.0), boulder(46.0, 3.0))
    plain = homes(open_rock, party(ROYAL), party(ROYAL, day=1.0))
    assert found.in_view.mean() < plain.in_view.mean()
    assert found.sees[0] < plain.sees[0]
    for n in (0, 1):
        assert (fright_share(found, n) <= 1.0).all()


def test_nobody_pressed_nobody_in_fright() -> None:
    found = homes(rockwork(boulder(15.0, 3.0)), party(ROYAL))
    assert (fright_share(found, 0) == 0.0).all()
    assert found.quiet[0] == pytest.approx(1.0)
