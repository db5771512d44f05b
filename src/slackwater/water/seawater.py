"""Seawater as a liquid at the surface: density, heat capacity and expansion."""

from __future__ import annotations

import math
from collections.abc import Sequence

from slackwater.water.computed import SALINITY, TEMPERATURE_C, Computed, Range

KELVIN = 273.15
T68_PER_T90 = 1.00024
REFERENCE_G_KG = 35.16504 / 35.0

MILLERO_C = Range(-2.0, 40.0)
MILLERO_SALINITY = Range(0.0, 42.0)
_FEISTEL_C = Range(-6.0, 40.0)
_FEISTEL_SALINITY = Range(0.0, 42.0)

_X2_PER_G_KG = 0.0248826675584615
_PURE_P = (
    100015.695367145, -270.983805184062, 1455.0364540468, -672.50778314507, 397.968445406972,
    -194.618310617595, 63.5113936641785, -9.63108119393062,
)  # fmt: skip
_SALT_P = (
    (-3310.49154044839, 729.116529735046, -860.764303783977, 694.244814133268, -297.728741987187),
    (199.459603073901, -175.292041186547, 383.058066002476, -460.319931801257, 234.565187611355),
    (-54.7919133532887, -22.6683558512829),
    (36.0284195611086,),
)
_PURE_T = (
    101.342743139674, 5.90578347909402, -12357.785933039, 736.741204151612, -148.185936433658,
    58.0259125842571, -18.9843846514172, 3.05081646487967,
)  # fmt: skip
_SALT_T = (
    (0.0, 0.0, 880.031352997204, -225.267649263401, 91.4260447751259, -21.6603240875311, 2.13016970847183),
    (0.0, 0.0, -43.0664675978042, -10.0227370861875, 0.875600661808945),
    (0.0, 0.0, -68.5572509204491, 49.3667694856254, -17.1397577419788, 2.49697009569508),
)


def density_kg_m3_millero1981(temperature_c: float, salinity: float) -> Computed:
    """Return the density of seawater at the surface by the equation of state of 1980.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T, ITS-90. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Density, rho. [kg/m3]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    rho = rho_w(t) + A(t) S + B(t) S^1.5 + 4.8314e-4 S^2 with t = 1.00024 T on the scale of 1968;
    [millero1981].
    Read in: from memory, as in the tables of UNESCO; the paper was not opened.
    Range: T -2 to 40 C, S 0 to 42.
    Check value: 1027.67547 at t = 5 C, S = 35, printed with the tables.

    Examples
    --------
    >>> round(density_kg_m3_millero1981(5.0 / 1.00024, 35.0).value, 5)
    1027.67547
    """
    _check(temperature_c, salinity)
    fitted = temperature_c in MILLERO_C and salinity in MILLERO_SALINITY
    return Computed(unchecked_density_kg_m3(temperature_c, salinity), in_range=fitted)


def unchecked_density_kg_m3(temperature_c: float, salinity: float) -> float:
    """Return `density_kg_m3_millero1981` of what may be any number, for searches. [kg/m3]"""
    t = T68_PER_T90 * temperature_c
    pure = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
    a = (0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
    b = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
    salt = polynomial(a, t) + polynomial(b, t) * math.sqrt(salinity) + 4.8314e-4 * salinity
    return polynomial(pure, t) + salinity * salt


def density_kg_m3_feistel2008(temperature_c: float, salinity: float) -> Computed:
    """Return the density of seawater at the surface by the Gibbs function of 2008 (TEOS-10).

    Parameters
    ----------
    temperature_c
        Temperature of the water, T, ITS-90. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Density, rho. [kg/m3]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    rho = 1 / g_p(S_A, T, 0) with S_A = (35.16504 / 35) S g/kg, y = T / 40,
    x^2 = 0.0248826675584615 S_A; the terms linear in pressure of [feistel2008].
    Read in: public code, from memory; the paper was not opened.
    Range: T -6 to 40 C, S 0 to 42.
    Check value: 1023.343631 at T = 25 C, S = 35, by an outside program.

    Examples
    --------
    >>> round(density_kg_m3_feistel2008(25.0, 35.0).value, 6)
    1023.343631
    """
    _check(temperature_c, salinity)
    return _feistel(1e8 / _volume(temperature_c, salinity), temperature_c, salinity)


def thermal_expansion_per_k_feistel2008(temperature_c: float, salinity: float) -> Computed:
    """Return by what share seawater at the surface grows with each degree.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T, ITS-90. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Thermal expansion, alpha. [1/K]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    alpha = g_Tp / g_p of the Gibbs function of [feistel2008]; the sums of `density_kg_m3_feistel2008`.
    Read in: public code, from memory. Range: T -6 to 40 C, S 0 to 42.
    Check value: 2.97595e-4 at T = 25 C, S = 35, by an outside program.

    Examples
    --------
    >>> round(1e6 * thermal_expansion_per_k_feistel2008(25.0, 35.0).value, 1)
    297.6
    """
    _check(temperature_c, salinity)
    y = temperature_c / 40.0
    by_warmth = _gibbs(derivative(_PURE_P), [derivative(row) for row in _SALT_P], y, salinity) / 40.0
    return _feistel(by_warmth / _volume(temperature_c, salinity), temperature_c, salinity)


def specific_heat_j_kg_k_feistel2008(temperature_c: float, salinity: float) -> Computed:
    """Return the heat that warms a kilogram of seawater by one degree.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T, ITS-90. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        Specific heat at the pressure of the sea surface, c_p. [J/(kg K)]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    c_p = -(273.15 + T) g_TT, the terms without pressure of [feistel2008] that curve with T.
    Read in: public code, from memory. Range: T -6 to 40 C, S 0 to 42.
    Check value: 3998.977 at T = 25 C, S = 35, by an outside program.

    Examples
    --------
    >>> round(specific_heat_j_kg_k_feistel2008(25.0, 35.0).value)
    3999
    """
    _check(temperature_c, salinity)
    y = temperature_c / 40.0
    pure = derivative(derivative(_PURE_T))
    salt = [derivative(derivative(row)) for row in _SALT_T]
    curved = _gibbs(pure, salt, y, salinity) / 1600.0
    return _feistel(-(KELVIN + temperature_c) * curved, temperature_c, salinity)


def polynomial(coefficients: Sequence[float], x: float) -> float:
    """Return c0 + c1 x + c2 x^2 + ..."""
    return sum(c * x**power for power, c in enumerate(coefficients))


def derivative(coefficients: Sequence[float]) -> tuple[float, ...]:
    """Return the coefficients of the derivative of a polynomial."""
    return tuple(power * c for power, c in enumerate(coefficients) if power)


def _gibbs(pure: Sequence[float], salt: Sequence[Sequence[float]], y: float, salinity: float) -> float:
    """Return P0(y) + x^2 (P1(y) + x P2(y) + x^2 P3(y) + ...)."""
    x2 = _X2_PER_G_KG * REFERENCE_G_KG * salinity
    by_power = [polynomial(row, y) for row in salt]
    return polynomial(pure, y) + x2 * polynomial(by_power, math.sqrt(x2))


def _volume(temperature_c: float, salinity: float) -> float:
    """Return the specific volume. [1e-8 m3/kg]"""
    return _gibbs(_PURE_P, _SALT_P, temperature_c / 40.0, salinity)


def _feistel(value: float, temperature_c: float, salinity: float) -> Computed:
    return Computed(value, in_range=temperature_c in _FEISTEL_C and salinity in _FEISTEL_SALINITY)


def _check(temperature_c: float, salinity: float) -> None:
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
