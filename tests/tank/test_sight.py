import os
import subprocess
import sys

import numpy as np
import pytest

from slackwater.tank.cells import cut
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import custom, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sight import clear_from, clear_pairs

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
BALL = Piece(PieceKind.ELLIPSOID, (50.0, 30.0, 20.0), (10.0, 5.0, 8.0))
WALL = Piece(PieceKind.SLAB, (60.0, 30.0, 27.5), (2.0, 30.0, 27.5))


def test_a_boulder_hides_what_is_behind_it_only() -> None:
    behind, beside, above, before = (90, 30, 20), (90, 50, 20), (90, 30, 45), (30, 30, 20)
    seen = clear_from(custom([BALL]), (20, 30, 20), [behind, beside, above, before])
    assert seen.tolist() == [False, True, True, True]


def test_the_segment_ends_at_the_target() -> None:
    assert clear_from(custom([BALL]), (20, 30, 20), [(39.9, 30, 20), (60.1, 30, 20)]).tolist() == [
        True,
        False,
    ]


def test_a_wall_of_rock_parts_the_tank() -> None:
    points = np.array([(x, y, z) for x in (10, 40, 80, 110) for y in (10, 50) for z in (10, 50)])
    seen = clear_pairs(custom([WALL]), points)
    same_side = (points[:, 0] < 60)[:, None] == (points[:, 0] < 60)[None]
    assert (seen == same_side).all()


def test_level_lines_along_a_slab_face_are_clear() -> None:
    shelf = Piece(PieceKind.SLAB, (60.0, 30.0, 20.0), (20.0, 20.0, 1.0))
    assert clear_from(custom([shelf]), (20, 30, 21.01), [(100, 30, 21.01)]).all()
    assert not clear_from(custom([shelf]), (20, 30, 20.99), [(100, 30, 20.99)]).any()


def test_a_slab_turned_by_a_right_angle_is_one_with_its_sides_swapped() -> None:
    points = cut(TANK, preset("none", TANK), 10.0).points_cm
    turned = Piece(PieceKind.SLAB, (60.3, 30.1, 27.0), (4.0, 20.0, 15.0), np.pi / 2.0)
    swapped = Piece(PieceKind.SLAB, (60.3, 30.1, 27.0), (20.0, 4.0, 15.0))
    assert (clear_pairs(custom([turned]), points) == clear_pairs(custom([swapped]), points)).mean() > 1 - 1e-4


@pytest.mark.parametrize("word", ["none", "dense", "wall"])
def test_seeing_is_mutual_and_every_point_sees_itself(word: str) -> None:
    rockwork = preset(word, TANK)
    seen = clear_pairs(rockwork, cut(TANK, rockwork, 7.5).points_cm)
    assert (seen != seen.T).mean() <= 1e-6
    assert seen.diagonal().all()
    assert seen.all() == (word == "none")


def test_one_source_and_all_pairs_agree() -> None:
    rockwork = preset("moderate", TANK)
    points = cut(TANK, rockwork, 10.0).points_cm
    seen = clear_pairs(rockwork, points)
    assert (clear_from(rockwork, points[17], points) == seen[17]).all()


def test_shapes_and_rock_load_without_the_compiler() -> None:
    code = "import sys, slackwater.tank; sys.exit('numba' in sys.modules)"
    path = os.pathsep.join(filter(None, sys.path))
    done = subprocess.run([sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": path}, check=False)
    assert done.returncode == 0
