"""Sheets with holes: worked examples by hand."""

import pytest

from slackwater.errors import InputError
from slackwater.tank.sheets import (
    Hold,
    Opening,
    Pattern,
    Plate,
    bent,
    head_loss_cm,
    loss_coefficient_grill_blevins1984,
    loss_coefficient_screen_blevins1984,
    open_area,
    passing_cm,
)


def test_open_area_of_both_patterns() -> None:
    # pi/4 x 0.36 and pi/(2 sqrt 3) x 0.36
    assert open_area(0.6, 1.0, Pattern.SQUARE) == pytest.approx(0.282743, rel=1e-5)
    assert open_area(0.6, 1.0, Pattern.TRIANGULAR) == pytest.approx(0.326484, rel=1e-5)


def test_holes_do_not_run_into_one_another() -> None:
    with pytest.raises(InputError, match="run into one another"):
        open_area(1.0, 1.0)


@pytest.mark.parametrize(("share", "head_cm"), [(0.1, 3.1), (0.2, 0.65), (0.3, 0.24)])
def test_head_loss_at_five_centimetres_a_second(share: float, head_cm: float) -> None:
    # K of the thin sheet 243.6, 51.3, 18.5 times 25 / 1961.3
    assert head_loss_cm(share, 5.0) == pytest.approx(head_cm, rel=0.02)


def test_head_loss_takes_the_larger_coefficient() -> None:
    # At 0.7 the grill's 1.347 exceeds the thin sheet's 0.963.
    expected = loss_coefficient_grill_blevins1984(0.7) * 100.0 / 1961.33
    assert head_loss_cm(0.7, 10.0) == pytest.approx(expected)


@pytest.mark.parametrize("share", [0.0, 1.2])
def test_an_open_share_lies_between_nothing_and_all(share: float) -> None:
    with pytest.raises(InputError, match="between 0 and 1"):
        head_loss_cm(share, 5.0)


def test_the_table_says_where_it_ends() -> None:
    with pytest.raises(InputError, match=r"from 0\.2 to 0\.5"):
        loss_coefficient_screen_blevins1984(0.15)


def test_a_solid_sheet_under_two_centimetres() -> None:
    # p = 1023 x 9.80665 x 0.02 = 200.6 Pa; D = 2.855e9 x 0.005^3 / (12 (1 - 0.09)) = 32.68 N m
    square = bent(Plate(50, 50, 0.5, poisson=0.3, hold=Hold.FOUR_EDGES), 2.0)
    assert square.deflection_cm == pytest.approx(0.00406 * 200.6 * 0.5**4 / 32.68 * 100, rel=3e-3)
    assert square.stress_mpa == pytest.approx(6 * 0.0479 * 200.6 * (0.5 / 0.005) ** 2 / 1e6, rel=3e-3)
    strip = bent(Plate(50, 80, 0.5, poisson=0.3, hold=Hold.TWO_SIDES), 2.0)
    assert strip.deflection_cm == pytest.approx(5 / 384 * 200.6 * 0.5**4 / 32.68 * 100, rel=1e-3)
    assert strip.stress_mpa == pytest.approx(0.75 * 200.6 * 100**2 / 1e6, rel=1e-3)


def test_holes_weaken_a_sheet() -> None:
    solid, holed = bent(Plate(50, 50, 0.5), 2.0), bent(Plate(50, 50, 0.5, hole_share=0.6), 2.0)
    assert holed.deflection_cm == pytest.approx(solid.deflection_cm / 0.4)
    assert holed.stress_mpa == pytest.approx(solid.stress_mpa / 0.4)


@pytest.mark.parametrize(
    ("opening", "size_cm"), [(Opening.ROUND, 3.0), (Opening.SQUARE, 2.2847), (Opening.SLOT, 1.2)]
)
def test_what_a_body_of_three_by_one_point_two_passes(opening: Opening, size_cm: float) -> None:
    assert passing_cm(3.0, 1.2, opening) == pytest.approx(size_cm, rel=1e-4)
