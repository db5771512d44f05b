from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from slackwater.report.contours import fine_field, regions_above, round_levels
from slackwater.report.svg import Point


def area(loop: list[Point]) -> float:
    following = [*loop[1:], loop[0]]
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(loop, following, strict=True)) / 2


def test_levels_are_round_and_between() -> None:
    assert round_levels(2.6, 0.04) == (0.1, 0.2, 0.5, 1.0, 2.0)
    assert round_levels(30.0, 8.0) == (10.0, 20.0)
    assert round_levels(0.0, 0.0) == ()


def test_a_cone_has_round_contours() -> None:
    places = np.linspace(0.0, 10.0, 101)
    field = 5.0 - np.hypot(places[None, :] - 5.0, places[:, None] - 5.0)
    (loop,) = regions_above(field, 2.0, places, places)
    assert abs(area(loop)) == pytest.approx(math.pi * 3.0**2, rel=0.01)


def test_high_ground_everywhere_is_the_whole_tank() -> None:
    places = np.linspace(0.0, 4.0, 5)
    (loop,) = regions_above(np.full((5, 5), 3.0), 1.0, places, places)
    assert abs(area(loop)) == pytest.approx(16.0)


@given(arrays(np.float64, (6, 7), elements=st.floats(0.0, 10.0)), st.floats(0.1, 9.9))
def test_every_contour_closes(field: np.ndarray[tuple[int, int], np.dtype[np.float64]], level: float) -> None:
    loops = regions_above(field, level, np.arange(7.0), np.arange(6.0))
    assert bool(loops) == bool((field > level).any())


def test_holes_are_filled_from_their_neighbours() -> None:
    rows = [[1.0, 1.0, 1.0, 1.0], [1.0, math.nan, math.nan, 1.0], [1.0, 1.0, 1.0, 1.0]]
    field, _, _ = fine_field(rows, 5.0, (20.0, 15.0))
    assert field == pytest.approx(np.ones_like(field))


def test_fine_field_reaches_the_glass_and_makes_no_hills() -> None:
    field, xs, ys = fine_field([[0.0, 1.0, 4.0], [0.0, 1.0, 4.0]], 5.0, (15.0, 10.0))
    assert (xs[0], xs[-1], ys[0], ys[-1]) == (0.0, 15.0, 0.0, 10.0)
    assert field.min() >= 0.0
    assert np.all(np.diff(field, axis=1) >= -1e-12)


@pytest.mark.parametrize("width_cm", [50.0, 50.8, 52.5, 54.9])
def test_a_glass_that_is_no_multiple_of_the_cell_is_drawn_to_its_edge(width_cm: float) -> None:
    rows = [[1.0] * 24 for _ in range(11)]
    _, xs, ys = fine_field(rows, 5.0, (120.0, width_cm))
    assert ys[-1] == width_cm
    assert xs[-1] == 120.0
