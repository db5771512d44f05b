"""The compiled sight and field against plain numpy in float64."""

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.rivals import sight_twin

from slackwater.society.encounters import encounters, reach
from slackwater.tank.cells import Cells, cut
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.reduction import inside_any
from slackwater.tank.rock import Rockwork, custom, preset
from slackwater.tank.shapes import Corner, Glass, OverflowBox, Shape
from slackwater.tank.sight import clear_pairs

SMALL = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
LARGE = Glass(Shape.RECTANGULAR, 300.0, 100.0, 80.0)
RADII_CM = (7.5, 15.0, 30.0, 60.0, 120.0)


def some_use(cells: Cells, animals: int) -> NDArray[np.float32]:
    rng = np.random.default_rng(3)
    homes = cells.points_cm[rng.integers(0, len(cells), animals)]
    away = np.linalg.norm(cells.points_cm[:, None] - homes, axis=2)
    use = cells.free_l[:, None] * np.exp(-away / rng.uniform(6.0, 60.0, animals))
    return np.asarray(use / use.sum(axis=0), np.float32)


@pytest.mark.parametrize("word", ["dense", "wall", "bommies"])
@pytest.mark.parametrize(("glass", "edge_cm"), [(SMALL, 6.0), (LARGE, 12.0)], ids=["small", "large"])
def test_sight_differs_on_less_than_one_pair_in_a_million(word: str, glass: Glass, edge_cm: float) -> None:
    rockwork = preset(word, glass)
    points = cut(glass, rockwork, edge_cm).points_cm.astype(float)[:1500]
    rows = slice(0, None, 3)
    twin = sight_twin.clear_rows(rockwork, points[rows], points)
    assert (clear_pairs(rockwork, points)[rows] != twin).sum() <= 1e-6 * twin.size


def tilted_rock() -> Rockwork:
    """Return twelve invented bodies, turned and tilted every way."""
    rng = np.random.default_rng(8)
    pieces = [
        Piece(
            list(PieceKind)[n % 2],
            tuple(rng.uniform([15.0, 15.0, 10.0], [105.0, 45.0, 40.0]).tolist()),
            tuple(rng.uniform(3.0, 14.0, 3).tolist()),
            float(rng.uniform(-3.0, 3.0)),
            float(rng.uniform(-1.3, 1.3)),
        )
        for n in range(12)
    ]
    return custom(pieces)


def test_sight_past_tilted_bodies_is_that_of_numpy() -> None:
    rockwork = tilted_rock()
    points = cut(SMALL, rockwork, 6.0).points_cm.astype(float)[:1500]
    rows = slice(0, None, 3)
    twin = sight_twin.clear_rows(rockwork, points[rows], points)
    assert (clear_pairs(rockwork, points)[rows] != twin).sum() <= 1e-6 * twin.size
    assert 0.1 < twin.mean() < 0.9


def test_tilted_bodies_take_the_volume_that_thrown_points_find() -> None:
    rockwork = tilted_rock()
    points = np.random.default_rng(4).uniform([0.0, 0.0, 5.0], [120.0, 60.0, 55.0], (100_000, 3))
    held = inside_any(rockwork.pieces, points).mean() * 120.0 * 60.0 * 50.0 / 1000.0
    assert rockwork.displaced_l(SMALL) == pytest.approx(held, rel=0.02)
    free = cut(SMALL, rockwork, 5.0).free_l.sum()
    assert free == pytest.approx(360.0 - rockwork.displaced_l(SMALL), rel=2e-3)


@pytest.mark.parametrize(
    "glass",
    [
        Glass(Shape.L_SHAPE, 120.0, 80.0, 50.0, cut_cm=(71.3, 28.4)),
        Glass(Shape.L_SHAPE, 120.0, 80.0, 50.0, cut_cm=(47.3, 38.6), corner=Corner.BACK_LEFT),
        Glass(Shape.RECTANGULAR, 90.0, 50.0, 50.0, overflow=OverflowBox(45.0, 40.0, 16.0, 12.0)),
        Glass(Shape.BOW_FRONT, 100.0, 55.0, 50.0, bow_cm=15.0),
    ],
    ids=lambda glass: f"{glass.shape} {glass.corner}",
)
def test_sight_that_leaves_the_water_is_blocked(glass: Glass) -> None:
    bare = preset("none", glass)
    points = cut(glass, bare, 10.0).points_cm.astype(float)
    points = points[np.random.default_rng(6).permutation(len(points))[:120]]
    seen = clear_pairs(bare, points, glass)
    steps = np.linspace(0.0, 1.0, 201)[:, None, None, None]
    along = (1.0 - steps) * points[:, None] + steps * points[None]
    stays = glass.contains(along.reshape(-1, 3)).reshape(along.shape[:-1]).all(axis=0)
    # A line that cuts a corner by less than a step between the points along it is not told apart.
    assert (seen == stays).mean() > 0.995
    assert not (seen & ~stays).any()
    assert seen.all() == (glass.shape is Shape.BOW_FRONT)


@pytest.mark.parametrize("word", ["none", "moderate", "wall"])
@pytest.mark.parametrize("edge_cm", [7.5, 10.0])
def test_reach_agrees_with_its_definition(word: str, edge_cm: float) -> None:
    cells = cut(SMALL, preset(word, SMALL), edge_cm)
    use = some_use(cells, 7)
    rows = slice(0, len(cells), 5)
    twin = sight_twin.reach_rows(cells, use.astype(float), RADII_CM, rows)
    ours = reach(cells, use, RADII_CM)[:, rows]
    assert ours == pytest.approx(twin, rel=1e-5, abs=2e-7)


def test_encounters_agree_with_their_definition() -> None:
    cells = cut(SMALL, preset("dense", SMALL), 10.0)
    use = some_use(cells, 30)
    twin = sight_twin.encounters(cells, use.astype(float), RADII_CM)
    ours = encounters(reach(cells, use, RADII_CM), use)
    assert ours == pytest.approx(twin, rel=2e-5, abs=1e-7)
