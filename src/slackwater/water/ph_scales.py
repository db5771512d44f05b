"""The pH scales of seawater: total, free, seawater and that of NBS buffers, turned into one another.

A pH meter set with the usual buffers of 7 and 10 reads on the NBS scale, 0.13 or so above the total
scale on which the constants of seawater are measured.
"""

from __future__ import annotations

import math
from enum import StrEnum

from slackwater.water.computed import SALINITY, TEMPERATURE_C, Computed, Range
from slackwater.water.seawater import KELVIN

_CHLORINITY = 1.80655
_SCALES_C = Range(0.0, 45.0)
_SCALES_SALINITY = Range(5.0, 45.0)


class PhScale(StrEnum):
    """What a pH is counted on; NBS is that of a meter set with common buffers."""

    TOTAL = "total"
    FREE = "free"
    SEAWATER = "seawater"
    NBS = "NBS"


def ph_above_total(scale: PhScale, temperature_c: float, salinity: float) -> Computed:
    """Return by how much the same water reads higher on a scale than on the total scale.

    Parameters
    ----------
    scale
        The scale.
    temperature_c
        Temperature of the water. [C]
    salinity
        Practical salinity. [-]

    Returns
    -------
    Computed
        pH on the scale less pH on the total scale; the same holds for pK. [-]

    Raises
    ------
    InputError
        If no tank can be so warm, cold or salt.

    Notes
    -----
    Free: log10(1 + ST / KS). Seawater: log10[(1 + ST / KS) / (1 + ST / KS + FT / KF)].
    NBS: the last less log10 fH. Sulfate by [morris1966], KS by [dickson1990], fluoride by
    [riley1965], KF by [dickson1979], fH by [takahashi1982].
    Range: T 0 to 45 C, S 5 to 45; fH was fitted for the sea. Meter and buffers add 0.02 and more.
    Check value: 0.137 from total to NBS at 25 C, S 35, by an outside program.

    Examples
    --------
    >>> round(ph_above_total(PhScale.NBS, 25.0, 35.0).value, 3)
    0.137
    """
    TEMPERATURE_C.check("temperature_c", temperature_c)
    SALINITY.check("salinity", salinity)
    kelvin = temperature_c + KELVIN
    sulfate = sulfate_mol_kg_morris1966(salinity) / bisulfate_mol_kg_dickson1990(kelvin, salinity)
    fluoride = fluoride_mol_kg_riley1965(salinity) / hydrogen_fluoride_mol_kg_dickson1979(kelvin, salinity)
    seawater = math.log10((1.0 + sulfate) / (1.0 + sulfate + fluoride))
    above = {
        PhScale.TOTAL: 0.0,
        PhScale.FREE: math.log10(1.0 + sulfate),
        PhScale.SEAWATER: seawater,
        PhScale.NBS: seawater - math.log10(hydrogen_activity_takahashi1982(kelvin, salinity)),
    }[scale]
    fitted = temperature_c in _SCALES_C and salinity in _SCALES_SALINITY
    return Computed(above, in_range=fitted or scale is PhScale.TOTAL)


def ionic_strength_doe94(salinity: float) -> float:
    """Return the ionic strength of seawater, 19.924 S / (1000 - 1.005 S) [doe94]. [mol/kg-H2O]

    Examples
    --------
    >>> round(ionic_strength_doe94(35.0), 6)
    0.722763
    """
    return 19.924 * salinity / (1000.0 - 1.005 * salinity)


def sulfate_mol_kg_morris1966(salinity: float) -> float:
    """Return all sulfate of seawater, (0.14 / 96.062) S / 1.80655 [morris1966]. [mol/kg]

    Examples
    --------
    >>> round(sulfate_mol_kg_morris1966(35.0), 5)
    0.02824
    """
    return 0.14 / 96.062 * salinity / _CHLORINITY


def fluoride_mol_kg_riley1965(salinity: float) -> float:
    """Return all fluoride of seawater, (0.000067 / 18.998) S / 1.80655 [riley1965]. [mol/kg]

    Examples
    --------
    >>> round(1e6 * fluoride_mol_kg_riley1965(35.0), 1)
    68.3
    """
    return 0.000067 / 18.998 * salinity / _CHLORINITY


def bisulfate_mol_kg_dickson1990(kelvin: float, salinity: float) -> float:
    """Return the acid constant of bisulfate on the free scale, KS. [mol/kg]

    Parameters
    ----------
    kelvin
        Temperature, K. [K]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    float
        KS by mass of seawater. [mol/kg]

    Notes
    -----
    ln KS = a(K) + b(K) sqrt(I) + c(K) I + d(K) I^1.5 + e(K) I^2 + ln(1 - 0.001005 S);
    [dickson1990]. Read in: public code, from memory. Range: 0 to 45 C, S 5 to 45.
    Check value: ln KS = -2.30 at 298.15 K, S 35, printed there; from memory.

    Examples
    --------
    >>> round(math.log(bisulfate_mol_kg_dickson1990(298.15, 35.0)), 1)
    -2.3
    """
    i, log = ionic_strength_doe94(salinity), math.log(kelvin)
    logarithm = (
        -4276.1 / kelvin
        + 141.328
        - 23.093 * log
        + (-13856.0 / kelvin + 324.57 - 47.986 * log) * math.sqrt(i)
        + (35474.0 / kelvin - 771.54 + 114.723 * log) * i
        - 2698.0 / kelvin * i**1.5
        + 1776.0 / kelvin * i**2
    )
    return math.exp(logarithm) * (1.0 - 0.001005 * salinity)


def hydrogen_fluoride_mol_kg_dickson1979(kelvin: float, salinity: float) -> float:
    """Return the acid constant of hydrogen fluoride on the free scale, KF. [mol/kg]

    Parameters
    ----------
    kelvin
        Temperature, K. [K]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    float
        KF by mass of seawater. [mol/kg]

    Notes
    -----
    ln KF = 1590.2 / K - 12.641 + 1.525 sqrt(I) + ln(1 - 0.001005 S); [dickson1979].
    Read in: public code, from memory. Range: 0 to 45 C, S 5 to 45.
    Check value: through the NBS scale, by an outside program.

    Examples
    --------
    >>> round(1000.0 * hydrogen_fluoride_mol_kg_dickson1979(298.15, 35.0), 2)
    2.37
    """
    logarithm = 1590.2 / kelvin - 12.641 + 1.525 * math.sqrt(ionic_strength_doe94(salinity))
    return math.exp(logarithm) * (1.0 - 0.001005 * salinity)


def hydrogen_activity_takahashi1982(kelvin: float, salinity: float) -> float:
    """Return fH, hydrogen activity on the NBS scale over its concentration on the seawater scale.

    Parameters
    ----------
    kelvin
        Temperature, K. [K]
    salinity
        Practical salinity, S. [-]

    Returns
    -------
    float
        fH, liquid junction included. [kg/mol]

    Notes
    -----
    fH = 1.2948 - 0.002036 K + (0.0004607 - 0.000001475 K) S^2; [takahashi1982].
    Read in: public code, from memory. Range: that of the sea.
    Check value: through the NBS scale, by an outside program.

    Examples
    --------
    >>> round(hydrogen_activity_takahashi1982(298.15, 35.0), 3)
    0.713
    """
    return 1.2948 - 0.002036 * kelvin + (0.0004607 - 0.000001475 * kelvin) * salinity**2
