"""The hours that oxygen lasts when the pumps stand still, as a span, with all that was assumed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.water.computed import VOLUME_L, Bounds, Computed
from slackwater.water.gas_exchange import oxygen_balance
from slackwater.water.oxygen import (
    oxygen_mg_l_garcia1992,
    resting_oxygen_mg_h_clarke1999,
    schmidt_oxygen_wanninkhof2014,
)

_SURFACE_M2 = Bounds(1e-6, 1e4, "Enter the open surface in square metres, for example 0.6.")
_FACTOR = Bounds(0.01, 100.0, "Enter how many times as much as usual the animal breathes, for example 1.")
_RATE = Bounds(0.01, 100.0, "Enter a multiple of the resting rate, for example 1.5.")
_BED = Bounds(0.0, 1e5, "Enter milligrams an hour for each square metre of floor, for example 120.")
_K600 = Bounds(0.01, 1000.0, "Enter centimetres an hour, for example 2 for still water.")
_SHARE = Bounds(0.01, 5.0, "Enter a share of saturation, for example 0.9.")
_LEVEL = Bounds(0.01, 50.0, "Enter milligrams a litre, for example 3.")
_AIR = Bounds(0.0, 1e6, "Enter litres an hour, for example 25, or 0 without a pump.")
_LONGEST = Bounds(0.1, 1e4, "Enter hours, for example 24.")


@dataclass(frozen=True)
class StillWater:
    """A tank without pumps: its water, what it holds when full and at first, what comes and goes.

    Parameters
    ----------
    volume_l
        Water, V. [L]
    full_mg_l
        Oxygen at saturation, Csat. [mg/L]
    start_mg_l
        Oxygen when the power fails, C0. [mg/L]
    uptake_l_h
        Water that the surface renews with oxygen, k A; above zero. [L/h]
    demand_mg_h
        Oxygen that fish, rock and sand use, D. [mg/h]
    """

    volume_l: float
    full_mg_l: float
    start_mg_l: float
    uptake_l_h: float
    demand_mg_h: float


@dataclass(frozen=True)
class Case:
    """One reading of what nobody has measured in this tank.

    Parameters
    ----------
    fish_rate
        Oxygen the fish use, in multiples of their resting rate. [-]
    bed_mg_m2_h
        Oxygen that rock, sand, corals and filter use by area of the floor. [mg/(m2 h)]
    k600_cm_h
        Velocity at which gas crosses the surface, at a Schmidt number of 600. [cm/h]
    start_share
        Oxygen when the power fails, as a share of saturation. [-]
    air_l_h
        Water that a battery air pump or a stirring hand renews with oxygen. [L/h]

    Raises
    ------
    InputError
        If a value is beyond all sense.
    """

    fish_rate: float
    bed_mg_m2_h: float
    k600_cm_h: float
    start_share: float
    air_l_h: float = 0.0

    def __post_init__(self) -> None:
        """Check every value."""
        _AIR.check("air_l_h", self.air_l_h)
        _RATE.check("fish_rate", self.fish_rate)
        _BED.check("bed_mg_m2_h", self.bed_mg_m2_h)
        _K600.check("k600_cm_h", self.k600_cm_h)
        _SHARE.check("start_share", self.start_share)


@dataclass(frozen=True)
class Assumptions:
    """A hard and an easy case, the oxygen at which help must have come, and how far to look.

    Notes
    -----
    Rates of fish, 1 calm and unfed to 2 fed or chased; bed 120 mg/(m2 h) give or take a half;
    filled to 85 to 95 % at night: assumed. k600: 1 cm/h [crusius2003] and 2.07 cm/h [cole1998] on
    lakes without wind, both from memory; no measurement in a tank was found. 3 mg/L: assumed,
    above the 13 to 34 % of saturation at which reef fish can no longer hold their resting rate
    [nilsson2007]. After a day, heat, cold and stale filters decide, which are not counted.
    """

    hard: Case = Case(fish_rate=2.0, bed_mg_m2_h=180.0, k600_cm_h=1.0, start_share=0.85)
    easy: Case = Case(fish_rate=1.0, bed_mg_m2_h=60.0, k600_cm_h=2.0, start_share=0.95)
    level_mg_l: float = 3.0
    longest_h: float = 24.0

    def __post_init__(self) -> None:
        """Check the level and the longest time."""
        _LEVEL.check("level_mg_l", self.level_mg_l)
        _LONGEST.check("longest_h", self.longest_h)


USUAL = Assumptions()


@dataclass(frozen=True)
class PowerCutHours:
    """The hours from a hard to an easy case, and what was assumed, as a clause.

    `in_range` is False where an equation was used beyond its range; `assumed` then says so.
    """

    low: float
    high: float
    assumed: str
    in_range: bool = True


@dataclass(frozen=True)
class RestingTank:
    """A tank with all that its fish, temperature and salinity decide, whatever else is assumed.

    Parameters
    ----------
    volume_l
        Water in it. [L]
    surface_m2
        Open surface, and the floor under it. [m2]
    full_mg_l
        Oxygen at saturation. [mg/L]
    schmidt
        Schmidt number of oxygen. [-]
    resting_mg_h
        Oxygen that all fish use at rest. [mg/h]
    in_range
        Whether all equations were fitted for it.
    """

    volume_l: float
    surface_m2: float
    full_mg_l: float
    schmidt: float
    resting_mg_h: float
    in_range: bool


def hours(
    volume_l: float,
    fish_g: Sequence[tuple[float, float]],
    surface_m2: float,
    temperature_c: float,
    salinity: float,
    *,
    assumptions: Assumptions = USUAL,
) -> PowerCutHours:
    """Return how long the oxygen lasts without pumps, from a hard to an easy case.

    Parameters
    ----------
    volume_l
        Water in the tank without rock and sand; leave out a sump that no pump reaches. [L]
    fish_g
        Of each fish its mass [g], and its breathing over that of a usual fish as heavy, 1 if unknown [-].
    surface_m2
        Open surface; rock and sand are counted over a floor as large. [m2]
    temperature_c
        Temperature, held throughout. [C]
    salinity
        Practical salinity. [-]
    assumptions
        What is assumed of fish, bed and surface.

    Returns
    -------
    PowerCutHours
        Hours until the oxygen has fallen to the level, none above `assumptions.longest_h`. [h]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    `hours_to_fall` with D = rate x sum of factor x resting demand [clarke1999] + bed x floor,
    Csat by [garcia1992], k = k600 (Sc / 600)^(-1/2) with Sc by [wanninkhof2014]. The power -2/3 of
    a glassy surface would give up to a tenth more in warm water. Left out: altitude, water
    that is poorer in oxygen at the bottom, cooling, a bed that uses more in warm water.
    Range: that of the three equations. Check value: none published; own arithmetic in the tests.

    Examples
    --------
    >>> lasting = hours(300.0, [(25.0, 1.0)] * 10, 0.6, 26.0, 35.0)
    >>> round(lasting.low, 1), round(lasting.high, 1)
    (3.7, 14.8)
    """
    tank = resting_tank(volume_l, fish_g, surface_m2, temperature_c, salinity)
    low, high = sorted(lasting_h(tank, case, assumptions) for case in (assumptions.hard, assumptions.easy))
    given = f"{temperature_c:g} C, salinity {salinity:g}, {volume_l:.0f} L"
    return PowerCutHours(low, high, _clause(given, assumptions, in_range=tank.in_range), tank.in_range)


def resting_tank(
    volume_l: float,
    fish_g: Sequence[tuple[float, float]],
    surface_m2: float,
    temperature_c: float,
    salinity: float,
) -> RestingTank:
    """Return a tank with its fish at rest; the parameters and errors are those of `hours`.

    Examples
    --------
    >>> round(resting_tank(300.0, [(10.0, 1.0)], 0.6, 26.0, 35.0).full_mg_l, 2)
    6.66
    """
    VOLUME_L.check("volume_l", volume_l)
    _SURFACE_M2.check("surface_m2", surface_m2)
    full_mg_l = oxygen_mg_l_garcia1992(temperature_c, salinity)
    schmidt = schmidt_oxygen_wanninkhof2014(temperature_c)
    resting_mg_h = _resting_mg_h(fish_g, temperature_c)
    in_range = full_mg_l.in_range and schmidt.in_range and resting_mg_h.in_range
    return RestingTank(
        volume_l, surface_m2, full_mg_l.value, schmidt.value, resting_mg_h.value, in_range=in_range
    )


def still_water(tank: RestingTank, case: Case) -> StillWater:
    """Return a tank without pumps, in one reading of what nobody has measured in it.

    Examples
    --------
    >>> tank = resting_tank(300.0, [(10.0, 1.0)], 0.6, 26.0, 35.0)
    >>> round(still_water(tank, Case(1.0, 120.0, 2.0, 0.93)).uptake_l_h, 2)
    14.27
    """
    velocity_cm_h = case.k600_cm_h * (tank.schmidt / 600.0) ** -0.5
    return StillWater(
        volume_l=tank.volume_l,
        full_mg_l=tank.full_mg_l,
        start_mg_l=case.start_share * tank.full_mg_l,
        uptake_l_h=10.0 * velocity_cm_h * tank.surface_m2 + case.air_l_h,
        demand_mg_h=case.fish_rate * tank.resting_mg_h + case.bed_mg_m2_h * tank.surface_m2,
    )


def lasting_h(tank: RestingTank, case: Case, assumptions: Assumptions = USUAL) -> float:
    """Return the hours that the oxygen lasts in one case, none above the longest counted. [h]

    Examples
    --------
    >>> tank = resting_tank(300.0, [(25.0, 1.0)] * 10, 0.6, 26.0, 35.0)
    >>> round(lasting_h(tank, USUAL.hard), 1)
    3.7
    """
    return min(hours_to_fall(still_water(tank, case), assumptions.level_mg_l), assumptions.longest_h)


def oxygen_mg_l_after(water: StillWater, hours: float) -> float:
    """Return the oxygen of still water after some hours, never below nothing. [mg/L]

    Examples
    --------
    >>> water = StillWater(
    ...     volume_l=300.0, full_mg_l=6.659, start_mg_l=6.19, uptake_l_h=14.27, demand_mg_h=157.7
    ... )
    >>> round(oxygen_mg_l_after(water, 7.5), 1)
    3.0
    """
    settled = oxygen_balance(water.volume_l, water.full_mg_l, water.demand_mg_h, water.uptake_l_h)
    return settled.after_h(water.start_mg_l, hours)


def hours_to_fall(water: StillWater, level_mg_l: float) -> float:
    """Return the hours until the oxygen of still water has fallen to a level.

    Parameters
    ----------
    water
        The tank without pumps.
    level_mg_l
        Oxygen to reach, C. [mg/L]

    Returns
    -------
    float
        Hours, t; 0 if the water starts no higher, infinite if it never falls so far. [h]

    Notes
    -----
    V dC/dt = k A (Csat - C) - D, solved: t = (V / kA) ln[(C0 - Ce) / (C - Ce)] with
    Ce = Csat - D / (kA). The water is taken as well mixed, which flatters the bottom.
    Range: any. Check value: the same equation stepped through in time, in the tests.

    Examples
    --------
    >>> water = StillWater(
    ...     volume_l=300.0, full_mg_l=6.659, start_mg_l=6.19, uptake_l_h=14.27, demand_mg_h=157.7
    ... )
    >>> round(hours_to_fall(water, 3.0), 1)
    7.5
    """
    settles_mg_l = water.full_mg_l - water.demand_mg_h / water.uptake_l_h
    if water.start_mg_l <= level_mg_l:
        return 0.0
    if settles_mg_l >= level_mg_l:
        return math.inf
    e_folds = math.log((water.start_mg_l - settles_mg_l) / (level_mg_l - settles_mg_l))
    return water.volume_l / water.uptake_l_h * e_folds


def _resting_mg_h(fish_g: Sequence[tuple[float, float]], temperature_c: float) -> Computed:
    """Return what all fish use at rest; summed so that their order does not matter. [mg/h]"""
    for _, factor in fish_g:
        _FACTOR.check("factor", factor)
    one_by_one = [resting_oxygen_mg_h_clarke1999(mass_g, temperature_c) for mass_g, _ in fish_g]
    used = math.fsum(rate.value * factor for rate, (_, factor) in zip(one_by_one, fish_g, strict=True))
    return Computed(used, in_range=all(rate.in_range for rate in one_by_one))


def _clause(given: str, assumptions: Assumptions, *, in_range: bool) -> str:
    """Say in words what was assumed."""
    hard, easy = assumptions.hard, assumptions.easy
    start = _span(100.0 * hard.start_share, 100.0 * easy.start_share)
    parts = [
        given,
        f"oxygen from {start} % of full down to {assumptions.level_mg_l:g} mg/L",
        f"fish breathing {_span(hard.fish_rate, easy.fish_rate)} times as much as at rest",
        f"rock, sand and corals taking {_span(hard.bed_mg_m2_h, easy.bed_mg_m2_h)} mg/h per m2 of floor",
        f"an open, still surface passing gas at {_span(hard.k600_cm_h, easy.k600_cm_h)} cm/h",
        "mixed water at sea level that stays as warm",
        f"{assumptions.longest_h:g} h counted at most",
    ]
    return "; ".join(parts if in_range else [*parts, "beyond the range of the equations"])


def _span(one: float, other: float) -> str:
    """Return two values as `1 to 2`, the smaller first, or one where they are equal."""
    low, high = sorted((one, other))
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"
