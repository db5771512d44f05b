"""Oxygen in seawater: what the water holds, what a fish breathes, how readily it crosses a surface."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.water.computed import MASS_G, SALINITY, TEMPERATURE_C, Computed, Range

OXYGEN_G_MOL = 31.9988
OXYGEN_L_MOL = 22.3916  # at 0 C and 1 atm; a real gas, hence not 22.414

_KELVIN = 273.15
_T68_PER_T90 = 1.00024

_SATURATION_C = Range(-1.0, 40.0)
_SATURATION_SALINITY = Range(0.0, 40.0)
_RESTING_C = Range(0.0, 30.0)
_SCHMIDT_C = Range(-2.0, 40.0)


@dataclass(frozen=True)
class _Fit:
    """One column of table 1 of [garcia1992]."""

    a: tuple[float, ...]
    b: tuple[float, ...]
    c: float


_PER_KG = _Fit(
    a=(5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369),
    b=(-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3),
    c=-2.75915e-7,
)
_PER_LITRE = _Fit(
    a=(2.00907, 3.22014, 4.05010, 4.94457, -0.256847, 3.88767),
    b=(-6.24523e-3, -7.37614e-3, -1.03410e-2, -8.17083e-3),
    c=-4.88682e-7,
)


def oxygen_umol_kg_garcia1992(temperature_c: float, salinity: float) -> Computed:
    """Return the oxygen that seawater holds in balance with moist air at 1 atm, by mass of water.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T, ITS-90. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Dissolved oxygen at saturation, C. [umol/kg]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    ln C = sum a_i Ts^i + S sum b_i Ts^i + c S^2, Ts = ln[(298.15 - t) / (273.15 + t)] with
    t = 1.00024 T on the scale of 1968; equation 8 and table 1 of [garcia1992], the column fitted
    to the measurements of [benson1984].
    Read in: public code that names the paper, which was not opened.
    Range: T -1 to 40 C, S 0 to 40.
    Check value: 274.610 at t = 10 C, S = 35, printed with the table.

    Examples
    --------
    >>> round(oxygen_umol_kg_garcia1992(10.0 / 1.00024, 35.0).value, 2)
    274.61
    """
    return _saturation(_PER_KG, temperature_c, salinity, scale=1.0)


def oxygen_mg_l_garcia1992(temperature_c: float, salinity: float) -> Computed:
    """Return the oxygen that seawater holds in balance with moist air at 1 atm, by volume of water.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T, ITS-90. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Dissolved oxygen at saturation, C. [mg/L]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    The formula of `oxygen_umol_kg_garcia1992` with the column of table 1 of [garcia1992] that
    gives mL of gas at 0 C and 1 atm in a litre of water, times 31.9988 / 22.3916 mg/mL; no density
    is needed.
    Read in: from memory; it agrees within 0.02 % with the other column times the density of
    the water over the whole range.
    Range: T -1 to 40 C, S 0 to 40.
    Check value: 6.315 mL/L at t = 10 C, S = 35, printed with the table; from memory.

    Examples
    --------
    >>> round(oxygen_mg_l_garcia1992(26.0, 35.0).value, 2)
    6.66
    """
    return _saturation(_PER_LITRE, temperature_c, salinity, scale=OXYGEN_G_MOL / OXYGEN_L_MOL)


def resting_oxygen_mg_h_clarke1999(mass_g: float, temperature_c: float) -> Computed:
    """Return the oxygen that one resting, unfed bony fish uses in an hour.

    Parameters
    ----------
    mass_g
        Mass of the fish, M. [g]
    temperature_c
        Temperature of the water, T. [C]

    Returns
    -------
    Computed
        Oxygen used, R. [mg/h]

    Raises
    ------
    InputError
        If no fish has the mass, or no tank the temperature.

    Notes
    -----
    ln R50 = 15.7 - 5.02 (1000 / K) in mmol/h for a fish of 50 g, K = T + 273.15;
    R = 31.9988 R50 (M / 50)^0.79; abstract of [clarke1999], 69 species.
    Read in: the abstract.
    Range: T 0 to 30 C; that of the masses was not read. Published equations differ by a factor
    of two either way at 10 g, and reef fish under 10 g use more than this says.
    Check value: R(30 C) is about six times R(0 C), same abstract.

    Examples
    --------
    >>> round(resting_oxygen_mg_h_clarke1999(10.0, 26.0).value, 2)
    3.04
    """
    MASS_G.check("mass_g", mass_g)
    TEMPERATURE_C.check("temperature_c", temperature_c)
    r50_mmol_h = math.exp(15.7 - 5020.0 / (temperature_c + _KELVIN))
    rate_mg_h = OXYGEN_G_MOL * r50_mmol_h * (mass_g / 50.0) ** 0.79
    return Computed(rate_mg_h, in_range=temperature_c in _RESTING_C)


def schmidt_oxygen_wanninkhof2014(temperature_c: float) -> Computed:
    """Return the Schmidt number of oxygen in seawater of salinity 35.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]

    Returns
    -------
    Computed
        Viscosity of the water over the diffusivity of oxygen in it, Sc. [-]

    Raises
    ------
    InputError
        If no tank can be so warm or cold.

    Notes
    -----
    Sc = 1920.4 - 135.6 T + 5.2122 T^2 - 0.10939 T^3 + 0.00093777 T^4; table 1 of
    [wanninkhof2014].
    Read in: public code that names the paper, which was not opened.
    Range: T -2 to 40 C.
    Check value: 568 at 20 C, same table.

    Examples
    --------
    >>> round(schmidt_oxygen_wanninkhof2014(20.0).value)
    568
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    number = _polynomial((1920.4, -135.6, 5.2122, -0.10939, 0.00093777), temperature_c)
    return Computed(number, in_range=temperature_c in _SCHMIDT_C)


def _saturation(fit: _Fit, temperature_c: float, salinity: float, scale: float) -> Computed:
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    t68_c = _T68_PER_T90 * temperature_c
    ts = math.log((298.15 - t68_c) / (_KELVIN + t68_c))
    exponent = _polynomial(fit.a, ts) + salinity * (_polynomial(fit.b, ts) + fit.c * salinity)
    fitted = temperature_c in _SATURATION_C and salinity in _SATURATION_SALINITY
    return Computed(scale * math.exp(exponent), in_range=fitted)


def _polynomial(coefficients: Sequence[float], x: float) -> float:
    """Return c0 + c1 x + c2 x^2 + ..."""
    return sum(c * x**power for power, c in enumerate(coefficients))
