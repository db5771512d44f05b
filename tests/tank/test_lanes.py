import math

import numpy as np
import pytest

from slackwater.tank.lanes import breaks_per_view, broken_views, lanes, structures
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import custom, preset
from slackwater.tank.shapes import Glass, OverflowBox, Shape

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
ANGLE = Glass(Shape.L_SHAPE, 120.0, 80.0, 50.0, cut_cm=(70.0, 30.0))
HEXAGON = Glass(Shape.HEXAGON, 80.0, 40.0 * math.sqrt(3.0), 60.0)
BARE = preset("none", TANK)


def wall(x_cm: float, y_cm: float, length_cm: float, width_cm: float, height_cm: float = 55.0) -> Piece:
    return Piece(
        PieceKind.SLAB,
        (x_cm, y_cm, 0.5 * height_cm),
        (0.5 * length_cm, 0.5 * width_cm, 0.5 * height_cm),
    )


@pytest.mark.parametrize(
    ("glass", "longest"), [(TANK, 120.0), (ANGLE, 120.0), (Glass(Shape.CYLINDER, 90, 90, 50), 90.0)]
)
def test_a_bare_tank_is_swum_from_pane_to_pane(glass: Glass, longest: float) -> None:
    for lane in lanes(glass, preset("none", glass)):
        assert lane.lane_cm == pytest.approx(longest, abs=2.6)


def test_a_hexagon_is_swum_from_corner_to_corner() -> None:
    assert max(lane.lane_cm for lane in lanes(HEXAGON, preset("none", HEXAGON))) == pytest.approx(80, abs=2.6)


def test_rock_shortens_the_lane_only_where_it_stands() -> None:
    across = custom([wall(70.0, 30.0, 10.0, 60.0, 30.0)], sand_cm=0.0)
    low, middle, high = lanes(TANK, across)
    # left of the rock 65 cm less the 4 cm kept off it; above its top at 30 cm there is room at 41 cm
    assert low.lane_cm == middle.lane_cm == pytest.approx(61.0, abs=2.6)
    assert high.lane_cm == pytest.approx(120.0, abs=2.6)
    front_open = custom([wall(70.0, 40.0, 10.0, 40.0)], sand_cm=0.0)
    assert lanes(TANK, front_open)[0].lane_cm == pytest.approx(120.0, abs=2.6)


def test_an_overflow_box_is_in_the_way() -> None:
    glass = Glass(Shape.RECTANGULAR, 100.0, 20.0, 50.0, overflow=OverflowBox(50.0, 10.0, 10.0, 18.0))
    assert lanes(glass, preset("none", glass))[1].lane_cm == pytest.approx(41.0, abs=2.6)


def test_views_are_whole_without_rock_and_broken_behind_a_wall() -> None:
    assert broken_views(TANK, BARE) == 0.0
    across = custom([wall(60.0, 30.0, 6.0, 60.0)], sand_cm=0.0)
    # a view of 60 cm along x crosses the middle from half of all places, from all but the ends
    share = broken_views(TANK, across)
    points = np.random.default_rng(1).uniform([0.0, 0.0], [120.0, 60.0], (4000, 2))
    ends = points + 60.0 * np.column_stack(
        [np.cos(a := np.random.default_rng(2).uniform(0.0, 6.2832, 4000)), np.sin(a)]
    )
    inside = ((ends > 0.0) & (ends < [120.0, 60.0])).all(axis=1) & (np.abs(points[:, 0] - 60.0) > 3.0)
    inside &= np.abs(ends[:, 0] - 60.0) > 3.0
    crossed = (points[:, 0] < 60.0) != (ends[:, 0] < 60.0)
    assert share == pytest.approx(crossed[inside].mean(), abs=0.05)


def test_more_rock_breaks_more_views() -> None:
    shares = [broken_views(TANK, preset(word, TANK)) for word in ("sparse", "moderate", "dense")]
    assert shares == sorted(set(shares))


def test_breaks_follow_from_the_share_of_broken_views() -> None:
    assert breaks_per_view(0.0) == 0.0
    assert breaks_per_view(1.0 - math.exp(-1.5)) == pytest.approx(1.5)
    assert breaks_per_view(1.0) == 5.0


def test_heaps_are_counted_apart() -> None:
    assert structures(TANK, BARE) == 0
    assert structures(TANK, preset("two islands", TANK)) == 2
    assert structures(TANK, preset("bommies", TANK)) == 3
    near = custom([wall(30.0, 30.0, 20.0, 20.0), wall(52.0, 30.0, 20.0, 20.0)])
    apart = custom([wall(30.0, 30.0, 20.0, 20.0), wall(64.0, 30.0, 20.0, 20.0)])
    assert (structures(TANK, near), structures(TANK, apart)) == (1, 2)
