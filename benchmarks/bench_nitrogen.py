"""How fast nitrogen is followed for 180 days: ours, and LSODA with a compiled right-hand side, in one run.

Six releases, one value a day, without and with the daily wave, at two tolerances; the error is that of
ammonia and nitrite against a run at 1e-10, over the largest level. Both start anew at each release.
Run it with ``python benchmarks/bench_nitrogen.py`` from the top of the repository.
"""

import time
from collections.abc import Callable

import numba
import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from slackwater import kernels_water
from slackwater.water.nitrifiers import Filter
from slackwater.water.nitrogen import Habits, Step, follow, new_filter_state

Doubles = NDArray[np.float64]

TANK = Filter(volume_l=300.0, temperature_c=26.0)
DAYS = np.arange(181.0)
LOAD = 0.69
STEPS = (Step(0.0, 0.0), *(Step(40.0 + 14.0 * k, LOAD * (k + 1) / 6.0) for k in range(6)))
START = new_filter_state(2.0)
SECONDS = 2.0

RATES = np.array([list(vars(TANK.rates(group)).values()) for group in (TANK.ammonia, TANK.nitrite)])


@numba.njit("f8[::1](f8, f8[::1], f8, f8[:,::1], f8[::1])", cache=True)
def compiled_change(day: float, state: Doubles, load: float, organisms: Doubles, habits: Doubles) -> Doubles:
    """Return the change of the state a day, for a solver that calls it."""
    out = np.empty(6)
    wave = 1.0 + habits[1] * np.cos(2.0 * np.pi * (day - habits[2]))
    kernels_water.slope(state, load * wave, organisms, habits, out)
    return out


def ours(habits: Habits) -> Doubles:
    """Return ammonia and nitrite by day, shape (2, T)."""
    course = follow(TANK, START, STEPS, DAYS, habits)
    return np.array([course.tan_mg_l, course.nitrite_mg_l])


def lsoda(habits: Habits) -> Doubles:
    """Return the same by LSODA, stopped and started at each release."""
    usual = np.array([habits.removed_per_d, habits.wave_swing, habits.wave_peak_d, habits.tolerance])
    state, kept = np.array(list(vars(START).values())), []
    for place, step in enumerate(STEPS):
        stop = STEPS[place + 1].day if place + 1 < len(STEPS) else DAYS[-1]
        found = solve_ivp(
            compiled_change,
            (step.day, stop),
            state,
            method="LSODA",
            t_eval=DAYS[(step.day <= DAYS) & (stop >= DAYS)],
            args=(step.load_mg_l_d, RATES, usual),
            rtol=habits.tolerance,
            atol=1e-2 * habits.tolerance,
        )
        state = np.ascontiguousarray(found.y[:, -1])
        kept.append(found.y[:2, 1 if place else 0 :])
    return np.hstack(kept)


def runs_per_second(work: Callable[[], object]) -> float:
    """Return how many times a second it is done, over two seconds."""
    work()
    count, begun = 0, time.perf_counter()
    while time.perf_counter() - begun < SECONDS:
        work()
        count += 1
    return count / (time.perf_counter() - begun)


def main() -> None:
    """Print runs a second, errors and ratios."""
    for swing in (0.0, 0.57):
        exact = ours(Habits(wave_swing=swing, tolerance=1e-10))
        word = "daily wave" if swing else "daily mean"
        for tolerance in (1e-4, 1e-6):
            habits = Habits(wave_swing=swing, tolerance=tolerance)
            errors = [np.abs(way(habits) - exact).max() / exact.max() for way in (ours, lsoda)]
            speeds = [runs_per_second(lambda way=way, usual=habits: way(usual)) for way in (ours, lsoda)]
            print(
                f"{word}, {tolerance:g}: {speeds[0]:8.0f} runs/s, error {errors[0]:.0e}; "
                f"LSODA {speeds[1]:6.1f} runs/s, error {errors[1]:.0e}; {speeds[0] / speeds[1]:.0f} times"
            )


if __name__ == "__main__":
    main()
