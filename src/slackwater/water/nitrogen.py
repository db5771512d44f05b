"""Nitrogen over time: a filter that grows with what it is given, through stocking and water changes.

    mA = A / (K_A + A) O / (K_OA + O)      mB = B / (K_B + B) O / (K_OB + O)
    dA/dt = load - C_A mA                  dC_A/dt = mu_A C_A mA (1 - C_A / X_A) - b_A C_A
    dB/dt = C_A mA - C_B mB                dC_B/dt = mu_B C_B mB (1 - C_B / X_B) - b_B C_B
    dN/dt = C_B mB - k N

A is ammonia, B nitrite, N nitrate [mg N/L]; C is what the filter could oxidise in a day [mg N/(L d)],
X the most that its area allows. One mg N/L oxidised raises C by mu: a small dose makes a small filter.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import astuple, dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.errors import InputError
from slackwater.water.computed import CONCENTRATION_MG_L, SHARE, Bounds
from slackwater.water.nitrifiers import Filter
from slackwater.water.parameters import number

Doubles = NDArray[np.float64]

_TOLERANCE = Bounds(1e-10, 1e-2, "Enter a relative tolerance, for example 1e-5.")
_DAY = Bounds(0.0, 1e5, "Enter the day of each step, the first at 0.")


@dataclass(frozen=True)
class NitrogenState:
    """A tank at one moment: levels [mg N/L], capacities [mg N/(L d)], nitrogen taken out [mg N/L]."""

    tan_mg_l: float
    nitrite_mg_l: float
    nitrate_mg_l: float
    ammonia_capacity_mg_l_d: float
    nitrite_capacity_mg_l_d: float
    removed_mg_l: float = 0.0

    def __post_init__(self) -> None:
        """Check every value."""
        for name, value in vars(self).items():
            CONCENTRATION_MG_L.check(name, value)


@dataclass(frozen=True)
class Step:
    """What happens on a day, and what holds from then on.

    Parameters
    ----------
    day
        The day, t. [d]
    load_mg_l_d
        Ammonia made by all animals from then on. [mg N/(L d)]
    dose_mg_l
        Ammonia given at once. [mg N/L]
    changed_share
        Share of the water changed at once, before the dose. [-]

    Raises
    ------
    InputError
        If a value is beyond all sense.
    """

    day: float
    load_mg_l_d: float
    dose_mg_l: float = 0.0
    changed_share: float = 0.0

    def __post_init__(self) -> None:
        """Check every value."""
        _DAY.check("day", self.day)
        CONCENTRATION_MG_L.check("load_mg_l_d", self.load_mg_l_d)
        CONCENTRATION_MG_L.check("dose_mg_l", self.dose_mg_l)
        SHARE.check("changed_share", self.changed_share)


@dataclass(frozen=True)
class Habits:
    """What goes on all the time, and how exactly to count.

    Parameters
    ----------
    removed_per_d
        Nitrate lost to plants, sand and steady exchange, k. [1/d]
    wave_swing
        Swing of the daily wave of the load, as a share of its mean. [-]
    wave_peak_d
        Time of day of its peak, as a share of a day. [d]
    tolerance
        Relative tolerance of each step. [-]

    Raises
    ------
    InputError
        If a value is beyond all sense.
    """

    removed_per_d: float = 0.0
    wave_swing: float = 0.0
    wave_peak_d: float = 0.6
    tolerance: float = 1e-5

    def __post_init__(self) -> None:
        """Check every value."""
        CONCENTRATION_MG_L.check("removed_per_d", self.removed_per_d)
        SHARE.check("wave_swing", self.wave_swing)
        SHARE.check("wave_peak_d", self.wave_peak_d)
        _TOLERANCE.check("tolerance", self.tolerance)


STEADY = Habits()


@dataclass(frozen=True)
class Peak:
    """The highest level between one step and the next, and its day."""

    mg_l: float
    day: float


@dataclass(frozen=True)
class Course:
    """What nitrogen did: one value for each day asked for, and the peaks after each step.

    `in_range` is False where the filter is warmer or colder than those it was taken from.
    """

    days: Doubles
    tan_mg_l: Doubles
    nitrite_mg_l: Doubles
    nitrate_mg_l: Doubles
    ammonia_capacity_mg_l_d: Doubles
    nitrite_capacity_mg_l_d: Doubles
    removed_mg_l: Doubles
    tan_peaks: tuple[Peak, ...]
    nitrite_peaks: tuple[Peak, ...]
    steps: int
    in_range: bool

    def at(self, index: int) -> NitrogenState:
        """Return the state at one of the days; what rounding put below zero is zero."""
        columns = (
            self.tan_mg_l,
            self.nitrite_mg_l,
            self.nitrate_mg_l,
            self.ammonia_capacity_mg_l_d,
            self.nitrite_capacity_mg_l_d,
            self.removed_mg_l,
        )
        return NitrogenState(*(max(float(column[index]), 0.0) for column in columns))


def new_filter_state(dose_mg_l: float = 0.0) -> NitrogenState:
    """Return a tank with a mere trace of organisms and, if wanted, a first dose of ammonia."""
    return NitrogenState(dose_mg_l, 0.0, 0.0, number("inoculum_ammonia"), number("inoculum_nitrite"))


def follow(
    filter_: Filter,
    start: NitrogenState,
    steps: Sequence[Step],
    days: ArrayLike,
    habits: Habits = STEADY,
) -> Course:
    """Follow nitrogen through a tank's days.

    Parameters
    ----------
    filter_
        What oxidises, and in what water.
    start
        The tank on day 0.
    steps
        Loads, doses and water changes by day, in order, the first on day 0; the reckoning stops and
        starts exactly at each.
    days
        Days to report, rising from 0 or later, shape (T,). [d]
    habits
        What goes on all the time.

    Returns
    -------
    Course
        Levels and capacities, each of shape (T,), and the peaks after each step.

    Raises
    ------
    InputError
        If steps or days are out of order, or none.

    Notes
    -----
    The equations of this module, in the capacity form: no yield is needed. Rates with E by
    [vannecke2015], the largest film by [nijhof1990]; growth, decay, half-saturation, area and first
    trace are assumed, set to the 30 to 45 days of practice: a factor of two either way is usual.
    Solved by a Rosenbrock method of order four [hairer1996] that keeps the sum of nitrogen.
    Left out: ammonia lost to the air, uptake by algae, pH and alkalinity as limits, food that rots.
    Range: 15 to 35 C, assumed. Check value: a run by an outside solver, in the tests.

    Examples
    --------
    >>> tank = Filter(300.0, 26.0)
    >>> cycle = follow(tank, new_filter_state(2.0), [Step(0.0, 0.0)], range(41))
    >>> round(cycle.nitrite_peaks[0].mg_l, 2), round(cycle.nitrite_peaks[0].day, 1)
    (1.92, 16.7)
    """
    from slackwater import kernels_water

    wanted, events = _rising_days(days), _event_rows(steps)
    states, peaks, count = kernels_water.follow(
        np.array(astuple(start)),
        events,
        np.array([astuple(filter_.rates(group)) for group in (filter_.ammonia, filter_.nitrite)]),
        np.array(astuple(habits)),
        wanted,
    )
    tan, nitrite, nitrate, c_a, c_b, removed = np.ascontiguousarray(states.T)
    return Course(
        days=wanted,
        tan_mg_l=tan,
        nitrite_mg_l=nitrite,
        nitrate_mg_l=nitrate,
        ammonia_capacity_mg_l_d=c_a,
        nitrite_capacity_mg_l_d=c_b,
        removed_mg_l=removed,
        tan_peaks=tuple(Peak(*row) for row in peaks[:, :2].tolist()),
        nitrite_peaks=tuple(Peak(*row) for row in peaks[:, 2:].tolist()),
        steps=count,
        in_range=filter_.in_range,
    )


def clear_day(days: ArrayLike, mg_l: ArrayLike, level_mg_l: float) -> float:
    """Return the day from which a level stays below another to the end; infinite if it does not. [d]"""
    at, values = np.asarray(days, float), np.asarray(mg_l, float)
    above = np.flatnonzero(values >= level_mg_l)
    if len(above) == 0:
        return float(at[0])
    last = int(above[-1])
    if last + 1 == len(at):
        return math.inf
    share = (values[last] - level_mg_l) / (values[last] - values[last + 1])
    return float(at[last] + share * (at[last + 1] - at[last]))


def _event_rows(steps: Sequence[Step]) -> Doubles:
    rows = np.array([astuple(step) for step in steps], float).reshape(len(steps), 4)
    if len(rows) == 0 or rows[0, 0] != 0.0 or np.any(np.diff(rows[:, 0]) < 0.0):
        raise InputError(
            field="steps",
            given=", ".join(f"day {step.day:g}" for step in steps) or "empty",
            limit="they must be in order, the first on day 0",
            remedy="Begin with what the tank bears today, as a step on day 0.",
        )
    return rows


def _rising_days(days: ArrayLike) -> Doubles:
    wanted = np.ascontiguousarray(days, float)
    if wanted.ndim != 1 or len(wanted) == 0 or wanted[0] < 0.0 or not np.all(np.diff(wanted) > 0.0):
        raise InputError(
            field="days",
            given=f"{wanted.size} days",
            limit="there must be some, none below 0, each later than the one before",
            remedy="Ask for days such as 0, 1, 2 and so on.",
        )
    return wanted
