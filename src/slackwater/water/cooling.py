"""How a tank cools when the power fails, and how a floating bag comes to the warmth of a tank."""

from __future__ import annotations

import math

from slackwater.errors import InputError
from slackwater.water.computed import TEMPERATURE_C, VOLUME_L, Bounds, Computed
from slackwater.water.parameters import high, low
from slackwater.water.seawater import density_kg_m3_millero1981, specific_heat_j_kg_k_feistel2008

_AREA_M2 = Bounds(1e-6, 1e5, "Enter the walls and surface in square metres, for example 2.3.")
_HEAT = Bounds(0.01, 1e4, "Enter watts for each square metre and degree, for example 6.")
_AIR_C = Bounds(-60.0, 60.0, "Enter the temperature of the room in degrees Celsius, for example 18.")
_HOURS = Bounds(0.0, 1e6, "Enter a number of hours, for example 6.")
_E_FOLD = Bounds(1e-6, 1e6, "Enter the hours in which the distance falls to 37 %, for example 24.")


def cooling_e_fold_h(
    volume_l: float, area_m2: float, heat_w_m2_k: float, temperature_c: float, salinity: float
) -> Computed:
    """Return the time in which the distance to the surroundings' warmth falls to 37 %.

    Parameters
    ----------
    volume_l
        Water, V. [L]
    area_m2
        Walls and surface through which heat passes, A. [m2]
    heat_w_m2_k
        Heat through them, U: about 6 for a tank in a room (4 to 10, assumed), from 80 for a bag. [W/(m2 K)]
    temperature_c
        Temperature of the water. [C]
    salinity
        Practical salinity. [-]

    Returns
    -------
    Computed
        tau. [h]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    tau = rho V c_p / (U A), density by [millero1981], heat by [feistel2008]. Left out: evaporation,
    which cools more, the heat of glass and rock, a lid, a stand.
    Range: that of both. Check value: 22.7 min for 4 L, 0.15 m2, 80 W/(m2 K), own arithmetic.

    Examples
    --------
    >>> round(60.0 * cooling_e_fold_h(4.0, 0.15, 80.0, 25.0, 35.0).value, 1)
    22.7
    """
    VOLUME_L.check("volume_l", volume_l)
    _AREA_M2.check("area_m2", area_m2)
    _HEAT.check("heat_w_m2_k", heat_w_m2_k)
    density = density_kg_m3_millero1981(temperature_c, salinity)
    heat = specific_heat_j_kg_k_feistel2008(temperature_c, salinity)
    joules_k = density.value * volume_l / 1000.0 * heat.value
    return Computed(joules_k / (heat_w_m2_k * area_m2) / 3600.0, density.in_range and heat.in_range)


def temperature_c_after(start_c: float, surroundings_c: float, hours: float, e_fold_h: float) -> float:
    """Return the temperature after some hours without a heater.

    Parameters
    ----------
    start_c
        Temperature of the water at first, T0. [C]
    surroundings_c
        Temperature of the room, or of the water round a bag, Ta. [C]
    hours
        Time, t. [h]
    e_fold_h
        tau, from `cooling_e_fold_h`. [h]

    Returns
    -------
    float
        Ta + (T0 - Ta) exp(-t / tau). [C]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Examples
    --------
    >>> round(temperature_c_after(26.0, 18.0, 12.0, 24.0), 1)
    22.9
    """
    TEMPERATURE_C.check("start_c", start_c)
    _AIR_C.check("surroundings_c", surroundings_c)
    _HOURS.check("hours", hours)
    _E_FOLD.check("e_fold_h", e_fold_h)
    return surroundings_c + (start_c - surroundings_c) * math.exp(-hours / e_fold_h)


def hours_to_temperature(start_c: float, surroundings_c: float, level_c: float, e_fold_h: float) -> float:
    """Return the hours until the water has come to a temperature.

    Parameters
    ----------
    start_c
        Temperature of the water at first, T0. [C]
    surroundings_c
        Temperature of the room, or of the water round a bag, Ta. [C]
    level_c
        Temperature to reach, T. [C]
    e_fold_h
        tau, from `cooling_e_fold_h`. [h]

    Returns
    -------
    float
        tau ln[(T0 - Ta) / (T - Ta)]; 0 if it is there or past it, infinite if it never comes. [h]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Examples
    --------
    >>> round(hours_to_temperature(26.0, 18.0, 22.0, 24.0), 1)
    16.6
    """
    TEMPERATURE_C.check("start_c", start_c)
    TEMPERATURE_C.check("level_c", level_c)
    _AIR_C.check("surroundings_c", surroundings_c)
    _E_FOLD.check("e_fold_h", e_fold_h)
    whole, left = start_c - surroundings_c, level_c - surroundings_c
    if (start_c - level_c) * whole <= 0.0:
        return 0.0
    if left * whole <= 0.0:
        return math.inf
    return e_fold_h * math.log(whole / left)


def cooling_hours(
    tank: tuple[float, float], start_c: float, room_c: float, level_c: float
) -> tuple[float, float]:
    """Return how long a tank without heat stays above a temperature, from a hard to an easy case.

    Parameters
    ----------
    tank
        Its water and the area of panes and surface. [L, m2]
    start_c
        Temperature of the water at first. [C]
    room_c
        Temperature of the room. [C]
    level_c
        Temperature to stay above. [C]

    Returns
    -------
    tuple of float
        Hours, the lower first; infinite where the room is warm enough. [h]

    Raises
    ------
    InputError
        If a value is beyond all sense, or the level is no cooler than the water.

    Notes
    -----
    `hours_to_temperature` with `cooling_e_fold_h` of seawater of 35 and the ends of the assumed heat
    through panes and surface. Check value: none; an assumption until the keeper has measured it.

    Examples
    --------
    >>> [round(h) for h in cooling_hours((300.0, 2.4), 26.0, 18.0, 22.0)]
    [10, 25]
    """
    if level_c >= start_c:
        raise InputError(
            field="level_c",
            given=f"{level_c:g}",
            limit=f"the water starts at {start_c:g}",
            remedy="Enter the temperature below which it must not fall, for example 22.",
        )
    volume_l, area_m2 = tank
    hard, easy = (
        cooling_e_fold_h(volume_l, area_m2, heat, start_c, 35.0).value
        for heat in (high("glass_w_m2_k"), low("glass_w_m2_k"))
    )
    return (
        hours_to_temperature(start_c, room_c, level_c, hard),
        hours_to_temperature(start_c, room_c, level_c, easy),
    )
