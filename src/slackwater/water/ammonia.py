"""Ammonia in seawater: how much of it is the un-ionised kind that harms, and what animals bear."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from slackwater.water.basis import NH3_PER_N
from slackwater.water.computed import CONCENTRATION_MG_L, PH, SALINITY, TEMPERATURE_C, Computed, Range
from slackwater.water.parameters import number
from slackwater.water.ph_scales import PhScale, ph_above_total
from slackwater.water.seawater import KELVIN

_CLEGG_C = Range(-2.0, 40.0)
_CLEGG_SALINITY = Range(0.0, 40.0)
_BELL_C = Range(5.0, 35.0)
_BELL_SALINITY = Range(0.0, 45.0)
_EPA_C = Range(0.0, 30.0)
_EPA_SALINITY = Range(10.0, 30.0)


@dataclass(frozen=True)
class WaterSample:
    """The pH that was read, on which scale, and in what water.

    Parameters
    ----------
    ph
        pH as read. [-]
    temperature_c
        Temperature of the water. [C]
    salinity
        Practical salinity. [-]
    scale
        The scale of the reading; a meter set with common buffers is on NBS.

    Raises
    ------
    InputError
        If no tank can have such water.
    """

    ph: float
    temperature_c: float
    salinity: float
    scale: PhScale = PhScale.NBS

    def __post_init__(self) -> None:
        """Check every value."""
        PH.check("ph", self.ph)
        TEMPERATURE_C.check("temperature_c", self.temperature_c)
        SALINITY.check("salinity", self.salinity)


class Criterion(StrEnum):
    """How long the un-ionised ammonia of a published criterion may last."""

    HOUR = "hour"
    FOUR_DAYS = "four days"

    @property
    def limit_mg_l(self) -> float:
        """Un-ionised ammonia allowed, as NH3. [mg/L]"""
        return number("ammonia_acute" if self is Criterion.HOUR else "ammonia_chronic")


def pk_molal_clegg1995(temperature_c: float, salinity: float) -> Computed:
    """Return the pK of ammonium on the total scale, by mass of water without its salt.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        pK*, mol/kg-H2O. [-]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    The sum printed in [clegg1995]: terms in S^(1/4), S^(1/2), S^(3/2), S^2 and S^(5/2).
    Read in: public code; one copy there prints the first constant as 9.44605, another misplaces a bracket.
    Range: T -2 to 40 C, S 0 to 40, within 5 % of the fraction.
    Check value: fraction 0.0556 at pH 8, T 25 C, S 35, documentation of an R package.

    Examples
    --------
    >>> round(pk_molal_clegg1995(25.0, 0.0).value, 4)
    9.2446
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    k, root_k = temperature_c + KELVIN, math.sqrt(temperature_c + KELVIN)
    s = math.sqrt(salinity)
    pk = (
        9.244605
        - 2729.33 * (1.0 / 298.15 - 1.0 / k)
        + (0.04203362 - 11.24742 / k) * math.sqrt(s)
        + (-13.6416 + 1.176949 * root_k - 0.02860785 * k + 545.4834 / k) * s
        + (-0.1462507 + 0.0090226468 * root_k - 0.0001471361 * k + 10.5425 / k) * s**3
        + (0.004669309 - 0.0001691742 * root_k - 0.5677934 / k) * s**4
        + (-2.354039e-5 + 0.009698623 / k) * s**5
    )
    return Computed(pk, in_range=temperature_c in _CLEGG_C and salinity in _CLEGG_SALINITY)


def pk_clegg1995(temperature_c: float, salinity: float, scale: PhScale = PhScale.TOTAL) -> Computed:
    """Return the pK of ammonium on a pH scale, by mass of seawater.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    salinity
        Practical salinity, S. [-]
    scale
        The scale on which the pH was read.

    Returns
    -------
    Computed
        pK*, mol/kg of seawater. [-]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    `pk_molal_clegg1995` - log10(1 - 0.001005 S) + `ph_above_total`; [clegg1995].
    Range: that of both. Check value: 9.24585 total, 9.38283 NBS at T 25 C, S 35, by an outside program.

    Examples
    --------
    >>> round(pk_clegg1995(25.0, 35.0, PhScale.NBS).value, 3)
    9.383
    """
    molal = pk_molal_clegg1995(temperature_c, salinity)
    above = ph_above_total(scale, temperature_c, salinity)
    pk = molal.value - math.log10(1.0 - 0.001005 * salinity) + above.value
    return Computed(pk, in_range=molal.in_range and above.in_range)


