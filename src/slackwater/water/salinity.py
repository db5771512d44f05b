"""Salinity from what a keeper reads: a hydrometer's gravity, or a probe's conductivity."""

from __future__ import annotations

from enum import StrEnum

from slackwater.errors import InputError
from slackwater.water.computed import (
    CONDUCTIVITY_MS_CM,
    GRAVITY,
    SALINITY,
    TEMPERATURE_C,
    VOLUME_L,
    Computed,
    Range,
    root,
)
from slackwater.water.parameters import number
from slackwater.water.seawater import (
    MILLERO_C,
    MILLERO_SALINITY,
    T68_PER_T90,
    density_kg_m3_millero1981,
    polynomial,
    unchecked_density_kg_m3,
)

_STANDARD_MS_CM = 42.914
_SALTIEST = 100.0
_LEWIS_C = Range(-2.0, 35.0)
_LEWIS_SALINITY = Range(2.0, 42.0)


class Marking(StrEnum):
    """The temperatures a hydrometer is marked for: of the sample over that of pure water."""

    SIXTY_F = "60/60 F"
    TWENTY_C = "20/20 C"
    TWENTY_FIVE_C = "25/25 C"

    @property
    def reference_c(self) -> float:
        """Both temperatures of the marking. [C]"""
        return {"60/60 F": (60.0 - 32.0) / 1.8, "20/20 C": 20.0, "25/25 C": 25.0}[self]


def specific_gravity_millero1981(salinity: float, temperature_c: float, reference_c: float) -> Computed:
    """Return how much heavier seawater is than pure water at a temperature of reference.

    Parameters
    ----------
    salinity
        Practical salinity, S. [-]
    temperature_c
        Temperature of the seawater, T. [C]
    reference_c
        Temperature of the pure water, Tr. [C]

    Returns
    -------
    Computed
        Specific gravity, SG(T / Tr). [-]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt, or the salinity reads like a gravity.

    Notes
    -----
    SG = rho(S, T) / rho(0, Tr) by [millero1981].
    Range: that of the density. Check value: the same ratio by an outside program.

    Examples
    --------
    >>> round(specific_gravity_millero1981(35.0, 25.0, 25.0).value, 5)
    1.02637
    """
    sea = density_kg_m3_millero1981(temperature_c, salinity)
    pure = density_kg_m3_millero1981(reference_c, 0.0)
    return Computed(sea.value / pure.value, in_range=sea.in_range and pure.in_range)


def glass_reading(salinity: float, temperature_c: float, marking: Marking) -> Computed:
    """Return what a glass hydrometer shows in water that is not at the temperature of its marking.

    Parameters
    ----------
    salinity
        Practical salinity, S. [-]
    temperature_c
        Temperature of the water, T. [C]
    marking
        The temperatures of the scale, Tr.

    Returns
    -------
    Computed
        The reading. [-]

    Raises
    ------
    InputError
        As `specific_gravity_millero1981`.

    Notes
    -----
    reading = SG(T / Tr) (1 + 25e-6 (T - Tr)): the glass itself swells; its expansion is from memory.
    Range: that of the density. Check value: the ratio without the glass, by an outside program.
    Left out: the instrument's own error, which for a swinging plastic pointer is 0.002 or more
    (common practice), bubbles, and salt on the stem.

    Examples
    --------
    >>> round(glass_reading(35.0, 25.0, Marking.SIXTY_F).value, 4)
    1.0246
    """
    gravity = specific_gravity_millero1981(salinity, temperature_c, marking.reference_c)
    return Computed(_reading(salinity, temperature_c, marking), gravity.in_range)


def salinity_from_gravity(specific_gravity: float, marking: Marking) -> Computed:
    """Return the salinity of water whose specific gravity holds at the temperatures of a marking.

    Parameters
    ----------
    specific_gravity
        Specific gravity at the temperatures of the marking. [-]
    marking
        Those temperatures.

    Returns
    -------
    Computed
        Practical salinity. [-]

    Raises
    ------
    InputError
        If the gravity reads like a salinity or a density, or no seawater is so light.

    Notes
    -----
    `specific_gravity_millero1981` inverted by halving. Range: S 0 to 42.
    Check value: there and back.

    Examples
    --------
    >>> round(salinity_from_gravity(1.0264, Marking.SIXTY_F).value, 2)
    34.4
    """
    return salinity_from_glass(specific_gravity, marking.reference_c, marking)


def salinity_from_glass(specific_gravity: float, temperature_c: float, marking: Marking) -> Computed:
    """Return the salinity behind the reading of a glass hydrometer in water of a given warmth.

    Parameters
    ----------
    specific_gravity
        The reading. [-]
    temperature_c
        Temperature of the water that was read. [C]
    marking
        The temperatures of the scale.

    Returns
    -------
    Computed
        Practical salinity. [-]

    Raises
    ------
    InputError
        If the gravity reads like a salinity or a density, or no seawater is so light.

    Notes
    -----
    `glass_reading` inverted by halving. Range: S 0 to 42, T -2 to 40 C. Check value: there and back.

    Examples
    --------
    >>> round(salinity_from_glass(1.0246, 25.0, Marking.SIXTY_F).value, 1)
    35.0
    """
    GRAVITY.check("specific_gravity", specific_gravity)
    TEMPERATURE_C.check("temperature_c", temperature_c)
    lightest = glass_reading(0.0, temperature_c, marking).value
    if specific_gravity < lightest - 1e-9:
        raise InputError(
            field="specific_gravity",
            given=f"{specific_gravity:g}",
            limit=f"even pure water reads {lightest:.4f} there",
            remedy="Rinse the instrument, read it again, and check the temperature.",
        )

    salinity = root(lambda s: _reading(s, temperature_c, marking), specific_gravity, 0.0, _SALTIEST)
    return Computed(salinity, in_range=salinity in MILLERO_SALINITY and temperature_c in MILLERO_C)


