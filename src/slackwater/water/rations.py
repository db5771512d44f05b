"""What a fish needs to eat in a day, from an energy budget, and what that is in food and portions."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.water.computed import DAYS, MASS_G, Bounds, Computed, Range
from slackwater.water.parameters import number

_LUPATSCH_G = Range(0.2, 1.3)
_ACTIVITY = Bounds(0.1, 10.0, "Enter a multiple of what a calm planktivore eats, for example 1.5.")
_HELD = Bounds(1e-6, 1.0, "Enter a share of the food as it is fed, above zero, for example 0.1.")
_FEEDS = Bounds(0.01, 48.0, "Enter the feeds of a day, for example 2.")
_PORTION_G = Bounds(1e-9, 1e6, "Enter what one portion weighs in grams, for example 3.5.")


@dataclass(frozen=True)
class Need:
    """What one anemonefish needs in a day, and whether the budget was measured for its size."""

    gain_mg_d: float
    energy_kj_d: float
    protein_g_d: float
    in_range: bool


def gain_mg_d_lupatsch2013(mass_g: float) -> Computed:
    """Return what an anemonefish gains in a day, 5.39 W^0.284, 27 C [lupatsch2013]. [mg/d]

    Range: 0.2 to 1.3 g. Read in: the summary.

    Examples
    --------
    >>> gain_mg_d_lupatsch2013(1.0).value
    5.39
    """
    MASS_G.check("mass_g", mass_g)
    return Computed(5.39 * mass_g**0.284, in_range=mass_g in _LUPATSCH_G)


def maintenance_kj_d_lupatsch2013(mass_g: float) -> Computed:
    """Return the food energy that holds an anemonefish's mass, 43.2 (W / 1000)^0.80 [lupatsch2013]. [kJ/d]

    Range: 0.2 to 1.3 g, 27 C. Read in: the summary.

    Examples
    --------
    >>> round(maintenance_kj_d_lupatsch2013(10.0).value, 3)
    1.085
    """
    MASS_G.check("mass_g", mass_g)
    return Computed(43.2 * (mass_g / 1000.0) ** 0.80, in_range=mass_g in _LUPATSCH_G)


def energy_kj_d_lupatsch2013(mass_g: float) -> Computed:
    """Return the food energy of a growing anemonefish, maintenance + 35.7 kJ/g of gain [lupatsch2013]. [kJ/d]

    Range: 0.2 to 1.3 g, 27 C. Read in: the summary.

    Examples
    --------
    >>> round(energy_kj_d_lupatsch2013(10.0).value, 3)
    1.455
    """
    gain_g_d = gain_mg_d_lupatsch2013(mass_g).value / 1000.0
    held = maintenance_kj_d_lupatsch2013(mass_g)
    return Computed(held.value + 35.7 * gain_g_d, held.in_range)


def protein_g_d_lupatsch2013(mass_g: float) -> Computed:
    """Return the protein of a growing anemonefish, 0.43 (W / 1000)^0.70 + 0.72 of gain [lupatsch2013]. [g/d]

    Range: 0.2 to 1.3 g, 27 C. Read in: the summary.

    Examples
    --------
    >>> round(protein_g_d_lupatsch2013(10.0).value, 4)
    0.0246
    """
    gain = gain_mg_d_lupatsch2013(mass_g)
    return Computed(0.43 * (mass_g / 1000.0) ** 0.70 + 0.72 * gain.value / 1000.0, gain.in_range)


def need_lupatsch2013(mass_g: float) -> Need:
    """Return all that one anemonefish needs in a day [lupatsch2013].

    Examples
    --------
    >>> round(need_lupatsch2013(1.0).energy_kj_d, 3)
    0.364
    """
    gain, energy = gain_mg_d_lupatsch2013(mass_g), energy_kj_d_lupatsch2013(mass_g)
    return Need(gain.value, energy.value, protein_g_d_lupatsch2013(mass_g).value, gain.in_range)


def dry_feed_g_d(mass_g: float) -> Computed:
    """Return the dry food that meets the energy of one fish.

    Parameters
    ----------
    mass_g
        Mass of the fish, W. [g]

    Returns
    -------
    Computed
        Dry food. [g/d]

    Raises
    ------
    InputError
        If no fish has the mass.

    Notes
    -----
    `energy_kj_d_lupatsch2013` over 20 kJ/g (assumed) [lupatsch2013]. Grazers and fish that swim all day
    take 1.5 to 3 times as much (common practice). Range: 0.2 to 1.3 g.
    Check value: 0.073 g/d at 10 g, own arithmetic.

    Examples
    --------
    >>> round(dry_feed_g_d(10.0).value, 3)
    0.073
    """
    energy = energy_kj_d_lupatsch2013(mass_g)
    return Computed(energy.value / number("feed_energy_kj_g"), energy.in_range)


def food_g_d(mass_g: float, dry_share: float, protein_share: float, activity: float = 1.0) -> Computed:
    """Return the food, as it is fed, that meets the energy and the protein that one fish needs.

    Parameters
    ----------
    mass_g
        Mass of the fish, W. [g]
    dry_share
        Dry matter in the food. [-]
    protein_share
        Protein in the food as it is fed. [-]
    activity
        What it eats over what a calm planktivore eats: 1.5 to 3 for grazers and fish that swim all
        day (common practice). [-]

    Returns
    -------
    Computed
        Food as fed. [g/d]

    Raises
    ------
    InputError
        If a value is none that a fish or a food can have.

    Notes
    -----
    The greater of `energy_kj_d_lupatsch2013` over 20 kJ in a gram of dry matter (assumed) and of
    `protein_g_d_lupatsch2013` over the protein [lupatsch2013]. Range: 0.2 to 1.3 g, 27 C.
    Check value: 1.455 kJ/d over 20 kJ/g and 0.16 is 0.455 g/d for 10 g, own arithmetic.

    Examples
    --------
    >>> round(food_g_d(10.0, 0.16, 0.105).value, 3)
    0.455
    """
    _ACTIVITY.check("activity", activity)
    _HELD.check("dry_share", dry_share)
    _HELD.check("protein_share", protein_share)
    need = need_lupatsch2013(mass_g)
    by_energy = need.energy_kj_d / (number("feed_energy_kj_g") * dry_share)
    by_protein = need.protein_g_d / protein_share
    return Computed(activity * max(by_energy, by_protein), need.in_range)


def portions(food_g: float, portion_g: float) -> float:
    """Return a mass of food in cubes, sheets, pinches or live animals. [-]

    Raises
    ------
    InputError
        If no portion has the mass.

    Examples
    --------
    >>> portions(10.5, 3.5)
    3.0
    """
    _PORTION_G.check("portion_g", portion_g)
    return food_g / portion_g


def packets(days: float, feeds_per_day: float) -> int:
    """Return how many packets a sitter needs, one for each feed. [-]

    Raises
    ------
    InputError
        If the days or feeds are none.

    Examples
    --------
    >>> packets(14, 2.0)
    28
    """
    DAYS.check("days", days)
    _FEEDS.check("feeds_per_day", feeds_per_day)
    return math.ceil(days * feeds_per_day - 1e-9)
