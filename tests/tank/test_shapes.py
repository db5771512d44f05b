import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.tank.cells import cut
from slackwater.tank.outline import Outline
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Corner, Glass, OverflowBox, Shape, shell

BOW = Glass(Shape.BOW_FRONT, 100.0, 55.0, 50.0, bow_cm=15.0)
ANGLE = Glass(Shape.L_SHAPE, 120.0, 80.0, 50.0, cut_cm=(70.0, 30.0))
CUT = Glass(Shape.CUT_CORNER, 70.0, 70.0, 55.0, cut_cm=(40.0, 40.0))
HEXAGON = Glass(Shape.HEXAGON, 70.0, 35.0 * math.sqrt(3.0), 60.0)
QUADRANT = Glass(Shape.QUADRANT, 70.0, 70.0, 60.0)
HALF = Glass(Shape.HALF_CYLINDER, 120.0, 60.0, 50.0)
CYLINDER = Glass(Shape.CYLINDER, 60.0, 60.0, 60.0)
BOX = Glass(Shape.RECTANGULAR, 118.0, 48.0, 45.0)
ALL = [BOX, Glass(Shape.CUBE, 60.0, 60.0, 60.0), CYLINDER, HALF, QUADRANT, HEXAGON, BOW, ANGLE, CUT]

# Worked out by hand, each in its comment; the segment under the bow is that of `reference/tank.csv`.
LITRES = [
    (BOX, 254.88),  # 118 x 48 x 45
    (CYLINDER, 169.65),  # pi 30^2 60
    (HALF, 282.74),  # pi 60^2 50 / 2
    (QUADRANT, 230.91),  # pi 70^2 60 / 4
    (HEXAGON, 190.96),  # 2.598 35^2 60
    (BOW, 250.89),  # (100 x 40 + 1017.775) 50
    (ANGLE, 375.0),  # (120 x 50 + 80 x 50 - 50 x 50) 50
    (CUT, 225.5),  # (70 x 70 - 40 x 40 / 2) 55
]


@pytest.mark.parametrize(("glass", "litres"), LITRES, ids=lambda value: str(getattr(value, "shape", value)))
def test_volumes_are_those_worked_out_by_hand(glass: Glass, litres: float) -> None:
    assert glass.volume_l == pytest.approx(litres, abs=0.006)


@pytest.mark.parametrize("glass", ALL, ids=lambda glass: glass.shape)
def test_the_cells_fill_the_outline_and_nothing_else(glass: Glass) -> None:
    cells = cut(glass, preset("none", glass, 0.0), 5.0)
    assert cells.free_l.sum() == pytest.approx(glass.volume_l, rel=2e-4)
    assert glass.contains(cells.points_cm).all()


@pytest.mark.parametrize("glass", ALL, ids=lambda glass: glass.shape)
def test_the_volume_is_that_of_thrown_points(glass: Glass) -> None:
    thrown = np.random.default_rng(1).uniform(0.0, 1.0, (200_000, 3))
    sides = np.array([glass.length_cm, glass.width_cm, glass.height_cm])
    share = glass.contains(thrown * sides).mean()
    assert share * sides.prod() / 1000.0 == pytest.approx(glass.volume_l, rel=0.01)


@pytest.mark.parametrize("glass", ALL, ids=lambda glass: glass.shape)
def test_a_pane_is_never_shorter_than_its_corners_apart(glass: Glass) -> None:
    around = sum(math.dist(a, b) for a, b, _ in glass.outline.sides)
    assert glass.outline.perimeter_cm >= around - 1e-9
    ring = glass.outline.ring_cm
    steps = np.linalg.norm(np.roll(ring, -1, axis=0) - ring, axis=1).sum()
    assert glass.outline.perimeter_cm == pytest.approx(steps, rel=1e-4)


@given(st.floats(20.0, 500.0), st.floats(0.01, 0.5))
def test_an_arc_holds_more_than_its_triangle_and_less_than_its_box(chord_cm: float, share: float) -> None:
    bow_cm = share * chord_cm
    bowed = Outline(((0.0, 0.0), (chord_cm, 0.0), (chord_cm, 10.0), (0.0, 10.0)), (bow_cm, 0.0, 0.0, 0.0))
    flat = chord_cm * 10.0
    assert 0.5 * chord_cm * bow_cm < bowed.area_cm2 - flat < chord_cm * bow_cm


@pytest.mark.parametrize("corner", list(Corner))
def test_every_corner_can_be_the_one_that_is_missing(corner: Corner) -> None:
    for shape, cut_cm in ((Shape.L_SHAPE, (30.0, 20.0)), (Shape.CUT_CORNER, (30.0, 20.0))):
        glass = Glass(shape, 90.0, 60.0, 50.0, cut_cm=cut_cm, corner=corner)
        x = 1.0 if "left" in corner else 89.0
        y = 59.0 if "back" in corner else 1.0
        points = [(x, y, 10.0), (90.0 - x, y, 10.0), (x, 60.0 - y, 10.0), (90.0 - x, 60.0 - y, 10.0)]
        assert glass.contains(points).tolist() == [False, True, True, True]
        cells = cut(glass, preset("none", glass, 0.0), 5.0)
        assert cells.free_l.sum() == pytest.approx(glass.volume_l, rel=1e-3)
        assert glass.contains(cells.points_cm).all()