def warm_water_error(salinity: float, temperature_c: float, marking: Marking) -> Computed:
    """Return by how much a glass hydrometer misleads who takes it at face value in warm water.

    Parameters
    ----------
    salinity
        Practical salinity of the water. [-]
    temperature_c
        Its temperature. [C]
    marking
        The temperatures of the scale.

    Returns
    -------
    Computed
        Salinity at face value less the true one, below zero in water warmer than the marking. [-]

    Raises
    ------
    InputError
        As `specific_gravity_millero1981`.

    Notes
    -----
    `salinity_from_gravity` of `glass_reading`, less S. Range: that of the density. Check value: none
    published; at 25 C a scale for 60 F shows 35 as about 32.

    Examples
    --------
    >>> round(warm_water_error(35.0, 25.0, Marking.SIXTY_F).value, 1)
    -2.9
    """
    reading = glass_reading(salinity, temperature_c, marking)
    taken = salinity_from_gravity(reading.value, marking)
    return Computed(taken.value - salinity, reading.in_range and taken.in_range)


def salinity_lewis1980(conductivity_ms_cm: float, temperature_c: float) -> Computed:
    """Return the practical salinity of 1978 from the conductivity at the water's own temperature.

    Parameters
    ----------
    conductivity_ms_cm
        Conductivity, not corrected to 25 C, C. [mS/cm]
    temperature_c
        Temperature of the water, T, ITS-90. [C]

    Returns
    -------
    Computed
        Practical salinity, S. [-]

    Raises
    ------
    InputError
        If the conductivity reads like microsiemens, or no tank can be so warm or cold.

    Notes
    -----
    S = sum a_i Rt^(i/2) + (t - 15) / (1 + 0.0162 (t - 15)) sum b_i Rt^(i/2), Rt = C / (42.914 rt),
    rt a polynomial in t = 1.00024 T; [lewis1980].
    Read in: from memory, as in public code; the paper was not opened.
    Range: S 2 to 42, T -2 to 35 C. Check value: C 42.914, t 15 C gives 35 by definition.

    Examples
    --------
    >>> round(salinity_lewis1980(53.0, 25.0).value, 3)
    34.947
    """
    CONDUCTIVITY_MS_CM.check("conductivity_ms_cm", conductivity_ms_cm)
    TEMPERATURE_C.check("temperature_c", temperature_c)
    salinity = _practical(conductivity_ms_cm, temperature_c)
    return Computed(salinity, in_range=salinity in _LEWIS_SALINITY and temperature_c in _LEWIS_C)


def conductivity_ms_cm_lewis1980(salinity: float, temperature_c: float) -> Computed:
    """Return the conductivity of water of a given salinity at its own temperature.

    Parameters
    ----------
    salinity
        Practical salinity, S. [-]
    temperature_c
        Temperature of the water, T, ITS-90. [C]

    Returns
    -------
    Computed
        Conductivity, C. [mS/cm]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt, or the salinity reads like a gravity.

    Notes
    -----
    `salinity_lewis1980` inverted by halving; [lewis1980]. Range: S 2 to 42, T -2 to 35 C.
    Check value: 53.0710 at S 35, T 25 C, by an outside program.

    Examples
    --------
    >>> round(conductivity_ms_cm_lewis1980(35.0, 25.0).value, 2)
    53.07
    """
    SALINITY.check("salinity", salinity)
    TEMPERATURE_C.check("temperature_c", temperature_c)
    conductivity = root(lambda given: _practical(given, temperature_c), salinity, 0.0, 500.0)
    return Computed(conductivity, in_range=salinity in _LEWIS_SALINITY and temperature_c in _LEWIS_C)


def salinity_after_evaporation(salinity: float, volume_l: float, evaporated_l: float) -> float:
    """Return the salinity once some of the water has gone and all of the salt has stayed.

    Parameters
    ----------
    salinity
        Practical salinity before, S. [-]
    volume_l
        Water before, V. [L]
    evaporated_l
        Water lost, Ve. [L]

    Returns
    -------
    float
        S V / (V - Ve). [-]

    Raises
    ------
    InputError
        If the tank would be dry, or a value is beyond all sense.

    Examples
    --------
    >>> round(salinity_after_evaporation(35.0, 300.0, 6.0), 2)
    35.71
    """
    SALINITY.check("salinity", salinity)
    VOLUME_L.check("volume_l", volume_l)
    if not 0.0 <= evaporated_l < volume_l:
        raise InputError(
            field="evaporated_l",
            given=f"{evaporated_l:g}",
            limit=f"it must lie between 0 and the {volume_l:g} L that there were",
            remedy="Enter the litres lost since the last top-up, for example 6.",
        )
    return salinity * volume_l / (volume_l - evaporated_l)


def _reading(salinity: float, temperature_c: float, marking: Marking) -> float:
    """Return what swollen or shrunk glass shows."""
    pure_kg_m3 = unchecked_density_kg_m3(marking.reference_c, 0.0)
    swollen = 1.0 + number("glass_expansion") * (temperature_c - marking.reference_c)
    return swollen * unchecked_density_kg_m3(temperature_c, salinity) / pure_kg_m3


def _practical(conductivity_ms_cm: float, temperature_c: float) -> float:
    t = T68_PER_T90 * temperature_c
    rt = polynomial((0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9), t)
    half = (conductivity_ms_cm / (_STANDARD_MS_CM * rt)) ** 0.5
    warmth = (t - 15.0) / (1.0 + 0.0162 * (t - 15.0))
    by_warmth = polynomial((0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144), half)
    return polynomial((0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081), half) + warmth * by_warmth
