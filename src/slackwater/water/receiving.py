"""From the bag into the tank: floating, matching the salt, and the ammonia that opening sets free."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slackwater.water.ammonia import WaterSample, unionised_fraction
from slackwater.water.computed import PH, SALINITY, TEMPERATURE_C, VOLUME_L, Bounds
from slackwater.water.cooling import cooling_e_fold_h, hours_to_temperature
from slackwater.water.parameters import low, number

_WITHIN = Bounds(1e-3, 40.0, "Enter how near the salinity must come, for example 0.5.")
_LITRES = Bounds(0.0, 1e6, "Enter litres of water, for example 2.")
_HOURS = Bounds(0.0, 240.0, "Enter the hours since the bag was closed, for example 2.")


@dataclass(frozen=True)
class Bag:
    """A closed bag with an animal in it.

    Parameters
    ----------
    volume_l
        Water in it. [L]
    temperature_c
        Its temperature. [C]
    salinity
        Practical salinity of its water. [-]
    closed_h
        Time since it was closed. [h]
    ph
        Its pH while closed; None for the usual one after so long. [-]

    Raises
    ------
    InputError
        If a value is beyond all sense, or the salinity reads like a gravity.
    """

    volume_l: float
    temperature_c: float
    salinity: float
    closed_h: float
    ph: float | None = None

    def __post_init__(self) -> None:
        """Check every value."""
        VOLUME_L.check("volume_l", self.volume_l)
        TEMPERATURE_C.check("temperature_c", self.temperature_c)
        SALINITY.check("salinity", self.salinity)
        _HOURS.check("closed_h", self.closed_h)
        if self.ph is not None:
            PH.check("ph", self.ph)

    @property
    def is_long(self) -> bool:
        """Whether it was closed so long that its water must not be breathed after it is opened."""
        return self.closed_h >= number("long_journey_h")

    @property
    def closed_ph(self) -> float:
        """Its pH as told, or the usual one after so long. [-]"""
        return number("bag_ph_long" if self.is_long else "bag_ph_short") if self.ph is None else self.ph


@dataclass(frozen=True)
class Receiving:
    """The figures of one bag.

    Parameters
    ----------
    is_long
        Whether the long-journey way is the safe one.
    float_min
        Time to float it closed, to within a degree. [min]
    salinity_step
        Salinity of the tank less that of the bag: above zero is a step up. [-]
    drip_l, overflow_l
        Tank water to drip in until the salinity is near enough, in a bag that grows, and in one that
        overflows. [L]
    free_before, free_after
        Share of its ammonia that is un-ionised while closed, and once its pH has come up to the tank's. [-]
    free_times
        The latter over the former. [-]
    """

    is_long: bool
    float_min: float
    salinity_step: float
    drip_l: float
    overflow_l: float
    free_before: float
    free_after: float
    free_times: float


def receiving(bag: Bag, tank: WaterSample, within: float = 0.5) -> Receiving:
    """Return the figures of a bag before it is opened.

    Parameters
    ----------
    bag
        The bag.
    tank
        The water that the animal goes into.
    within
        How near the salinity must come. [-]

    Returns
    -------
    Receiving
        Times, litres, and the jump of un-ionised ammonia if the animal stayed in the bag's water.

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    Opening lets carbon dioxide out and the pH rises to about that of the tank (assumed as a whole);
    the un-ionised share by [clegg1995]. Check value: 18.7 times from pH 6.8 to 8.1 at 25 C, S 35.

    Examples
    --------
    >>> found = receiving(Bag(2.0, 22.0, 30.0, 30.0), WaterSample(8.1, 26.0, 35.0))
    >>> found.is_long, round(found.drip_l, 1), round(found.overflow_l, 2)
    (True, 18.0, 4.61)
    """
    before = unionised_fraction(_sample(bag, bag.closed_ph, tank)).value
    after = unionised_fraction(_sample(bag, max(tank.ph, bag.closed_ph), tank)).value
    return Receiving(
        is_long=bag.is_long,
        float_min=float_min(bag.volume_l, bag.temperature_c, tank.temperature_c),
        salinity_step=tank.salinity - bag.salinity,
        drip_l=drip_l(bag.volume_l, bag.salinity, tank.salinity, within),
        overflow_l=overflow_l(bag.volume_l, bag.salinity, tank.salinity, within),
        free_before=before,
        free_after=after,
        free_times=after / before,
    )


def salinity_in_bag(bag_l: float, bag_salinity: float, tank_salinity: float, dripped_l: float) -> float:
    """Return the salinity of a bag into which tank water has dripped and from which none was taken. [-]

    (Sb Vb + St v) / (Vb + v).

    Examples
    --------
    >>> round(salinity_in_bag(2.0, 30.0, 35.0, 18.0), 2)
    34.5
    """
    VOLUME_L.check("bag_l", bag_l)
    _LITRES.check("dripped_l", dripped_l)
    return (bag_salinity * bag_l + tank_salinity * dripped_l) / (bag_l + dripped_l)


def drip_l(bag_l: float, bag_salinity: float, tank_salinity: float, within: float = 0.5) -> float:
    """Return the tank water to drip into a bag that grows, until its salinity is near enough.

    Parameters
    ----------
    bag_l
        Water in the bag, Vb. [L]
    bag_salinity
        Its salinity, Sb. [-]
    tank_salinity
        Salinity of the tank, St. [-]
    within
        How near it must come, d. [-]

    Returns
    -------
    float
        Vb (|St - Sb| / d - 1); 0 if it is near enough. [L]

    Raises
    ------
    InputError
        If a value is beyond all sense, or a salinity reads like a gravity.

    Notes
    -----
    Conservation of salt. Check value: 18 L for 2 L of 30 into 35 within 0.5, own arithmetic.

    Examples
    --------
    >>> drip_l(2.0, 30.0, 35.0, 0.5)
    18.0
    """
    return bag_l * max(_apart(bag_l, bag_salinity, tank_salinity, within) - 1.0, 0.0)


def overflow_l(bag_l: float, bag_salinity: float, tank_salinity: float, within: float = 0.5) -> float:
    """Return the same for a bag that overflows, or of which as much is poured off, Vb ln(|St - Sb| / d). [L]

    Examples
    --------
    >>> round(overflow_l(2.0, 30.0, 35.0, 0.5), 2)
    4.61
    """
    return bag_l * math.log(max(_apart(bag_l, bag_salinity, tank_salinity, within), 1.0))


def float_min(bag_l: float, bag_c: float, tank_c: float, within_c: float = 1.0) -> float:
    """Return how long a closed bag must float until it is nearly as warm as the tank.

    Parameters
    ----------
    bag_l
        Water in the bag. [L]
    bag_c
        Its temperature. [C]
    tank_c
        Temperature of the tank. [C]
    within_c
        How near it must come. [C]

    Returns
    -------
    float
        Time, never under the quarter of an hour that is common practice. [min]

    Raises
    ------
    InputError
        If a value is beyond all sense.

    Notes
    -----
    `cooling_e_fold_h` with the least heat through a thin film and a wetted area of 0.06 V^(2/3) m2, V in
    litres, which is that of 1 L and 0.15 m2 of 4 L (assumed). Check value: tau 22.7 min at 4 L and
    0.15 m2, own arithmetic.

    Examples
    --------
    >>> round(float_min(4.0, 22.0, 26.0))
    31
    """
    VOLUME_L.check("bag_l", bag_l)
    TEMPERATURE_C.check("bag_c", bag_c)
    TEMPERATURE_C.check("tank_c", tank_c)
    apart_c = bag_c - tank_c
    least = number("float_min")
    if abs(apart_c) <= within_c:
        return least
    area_m2 = number("bag_area_m2") * bag_l ** (2.0 / 3.0)
    e_fold_h = cooling_e_fold_h(bag_l, area_m2, low("film_w_m2_k"), tank_c, 35.0).value
    level_c = tank_c + math.copysign(within_c, apart_c)
    return max(60.0 * hours_to_temperature(bag_c, tank_c, level_c, e_fold_h), least)


def _apart(bag_l: float, bag_salinity: float, tank_salinity: float, within: float) -> float:
    """Return how many times too far apart two salinities are. [-]"""
    VOLUME_L.check("bag_l", bag_l)
    SALINITY.check("bag_salinity", bag_salinity)
    SALINITY.check("tank_salinity", tank_salinity)
    _WITHIN.check("within", within)
    return abs(tank_salinity - bag_salinity) / within


def _sample(bag: Bag, ph: float, tank: WaterSample) -> WaterSample:
    """Return the bag's water at a pH, as warm as the tank by then."""
    return WaterSample(ph, tank.temperature_c, bag.salinity, tank.scale)
