"""Bags: conservation of salt, the published share of un-ionised ammonia, time to float."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.water.ammonia import WaterSample
from slackwater.water.ph_scales import PhScale
from slackwater.water.receiving import Bag, drip_l, float_min, overflow_l, receiving, salinity_in_bag

salinities = st.floats(5.0, 45.0)
litres = st.floats(0.1, 20.0)


def test_two_litres_of_30_into_35_need_eighteen_growing_and_under_five_overflowing() -> None:
    assert drip_l(2.0, 30.0, 35.0, 0.5) == pytest.approx(2.0 * (5.0 / 0.5 - 1.0))
    assert overflow_l(2.0, 30.0, 35.0, 0.5) == pytest.approx(2.0 * math.log(10.0))


@given(bag_l=litres, bag=salinities, tank=salinities)
def test_what_is_dripped_brings_the_bag_within_reach(bag_l: float, bag: float, tank: float) -> None:
    dripped = drip_l(bag_l, bag, tank, 0.5)
    assert abs(salinity_in_bag(bag_l, bag, tank, dripped) - tank) <= 0.5 + 1e-9


@given(bag_l=litres, bag=salinities, tank=salinities)
def test_overflowing_never_takes_more_water_than_growing(bag_l: float, bag: float, tank: float) -> None:
    assert overflow_l(bag_l, bag, tank) <= drip_l(bag_l, bag, tank) + 1e-12


def test_a_bag_of_the_same_water_needs_no_drip() -> None:
    assert drip_l(2.0, 35.0, 35.2) == 0.0
    assert overflow_l(2.0, 35.0, 35.2) == 0.0


def test_opening_a_long_closed_bag_frees_ammonia_as_in_the_check_value() -> None:
    bag = Bag(2.0, 25.0, 35.0, 30.0, ph=6.8)
    found = receiving(bag, WaterSample(8.1, 25.0, 35.0, PhScale.TOTAL))
    assert found.free_before == pytest.approx(0.00357, rel=0.01)
    assert found.free_after == pytest.approx(0.0667, rel=0.01)
    assert found.free_times == pytest.approx(18.7, rel=0.01)


def test_hours_closed_decide_the_way_and_the_ph_that_is_assumed() -> None:
    tank = WaterSample(8.1, 26.0, 35.0)
    short, long = (receiving(Bag(2.0, 24.0, 35.0, hours), tank) for hours in (1.0, 30.0))
    assert (short.is_long, long.is_long) == (False, True)
    assert long.free_times > 5.0 * short.free_times


def test_a_bag_above_the_ph_of_the_tank_frees_nothing() -> None:
    found = receiving(Bag(2.0, 26.0, 35.0, 1.0, ph=8.4), WaterSample(8.1, 26.0, 35.0))
    assert found.free_times == pytest.approx(1.0)


def test_floating_follows_the_time_constant() -> None:
    # 4 L with 0.15 m2 and 80 W/(m2 K): tau 22.7 min, from 4 K to 1 K takes tau ln 4
    assert float_min(4.0, 22.0, 26.0) == pytest.approx(22.7 * math.log(4.0), rel=0.02)
    assert float_min(4.0, 30.0, 26.0) == pytest.approx(float_min(4.0, 22.0, 26.0), rel=1e-6)


def test_a_bag_is_floated_a_quarter_of_an_hour_at_least() -> None:
    assert float_min(0.5, 25.5, 26.0) == 15.0
    assert float_min(0.1, 24.5, 26.0) == 15.0


def test_a_gravity_in_place_of_the_salinity_is_asked() -> None:
    with pytest.raises(InputError, match="reads like a specific gravity"):
        Bag(2.0, 24.0, 1.025, 1.0)
    with pytest.raises(InputError, match="reads like a specific gravity"):
        drip_l(2.0, 30.0, 1.025)


@pytest.mark.parametrize(
    ("volume_l", "temperature_c", "closed_h", "ph"),
    [(0.0, 24.0, 1.0, None), (2.0, 80.0, 1.0, None), (2.0, 24.0, -1.0, None), (2.0, 24.0, 1.0, 14.0)],
)
def test_no_bag_is_so(volume_l: float, temperature_c: float, closed_h: float, ph: float | None) -> None:
    with pytest.raises(InputError):
        Bag(volume_l, temperature_c, 35.0, closed_h, ph)


@pytest.mark.parametrize("bag_l", [0.0, -1.0, math.inf, math.nan])
@pytest.mark.parametrize(
    "asked", [lambda bag_l: drip_l(bag_l, 30.0, 35.0), lambda bag_l: overflow_l(bag_l, 30.0, 35.0)]
)
def test_a_bag_without_water_is_refused(asked: Callable[[float], float], bag_l: float) -> None:
    with pytest.raises(InputError, match="bag_l"):
        asked(bag_l)
