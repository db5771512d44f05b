import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater import kernels
from slackwater.society.encounters import encounters, reach
from slackwater.tank.cells import Cells, cut
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import custom, preset
from slackwater.tank.shapes import Glass, Shape

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
LONG = Glass(Shape.RECTANGULAR, 300.0, 60.0, 50.0)
RADII_CM = (7.5, 15.0, 30.0)
WALL = Piece(PieceKind.SLAB, (60.0, 30.0, 27.5), (1.0, 40.0, 40.0))

Use = NDArray[np.float32]


def homes(cells: Cells, places_cm: list[tuple[float, float, float]], decay_cm: float = 12.0) -> Use:
    away = np.linalg.norm(cells.points_cm[:, None] - np.array(places_cm), axis=2)
    use = cells.free_l[:, None] * np.exp(-away / decay_cm)
    return np.asarray(use / use.sum(axis=0), np.float32)


@pytest.fixture(scope="module")
def reef() -> Cells:
    return cut(TANK, preset("dense", TANK), 7.5)


@pytest.fixture(scope="module")
def company(reef: Cells) -> Use:
    rng = np.random.default_rng(11)
    places = rng.uniform([5.0, 8.0, 8.0], [115.0, 55.0, 50.0], (9, 3))
    return homes(reef, [tuple(place) for place in places.tolist()])


def test_shapes_and_bounds(reef: Cells, company: Use) -> None:
    field = reach(reef, company, RADII_CM)
    assert field.shape == (3, len(reef), 9)
    assert field.dtype == np.float32
    assert field.min() >= 0.0
    assert field.max() <= 1.0
    assert encounters(field, company).shape == (3, 9, 9)


def test_i_meets_j_as_often_as_j_meets_i(reef: Cells, company: Use) -> None:
    meetings = encounters(reach(reef, company, RADII_CM), company)
    assert meetings == pytest.approx(meetings.transpose(0, 2, 1), rel=1e-5, abs=1e-7)


def test_a_wider_reaction_distance_meets_more(reef: Cells, company: Use) -> None:
    meetings = encounters(reach(reef, company, RADII_CM), company)
    assert (np.diff(meetings, axis=0) > 0.0).all()


def test_the_order_of_the_animals_changes_nothing(reef: Cells, company: Use) -> None:
    order = np.random.default_rng(2).permutation(9)
    straight = reach(reef, company, RADII_CM)
    shuffled = reach(reef, company[:, order], RADII_CM)
    assert (shuffled == straight[:, :, order]).all()
    meetings = encounters(straight, company)
    assert (encounters(shuffled, company[:, order]) == meetings[:, order][:, :, order]).all()


def test_a_company_is_the_sum_of_its_members(reef: Cells, company: Use) -> None:
    together = reach(reef, company.sum(axis=1, keepdims=True), RADII_CM)[:, :, 0]
    apart = reach(reef, company, RADII_CM).sum(axis=2)
    assert together == pytest.approx(apart, rel=1e-4)


def test_with_a_vast_reaction_distance_all_meet_always() -> None:
    cells = cut(TANK, preset("none", TANK), 10.0)
    use = homes(cells, [(20, 30, 20), (100, 30, 30)])
    field = reach(cells, use, (1e5,))
    assert field == pytest.approx(np.ones_like(field), abs=1e-5)
    assert encounters(field, use) == pytest.approx(np.ones((1, 2, 2)), abs=1e-5)


def test_far_homes_do_not_meet() -> None:
    cells = cut(LONG, preset("none", LONG), 7.5)
    use = homes(cells, [(20, 30, 20), (40, 30, 20), (280, 30, 20)], 6.0)
    meetings = encounters(reach(cells, use, (15.0,)), use)[0]
    assert meetings[0, 2] < 1e-6
    assert meetings[0, 1] > 0.01


def test_a_wall_of_rock_keeps_apart_what_open_water_brings_together() -> None:
    places = [(48.0, 30.0, 20.0), (72.0, 30.0, 20.0)]
    found = []
    for rockwork in (custom([]), custom([WALL])):
        cells = cut(TANK, rockwork, 5.0)
        left_or_right = np.stack([cells.points_cm[:, 0] < 60.0, cells.points_cm[:, 0] > 60.0], axis=1)
        use = homes(cells, places) * left_or_right
        use /= use.sum(axis=0)
        found.append(encounters(reach(cells, use, (30.0,)), use)[0])
    assert found[0][0, 1] > 0.1
    assert found[1][0, 1] == 0.0
    assert found[1][0, 0] > 0.3


def test_the_cell_average_makes_coarse_and_fine_cells_agree() -> None:
    found = []
    for edge_cm in (10.0, 4.0):
        cells = cut(TANK, preset("none", TANK), edge_cm)
        use = homes(cells, [(40.0, 30.0, 25.0), (55.0, 25.0, 30.0), (70.0, 40.0, 20.0)], 20.0)
        found.append(encounters(reach(cells, use, (15.0, 30.0)), use))
    assert found[0] == pytest.approx(found[1], rel=0.03)


def test_the_number_of_threads_changes_no_byte(reef: Cells, company: Use) -> None:
    results = []
    for count in (1, 64):
        kernels.use_threads(count)
        field = reach(reef, company, RADII_CM)
        results.append(field.tobytes() + encounters(field, company).tobytes())
    assert len(set(results)) == 1


def test_use_must_have_a_row_per_cell(reef: Cells, company: Use) -> None:
    with pytest.raises(ValueError, match="rows for"):
        reach(reef, company[:-1], RADII_CM)


def test_a_tank_without_water_or_animals_has_no_encounters() -> None:
    dry = cut(TANK, preset("none", TANK, 55.0), 10.0)
    assert reach(dry, np.zeros((0, 2), np.float32), RADII_CM).shape == (3, 0, 2)
    wet = cut(TANK, preset("none", TANK), 10.0)
    nobody = np.zeros((len(wet), 0), np.float32)
    assert encounters(reach(wet, nobody, RADII_CM), nobody).shape == (3, 0, 0)


def test_warming_runs_every_kernel() -> None:
    kernels.warm()