def test_a_cylinder_holds_a_circle_times_its_height() -> None:
    glass = Glass(Shape.CYLINDER, 100.0, 100.0, 50.0)
    assert glass.volume_l == pytest.approx(math.pi * 0.25 * 1e4 * 50.0 / 1e3)
    assert glass.panes_m2 == pytest.approx(math.pi * 1.0 * 0.5)
    assert glass.lane_cm == 100.0


def test_a_deep_tank_is_swum_front_to_back() -> None:
    assert Glass(Shape.RECTANGULAR, 60.0, 90.0, 50.0).lane_cm == 90.0


def test_a_cube_contains_its_corners_and_a_cylinder_does_not() -> None:
    corners = np.array([[0.0, 0.0, 0.0], [60.0, 60.0, 60.0], [30.0, 30.0, 60.1]])
    cube = Glass(Shape.CUBE, 60.0, 60.0, 60.0)
    assert cube.contains(corners).tolist() == [True, True, False]
    assert CYLINDER.contains(corners).tolist() == [False, False, False]
    assert CYLINDER.contains([[30.0, 0.0, 10.0]]).tolist() == [True]


def test_an_overflow_box_takes_its_water() -> None:
    box = OverflowBox(110.0, 40.0, 12.0, 10.0)
    glass = Glass(Shape.RECTANGULAR, 118.0, 48.0, 45.0, overflow=box)
    assert glass.volume_l == pytest.approx(254.88 - 12.0 * 10.0 * 45.0 / 1000.0)
    cells = cut(glass, preset("none", glass, 0.0), 5.0)
    assert cells.free_l.sum() == pytest.approx(glass.volume_l, rel=1e-3)
    assert glass.contains([(110.0, 40.0, 20.0), (100.0, 40.0, 20.0)]).tolist() == [False, True]


def test_a_place_outside_is_moved_to_the_nearest_inside() -> None:
    assert ANGLE.spot_inside((20.0, 10.0), 5.0) == (20.0, 10.0)
    x, y = ANGLE.spot_inside((110.0, 5.0), 5.0)
    assert ANGLE.clearance_cm([(x, y)])[0] >= 5.0


def test_a_smaller_tank_keeps_its_shape() -> None:
    for glass in ALL:
        smaller = glass.scaled(0.8)
        assert smaller.length_cm == pytest.approx(0.8 * glass.length_cm)
        assert smaller.volume_l < glass.volume_l


def test_the_shell_lies_outside_and_leaves_no_gap() -> None:
    for glass in (HEXAGON, QUADRANT, BOW):
        slabs = shell(glass)
        middle = glass.hull.ring_cm.mean(axis=0)
        for turn in np.linspace(0.0, 2.0 * math.pi, 50):
            way = np.array([math.cos(turn), math.sin(turn)])
            reached = [
                any(
                    (
                        np.abs((np.append(middle + r * way, 10.0) - slab.centre_cm) @ slab.axes)
                        < slab.half_cm
                    ).all()
                    for slab in slabs
                )
                for r in np.arange(1.0, 120.0, 0.5)
            ]
            first = reached.index(True)
            edge = middle + np.arange(1.0, 120.0, 0.5)[first] * way
            assert abs(float(glass.hull.inward_cm([edge])[0])) < 1.5


@pytest.mark.parametrize("length_cm", [0.0, -5.0, math.nan, math.inf])
def test_an_impossible_size_is_refused(length_cm: float) -> None:
    with pytest.raises(InputError, match="inner size must be greater than 0"):
        Glass(Shape.RECTANGULAR, length_cm, 50.0, 50.0)


def test_sizes_must_fit_the_shape() -> None:
    with pytest.raises(InputError, match="as wide as it is long"):
        Glass(Shape.CYLINDER, 60.0, 50.0, 50.0)
    with pytest.raises(InputError, match="one size three times"):
        Glass(Shape.CUBE, 60.0, 60.0, 50.0)
    with pytest.raises(InputError, match="half as wide"):
        Glass(Shape.HALF_CYLINDER, 60.0, 50.0, 50.0)
    with pytest.raises(InputError, match="bow out by more than 0 and less than 50 cm"):
        Glass(Shape.BOW_FRONT, 100.0, 55.0, 50.0, bow_cm=60.0)
    with pytest.raises(InputError, match="less than the 90 x 60 cm"):
        Glass(Shape.L_SHAPE, 90.0, 60.0, 50.0, cut_cm=(95.0, 20.0))


@pytest.mark.parametrize(("x_cm", "y_cm"), [(116.0, 40.0), (110.0, 45.0)])
def test_an_overflow_box_outside_the_glass_is_refused(x_cm: float, y_cm: float) -> None:
    with pytest.raises(InputError, match="must stand inside the glass"):
        Glass(Shape.RECTANGULAR, 118.0, 48.0, 45.0, overflow=OverflowBox(x_cm, y_cm, 12.0, 10.0))
    with pytest.raises(InputError, match="must stand inside the glass"):
        Glass(Shape.L_SHAPE, 120.0, 80.0, 50.0, cut_cm=(70.0, 30.0), overflow=OverflowBox(100, 15, 9, 9))
