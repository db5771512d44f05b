"""Walkers against numpy, and the field against walkers."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from tests.rivals import sight_twin, walk_twin

from slackwater import kernels_walk
from slackwater.society.walkers import Outing, Scene, Walk, Walker, field_prediction, walk
from slackwater.tank.rock import Rockwork, preset
from slackwater.tank.shapes import Glass, Shape

TANK = Glass(Shape.RECTANGULAR, 120.0, 60.0, 55.0)
WORDS = ("dense", "wall", "two islands")

Array = NDArray[np.float64]


def points(count: int, seed: int) -> Array:
    return np.random.default_rng(seed).uniform([-2.0, -2.0, 0.0], [122.0, 62.0, 57.0], (count, 3))


def company(rockwork: Rockwork, most_per_h: float) -> Scene:
    """Return 30 invented walkers, 18 of them close to their homes."""
    rng = np.random.default_rng(7)
    homes = rng.uniform([5.0, 8.0, 8.0], [115.0, 57.0, 50.0], (30, 3)).tolist()
    spreads = np.where(np.arange(30) < 18, rng.uniform(6.0, 22.0, 30), 45.0)
    walkers = tuple(
        Walker((x, y, z), (s, 0.8 * s, 0.6 * s), (7.5, 15.0, 30.0)[i % 3])
        for i, ((x, y, z), s) in enumerate(zip(homes, spreads.tolist(), strict=True))
    )
    return Scene(TANK, rockwork, walkers, rng.uniform(0.1, 1.0, (30, 30)) * most_per_h)


@pytest.mark.parametrize("word", WORDS)
def test_free_water_is_that_of_numpy(word: str) -> None:
    rockwork = preset(word, TANK)
    scene = company(rockwork, 1.0)
    places = points(4000, 1)
    water = np.array([120.0, 60.0, 55.0, rockwork.sand_cm, 0.0])
    gait = np.array([60.0, 30, 30, 9, 9, 9, 0.9, 9, -1e30, 1e30])
    free = [kernels_walk.is_free(tuple(place), gait, water, rockwork.table) for place in places.tolist()]
    assert free == walk_twin.is_free(scene, walk_twin.Rock.of(rockwork), places).tolist()
    assert 0.3 < np.mean(free) < 0.95


@pytest.mark.parametrize("word", WORDS)
def test_sight_is_that_of_numpy(word: str) -> None:
    rockwork = preset(word, TANK)
    here, there = points(3000, 2), points(3000, 3)
    clear = [
        kernels_walk.is_clear(tuple(a), tuple(b), rockwork.table)
        for a, b in zip(here.tolist(), there.tolist(), strict=True)
    ]
    assert clear == (~walk_twin.Rock.of(rockwork).hides(here, there)).tolist()
    rows = sight_twin.clear_rows(rockwork, here[:50], there)
    assert clear[:50] == rows[np.arange(50), np.arange(50)].tolist()
    assert 0.05 < np.mean(clear) < 0.95


def test_a_segment_along_a_face_is_judged() -> None:
    table = np.array([[1.0, 0, 0, 0, 1, 1, 1, 1, 0, 1, 0]])
    for side, is_clear in ((0.5, False), (1.5, True), (-1.5, True)):
        assert kernels_walk.is_clear((-3.0, side, 0.0), (3.0, side, 0.0), table) is is_clear
        assert kernels_walk.is_clear((side, 0.0, 3.0), (side, 0.0, -3.0), table) is is_clear


@pytest.mark.slow
def test_as_many_attacks_as_in_numpy() -> None:
    # Short independent outings of both, at rates that would be absurd for fish but count well.
    scene = company(preset("dense", TANK), 1000.0)
    ours = walk(scene, Outing(days=200, hours=0.05, seed=5)).by_day.sum(axis=(1, 2))
    twin = [walk_twin.walk(scene, 180, rng).sum() for rng in np.random.default_rng(6).spawn(24)]
    error = np.hypot(np.std(ours) / np.sqrt(len(ours)), np.std(twin, ddof=1) / np.sqrt(len(twin)))
    assert abs(np.mean(ours) - np.mean(twin)) < 4.0 * error
    assert error < 0.03 * np.mean(ours)


def apart(walked: Walk, expected: Array) -> Array:
    """Return z-scores of the pairs for which the field expects more than 40 attacks."""
    counted = expected * walked.outing.hours * walked.outing.days > 40.0
    return np.asarray((walked.per_h - expected)[counted] / walked.error_per_h[counted])


@pytest.mark.slow
def test_the_field_agrees_with_three_days_of_walkers() -> None:
    # Three days in 18 parts: each begins in the stationary law, so their spread gives the error.
    # That bears out the total to 2 %, and an animal or a pair to a few of its standard errors.
    scene = company(preset("dense", TANK), 100.0)
    walked = walk(scene, Outing(days=18, hours=2.0, seed=1))
    borne = walked.by_day.sum(axis=1) / walked.outing.hours
    doubt = borne.std(axis=0, ddof=1) / np.sqrt(len(borne))
    for edge_cm in (3.0, 5.0):
        expected = field_prediction(scene, edge_cm)
        z = apart(walked, expected)
        off = np.abs(borne.mean(axis=0) - expected.sum(axis=0))
        assert walked.per_h.sum() == pytest.approx(expected.sum(), rel=0.02)
        assert (off < 4.0 * doubt + 0.02 * expected.sum(axis=0)).all()
        assert len(z) > 400
        assert abs(z.mean()) < 0.4
        assert z.std() < 1.3


@pytest.mark.slow
def test_three_days_tell_one_layout_from_another() -> None:
    scene = company(preset("dense", TANK), 100.0)
    walked = walk(scene, Outing(days=18, hours=2.0, seed=1))
    for rockwork in (preset("dense", TANK, variant=1), preset("moderate", TANK)):
        assert apart(walked, field_prediction(replace(scene, rockwork=rockwork), 5.0)).std() > 2.0
