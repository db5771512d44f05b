"""Nitrogen over time: the reference run and its variants by an outside solver, peaks, refusals."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from slackwater.errors import InputError
from slackwater.water.load import tan_g_d_timmons2007
from slackwater.water.nitrifiers import Filter, capacity_from_dose
from slackwater.water.nitrogen import (
    Course,
    Habits,
    NitrogenState,
    Step,
    clear_day,
    follow,
    new_filter_state,
)
from slackwater.water.parameters import load_parameters

TANK = Filter(volume_l=300.0, temperature_c=26.0)
LOAD = 1000.0 * tan_g_d_timmons2007(5.0, 0.45) / 300.0
DAYS = np.linspace(0.0, 120.0, 2401)
WHOLE = (Step(0.0, 0.0), Step(40.0, LOAD))
FOUR = tuple(Step(day, part * LOAD) for day, part in ((0, 0.0), (40, 0.25), (54, 0.5), (68, 0.75), (82, 1.0)))
RISING = tuple(
    Step(day, part * LOAD) for day, part in ((0, 0.0), (40, 0.1), (50, 0.2), (60, 0.4), (74, 0.7), (88, 1.0))
)
DOSES = tuple(Step(day, 0.0, dose_mg_l=2.0) for day in (16.0, 24.0, 32.0))
REDOSED = (Step(0.0, 0.0), *DOSES, Step(40.0, LOAD))
REDOSED_FOUR = (Step(0.0, 0.0), *DOSES, *FOUR[1:])

# day: TAN, NO2-N, NO3-N, C_A, C_B by LSODA at 1e-8
REFERENCE = {
    5: (1.900, 0.099, 0.001, 0.057, 0.004),
    10: (1.381, 0.611, 0.009, 0.290, 0.006),
    15: (0.110, 1.848, 0.042, 0.753, 0.017),
    25: (0.000, 1.496, 0.504, 0.466, 0.173),
    30: (0.000, 0.654, 1.346, 0.354, 0.427),
    40: (0.000, 0.000, 2.000, 0.205, 0.411),
    42: (1.154, 0.154, 2.072, 0.296, 0.397),
    46: (2.243, 1.037, 2.859, 0.957, 0.593),
    50: (0.730, 2.935, 5.235, 2.125, 1.202),
    55: (0.213, 0.910, 11.227, 2.502, 2.215),
    70: (0.191, 0.251, 22.258, 2.694, 2.384),
    120: (0.188, 0.250, 56.762, 2.719, 2.387),
}


def paced(filter_: Filter, ammonia: float) -> Filter:
    """Return the tank with another growth, that of nitrite oxidisers four fifths of it."""
    return replace(
        filter_,
        ammonia=replace(filter_.ammonia, growth_per_d=ammonia),
        nitrite=replace(filter_.nitrite, growth_per_d=0.8 * ammonia),
    )


def seeded(times: float) -> NitrogenState:
    start = new_filter_state(2.0)
    return replace(
        start,
        ammonia_capacity_mg_l_d=times * start.ammonia_capacity_mg_l_d,
        nitrite_capacity_mg_l_d=times * start.nitrite_capacity_mg_l_d,
    )


def run(steps: tuple[Step, ...], filter_: Filter = TANK, start: NitrogenState | None = None) -> Course:
    return follow(filter_, start or new_filter_state(2.0), steps, DAYS)


@cache
def reference() -> Course:
    return run(WHOLE)


def peaks_after(course: Course, steps: tuple[Step, ...], day: float) -> tuple[float, float]:
    stocked = [place for place, step in enumerate(steps) if step.day >= day]
    tan = max(course.tan_peaks[place].mg_l for place in stocked)
    return tan, max(course.nitrite_peaks[place].mg_l for place in stocked)


def nitrite_clear(course: Course) -> float:
    before = course.days < 40.0
    return clear_day(course.days[before], course.nitrite_mg_l[before], 0.1)


@pytest.mark.parametrize("day", REFERENCE)
def test_the_reference_run(day: int) -> None:
    course = reference()
    place = int(np.searchsorted(course.days, day))
    columns = (
        course.tan_mg_l,
        course.nitrite_mg_l,
        course.nitrate_mg_l,
        course.ammonia_capacity_mg_l_d,
        course.nitrite_capacity_mg_l_d,
    )
    found = [float(column[place]) for column in columns]
    assert found == pytest.approx(REFERENCE[day], abs=1.5e-3)


def test_the_days_and_peaks_of_the_reference_run() -> None:
    course = reference()
    cycling = course.days < 40.0
    assert clear_day(course.days[cycling], course.tan_mg_l[cycling], 0.1) == pytest.approx(15.10, abs=0.1)
    assert nitrite_clear(course) == pytest.approx(33.45, abs=0.1)
    cycled, stocked = course.nitrite_peaks
    for peak, mg_l, day in (
        (cycled, 1.921, 16.65),
        (stocked, 3.033, 50.65),
        (course.tan_peaks[1], 2.247, 45.80),
    ):
        assert peak.mg_l == pytest.approx(mg_l, rel=5e-3)
        assert peak.day == pytest.approx(day, abs=0.1)
    last = course.at(-1)
    assert last.tan_mg_l + last.nitrite_mg_l + last.nitrate_mg_l == pytest.approx(57.2, rel=1e-6)
    assert course.in_range


# steps, tank, start; day of clear nitrite, peaks of TAN and nitrite after day 40
VARIANTS = {
    "four equal steps": (FOUR, TANK, None, 33.5, 0.451, 0.424),
    "five rising steps": (RISING, TANK, None, 33.5, 0.260, 0.365),
    "dosed again": (REDOSED, TANK, None, 36.6, 0.454, 0.474),
    "dosed again, four steps": (REDOSED_FOUR, TANK, None, 36.6, 0.231, 0.321),
    "seeded tenfold": (WHOLE, TANK, seeded(10.0), 18.0, 2.627, 4.960),
    "a tenth of the trace": (WHOLE, TANK, seeded(0.1), math.inf, 1.794, 5.043),
    "24 C": (WHOLE, replace(TANK, temperature_c=24.0), None, 37.2, 2.315, 2.806),
    "28 C": (WHOLE, replace(TANK, temperature_c=28.0), None, 30.1, 2.252, 3.324),
    "2 m2": (WHOLE, replace(TANK, area_m2=2.0), None, 34.2, 2.557, 3.355),
    "8 m2": (WHOLE, replace(TANK, area_m2=8.0), None, 33.1, 2.107, 2.871),
    "3 mg/L of oxygen": (WHOLE, replace(TANK, oxygen_mg_l=3.0), None, 39.3, 2.433, 3.306),
    "slow": (WHOLE, paced(TANK, 0.35), None, math.inf, 3.159, 5.058),
    "quick": (WHOLE, paced(TANK, 0.65), None, 26.0, 1.751, 2.555),
}


@pytest.mark.parametrize("name", VARIANTS)
def test_a_variant(name: str) -> None:
    steps, tank, start, clear, tan_peak, nitrite_peak = VARIANTS[name]
    course = run(steps, tank, start)
    assert nitrite_clear(course) == pytest.approx(clear, abs=0.1)
    tan, nitrite = peaks_after(course, steps, 40.0)
    assert tan == pytest.approx(tan_peak, rel=5e-3)
    assert nitrite == pytest.approx(nitrite_peak, rel=5e-3)


def test_doses_bring_nitrite_high_before_the_animals() -> None:
    assert max(peak.mg_l for peak in run(REDOSED).nitrite_peaks[:4]) == pytest.approx(4.9, abs=0.05)


def test_all_fish_at_once_into_new_water() -> None:
    course = follow(TANK, new_filter_state(), [Step(0.0, LOAD)], DAYS)
    assert course.nitrite_peaks[0].mg_l == pytest.approx(17.0, abs=0.05)
    assert course.nitrite_peaks[0].day == pytest.approx(28.6, abs=0.1)


def test_rates_at_26_degrees() -> None:
    """Own arithmetic: exp[E / R (1 / 298.15 - 1 / 299.15)] and 1000 x 0.28 x 4 / 300 from 24 C."""
    a, b = TANK.rates(TANK.ammonia), TANK.rates(TANK.nitrite)
    assert (a.growth_per_d, b.growth_per_d) == pytest.approx((0.5480, 0.4245), abs=5e-5)
    assert (a.decay_per_d, b.decay_per_d) == pytest.approx((0.0548, 0.0531), abs=5e-5)
    assert (a.largest_mg_l_d, b.largest_mg_l_d) == pytest.approx((4.4876, 4.2054), abs=5e-5)
    assert (a.oxygen_share, b.oxygen_share) == pytest.approx((0.92857, 0.86667), abs=5e-6)


def test_a_filter_settles_where_its_formula_says() -> None:
    last = reference().at(-1)
    rates = TANK.rates(TANK.ammonia)
    assert rates.settled_mg_l_d(LOAD) == pytest.approx(last.ammonia_capacity_mg_l_d, rel=1e-3)
    assert rates.level_mg_l(LOAD, last.ammonia_capacity_mg_l_d) == pytest.approx(last.tan_mg_l, rel=1e-2)
    assert rates.settled_mg_l_d(0.0) == 0.0
    assert rates.level_mg_l(1.0, 0.5) == math.inf


def test_a_dose_test_finds_the_capacity() -> None:
    """Six hours after 1 mg/L, with a filter that grows and decays meanwhile: within 3 %."""
    start = NitrogenState(1.0, 0.0, 0.0, 1.5, 1.5)
    later = follow(TANK, start, [Step(0.0, 0.0)], [0.25]).at(0)
    found = capacity_from_dose(TANK, 1.0, later.tan_mg_l, 6.0)
    assert found == pytest.approx(1.5, rel=0.03)


@pytest.mark.parametrize(("first", "later", "hours"), [(1.0, 1.2, 6.0), (1.0, 0.0, 6.0), (1.0, 0.5, 0.0)])
def test_a_dose_test_that_tells_nothing_is_refused(first: float, later: float, hours: float) -> None:
    with pytest.raises(InputError, match="later_mg_l is"):
        capacity_from_dose(TANK, first, later, hours)


def test_days_do_not_change_the_course() -> None:
    few, many = follow(TANK, new_filter_state(2.0), WHOLE, [120.0]), reference()
    assert few.at(0).nitrate_mg_l == pytest.approx(many.at(-1).nitrate_mg_l, rel=1e-6)
    assert few.tan_peaks[1].mg_l == pytest.approx(many.tan_peaks[1].mg_l, rel=1e-6)


def test_an_event_is_met_exactly() -> None:
    """Just before a dose nothing of it, just after all of it, and a change takes a fifth of the nitrate."""
    steps = [Step(0.0, 0.0), Step(30.125, 0.0, dose_mg_l=1.0, changed_share=0.2)]
    course = follow(TANK, new_filter_state(2.0), steps, [30.125, 30.125 + 1e-6])
    before, after = course.at(0), course.at(1)
    assert after.tan_mg_l - 0.8 * before.tan_mg_l == pytest.approx(1.0, abs=1e-4)
    assert after.nitrate_mg_l == pytest.approx(0.8 * before.nitrate_mg_l, rel=1e-4)
    gone = before.tan_mg_l + before.nitrite_mg_l + before.nitrate_mg_l
    assert after.removed_mg_l == pytest.approx(0.2 * gone, rel=1e-9)


def test_the_daily_wave_swings_ammonia_and_leaves_the_mean() -> None:
    waved = follow(TANK, new_filter_state(2.0), WHOLE, DAYS, Habits(wave_swing=0.57))
    late = waved.days >= 100.0
    swing = np.ptp(waved.tan_mg_l[late])
    assert swing > 0.05
    assert waved.tan_mg_l[late].mean() == pytest.approx(reference().tan_mg_l[late].mean(), rel=0.1)
    assert waved.nitrate_mg_l[-1] == pytest.approx(reference().nitrate_mg_l[-1], rel=0.01)


def test_steady_removal_takes_nitrate() -> None:
    taken = follow(TANK, new_filter_state(2.0), WHOLE, DAYS, Habits(removed_per_d=0.1))
    assert taken.nitrate_mg_l[-1] == pytest.approx(LOAD / 0.1, rel=0.02)


def test_a_cold_filter_is_said_to_be_out_of_range() -> None:
    assert not run(WHOLE, replace(TANK, temperature_c=12.0)).in_range


def test_clear_at_once_and_never() -> None:
    assert clear_day([0.0, 1.0], [0.0, 0.0], 0.1) == 0.0
    assert clear_day([0.0, 1.0], [0.0, 0.2], 0.1) == math.inf
    assert clear_day([0.0, 1.0], [0.3, 0.1], 0.2) == pytest.approx(0.5)


@pytest.mark.parametrize("steps", [[], [Step(1.0, 0.0)], [Step(0.0, 0.0), Step(5.0, 0.0), Step(2.0, 0.0)]])
def test_steps_out_of_order_are_refused(steps: list[Step]) -> None:
    with pytest.raises(InputError, match="steps is"):
        follow(TANK, new_filter_state(), steps, [1.0])


@pytest.mark.parametrize("days", [[], [2.0, 1.0], [-1.0, 1.0], [[1.0]]])
def test_days_out_of_order_are_refused(days: list[float]) -> None:
    with pytest.raises(InputError, match="days is"):
        follow(TANK, new_filter_state(), [Step(0.0, 0.0)], days)


@pytest.mark.parametrize(
    ("field", "value"),
    [("volume_l", 0.0), ("temperature_c", 60.0), ("oxygen_mg_l", -1.0), ("area_m2", math.nan)],
)
def test_an_impossible_filter_is_refused(field: str, value: float) -> None:
    with pytest.raises(InputError, match=f"{field} is"):
        replace(TANK, **{field: value})  # type: ignore[arg-type]


def test_what_is_below_zero_is_refused() -> None:
    with pytest.raises(InputError, match="dose_mg_l is -1"):
        Step(0.0, 0.0, dose_mg_l=-1.0)
    with pytest.raises(InputError, match="tan_mg_l is -1"):
        NitrogenState(-1.0, 0.0, 0.0, 0.01, 0.01)
    with pytest.raises(InputError, match="wave_swing is 2"):
        Habits(wave_swing=2.0)


def test_the_assumed_rates_stay_below_the_isolates() -> None:
    """0.036 and 0.064 an hour are 0.86 and 1.5 a day; start-up in seawater is slower."""
    figures = load_parameters()
    for food in ("ammonia", "nitrite"):
        isolate = 24.0 * float(figures[f"isolate_growth_{food}"].value)
        assert float(figures[f"growth_{food}"].value) < isolate
