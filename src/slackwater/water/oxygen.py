"""Oxygen in seawater: what the water holds, what a fish breathes, how readily it crosses a surface."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.water.computed import MASS_G, SALINITY, TEMPERATURE_C, Computed, Range
from slackwater.water.parameters import number
from slackwater.water.seawater import KELVIN, T68_PER_T90, polynomial

OXYGEN_G_MOL = 31.9988
OXYGEN_L_MOL = 22.3916  # at 0 C and 1 atm; a real gas, hence not 22.414

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


def oxygen_ml_l_weiss1970(temperature_c: float, salinity: float) -> Computed:
    """Return the gas that seawater holds in balance with moist air at 1 atm by an older fit.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Oxygen gas at 0 C and 1 atm; 1.42903 mg in a millilitre. [mL/L]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    ln C = -173.4292 + 249.6339 / h + 143.3483 ln h - 21.8492 h + S (-0.033096 + 0.014259 h
    - 0.0017 h^2), h = K / 100; [weiss1970]. For comparison only.
    Read in: public code, from memory. Range: T -1 to 40 C, S 0 to 40.
    Check value: 4.7261 at T 25 C, S 35, by an outside program.

    Examples
    --------
    >>> round(oxygen_ml_l_weiss1970(25.0, 35.0).value, 2)
    4.73
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    h = (T68_PER_T90 * temperature_c + KELVIN) / 100.0
    fresh = -173.4292 + 249.6339 / h + 143.3483 * math.log(h) - 21.8492 * h
    salt = polynomial((-0.033096, 0.014259, -0.0017), h)
    return _fitted(math.exp(fresh + salinity * salt), temperature_c, salinity)


def oxygen_mg_l_benson1984(temperature_c: float, salinity: float) -> Computed:
    """Return the oxygen that seawater holds in balance with moist air at 1 atm, in the form for tables.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Dissolved oxygen at saturation. [mg/L]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    ln DO = -139.34411 + 1.575701e5 / K - 6.642308e7 / K^2 + 1.243800e10 / K^3 - 8.621949e11 / K^4
    - S (0.017674 - 10.754 / K + 2140.7 / K^2); [benson1984]. A cross-check of [garcia1992].
    Read in: public code that names a survey of 2011, which prints it. Range: T -1 to 40 C, S 0 to 40.
    Check value: 8.26 mg/L at 25 C in fresh water, from tables, from memory.

    Examples
    --------
    >>> round(oxygen_mg_l_benson1984(25.0, 0.0).value, 2)
    8.26
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    per_k = 1.0 / (temperature_c + KELVIN)
    fresh = polynomial((-139.34411, 1.575701e5, -6.642308e7, 1.243800e10, -8.621949e11), per_k)
    salt = polynomial((0.017674, -10.754, 2140.7), per_k)
    return _fitted(math.exp(fresh - salinity * salt), temperature_c, salinity)


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
    r50_mmol_h = math.exp(15.7 - 5020.0 / (temperature_c + KELVIN))
    rate_mg_h = OXYGEN_G_MOL * r50_mmol_h * (mass_g / 50.0) ** number("resting_mass_power")
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
    number = polynomial((1920.4, -135.6, 5.2122, -0.10939, 0.00093777), temperature_c)
    return Computed(number, in_range=temperature_c in _SCHMIDT_C)


def _saturation(fit: _Fit, temperature_c: float, salinity: float, scale: float) -> Computed:
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    t68_c = T68_PER_T90 * temperature_c
    ts = math.log((298.15 - t68_c) / (KELVIN + t68_c))
    exponent = polynomial(fit.a, ts) + salinity * (polynomial(fit.b, ts) + fit.c * salinity)
    return _fitted(scale * math.exp(exponent), temperature_c, salinity)


def _fitted(value: float, temperature_c: float, salinity: float) -> Computed:
    fitted = temperature_c in _SATURATION_C and salinity in _SATURATION_SALINITY
    return Computed(value, in_range=fitted)
