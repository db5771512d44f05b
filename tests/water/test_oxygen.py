"""Oxygen in seawater: ranges, refusals and the directions in which it must move."""

import math

import pytest

from slackwater.errors import InputError
from slackwater.water.oxygen import (
    oxygen_mg_l_garcia1992,
    oxygen_umol_kg_garcia1992,
    resting_oxygen_mg_h_clarke1999,
    schmidt_oxygen_wanninkhof2014,
)


def test_warm_and_salt_water_holds_less() -> None:
    for saturation in (oxygen_mg_l_garcia1992, oxygen_umol_kg_garcia1992):
        by_warmth = [saturation(t, 35.0).value for t in (0.0, 10.0, 20.0, 26.0, 30.0, 40.0)]
        by_salt = [saturation(26.0, s).value for s in (0.0, 15.0, 30.0, 35.0, 40.0)]
        assert by_warmth == sorted(by_warmth, reverse=True)
        assert by_salt == sorted(by_salt, reverse=True)


def test_litres_and_kilograms_tell_of_the_same_water() -> None:
    """Their ratio is the density: 1023.3 g/L at 25 C and S 35 by the equation of state of 1980."""
    mg_l = oxygen_mg_l_garcia1992(25.0, 35.0).value
    mg_kg = 31.9988e-3 * oxygen_umol_kg_garcia1992(25.0, 35.0).value
    assert mg_l / mg_kg == pytest.approx(1.0233, rel=2e-4)


@pytest.mark.parametrize(
    ("temperature_c", "salinity", "in_range"),
    [
        (-1.0, 0.0, True),
        (40.0, 40.0, True),
        (-1.1, 35.0, False),
        (40.1, 35.0, False),
        (26.0, 40.1, False),
    ],
)
def test_saturation_beyond_its_range_is_returned_and_said(
    temperature_c: float, salinity: float, *, in_range: bool
) -> None:
    computed = oxygen_mg_l_garcia1992(temperature_c, salinity)
    assert computed.in_range is in_range
    assert computed.value > 0.0


def test_breathing_and_schmidt_number_know_their_range() -> None:
    assert resting_oxygen_mg_h_clarke1999(10.0, 30.0).in_range
    assert not resting_oxygen_mg_h_clarke1999(10.0, 30.1).in_range
    assert schmidt_oxygen_wanninkhof2014(40.0).in_range
    assert not schmidt_oxygen_wanninkhof2014(40.1).in_range


def test_two_small_fish_breathe_more_than_one_as_heavy() -> None:
    one, two = (count * resting_oxygen_mg_h_clarke1999(20.0 / count, 26.0).value for count in (1, 2))
    assert two == pytest.approx(2.0**0.21 * one)


@pytest.mark.parametrize("temperature_c", [-3.1, 45.1, math.nan, math.inf])
def test_a_temperature_of_no_tank_is_refused(temperature_c: float) -> None:
    refused = pytest.raises(InputError, match=r"temperature_c is .*degrees Celsius")
    with refused:
        oxygen_mg_l_garcia1992(temperature_c, 35.0)
    with refused:
        resting_oxygen_mg_h_clarke1999(10.0, temperature_c)
    with refused:
        schmidt_oxygen_wanninkhof2014(temperature_c)


@pytest.mark.parametrize("salinity", [-0.1, 101.0, math.nan])
def test_a_salinity_of_no_tank_is_refused(salinity: float) -> None:
    with pytest.raises(InputError, match="salinity is"):
        oxygen_mg_l_garcia1992(26.0, salinity)


@pytest.mark.parametrize("mass_g", [0.0, -5.0, math.inf])
def test_a_mass_of_no_fish_is_refused(mass_g: float) -> None:
    with pytest.raises(InputError, match="mass_g is"):
        resting_oxygen_mg_h_clarke1999(mass_g, 26.0)
