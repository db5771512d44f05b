"""Hours without pumps: against time steps, against sums by hand, and in the right direction."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.water.power_cut import (
    USUAL,
    Assumptions,
    Case,
    PowerCutHours,
    StillWater,
    hours,
    hours_to_fall,
)

FISH_G = [(10.0, 1.0)] * 2 + [(5.0, 1.0)] * 6 + [(50.0, 1.0)] * 2 + [(100.0, 1.0)]
STILL = StillWater(volume_l=300.0, full_mg_l=6.659, start_mg_l=6.19, uptake_l_h=14.27, demand_mg_h=157.7)

masses_g = st.floats(0.1, 500.0)
temperatures_c = st.floats(20.0, 30.0)


def stepped_h(water: StillWater, level_mg_l: float, step_h: float = 0.001) -> float:
    """Follow V dC/dt = kA (Csat - C) - D in small steps, by the midpoint."""

    def slope(mg_l: float) -> float:
        gained_mg_h = water.uptake_l_h * (water.full_mg_l - mg_l)
        return (gained_mg_h - water.demand_mg_h) / water.volume_l

    mg_l, steps = water.start_mg_l, 0
    while mg_l > level_mg_l:
        mg_l += step_h * slope(mg_l + 0.5 * step_h * slope(mg_l))
        steps += 1
    return steps * step_h


@pytest.mark.parametrize(("level_mg_l", "by_hand_h"), [(4.0, 4.87), (3.0, 7.54), (2.0, 10.60)])
def test_hours_to_a_level(level_mg_l: float, by_hand_h: float) -> None:
    """By hand.

    Ce = 6.659 - 157.7 / 14.27 = -4.392; tau = 300 / 14.27 = 21.023 h;
    21.023 ln(10.582 / 8.392) = 4.87, ln(10.582 / 7.392) = 7.54, ln(10.582 / 6.392) = 10.60.
    """
    assert hours_to_fall(STILL, level_mg_l) == pytest.approx(by_hand_h, abs=0.01)
    assert hours_to_fall(STILL, level_mg_l) == pytest.approx(stepped_h(STILL, level_mg_l), abs=2e-3)


def test_without_use_of_the_surface_it_is_stock_over_demand() -> None:
    sealed = replace(STILL, uptake_l_h=1e-6)
    assert hours_to_fall(sealed, 3.0) == pytest.approx(300.0 * (6.19 - 3.0) / 157.7, rel=1e-3)


def test_water_that_settles_above_the_level_never_falls_to_it() -> None:
    assert hours_to_fall(replace(STILL, demand_mg_h=14.27 * 3.0), 3.0) == math.inf


def test_water_that_starts_below_the_level_has_no_time() -> None:
    assert hours_to_fall(STILL, 6.19) == 0.0


def test_the_middle_of_the_example_lies_inside() -> None:
    """By hand: 300 L, 250 g of fish at 1.5 times rest, 120 mg/(m2 h), k600 2 cm/h, 93 %.

    Resting: 3.045 (2 + 6 x 0.5^0.79 + 2 x 5^0.79 + 10^0.79) = 57.1 mg/h; demand 85.7 + 72 mg/h.
    k = 2 (424.1 / 600)^-1/2 = 2.379 cm/h, so 14.27 L/h: the water above.
    """
    middle = Case(fish_rate=1.5, bed_mg_m2_h=120.0, k600_cm_h=2.0, start_share=0.93)
    exact = hours(300.0, FISH_G, 0.6, 26.0, 35.0, assumptions=Assumptions(hard=middle, easy=middle))
    assert exact.low == exact.high == pytest.approx(hours_to_fall(STILL, 3.0), rel=5e-3)
    usual = hours(300.0, FISH_G, 0.6, 26.0, 35.0)
    assert usual.low < 0.6 * exact.low
    assert usual.high > 1.7 * exact.high


def test_what_was_assumed_is_said() -> None:
    lasting = hours(300.0, FISH_G, 0.6, 26.0, 35.0)
    assert lasting.in_range
    assert lasting.assumed == (
        "26 C, salinity 35, 300 L; oxygen from 85 to 95 % of full down to 3 mg/L; "
        "fish breathing 1 to 2 times as much as at rest; "
        "rock, sand and corals taking 60 to 180 mg/h per m2 of floor; "
        "an open, still surface passing gas at 1 to 2 cm/h; "
        "mixed water at sea level that stays as warm; 24 h counted at most"
    )


def test_equal_cases_are_said_once() -> None:
    lasting = hours(300.0, FISH_G, 0.6, 26.0, 35.0, assumptions=Assumptions(hard=USUAL.easy))
    assert lasting.low == lasting.high
    assert "from 95 % of full" in lasting.assumed


def test_beyond_the_equations_is_said() -> None:
    lasting = hours(300.0, FISH_G, 0.6, 31.0, 35.0)
    assert not lasting.in_range
    assert lasting.assumed.endswith("; beyond the range of the equations")


def test_a_bare_tub_without_fish_lasts_as_long_as_is_counted() -> None:
    bare = Case(fish_rate=1.0, bed_mg_m2_h=0.0, k600_cm_h=1.0, start_share=0.9)
    lasting = hours(60.0, [], 0.15, 26.0, 35.0, assumptions=Assumptions(hard=bare, easy=bare))
    assert (lasting.low, lasting.high) == (24.0, 24.0)


def test_a_factor_counts_like_more_fish() -> None:
    doubled = hours(300.0, [(20.0, 2.0)] * 3, 0.6, 26.0, 35.0)
    assert doubled.low == pytest.approx(hours(300.0, [(20.0, 1.0)] * 6, 0.6, 26.0, 35.0).low)


@given(st.lists(masses_g, min_size=1, max_size=12), temperatures_c)
def test_the_order_of_the_fish_does_not_matter(masses: list[float], temperature_c: float) -> None:
    fish_g = [(mass_g, 1.0) for mass_g in masses]
    assert hours(300.0, fish_g, 0.6, temperature_c, 35.0) == hours(
        300.0, fish_g[::-1], 0.6, temperature_c, 35.0
    )


@given(st.lists(masses_g, max_size=12), masses_g, temperatures_c)
def test_one_more_fish_or_a_warmer_day_never_adds_time(
    masses: list[float], another_g: float, temperature_c: float
) -> None:
    fish_g = [(mass_g, 1.0) for mass_g in masses]
    before = hours(300.0, fish_g, 0.6, temperature_c, 35.0)
    more = hours(300.0, [*fish_g, (another_g, 1.0)], 0.6, temperature_c, 35.0)
    warmer = hours(300.0, fish_g, 0.6, temperature_c + 1.0, 35.0)
    assert 0.0 < before.low <= before.high <= USUAL.longest_h
    for after in (more, warmer):
        assert after.low <= before.low
        assert after.high <= before.high


def _with(**changed: float) -> PowerCutHours:
    sizes = {"volume_l": 300.0, "surface_m2": 0.6, "factor": 1.0, **changed}
    return hours(sizes["volume_l"], [(10.0, sizes["factor"])], sizes["surface_m2"], 26.0, 35.0)


@pytest.mark.parametrize("field", ["volume_l", "surface_m2", "factor"])
@pytest.mark.parametrize("value", [0.0, -1.0, math.nan, math.inf])
def test_what_no_tank_can_be_is_refused(field: str, value: float) -> None:
    with pytest.raises(InputError, match=f"{field} is"):
        _with(**{field: value})


@pytest.mark.parametrize("field", ["fish_rate", "bed_mg_m2_h", "k600_cm_h", "start_share"])
def test_a_case_beyond_all_sense_is_refused(field: str) -> None:
    with pytest.raises(InputError, match=f"{field} is -1"):
        replace(USUAL.easy, **{field: -1.0})


def test_a_level_or_time_beyond_all_sense_is_refused() -> None:
    with pytest.raises(InputError, match="level_mg_l is 0"):
        Assumptions(level_mg_l=0.0)
    with pytest.raises(InputError, match="longest_h is 0"):
        Assumptions(longest_h=0.0)
