"""The filter of a tank: two groups of organisms, how fast they grow and how much they can oxidise."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from slackwater.errors import InputError
from slackwater.water.computed import CONCENTRATION_MG_L, TEMPERATURE_C, VOLUME_L, Bounds, Range
from slackwater.water.parameters import number
from slackwater.water.seawater import KELVIN

_GAS_KJ_MOL_K = 8.314462618e-3
_GROWTH_C, _AREA_C = 25.0, 24.0
_FILTER_C = Range(15.0, 35.0)
_OXYGEN = Bounds(0.0, 50.0, "Enter the oxygen in the water in milligrams a litre, for example 6.5.")
_AREA = Bounds(1e-3, 1e5, "Enter the area of film in square metres, for example 4.")


@dataclass(frozen=True)
class Group:
    """What one of the two groups of organisms does; growth and decay at 25 C, the film at 24 C.

    Parameters
    ----------
    growth_per_d
        mu. [1/d]
    decay_per_d
        b. [1/d]
    half_mg_l
        Ammonia or nitrite at half the full rate, K. [mg N/L]
    half_oxygen_mg_l
        Oxygen at half the full rate, K_O. [mg/L]
    activation_kj_mol
        How it quickens with warmth, E. [kJ/mol]
    areal_g_m2_d
        Most that a film oxidises. [g N/(m2 d)]
    """

    growth_per_d: float
    decay_per_d: float
    half_mg_l: float
    half_oxygen_mg_l: float
    activation_kj_mol: float
    areal_g_m2_d: float


def usual_group(food: str) -> Group:
    """Return the usual oxidisers of `ammonia` or `nitrite`, from the table of parameters."""
    return Group(
        growth_per_d=number(f"growth_{food}"),
        decay_per_d=number(f"decay_{food}"),
        half_mg_l=number(f"half_{food}"),
        half_oxygen_mg_l=number(f"half_oxygen_{food}"),
        activation_kj_mol=number(f"activation_{food}"),
        areal_g_m2_d=number("areal_sea"),
    )


@dataclass(frozen=True)
class Filter:
    """All that oxidises ammonia and nitrite in a tank, and the water in which it does.

    Parameters
    ----------
    volume_l
        Water, V. [L]
    temperature_c
        Its temperature, T. [C]
    oxygen_mg_l
        Its oxygen, O. [mg/L]
    area_m2
        Film on rock, sand and medium. [m2]
    ammonia, nitrite
        The two groups of organisms.

    Raises
    ------
    InputError
        If a value is beyond all sense.
    """

    volume_l: float
    temperature_c: float
    oxygen_mg_l: float = 6.5
    area_m2: float = field(default_factory=lambda: number("filter_area_m2"))
    ammonia: Group = field(default_factory=lambda: usual_group("ammonia"))
    nitrite: Group = field(default_factory=lambda: usual_group("nitrite"))

    def __post_init__(self) -> None:
        """Check every value."""
        VOLUME_L.check("volume_l", self.volume_l)
        TEMPERATURE_C.check("temperature_c", self.temperature_c)
        _OXYGEN.check("oxygen_mg_l", self.oxygen_mg_l)
        _AREA.check("area_m2", self.area_m2)

    @property
    def in_range(self) -> bool:
        """Whether it is as warm as the waters from which its rates were taken."""
        return self.temperature_c in _FILTER_C

    def rates(self, group: Group) -> Rates:
        """Return what a group does in this water."""
        warmed = _arrhenius(group.activation_kj_mol, _GROWTH_C, self.temperature_c)
        areal = group.areal_g_m2_d * _arrhenius(group.activation_kj_mol, _AREA_C, self.temperature_c)
        return Rates(
            growth_per_d=warmed * group.growth_per_d,
            decay_per_d=warmed * group.decay_per_d,
            half_mg_l=group.half_mg_l,
            oxygen_share=self.oxygen_mg_l / (group.half_oxygen_mg_l + self.oxygen_mg_l),
            largest_mg_l_d=1000.0 * areal * self.area_m2 / self.volume_l,
        )


@dataclass(frozen=True)
class Rates:
    """A group in the water of a tank.

    Parameters
    ----------
    growth_per_d, decay_per_d
        mu and b at its temperature. [1/d]
    half_mg_l
        K. [mg N/L]
    oxygen_share
        O / (K_O + O). [-]
    largest_mg_l_d
        Largest capacity, X. [mg N/(L d)]
    """

    growth_per_d: float
    decay_per_d: float
    half_mg_l: float
    oxygen_share: float
    largest_mg_l_d: float

    def settled_mg_l_d(self, load_mg_l_d: float) -> float:
        """Return the capacity at which growth on a steady load makes good decay. [mg N/(L d)]

        mu (load / C)(1 - C / X) = b, solved for C.
        """
        grown = self.growth_per_d * load_mg_l_d
        return grown * self.largest_mg_l_d / (self.decay_per_d * self.largest_mg_l_d + grown)

    def level_mg_l(self, load_mg_l_d: float, capacity_mg_l_d: float) -> float:
        """Return the level at which a capacity oxidises a load; infinite if it cannot. [mg N/L]"""
        full = capacity_mg_l_d * self.oxygen_share
        return self.half_mg_l * load_mg_l_d / (full - load_mg_l_d) if full > load_mg_l_d else math.inf


def capacity_from_dose(filter_: Filter, first_mg_l: float, later_mg_l: float, hours: float) -> float:
    """Return what the filter can oxidise, from a dose of ammonia tested twice.

    Parameters
    ----------
    filter_
        What oxidises, and in what water.
    first_mg_l
        Ammonia at the first test, A1. [mg N/L]
    later_mg_l
        Ammonia at the second, A2. [mg N/L]
    hours
        Time between. [h]

    Returns
    -------
    float
        C_A; nothing of it is assumed but K and the share left by oxygen. [mg N/(L d)]

    Raises
    ------
    InputError
        If the ammonia did not fall, or all of it was gone.

    Notes
    -----
    C_A = [A1 - A2 + K ln(A1 / A2)] / (t O / (K_O + O)): the equation of A, solved for a filter that does
    not grow meanwhile and animals that add nothing; test within a day. Check value: a run of the whole
    set of equations, in the tests.

    Examples
    --------
    >>> round(capacity_from_dose(Filter(300.0, 26.0), 1.0, 0.6, 12.0), 2)
    1.41
    """
    CONCENTRATION_MG_L.check("first_mg_l", first_mg_l)
    if not 0.0 < later_mg_l < first_mg_l or not hours > 0.0:
        raise InputError(
            field="later_mg_l",
            given=f"{later_mg_l:g} after {hours:g} h",
            limit=f"it must lie between 0 and the {first_mg_l:g} of the first test, and be later",
            remedy="Add ammonia to 1 mg N/L, without animals, and test twice before it is gone.",
        )
    rates = filter_.rates(filter_.ammonia)
    used = first_mg_l - later_mg_l + rates.half_mg_l * math.log(first_mg_l / later_mg_l)
    return used / (hours / 24.0 * rates.oxygen_share)


def _arrhenius(activation_kj_mol: float, reference_c: float, temperature_c: float) -> float:
    """Return exp[E / R (1 / Tref - 1 / T)]."""
    apart = 1.0 / (reference_c + KELVIN) - 1.0 / (temperature_c + KELVIN)
    return math.exp(activation_kj_mol / _GAS_KJ_MOL_K * apart)
