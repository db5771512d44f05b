import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater import kernels_tank
from slackwater.errors import InputError
from slackwater.tank.pieces import Piece, PieceKind, as_table
from slackwater.tank.rock import arranged
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sight import clear_from
from slackwater.tank.stability import FLOOR, Fault, is_standing, let_down, standings
from slackwater.tank.stone import LEVEL, Form, Opening, Side, Stone, bodies, shelters
from slackwater.tank.weights import one_lifts_kg, stone_weight, tank_weight, usual_glass_mm

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
ANGLE = Glass(Shape.L_SHAPE, 120.0, 80.0, 50.0, cut_cm=(70.0, 30.0))


def stone(form: str, x_cm: float, y_cm: float, *size_cm: float, base_cm: float = 0.0) -> Stone:
    length, width, height = size_cm
    return Stone(Form(form), x_cm, y_cm, base_cm, (length, width, height))


BOULDER = stone("boulder", 40.0, 30.0, 30.0, 24.0, 20.0)


# bodies


@pytest.mark.parametrize("form", list(Form))
def test_every_form_fills_the_box_that_was_told(form: Form) -> None:
    made = bodies(Stone(form, 50.0, 30.0, 7.0, (20.0, 16.0, 12.0)))
    spans = np.array([piece.spans_cm for piece in made])
    centres = np.array([piece.centre_cm for piece in made])
    low, high = (centres - spans).min(axis=0), (centres + spans).max(axis=0)
    floor = 7.0 - 12.0 if form is Form.RUBBLE else 7.0
    slack = 2.0 if form is Form.BRANCHING_CORAL else 1e-6
    assert low[:2] == pytest.approx([40.0, 22.0], abs=slack)
    assert high[:2] == pytest.approx([60.0, 38.0], abs=slack)
    assert low[2] == pytest.approx(floor, abs=1.2)
    assert high[2] == pytest.approx(19.0, abs=1.0)


@given(st.floats(-3.0, 3.0), st.floats(-1.3, 1.3), st.sampled_from(sorted(set(Form) - LEVEL)))
def test_turning_and_tilting_keeps_volume_and_foot(yaw_rad: float, tilt_rad: float, form: Form) -> None:
    plain = Stone(form, 50.0, 30.0, 5.0, (22.0, 10.0, 14.0))
    turned = replace(plain, yaw_rad=yaw_rad, tilt_rad=tilt_rad)
    assert turned.solid_l == pytest.approx(plain.solid_l)
    assert min(p.centre_cm[2] - p.spans_cm[2] for p in bodies(turned)) == pytest.approx(5.0)


@given(st.floats(-3.0, 3.0), st.floats(-1.3, 1.3), st.sampled_from(list(PieceKind)))
def test_upright_lines_cut_a_tilted_body_where_its_surface_is(
    yaw_rad: float, tilt_rad: float, kind: PieceKind
) -> None:
    piece = Piece(kind, (50.0, 30.0, 25.0), (12.0, 5.0, 3.0), yaw_rad, tilt_rad)
    spots = np.random.default_rng(2).uniform([38.0, 18.0], [62.0, 42.0], (60, 2))
    ends = kernels_tank.profiles(spots, as_table([piece]))[0]
    for spot, (low, high) in zip(spots, ends, strict=True):
        heights = np.linspace(5.0, 45.0, 801)
        points = np.column_stack([np.tile(spot, (801, 1)), heights])
        local = (points - piece.centre_cm) @ piece.axes / piece.half_cm
        inside = (np.abs(local).max(axis=1) if kind is PieceKind.SLAB else (local**2).sum(axis=1)) < 1.0
        assert inside.sum() * 0.05 == pytest.approx(max(high - low, 0.0), abs=0.11)


def test_a_tilted_slab_hides_along_its_slope_only() -> None:
    ramp = Stone(Form.SLAB, 60.0, 30.0, 10.0, (30.0, 20.0, 2.0), tilt_rad=math.radians(45.0))
    rock = arranged([ramp], TANK)
    (slab,) = bodies(ramp)
    x, _, z = slab.centre_cm
    along, across = (x + 20.0, 30.0, z + 21.0 + 2.0), (x + 15.0, 30.0, z - 15.0)
    start = (x - 20.0, 30.0, z - 20.0 + 3.0)
    assert clear_from(rock, start, [along]).tolist() == [True]
    assert clear_from(rock, (x - 15.0, 30.0, z + 15.0), [across]).tolist() == [False]


def test_a_pipe_is_seen_through_along_its_length_only() -> None:
    rock = arranged([stone("pipe", 60.0, 30.0, 20.0, 10.0, 10.0)], TANK)
    assert clear_from(rock, (40.0, 30.0, 5.0), [(80.0, 30.0, 5.0)]).tolist() == [True]
    assert clear_from(rock, (60.0, 10.0, 5.0), [(60.0, 50.0, 5.0)]).tolist() == [False]


