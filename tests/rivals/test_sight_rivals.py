"""The compiled sight and field against plain numpy in float64."""

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.rivals import sight_twin

from slackwater.society.encounters import encounters, reach
from slackwater.tank.cells import Cells, cut
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
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
