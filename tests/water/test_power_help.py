"""What a battery air pump does, and the oxygen hour by hour, against the solved equation."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.water.power_cut import (
    USUAL,
    Case,
    hours,
    hours_to_fall,
    lasting_h,
    oxygen_mg_l_after,
    resting_tank,
    still_water,
)

TANK = resting_tank(300.0, [(25.0, 1.0)] * 10, 0.6, 26.0, 35.0)


def test_lasting_agrees_with_hours() -> None:
    found = hours(300.0, [(25.0, 1.0)] * 10, 0.6, 26.0, 35.0)
    assert lasting_h(TANK, USUAL.hard) == found.low
    assert lasting_h(TANK, USUAL.easy) == found.high


@given(level_mg_l=st.floats(0.5, 5.0))
def test_the_hour_by_hour_course_meets_the_hours_to_fall(level_mg_l: float) -> None:
    water = still_water(TANK, USUAL.hard)
    assert oxygen_mg_l_after(water, hours_to_fall(water, level_mg_l)) == pytest.approx(level_mg_l)


def test_oxygen_never_falls_below_nothing() -> None:
    assert oxygen_mg_l_after(still_water(TANK, USUAL.hard), 100.0) == 0.0


@given(least=st.floats(0.0, 50.0), more=st.floats(0.1, 50.0))
def test_air_lengthens_the_hours(least: float, more: float) -> None:
    weak, strong = (replace(USUAL.hard, air_l_h=air) for air in (least, least + more))
    assert lasting_h(TANK, strong) >= lasting_h(TANK, weak)


def test_air_adds_to_the_uptake_as_it_is() -> None:
    still, aided = still_water(TANK, USUAL.hard), still_water(TANK, replace(USUAL.hard, air_l_h=25.0))
    assert aided.uptake_l_h - still.uptake_l_h == pytest.approx(25.0)


def test_air_below_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="air_l_h"):
        Case(1.0, 60.0, 2.0, 0.95, air_l_h=-1.0)
