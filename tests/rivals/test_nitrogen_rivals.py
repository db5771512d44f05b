"""Nitrogen against a plain twin of its equations, followed by a general solver."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from slackwater import kernels_water
from slackwater.water.nitrifiers import Filter, Rates
from slackwater.water.nitrogen import Habits, NitrogenState, Step, follow, new_filter_state

Doubles = NDArray[np.float64]

TANK = Filter(volume_l=180.0, temperature_c=25.0, oxygen_mg_l=6.0, area_m2=3.0)
STEPS = (
    Step(0.0, 0.05, dose_mg_l=1.0),
    Step(20.0, 0.3),
    Step(33.5, 0.6, changed_share=0.25),
    Step(50.0, 0.2, dose_mg_l=0.5),
)
DAYS = np.linspace(0.5, 80.0, 160)


def change(day: float, state: Doubles, load: float, rates: tuple[Rates, Rates], habits: Habits) -> Doubles:
    """Return the change of (A, B, N, C_A, C_B, R) a day, as it is written in books."""
    tan, nitrite, nitrate, c_a, c_b, _ = state
    a, b = rates
    wave = 1.0 + habits.wave_swing * np.cos(2.0 * np.pi * (day - habits.wave_peak_d))
    m_a = tan / (a.half_mg_l + tan) * a.oxygen_share
    m_b = nitrite / (b.half_mg_l + nitrite) * b.oxygen_share
    removed = habits.removed_per_d * nitrate
    return np.array(
        [
            load * wave - c_a * m_a,
            c_a * m_a - c_b * m_b,
            c_b * m_b - removed,
            a.growth_per_d * c_a * m_a * (1.0 - c_a / a.largest_mg_l_d) - a.decay_per_d * c_a,
            b.growth_per_d * c_b * m_b * (1.0 - c_b / b.largest_mg_l_d) - b.decay_per_d * c_b,
            removed,
        ]
    )


def happened(state: Doubles, step: Step) -> Doubles:
    """Return the state after a change of water and a dose."""
    after = state.copy()
    after[:3] *= 1.0 - step.changed_share
    after[5] += step.changed_share * state[:3].sum()
    after[0] += step.dose_mg_l
    return after


def followed(start: NitrogenState, habits: Habits) -> Doubles:
    """Return the states on all days, shape (T, 6)."""
    rates = (TANK.rates(TANK.ammonia), TANK.rates(TANK.nitrite))
    state = np.array(list(vars(start).values()))
    kept = []
    for place, step in enumerate(STEPS):
        stop = STEPS[place + 1].day if place + 1 < len(STEPS) else DAYS[-1]
        state = happened(state, step)
        asked = DAYS[(step.day < DAYS) & (stop >= DAYS)]
        found = solve_ivp(
            change,
            (step.day, stop),
            state,
            method="LSODA",
            t_eval=np.append(asked, stop)[: len(asked) + (asked[-1] < stop)],
            args=(step.load_mg_l_d, rates, habits),
            rtol=1e-9,
            atol=1e-11,
            max_step=0.2,
        )
        state = found.y[:, -1]
        kept.append(found.y.T[: len(asked)])
    return np.vstack(kept)


@pytest.mark.parametrize(
    "habits", [Habits(tolerance=1e-6), Habits(0.02, 0.57, 0.6, 1e-6)], ids=["steady", "waved"]
)
def test_a_general_solver_goes_the_same_way(habits: Habits) -> None:
    start = new_filter_state()
    ours, theirs = follow(TANK, start, STEPS, DAYS, habits), followed(start, habits)
    columns = (
        ours.tan_mg_l,
        ours.nitrite_mg_l,
        ours.nitrate_mg_l,
        ours.ammonia_capacity_mg_l_d,
        ours.nitrite_capacity_mg_l_d,
        ours.removed_mg_l,
    )
    for column, their in zip(columns, theirs.T, strict=True):
        assert np.abs(column - their).max() < 2e-5 * max(1.0, np.abs(their).max())


def one_day(count: int) -> Doubles:
    """Return the state after a day in so many equal steps of the method."""
    organisms = np.array([list(vars(TANK.rates(group)).values()) for group in (TANK.ammonia, TANK.nitrite)])
    habits = np.array([0.02, 0.57, 0.6, 1e-6])
    state, slope = np.array([1.0, 0.5, 3.0, 0.8, 0.6, 0.0]), np.empty(6)
    work = (np.empty((6, 6)), np.empty(6), np.empty(6), np.empty(6))
    step = 1.0 / count
    for place in range(count):
        day = place * step
        load = kernels_water._load(day, 0.5, habits)
        kernels_water.slope(state, load, organisms, habits, slope)
        kernels_water._try_step((day, 0.5, state, slope), step, organisms, habits, work)
        state = work[3].copy()
    return state


@pytest.mark.slow
def test_the_method_is_of_order_four() -> None:
    """Halving the step divides the error by sixteen, or nearly."""
    exact = one_day(512)
    coarse, middle, fine = (np.abs(one_day(count) - exact).max() for count in (8, 16, 32))
    assert coarse / middle > 11.0
    assert middle / fine > 11.0
