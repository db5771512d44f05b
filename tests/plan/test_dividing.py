"""Dividers judged, stations hidden, boxes placed, animals held aside."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from tests.plan.tanks import resident, wanted

from slackwater.errors import InputError
from slackwater.plan.aside import AsideAsked, Hold, hold_aside
from slackwater.plan.dividing import Divided, DividerAsked, Sheet, divide, in_the_way
from slackwater.plan.question import Question
from slackwater.plan.settling_in import settling_in
from slackwater.plan.stations import apart_stations
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import custom, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sight import clear_pairs

RULES = load_rules()
TANK = Glass(Shape.RECTANGULAR, 100.0, 45.0, 45.0)
LONG_AGO = dt.date(2026, 1, 1)
DOMINO, GRAMMA, TANG = "Dascyllus trimaculatus", "Gramma loreto", "Zebrasoma flavescens"
BULLY, VICTIM = "here-dascyllus-trimaculatus", "gramma-loreto"


def question(rock_word: str = "moderate", *wishes: str) -> Question:
    return Question(
        title="an invented tank",
        made_on=dt.date(2027, 1, 1),
        start=dt.date(2027, 1, 9),
        glass=TANK,
        rockworks=(preset(rock_word, TANK, 5.0),),
        rock_word=rock_word,
        keeping=Keeping(),
        residents=(resident(DOMINO, 9.0, LONG_AGO),),
        wishes=tuple(wanted(name, 6.0) for name in wishes or (GRAMMA,)),
        quarantine=None,
    )


@pytest.fixture(scope="module")
def parted() -> Divided:
    return divide(question(), DividerAsked(50.0, right=frozenset({VICTIM})), RULES)


def test_a_divider_between_bully_and_victim_helps(parted: Divided) -> None:
    assert parted.p_after < parted.p_before
    left, right = parted.sides
    assert [row.key for row in left.rows] == [BULLY]
    assert [row.key for row in right.rows] == [VICTIM]
    assert right.rows[0].p_after < right.rows[0].p_before


def test_both_sides_are_tanks_of_their_own(parted: Divided) -> None:
    left, right = parted.sides
    assert left.length_cm + right.length_cm == TANK.length_cm
    assert left.volume_l + right.volume_l == pytest.approx(TANK.volume_l)
    assert left.rock_share + right.rock_share == pytest.approx(1.0)
    assert left.lane_cm == 50.0


def test_a_clear_sheet_is_no_better_than_an_opaque_one(parted: Divided) -> None:
    assert parted.asked.sheet is Sheet.OPAQUE
    assert parted.p_other >= parted.p_after - 1e-9


def test_one_side_for_all_helps_nobody() -> None:
    crowded = divide(question(), DividerAsked(50.0), RULES)
    assert crowded.p_after > crowded.p_before
    assert crowded.sides[1].rows == ()


@pytest.mark.parametrize("at_cm", [5.0, 95.0, 150.0])
def test_a_divider_stands_in_the_tank_and_leaves_two_sides(at_cm: float) -> None:
    with pytest.raises(InputError, match="each side needs 15 cm"):
        divide(question(), DividerAsked(at_cm), RULES)


def test_a_stranger_lives_on_no_side() -> None:
    with pytest.raises(InputError, match="nobody of the company"):
        divide(question(), DividerAsked(50.0, right=frozenset({"nobody"})), RULES)


def test_stones_in_the_way_are_named() -> None:
    stones = [Piece(PieceKind.ELLIPSOID, (x, 20.0, 8.0), (10.0, 10.0, 8.0)) for x in (20.0, 55.0)]
    found = in_the_way(custom(stones), 50.0)
    assert [(row.piece, row.from_cm, row.to_cm) for row in found] == [(2, 45.0, 65.0)]


def test_stations_behind_a_wall_do_not_see_each_other() -> None:
    wall = Piece(PieceKind.SLAB, (50.0, 22.5, 20.0), (3.0, 22.4, 20.0))
    found = apart_stations(TANK, custom([wall]), 2)
    assert found.are_hidden
    (a, *_), (b, *_) = found.places_cm
    assert a < 47.0
    assert b > 53.0
    assert not clear_pairs(custom([wall]), np.array(found.places_cm))[0, 1]


def test_stations_in_an_open_tank_are_far_apart_and_in_view() -> None:
    found = apart_stations(TANK, preset("none", TANK, 5.0), 3)
    assert not found.are_hidden
    assert len(found.places_cm) == 3
    assert found.apart_cm > 40.0
    assert apart_stations(TANK, preset("none", TANK, 5.0), 1).are_hidden


def test_a_box_lies_clear_of_rock_and_draws_less_than_the_water_around() -> None:
    found = settling_in(question(), VICTIM, RULES)
    box = found.box
    assert box.size_cm[0] >= 2.0 * 6.0
    assert box.pressure_per_h <= box.usual_per_h
    low, high = (np.array(box.middle_cm) + sign * np.array(box.size_cm) / 2.0 for sign in (-1.0, 1.0))
    assert (low >= -1e-9).all()
    assert (high <= np.array([TANK.length_cm, TANK.width_cm, TANK.height_cm]) + 1e-9).all()
    assert box.chaser == "domino damsel"
    assert found.p_boxed <= found.p_straight
    assert found.mirror.startswith("No mirror")


def test_a_mirror_is_for_surgeonfishes_and_angelfishes() -> None:
    asked = question("moderate", "Zebrasoma scopas")
    tang = Question(**{**asked.__dict__, "residents": (resident(TANG, 14.0, LONG_AGO),)})
    assert settling_in(tang, "zebrasoma-scopas", RULES).mirror.startswith("A mirror outside the ")


def test_a_long_animal_gets_no_box() -> None:
    asked = question()
    large = Question(**{**asked.__dict__, "wishes": (wanted(TANG, 17.0),)})
    found = settling_in(large, "zebrasoma-flavescens", RULES).box
    assert not found.in_range
    assert "too long for a box" in found.sentence


def test_a_box_is_for_one_still_to_come() -> None:
    with pytest.raises(InputError, match="still to come"):
        settling_in(question(), BULLY, RULES)


def test_the_bully_in_the_sump_frees_the_victim() -> None:
    found = hold_aside(question(), AsideAsked(BULLY), RULES)
    assert found.p_after < found.p_before
    assert found.worst_before == "royal gramma"
    # exp(-14 / 6): two weeks wipe nine tenths of a claim
    assert found.claim_left == pytest.approx(np.exp(-14.0 / 6.0))
    assert found.size_assumed
    assert any("shares the water" in line for line in found.meaning)


def test_too_small_a_sump_is_called_so() -> None:
    tiny = Glass(Shape.RECTANGULAR, 25.0, 15.0, 15.0)
    found = hold_aside(question(), AsideAsked(BULLY, Hold.SUMP, tiny, None), RULES)
    assert found.held[0].lacks > 1.0
    assert "Too small" in found.held[0].sentence
    assert found.claim_left == 0.0


def test_a_second_tank_of_size_will_do() -> None:
    fine = Glass(Shape.RECTANGULAR, 100.0, 50.0, 50.0)
    found = hold_aside(question(), AsideAsked(VICTIM, Hold.SECOND_TANK, fine), RULES)
    assert "Room enough" in found.held[0].sentence
    assert any("Its water is its own" in line for line in found.meaning)
    with pytest.raises(InputError, match="nobody of the company"):
        hold_aside(question(), AsideAsked("nobody"), RULES)
