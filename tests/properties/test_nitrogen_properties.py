"""Nitrogen is neither made nor lost, levels stay at or above nothing, and more load never means less."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from slackwater.water.nitrifiers import Filter
from slackwater.water.nitrogen import Habits, NitrogenState, Step, follow

tanks = st.builds(
    Filter,
    volume_l=st.floats(30.0, 3000.0),
    temperature_c=st.floats(20.0, 30.0),
    oxygen_mg_l=st.floats(1.0, 8.0),
    area_m2=st.floats(0.2, 20.0),
)
starts = st.builds(
    NitrogenState,
    tan_mg_l=st.floats(0.0, 5.0),
    nitrite_mg_l=st.floats(0.0, 5.0),
    nitrate_mg_l=st.floats(0.0, 50.0),
    ammonia_capacity_mg_l_d=st.floats(1e-4, 3.0),
    nitrite_capacity_mg_l_d=st.floats(1e-4, 3.0),
)
happenings = st.lists(
    st.tuples(st.floats(0.5, 20.0), st.floats(0.0, 2.0), st.floats(0.0, 3.0), st.floats(0.0, 0.9)), max_size=6
)
habits = st.builds(
    Habits,
    removed_per_d=st.floats(0.0, 0.5),
    wave_swing=st.floats(0.0, 0.9),
    wave_peak_d=st.floats(0.0, 1.0),
    tolerance=st.sampled_from([1e-3, 1e-4, 1e-5]),
)


def steps_of(first_load: float, later: list[tuple[float, float, float, float]]) -> list[Step]:
    steps, day = [Step(0.0, first_load)], 0.0
    for gap, load, dose, share in later:
        day += gap
        steps.append(Step(day, load, dose, share))
    return steps


def brought(steps: list[Step], end: float, swing: float, peak_d: float) -> float:
    """Return all nitrogen that loads and doses brought, the daily wave integrated by hand. [mg/L]"""
    total = 0.0
    for place, step in enumerate(steps):
        stop = steps[place + 1].day if place + 1 < len(steps) else end
        turns = [np.sin(2.0 * np.pi * (day - peak_d)) for day in (step.day, stop)]
        wave = swing * (turns[1] - turns[0]) / (2.0 * np.pi)
        total += step.dose_mg_l + step.load_mg_l_d * (stop - step.day + wave)
    return total


@settings(max_examples=80, deadline=None)
@given(tanks, starts, st.floats(0.0, 2.0), happenings, habits)
def test_nitrogen_is_conserved(
    tank: Filter,
    start: NitrogenState,
    load: float,
    later: list[tuple[float, float, float, float]],
    usual: Habits,
) -> None:
    steps = steps_of(load, later)
    end = steps[-1].day + 10.0
    course = follow(tank, start, steps, [end], usual)
    whole = start.tan_mg_l + start.nitrite_mg_l + start.nitrate_mg_l
    whole += brought(steps, end, usual.wave_swing, usual.wave_peak_d)
    found = course.tan_mg_l + course.nitrite_mg_l + course.nitrate_mg_l + course.removed_mg_l
    # Without the wave to rounding; the wave itself is followed to the tolerance.
    allowed = 1e-9 if usual.wave_swing == 0.0 else max(10.0 * usual.tolerance, 1e-9)
    assert abs(found[0] - whole) <= allowed * max(whole, 1.0)


@settings(max_examples=60, deadline=None)
@given(tanks, starts, st.floats(0.0, 2.0), happenings)
def test_no_level_falls_below_nothing(
    tank: Filter, start: NitrogenState, load: float, later: list[tuple[float, float, float, float]]
) -> None:
    steps = steps_of(load, later)
    course = follow(tank, start, steps, np.linspace(0.0, steps[-1].day + 10.0, 200))
    for levels in (course.tan_mg_l, course.nitrite_mg_l, course.nitrate_mg_l, course.ammonia_capacity_mg_l_d):
        assert levels.min() > -1e-4
        assert np.isfinite(levels).all()


@settings(max_examples=40, deadline=None)
@given(tanks, starts, st.floats(0.0, 1.0), st.floats(0.01, 1.0))
def test_more_animals_never_make_a_lower_peak(
    tank: Filter, start: NitrogenState, load: float, more: float
) -> None:
    few, many = (
        follow(tank, start, [Step(0.0, added)], [60.0]).tan_peaks[0].mg_l for added in (load, load + more)
    )
    assert many >= few - 1e-3