def pk_bell2007(temperature_c: float, salinity: float) -> Computed:
    """Return the pK of ammonium on the free scale by another fit, for comparison.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        pK*. [-]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    pK = 10.0423 - 0.0315536 T + 0.003071 S; [bell2007], coefficients from memory. The expression
    printed in the paper whose data it corrects is wrong by up to 500 % and is not used.
    Range: T 5 to 35 C, S 0 to 45. Check value: `pk_clegg1995` on the free scale within 0.03.

    Examples
    --------
    >>> round(pk_bell2007(25.0, 35.0).value, 4)
    9.3609
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    pk = 10.0423 - 0.0315536 * temperature_c + 0.003071 * salinity
    return Computed(pk, in_range=temperature_c in _BELL_C and salinity in _BELL_SALINITY)


def pk_epa1989(temperature_c: float, salinity: float) -> Computed:
    """Return the pK with which the criterion for saltwater was turned into total ammonia.

    Parameters
    ----------
    temperature_c
        Temperature of the water, T. [C]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    Computed
        pK. [-]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    I = 19.9273 S / (1000 - 1.005109 S); pK = 9.245 + 0.116 I + 0.0324 (298 - K) + 0.0415 / K;
    [epa1989], from memory, as is its table, which the formula meets within 4 %.
    Range: T 0 to 30 C, S 10 to 30.
    Check value: 5.0 mg/L total ammonia at S 30, T 25 C, pH 8.0; from memory.

    Examples
    --------
    >>> round(0.233 / unionised_share(pk_epa1989(25.0, 30.0).value, 8.0), 1)
    5.0
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    ionic = 19.9273 * salinity / (1000.0 - 1.005109 * salinity)
    kelvin = temperature_c + KELVIN
    pk = 9.245 + 0.116 * ionic + 0.0324 * (298.0 - kelvin) + 0.0415 / kelvin
    return Computed(pk, in_range=temperature_c in _EPA_C and salinity in _EPA_SALINITY)


def unionised_share(pk: float, ph: float) -> float:
    """Return the share of ammonia that is un-ionised, 1 / (1 + 10^(pK - pH)), both on one scale. [-]

    Examples
    --------
    >>> round(unionised_share(9.24585, 8.1), 4)
    0.0667
    """
    return float(1.0 / (1.0 + 10.0 ** (pk - ph)))


def unionised_fraction(water: WaterSample) -> Computed:
    """Return the share of total ammonia that is un-ionised, NH3, in water as it was tested; [clegg1995]. [-]

    Examples
    --------
    >>> round(unionised_fraction(WaterSample(8.2, 26.0, 35.0)).value, 4)
    0.066
    """
    pk = pk_clegg1995(water.temperature_c, water.salinity, water.scale)
    return Computed(unionised_share(pk.value, water.ph), pk.in_range)


def unionised_molal_fraction(water: WaterSample) -> Computed:
    """Return the same from the constant by mass of water without its salt, as in some tables [clegg1995]. [-]

    Examples
    --------
    >>> round(unionised_molal_fraction(WaterSample(8.0, 25.0, 35.0, PhScale.TOTAL)).value, 4)
    0.0556
    """
    pk = pk_molal_clegg1995(water.temperature_c, water.salinity)
    above = ph_above_total(water.scale, water.temperature_c, water.salinity)
    return Computed(unionised_share(pk.value + above.value, water.ph), pk.in_range and above.in_range)


def unionised_mg_l(tan_mg_l: float, water: WaterSample) -> Computed:
    """Return un-ionised ammonia, counted as NH3, in water with so much total ammonia, counted as N.

    Parameters
    ----------
    tan_mg_l
        Total ammonia nitrogen, TAN. [mg N/L]
    water
        The water as it was tested.

    Returns
    -------
    Computed
        NH3. [mg NH3/L]

    Raises
    ------
    InputError
        If the ammonia is below zero or beyond all sense.

    Notes
    -----
    1.21588 f TAN with f by [clegg1995]. Range: that of f. Check value: that of f.

    Examples
    --------
    >>> round(unionised_mg_l(2.247, WaterSample(8.1, 26.0, 35.0)).value, 3)
    0.145
    """
    CONCENTRATION_MG_L.check("tan_mg_l", tan_mg_l)
    fraction = unionised_fraction(water)
    return Computed(NH3_PER_N * fraction.value * tan_mg_l, fraction.in_range)


def tan_limit_mg_l(water: WaterSample, criterion: Criterion = Criterion.FOUR_DAYS) -> Computed:
    """Return the total ammonia at which a published criterion for saltwater is met.

    Parameters
    ----------
    water
        The water as it was tested.
    criterion
        How long the ammonia may last.

    Returns
    -------
    Computed
        Total ammonia nitrogen, TAN. [mg N/L]

    Notes
    -----
    0.233 mg NH3/L for an hour, 0.035 for four days, each once in three years [epa1989], from memory,
    over 1.21588 f with f by [clegg1995]; the paper's own pK allows a tenth less.
    Range: that of f. Check value: own arithmetic, 0.54 mg N/L at pH 8.1 NBS, T 26 C, S 35.

    Examples
    --------
    >>> round(tan_limit_mg_l(WaterSample(8.1, 26.0, 35.0)).value, 2)
    0.54
    """
    fraction = unionised_fraction(water)
    return Computed(criterion.limit_mg_l / (NH3_PER_N * fraction.value), fraction.in_range)