def test_an_arch_is_seen_through_beneath_its_roof() -> None:
    rock = arranged([stone("arch", 60.0, 30.0, 40.0, 14.0, 20.0)], TANK)
    assert clear_from(rock, (60.0, 10.0, 6.0), [(60.0, 50.0, 6.0), (60.0, 50.0, 18.0)]).tolist() == [
        True,
        False,
    ]


def test_a_level_form_cannot_be_tilted_and_a_size_of_nothing_is_refused() -> None:
    for form in LEVEL:
        with pytest.raises(InputError, match="lies level"):
            Stone(form, 50.0, 30.0, 0.0, (9.0, 9.0, 9.0), tilt_rad=0.2)
    with pytest.raises(InputError, match="must be greater than 0"):
        stone("boulder", 50.0, 30.0, 9.0, 0.0, 9.0)


# holes


def test_forms_offer_the_shelter_that_they_make() -> None:
    arch, pipe = (shelters(stone(form, 60.0, 30.0, 30.0, 12.0, 20.0), 0) for form in ("arch", "pipe"))
    assert [(hole.width_cm, hole.exits) for hole in arch] == [(14.0, 2)]
    assert [hole.exits for hole in pipe] == [2]
    assert pipe[0].width_cm == pytest.approx(10.8)
    assert len(shelters(stone("rubble", 60.0, 30.0, 30.0, 20.0, 8.0), 0)) > 4
    assert all(hole.width_cm < 4.0 for hole in shelters(stone("branching coral", 60, 30, 20, 20, 18), 0))
    assert shelters(stone("anemone", 60.0, 30.0, 12.0, 12.0, 9.0), 0) == []


def test_told_holes_stand_on_the_side_that_was_told() -> None:
    told = replace(BOULDER, openings=(Opening(4.0, 2, Side.BACK), Opening(3.0, 1, Side.LEFT)))
    back, left = arranged([told], TANK).holes
    assert (back.width_cm, back.exits, left.width_cm, left.exits) == (4.0, 2, 3.0, 1)
    assert back.centre_cm[1] > 40.0
    assert left.centre_cm[0] < 27.0
    assert arranged([replace(BOULDER, openings=())], TANK).holes == ()
    assert len(arranged([BOULDER], TANK).holes) > 2


def test_the_first_hole_of_a_pipe_is_its_bore() -> None:
    told = replace(stone("pipe", 60.0, 30.0, 20.0, 12.0, 12.0), openings=(Opening(6.0),))
    (bore,) = arranged([told], TANK).holes
    assert (bore.width_cm, bore.exits) == (6.0, 2)
    assert told.solid_l == pytest.approx(20.0 * (144.0 - 36.0) / 1000.0)


# standing


def test_what_stands_is_let_be() -> None:
    roof = stone("slab", 52.0, 30.0, 50.0, 22.0, 4.0, base_cm=19.5)
    other = stone("boulder", 66.0, 30.0, 26.0, 24.0, 20.0)
    found = standings((BOULDER, other, roof), TANK)
    assert [standing.faults for standing in found] == [(), (), ()]
    assert found[2].rests_on == (0, 1)
    assert found[0].load_kg + found[1].load_kg == pytest.approx(
        BOULDER.weight_kg + other.weight_kg + roof.weight_kg
    )


def test_what_floats_is_said_to_float_by_so_much() -> None:
    (found,) = standings((replace(BOULDER, base_cm=6.0),), TANK)
    assert found.faults == (Fault.FLOATS,)
    assert found.by_cm[0] == pytest.approx(6.0)


def test_two_stones_in_the_water_do_not_bear_each_other() -> None:
    pair = (replace(BOULDER, base_cm=20.0), replace(BOULDER, x_cm=45.0, base_cm=24.0))
    assert all(Fault.FLOATS in found.faults for found in standings(pair, TANK))


def test_a_slab_may_reach_out_until_its_middle_leaves_the_support() -> None:
    pillar = stone("pillar", 40.0, 30.0, 12.0, 12.0, 20.0)
    for off_cm, stands in ((4.0, True), (5.5, True), (7.0, False)):
        roof = stone("slab", 40.0 + off_cm, 30.0, 40.0, 14.0, 3.0, base_cm=20.0)
        assert is_standing((pillar, roof), TANK) is stands
    glued = replace(stone("slab", 50.0, 30.0, 40.0, 14.0, 3.0, base_cm=20.0), is_fixed=True)
    assert is_standing((pillar, glued), TANK)


def test_a_load_on_its_end_tips_what_stood_before() -> None:
    pillar = stone("pillar", 40.0, 30.0, 12.0, 12.0, 20.0)
    roof = stone("slab", 43.0, 30.0, 40.0, 14.0, 3.0, base_cm=20.0)
    weight = replace(stone("boulder", 58.0, 30.0, 10.0, 10.0, 10.0, base_cm=23.0), mass_kg=8.0)
    assert is_standing((pillar, roof), TANK)
    found = standings((pillar, roof, weight), TANK)
    assert Fault.LEANS in found[1].faults


