"""What a test kit counts in: nitrogen or the whole ion, alkalinity in one of three units."""

from __future__ import annotations

from enum import StrEnum

from slackwater.errors import InputError

_H, _C, _N, _O = 1.00794, 12.0107, 14.0067, 15.9994
_P, _CA = 30.973762, 40.078

NH3_PER_N = (_N + 3.0 * _H) / _N
NH4_PER_N = (_N + 4.0 * _H) / _N
NO2_PER_N = (_N + 2.0 * _O) / _N
NO3_PER_N = (_N + 3.0 * _O) / _N
PO4_PER_P = (_P + 4.0 * _O) / _P
OXYGEN_PER_N = 4.0 * _O / _N
CACO3_PER_N = (_CA + _C + 3.0 * _O) / _N
MEQ_PER_DKH = 20.0 / (_CA + _O)
CACO3_MG_PER_DKH = MEQ_PER_DKH * (_CA + _C + 3.0 * _O) / 2.0


class Basis(StrEnum):
    """What a concentration of nitrogen or phosphorus is counted as."""

    N = "N"
    NH3 = "NH3"
    NH4 = "NH4"
    NO2 = "NO2"
    NO3 = "NO3"
    P = "P"
    PO4 = "PO4"

    @property
    def per_element(self) -> float:
        """Mass of it that holds one gram of its nitrogen or phosphorus. [g/g]"""
        return _PER_ELEMENT[self]

    @property
    def element(self) -> str:
        """The element that it holds: N or P."""
        return "P" if self in {Basis.P, Basis.PO4} else "N"


_PER_ELEMENT = {
    Basis.N: 1.0,
    Basis.NH3: NH3_PER_N,
    Basis.NH4: NH4_PER_N,
    Basis.NO2: NO2_PER_N,
    Basis.NO3: NO3_PER_N,
    Basis.P: 1.0,
    Basis.PO4: PO4_PER_P,
}


def converted(value: float, given: Basis, wanted: Basis) -> float:
    """Return a concentration counted on another basis.

    Parameters
    ----------
    value
        Concentration on the basis given. [mg/L]
    given
        What it is counted as.
    wanted
        What it should be counted as.

    Returns
    -------
    float
        Concentration on the basis wanted. [mg/L]

    Raises
    ------
    InputError
        If one holds nitrogen and the other phosphorus.

    Notes
    -----
    Ratios of atomic masses [wieser2006].

    Examples
    --------
    >>> round(converted(10.0, Basis.NO3, Basis.N), 2)
    2.26
    """
    if given.element != wanted.element:
        raise InputError(
            field="basis",
            given=f"{given} to {wanted}",
            limit="one holds nitrogen, the other phosphorus",
            remedy="Read on the test kit what it counts, for example NO3 or PO4.",
        )
    return value * wanted.per_element / given.per_element


def meq_l_of_dkh(dkh: float) -> float:
    """Return an alkalinity in milliequivalents; 1 dKH is 10 mg CaO in a litre [wieser2006]. [meq/L]

    Examples
    --------
    >>> round(meq_l_of_dkh(8.0), 2)
    2.85
    """
    return MEQ_PER_DKH * dkh


def caco3_mg_l_of_dkh(dkh: float) -> float:
    """Return an alkalinity as calcium carbonate [wieser2006]. [mg/L]

    Examples
    --------
    >>> round(caco3_mg_l_of_dkh(8.0))
    143
    """
    return CACO3_MG_PER_DKH * dkh


def mg_l_of_mg_kg(mg_kg: float, density_kg_m3: float) -> float:
    """Return a concentration by volume from one by mass of water; parts in a million mean either. [mg/L]

    Examples
    --------
    >>> round(mg_l_of_mg_kg(412.0, 1023.3))
    422
    """
    return mg_kg * density_kg_m3 / 1000.0
