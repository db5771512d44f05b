"""Walkers: where they go, whom they attack, and what is refused."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import truncnorm

from slackwater import kernels_tank, kernels_walk
from slackwater.errors import InputError
from slackwater.society.walkers import (
    STEP_S,
    Outing,
    Scene,
    Walker,
    field_prediction,
    restricted_use,
    walk,
)
from slackwater.tank.cells import cut
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import Rockwork, custom, preset
from slackwater.tank.shapes import Glass, Shape

TANK = Glass(Shape.RECTANGULAR, 100.0, 50.0, 50.0)
DRUM = Glass(Shape.CYLINDER, 60.0, 60.0, 50.0)
BARE = custom([], sand_cm=0.0)
WALL = custom([Piece(PieceKind.SLAB, (50.0, 25.0, 25.0), (2.0, 30.0, 30.0))], sand_cm=0.0)
LEFT = Walker((40.0, 25.0, 25.0), (8.0, 6.0, 5.0), 20.0, stretch_cm=(0.0, 48.0))
RIGHT = Walker((60.0, 25.0, 25.0), (7.0, 8.0, 6.0), 15.0, stretch_cm=(52.0, 100.0))

Array = NDArray[np.float64]


def both(per_h: float) -> Array:
    return np.full((2, 2), per_h)


def crowd(walker: Walker, glass: Glass, rockwork: Rockwork, count: int = 20) -> Scene:
    return Scene(glass, rockwork, (walker,) * count, np.zeros((count, count)))


def track(scene: Scene, outing: Outing) -> Array:
    found = walk(scene, outing).track_cm
    assert found is not None
    return found.astype(float)


def test_the_same_seed_walks_the_same_way() -> None:
    scene = Scene(TANK, preset("dense", TANK), (LEFT, RIGHT), both(3600.0))
    first, again, other = (walk(scene, Outing(hours=0.5, seed=seed, every_s=10.0)) for seed in (1, 1, 2))
    assert first.track_cm is not None
    assert again.track_cm is not None
    assert first.track_cm.tobytes() == again.track_cm.tobytes()
    assert first.attacks.tolist() == again.attacks.tolist()
    assert first.attacks.tolist() != other.attacks.tolist()


def test_neither_more_days_nor_a_track_change_a_day() -> None:
    scene = Scene(TANK, BARE, (LEFT, RIGHT), both(3600.0))
    one = walk(scene, Outing(hours=0.5))
    three = walk(scene, Outing(days=3, hours=0.5, every_s=60.0))
    assert three.by_day[0].tolist() == one.by_day[0].tolist()
    assert len({day.tobytes() for day in three.by_day}) == 3
    assert three.steps == 3 * 2 * 1800
    assert three.track_cm is not None
    assert three.track_cm.shape == (30, 2, 3)
    assert one.track_cm is None


@pytest.mark.parametrize("glass", [TANK, DRUM], ids=["rectangular", "round"])
def test_walkers_stay_in_free_water(glass: Glass) -> None:
    rockwork = preset("dense", glass)
    middle = (glass.length_cm / 2.0, glass.width_cm / 2.0, 20.0)
    places = track(
        crowd(Walker(middle, (40.0, 40.0, 20.0), 10.0), glass, rockwork), Outing(hours=1.0, every_s=5.0)
    )
    flat = places.reshape(-1, 3)
    assert kernels_tank.rock_distance(flat, rockwork.table).min() > -1e-3
    assert glass.contains(flat.clip(1e-4) - 1e-4).all()
    assert flat[:, 2].min() >= rockwork.sand_cm - 1e-4


def test_a_walker_keeps_to_its_stretch() -> None:
    places = track(Scene(TANK, BARE, (LEFT, RIGHT), both(0.0)), Outing(hours=1.0, every_s=1.0))
    assert 47.0 < places[:, 0, 0].max() <= 48.0
    assert 52.0 <= places[:, 1, 0].min() < 53.0


def test_the_stationary_law_is_the_truncated_normal() -> None:
    walker = Walker((12.0, 30.0, 45.0), (15.0, 40.0, 8.0), 10.0)
    places = track(crowd(walker, TANK, BARE, 60), Outing(hours=2.0, seed=3, every_s=20.0))
    size = np.array([TANK.length_cm, TANK.width_cm, TANK.height_cm])
    home, spread = np.array(walker.home_cm), np.array(walker.spread_cm)
    law = truncnorm(-home / spread, (size - home) / spread, loc=home, scale=spread)
    for found, expected in (
        (places.mean(axis=0), law.mean()),
        (((places - law.mean()) ** 2).mean(axis=0), law.var()),
    ):
        # All 60 are alike and independent, so their spread gives the standard error of their mean.
        error = found.std(axis=0, ddof=1) / math.sqrt(len(found))
        assert np.abs(found.mean(axis=0) - expected) == pytest.approx(0.0, abs=4.0 * error.max())
        assert error.max() < 0.03 * np.max(expected)


def test_days_begin_where_the_animals_are_on_average() -> None:
    walker = Walker((5.0, 25.0, 25.0), (20.0, 5.0, 5.0), 10.0)
    first = track(crowd(walker, TANK, BARE, 4000), Outing(hours=STEP_S / 3600.0, every_s=STEP_S))[0, :, 0]
    law = truncnorm(-0.25, 4.75, loc=5.0, scale=20.0)
    assert first.mean() == pytest.approx(law.mean(), abs=4.0 * law.std() / math.sqrt(4000))


def closed_form(a: Walker, b: Walker) -> float:
    """Return E exp(-d^2 / rho^2) for two Gaussians far from all walls.

    Along one axis d is normal with mean D and variance S^2, so that
    E exp(-d^2 / rho^2) = (1 + 2 S^2 / rho^2)^(-1/2) exp(-D^2 / (rho^2 + 2 S^2)).
    """
    apart = np.array(a.home_cm) - np.array(b.home_cm)
    twice = 2.0 * (np.array(a.spread_cm) ** 2 + np.array(b.spread_cm) ** 2)
    square = a.reaction_cm**2
    return float(np.prod((1.0 + twice / square) ** -0.5 * np.exp(-(apart**2) / (square + twice))))


def test_the_rate_in_an_empty_tank_is_the_closed_form() -> None:
    one = Walker((45.0, 25.0, 25.0), (6.0, 5.0, 4.0), 20.0, memory_s=5.0)
    two = Walker((55.0, 22.0, 25.0), (4.0, 5.0, 5.0), 12.0, memory_s=5.0)
    scene = Scene(TANK, BARE, (one, two), both(3600.0))
    found = walk(scene, Outing(days=24, hours=1.0, seed=4))
    expected = 3600.0 * np.array([[0.0, closed_form(one, two)], [closed_form(two, one), 0.0]])
    assert (np.abs(found.per_h - expected) <= 4.0 * found.error_per_h).all()
    assert found.error_per_h.max() < 0.02 * expected.max()
    assert field_prediction(scene, 2.5) == pytest.approx(expected, rel=0.02)


def test_nobody_attacks_through_rock() -> None:
    apart = walk(Scene(TANK, WALL, (LEFT, RIGHT), both(36000.0)), Outing(hours=1.0))
    open_water = walk(Scene(TANK, BARE, (LEFT, RIGHT), both(36000.0)), Outing(hours=1.0))
    assert apart.attacks.sum() == 0
    assert open_water.attacks[0, 1] > 100
    assert field_prediction(Scene(TANK, WALL, (LEFT, RIGHT), both(1.0)), 4.0).max() == 0.0


def test_only_who_attacks_attacks_and_nobody_itself() -> None:
    rate = np.array([[500.0, 500.0], [0.0, 500.0]])
    found = walk(Scene(TANK, BARE, (LEFT, RIGHT), rate), Outing(hours=2.0))
    assert found.attacks[0, 1] > 0
    assert found.attacks.sum() == found.attacks[0, 1]


def test_nobody_walks_in_an_empty_scene() -> None:
    found = walk(Scene(TANK, BARE, (), np.zeros((0, 0))), Outing(hours=0.1, every_s=1.0))
    assert found.attacks.shape == (0, 0)
    assert found.steps == 0


def test_one_day_tells_no_error() -> None:
    found = walk(Scene(TANK, BARE, (LEFT, RIGHT), both(1.0)), Outing(hours=0.1))
    assert np.isinf(found.error_per_h).all()


def test_the_use_of_a_walker_is_its_gaussian_on_its_own_stretch() -> None:
    cells = cut(TANK, BARE, 5.0)
    use = restricted_use(cells, (LEFT, RIGHT))
    assert use.sum(axis=0) == pytest.approx([1.0, 1.0], rel=1e-5)
    assert use[cells.points_cm[:, 0] > 48.0, 0].max() == 0.0
    assert use[:, 1] @ cells.points_cm[:, 2] == pytest.approx(25.0, abs=0.1)


def test_what_cannot_walk_is_refused() -> None:
    with pytest.raises(InputError, match=r"walker\.spread_cm"):
        replace(LEFT, spread_cm=(1.0, 0.0, 1.0))
    with pytest.raises(InputError, match=r"walker\.memory_s"):
        replace(LEFT, memory_s=math.inf)
    with pytest.raises(InputError, match="2 rows and columns"):
        Scene(TANK, BARE, (LEFT, RIGHT), np.zeros((3, 3)))
    with pytest.raises(InputError, match="rate_per_h"):
        Scene(TANK, BARE, (LEFT, RIGHT), both(-1.0))
    with pytest.raises(InputError, match="0 days"):
        Outing(days=0)
    with pytest.raises(InputError, match="every_s"):
        Outing(hours=1.0, every_s=7200.0)


def test_a_home_without_free_water_is_refused() -> None:
    buried = Walker((50.0, 25.0, 25.0), (0.1, 0.1, 0.1), 10.0)
    with pytest.raises(InputError, match=r"walkers\.1\.home_cm"):
        walk(Scene(TANK, WALL, (LEFT, buried), both(1.0)), Outing(hours=0.1))


def test_warming_runs_the_loop() -> None:
    kernels_walk.warm()
