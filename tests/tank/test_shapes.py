import math

import numpy as np
import pytest

from slackwater.errors import InputError
from slackwater.tank.shapes import Glass, Shape


def test_a_rectangular_tank_holds_length_times_width_times_height() -> None:
    glass = Glass(Shape.RECTANGULAR, 120.0, 50.0, 60.0)
    assert glass.volume_l == pytest.approx(360.0)
    assert glass.footprint_m2 == pytest.approx(0.6)
    assert glass.lane_cm == 120.0


def test_a_cylinder_holds_a_circle_times_its_height() -> None:
    glass = Glass(Shape.CYLINDER, 100.0, 100.0, 50.0)
    assert glass.volume_l == pytest.approx(math.pi * 0.25 * 1e4 * 50.0 / 1e3)
    assert glass.lane_cm == 100.0


def test_a_deep_tank_is_swum_front_to_back() -> None:
    assert Glass(Shape.RECTANGULAR, 60.0, 90.0, 50.0).lane_cm == 90.0


def test_a_cube_contains_its_corners_and_a_cylinder_does_not() -> None:
    corners = np.array([[0.0, 0.0, 0.0], [60.0, 60.0, 60.0], [30.0, 30.0, 60.1]])
    cube = Glass(Shape.CUBE, 60.0, 60.0, 60.0)
    cylinder = Glass(Shape.CYLINDER, 60.0, 60.0, 60.0)
    assert cube.contains(corners).tolist() == [True, True, False]
    assert cylinder.contains(corners).tolist() == [False, False, False]
    assert cylinder.contains([[30.0, 0.0, 10.0]]).tolist() == [True]


@pytest.mark.parametrize("length_cm", [0.0, -5.0, math.nan, math.inf])
def test_an_impossible_size_is_refused(length_cm: float) -> None:
    with pytest.raises(InputError, match="inner size must be greater than 0"):
        Glass(Shape.RECTANGULAR, length_cm, 50.0, 50.0)


def test_sizes_must_fit_the_shape() -> None:
    with pytest.raises(InputError, match="as wide as it is long"):
        Glass(Shape.CYLINDER, 60.0, 50.0, 50.0)
    with pytest.raises(InputError, match="one size three times"):
        Glass(Shape.CUBE, 60.0, 60.0, 50.0)
