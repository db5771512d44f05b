"""Oxygen above sea level: the pressure of the air, and what it leaves in the water."""

from __future__ import annotations

import math

from slackwater.water.computed import TEMPERATURE_C, Bounds, Computed, Range
from slackwater.water.oxygen import oxygen_mg_l_garcia1992
from slackwater.water.seawater import KELVIN, polynomial

_ALTITUDE_M = Bounds(-500.0, 6000.0, "Enter the height above the sea in metres, for example 500.")
_PRESSURE_ATM = Bounds(0.3, 1.5, "Enter the pressure of the air in atmospheres, for example 0.95.")
_TROPOSPHERE_M = Range(-500.0, 11_000.0)
_BENSON_C = Range(0.0, 40.0)
_BENSON_ATM = Range(0.5, 1.1)


def pressure_atm_iso2533(altitude_m: float) -> Computed:
    """Return the usual pressure of the air at a height above the sea.

    Parameters
    ----------
    altitude_m
        Height above the sea, h. [m]

    Returns
    -------
    Computed
        Pressure, P. [atm]

    Raises
    ------
    InputError
        If nobody lives so high or low.

    Notes
    -----
    P = (1 - 2.25577e-5 h)^5.25588, the standard atmosphere of [iso2533], from memory. Weather moves it
    by 3 %. Range: h -500 to 11000 m. Check value: 0.887 at 1000 m, from memory.

    Examples
    --------
    >>> round(pressure_atm_iso2533(1000.0).value, 3)
    0.887
    """
    _ALTITUDE_M.check("altitude_m", altitude_m)
    return Computed((1.0 - 2.25577e-5 * altitude_m) ** 5.25588, in_range=altitude_m in _TROPOSPHERE_M)


def pressure_factor_benson1984(temperature_c: float, pressure_atm: float) -> Computed:
    """Return the oxygen that water holds under a pressure over what it holds at 1 atm.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    pressure_atm
        Pressure of the air, moisture included, P. [atm]

    Returns
    -------
    Computed
        DO(P) / DO(1). [-]

    Raises
    ------
    InputError
        If no tank is so warm or cold, or no air so thin or thick.

    Notes
    -----
    (P - Pw)(1 - th P) / [(1 - Pw)(1 - th)], Pw = exp(11.8571 - 3840.70 / K - 216961 / K^2),
    th = 0.000975 - 1.426e-5 T + 6.436e-8 T^2; [benson1984].
    Read in: public code. Range: T 0 to 40 C, P 0.5 to 1.1 atm.
    Check value: 0.8834 at 25 C and 1000 m, own arithmetic.

    Examples
    --------
    >>> round(pressure_factor_benson1984(25.0, pressure_atm_iso2533(1000.0).value).value, 4)
    0.8834
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    _PRESSURE_ATM.check("pressure_atm", pressure_atm)
    kelvin = temperature_c + KELVIN
    vapour = math.exp(11.8571 - 3840.70 / kelvin - 216961.0 / kelvin**2)
    bend = polynomial((0.000975, -1.426e-5, 6.436e-8), temperature_c)
    factor = (pressure_atm - vapour) * (1.0 - bend * pressure_atm) / ((1.0 - vapour) * (1.0 - bend))
    return Computed(factor, in_range=temperature_c in _BENSON_C and pressure_atm in _BENSON_ATM)


def oxygen_mg_l_at(temperature_c: float, salinity: float, altitude_m: float) -> Computed:
    """Return the oxygen that seawater holds in balance with the air at a height above the sea.

    Parameters
    ----------
    temperature_c
        Temperature of the water. [C]
    salinity
        Practical salinity. [-]
    altitude_m
        Height above the sea. [m]

    Returns
    -------
    Computed
        Dissolved oxygen at saturation. [mg/L]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    `oxygen_mg_l_garcia1992` times `pressure_factor_benson1984` at `pressure_atm_iso2533`.
    Range: that of the three. Check value: none published.

    Examples
    --------
    >>> round(oxygen_mg_l_at(26.0, 35.0, 500.0).value, 2)
    6.26
    """
    full = oxygen_mg_l_garcia1992(temperature_c, salinity)
    pressure = pressure_atm_iso2533(altitude_m)
    factor = pressure_factor_benson1984(temperature_c, pressure.value)
    return Computed(full.value * factor.value, full.in_range and pressure.in_range and factor.in_range)
