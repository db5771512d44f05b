import math

import numpy as np
import pytest

from slackwater.errors import InputError
from slackwater.tank.cells import cut
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import custom, preset
from slackwater.tank.shapes import Glass, Shape

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
BALL = Piece(PieceKind.ELLIPSOID, (60.0, 30.0, 30.0), (12.0, 12.0, 12.0))
SHELF = Piece(PieceKind.SLAB, (60.0, 30.0, 27.5), (30.0, 20.0, 0.9))


@pytest.mark.parametrize("edge_cm", [4.0, 5.0, 7.0, 10.0])
def test_an_empty_tank_is_all_free_water_above_the_sand(edge_cm: float) -> None:
    cells = cut(TANK, preset("none", TANK, 4.3), edge_cm)
    assert cells.free_l.sum() == pytest.approx(120.0 * 60.0 * (55.0 - 4.3) / 1000.0, rel=1e-5)
    assert np.isinf(cells.rock_distance_cm).all()


def test_a_whole_cell_holds_its_cube_and_stands_at_its_middle() -> None:
    cells = cut(TANK, preset("none", TANK, 0.0), 10.0)
    first = cells.index.tolist().index([3, 2, 1])
    assert cells.free_l[first] == pytest.approx(1.0)
    assert cells.points_cm[first].tolist() == pytest.approx([35.0, 25.0, 15.0])
    assert cells.shape == (12, 6, 6)


@pytest.mark.parametrize("edge_cm", [5.0, 10.0])
def test_rock_takes_the_water_it_displaces(edge_cm: float) -> None:
    rockwork = preset("dense", TANK)
    water_l = 120.0 * 60.0 * 50.0 / 1000.0 - rockwork.displaced_l(TANK)
    assert cut(TANK, rockwork, edge_cm).free_l.sum() == pytest.approx(water_l, rel=5e-4)


def test_a_cylinder_loses_its_corners() -> None:
    glass = Glass(Shape.CYLINDER, 80.0, 80.0, 60.0)
    cells = cut(glass, preset("none", glass, 0.0), 5.0)
    assert cells.free_l.sum() == pytest.approx(glass.volume_l, rel=5e-3)
    assert glass.contains(cells.points_cm).all()


@pytest.mark.parametrize("word", ["sparse", "dense", "wall", "bommies"])
def test_points_are_in_free_water(word: str) -> None:
    rockwork = preset(word, TANK)
    cells = cut(TANK, rockwork, 5.0)
    assert TANK.contains(cells.points_cm).all()
    assert (cells.points_cm[:, 2] > rockwork.sand_cm).all()
    for cosine, piece in ((math.cos(p.yaw_rad), p) for p in rockwork.pieces):
        sine = math.sin(piece.yaw_rad)
        x, y, z = (cells.points_cm - np.array(piece.centre_cm)).T
        u = np.array([cosine * x + sine * y, cosine * y - sine * x, z]).T / piece.half_cm
        size = np.abs(u).max(axis=1) if piece.kind is PieceKind.SLAB else np.hypot.reduce(u, axis=1)
        assert size.min() > 1.0 - 1e-5


def test_a_thin_shelf_leaves_points_beside_it_not_in_it() -> None:
    cells = cut(TANK, custom([SHELF]), 5.0)
    beside = np.all(np.abs(cells.points_cm[:, :2] - [60.0, 30.0]) < [30.0, 20.0], axis=1)
    assert (np.abs(cells.points_cm[beside, 2] - 27.5) > 0.9).all()


def test_distance_to_a_ball_and_to_a_slab() -> None:
    ball = cut(TANK, custom([BALL]), 5.0)
    expected = np.linalg.norm(ball.points_cm - np.array(BALL.centre_cm), axis=1) - 12.0
    assert ball.rock_distance_cm == pytest.approx(np.maximum(expected, 0.0), abs=1e-3)
    slab = cut(TANK, custom([SHELF]), 5.0)
    beyond = np.abs(slab.points_cm - np.array(SHELF.centre_cm)) - np.array(SHELF.half_cm)
    assert slab.rock_distance_cm == pytest.approx(np.linalg.norm(np.maximum(beyond, 0.0), axis=1), abs=1e-3)


def test_cells_listed_together_stand_together() -> None:
    cells = cut(TANK, preset("none", TANK), 5.0)
    steps = np.linalg.norm(np.diff(cells.points_cm, axis=0), axis=1)
    assert np.median(steps) < 8.0
    assert len({tuple(step) for step in cells.index.tolist()}) == len(cells)


def test_a_tank_full_of_sand_has_no_cells() -> None:
    assert len(cut(TANK, preset("none", TANK, 55.0), 10.0)) == 0


@pytest.mark.parametrize("edge_cm", [0.0, -1.0, math.nan])
def test_an_impossible_edge_is_refused(edge_cm: float) -> None:
    with pytest.raises(InputError, match="must be greater than 0"):
        cut(TANK, preset("none", TANK), edge_cm)