@pytest.mark.parametrize(
    ("glass", "x_cm", "y_cm"),
    [
        (TANK, 10.0, 30.0),
        (TANK, 40.0, 50.0),
        (ANGLE, 60.0, 40.0),
        (Glass(Shape.CYLINDER, 90, 90, 50), 20, 20),
    ],
)
def test_what_goes_through_the_glass_is_refused(glass: Glass, x_cm: float, y_cm: float) -> None:
    (found,) = standings((replace(BOULDER, x_cm=x_cm, y_cm=y_cm),), glass)
    assert Fault.THROUGH_GLASS in found.faults


def test_what_stands_out_of_the_water_or_inside_another_is_refused() -> None:
    (found,) = standings((stone("pillar", 40.0, 30.0, 20.0, 20.0, 58.0),), TANK)
    assert found.faults == (Fault.TOO_HIGH,)
    assert found.by_cm[0] == pytest.approx(3.0)
    inside = standings((BOULDER, stone("boulder", 42.0, 30.0, 12.0, 12.0, 12.0)), TANK)
    assert Fault.INSIDE_ANOTHER in inside[1].faults


@given(st.floats(25.0, 95.0), st.floats(20.0, 40.0), st.floats(6.0, 20.0))
def test_what_is_let_down_does_not_float(x_cm: float, y_cm: float, size_cm: float) -> None:
    below = (BOULDER, stone("slab", 70.0, 30.0, 40.0, 30.0, 6.0))
    dropped = let_down(stone("boulder", x_cm, y_cm, size_cm, size_cm, 0.7 * size_cm), below)
    found = standings((*below, dropped), TANK)[2]
    assert Fault.FLOATS not in found.faults
    assert found.gap_cm == pytest.approx(0.0, abs=1e-6) or FLOOR in found.rests_on


# weights


def test_a_stone_weighs_what_it_was_told_or_by_its_volume() -> None:
    litres = 4.0 / 3.0 * math.pi * 15.0 * 12.0 * 10.0 / 1000.0
    assert BOULDER.weight_kg == pytest.approx(1.6 * litres)
    assert replace(BOULDER, mass_kg=9.0).weight_kg == 9.0
    assert arranged([replace(BOULDER, mass_kg=9.0)], TANK).mass_kg == 9.0
    assert stone("anemone", 50.0, 30.0, 12.0, 12.0, 9.0).weight_kg == 0.0
    assert stone("sand bed", 50.0, 30.0, 12.0, 12.0, 9.0).weight_kg == 0.0


def test_what_one_lifts_falls_with_reach_and_height() -> None:
    assert one_lifts_kg(5.0, 75.0) == pytest.approx(23.0)  # the load constant, at knuckle height and close
    assert one_lifts_kg(30.0, 75.0) == pytest.approx(23.0 * 25.0 / 50.0)
    assert one_lifts_kg(5.0, 175.0) == pytest.approx(23.0 * 0.7)
    heavy = stone_weight(replace(BOULDER, mass_kg=20.0), TANK)
    assert heavy.people == 3
    assert heavy.displaced_low_l < heavy.displaced_l < heavy.displaced_high_l
    assert heavy.submerged_kg == pytest.approx(20.0 - 1.025 * 0.45 * 20.0)


def test_displacement_of_thirty_kilograms() -> None:
    # 30 kg: 10.6 to 20 L, from 1/2.83 and 1/1.5 litres a kilogram
    found = stone_weight(replace(BOULDER, mass_kg=30.0), TANK)
    assert found.displaced_low_l == pytest.approx(10.6, abs=0.02)
    assert found.displaced_high_l == pytest.approx(20.0)


def test_a_bare_tank_weighs_its_water_and_glass() -> None:
    bare = arranged([], TANK, 0.0)
    found = tank_weight(TANK, bare, 12.0)
    assert found.water_kg == pytest.approx(396.0 * 1.025)
    assert found.rock_kg == found.sand_kg == 0.0
    panes_m2 = 2.0 * (1.2 + 0.6) * 0.59 + 1.2 * 0.6
    assert found.glass_kg == pytest.approx(panes_m2 * 0.012 * 2500.0)
    assert found.per_m2_kg == pytest.approx(found.total_kg / 0.72)


def test_thicker_glass_for_more_water() -> None:
    assert [usual_glass_mm(litres) for litres in (60, 150, 300, 500, 2000)] == [6, 8, 10, 12, 19]


def test_a_bed_of_sand_is_deep_sand_and_no_rock() -> None:
    rock = arranged([stone("sand bed", 100.0, 40.0, 20.0, 20.0, 15.0)], TANK, 5.0)
    assert rock.pieces == ()
    assert rock.deepest_sand_cm == 15.0
    assert rock.bed_l() == pytest.approx(4.0)
    assert rock.displaced_l(TANK) == 0.0
