"""Oxygen across a surface and through pumps: where it settles, how fast, and how to measure it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from slackwater.errors import InputError
from slackwater.water.computed import VOLUME_L, Bounds, Computed
from slackwater.water.oxygen import schmidt_oxygen_wanninkhof2014

_K600 = Bounds(0.01, 1000.0, "Enter centimetres an hour, for example 2 for still water.")
_AREA_M2 = Bounds(1e-6, 1e4, "Enter the open surface in square metres, for example 0.6.")
_FLOW_L_H = Bounds(0.0, 1e7, "Enter litres an hour, for example 1500, or 0.")
_YIELD = Bounds(0.0, 1.0, "Enter the share of the deficit made good in one pass, for example 0.5.")
_UPTAKE_L_H = Bounds(1e-6, 1e8, "Enter litres an hour, for example 14.")
_LEVEL_MG_L = Bounds(0.0, 50.0, "Enter milligrams a litre, for example 6.66.")
_DEMAND_MG_H = Bounds(0.0, 1e9, "Enter milligrams an hour, for example 160.")
_FEWEST_READINGS = 3


class Surface(StrEnum):
    """How the surface moves, which decides how gas crosses it."""

    GLASSY = "glassy"
    AGITATED = "agitated"

    @property
    def power(self) -> float:
        """Power of the Schmidt number. [-]"""
        return {"glassy": 2.0 / 3.0, "agitated": 0.5}[self]


@dataclass(frozen=True)
class Aeration:
    """Ways in which a tank takes up oxygen.

    Parameters
    ----------
    surface_m2
        Open surface, A. [m2]
    k600_cm_h
        Velocity at which gas crosses it at a Schmidt number of 600. [cm/h]
    surface
        How it moves.
    flow_l_h
        Water over a weir or through a skimmer, Q. [L/h]
    yield_share
        Share of the deficit made good in one pass there, eta. [-]

    Raises
    ------
    InputError
        If a value is beyond all sense.
    """

    surface_m2: float
    k600_cm_h: float
    surface: Surface = Surface.AGITATED
    flow_l_h: float = 0.0
    yield_share: float = 0.0

    def __post_init__(self) -> None:
        """Check every value."""
        _AREA_M2.check("surface_m2", self.surface_m2)
        _K600.check("k600_cm_h", self.k600_cm_h)
        _FLOW_L_H.check("flow_l_h", self.flow_l_h)
        _YIELD.check("yield_share", self.yield_share)


@dataclass(frozen=True)
class OxygenBalance:
    """Where oxygen settles and how fast: C(t) = settles + (C0 - settles) exp(-t / e_fold).

    Parameters
    ----------
    settles_mg_l
        Oxygen in the end, Ceq; below zero where the demand cannot be met. [mg/L]
    e_fold_h
        Time in which the distance to it falls to 37 %, tau. [h]
    """

    settles_mg_l: float
    e_fold_h: float

    def after_h(self, start_mg_l: float, hours: float) -> float:
        """Return the oxygen after some hours, never below nothing. [mg/L]"""
        away = (start_mg_l - self.settles_mg_l) * math.exp(-hours / self.e_fold_h)
        return max(self.settles_mg_l + away, 0.0)


def transfer_velocity_cm_h_jaehne1987(k600_cm_h: float, schmidt: float, surface: Surface) -> float:
    """Return the velocity at which a gas crosses a water surface.

    Parameters
    ----------
    k600_cm_h
        The same at a Schmidt number of 600. [cm/h]
    schmidt
        Schmidt number of the gas in the water, Sc. [-]
    surface
        How the surface moves: n is 2/3 glassy, 1/2 agitated.

    Returns
    -------
    float
        k. [cm/h]

    Raises
    ------
    InputError
        If the velocity is beyond all sense.

    Notes
    -----
    k = k600 (Sc / 600)^-n; [jaehne1987], from memory. k600 of a tank is not published: 1 to 4 cm/h
    still and 10 to 30 pumped are assumed. Range: any. Check value: own arithmetic, 2.379.

    Examples
    --------
    >>> round(transfer_velocity_cm_h_jaehne1987(2.0, 424.15, Surface.AGITATED), 3)
    2.379
    """
    _K600.check("k600_cm_h", k600_cm_h)
    return float(k600_cm_h * (schmidt / 600.0) ** -surface.power)


def oxygen_uptake_l_h(aeration: Aeration, temperature_c: float) -> Computed:
    """Return the water that surface and pumps renew with oxygen in an hour.

    Parameters
    ----------
    aeration
        Ways in which the tank takes up oxygen.
    temperature_c
        Temperature of the water. [C]

    Returns
    -------
    Computed
        k A + eta Q. [L/h]

    Raises
    ------
    InputError
        If no tank can be so warm or cold.

    Notes
    -----
    k by `transfer_velocity_cm_h_jaehne1987` with Sc by [wanninkhof2014]. 1 cm/h over 1 m2 is 10 L/h.
    Range: that of Sc. Check value: own arithmetic.

    Examples
    --------
    >>> round(oxygen_uptake_l_h(Aeration(0.6, 2.0), 26.0).value, 2)
    14.27
    """
    schmidt = schmidt_oxygen_wanninkhof2014(temperature_c)
    k_cm_h = transfer_velocity_cm_h_jaehne1987(aeration.k600_cm_h, schmidt.value, aeration.surface)
    uptake = 10.0 * k_cm_h * aeration.surface_m2 + aeration.yield_share * aeration.flow_l_h
    return Computed(uptake, schmidt.in_range)


def oxygen_balance(volume_l: float, full_mg_l: float, demand_mg_h: float, uptake_l_h: float) -> OxygenBalance:
    """Return where the oxygen of a tank settles, and how fast.

    Parameters
    ----------
    volume_l
        Water, V. [L]
    full_mg_l
        Oxygen at saturation, Csat. [mg/L]
    demand_mg_h
        Oxygen used by all that lives there, D. [mg/h]
    uptake_l_h
        Water renewed with oxygen, from `oxygen_uptake_l_h`. [L/h]

    Returns
    -------
    OxygenBalance
        Ceq = Csat - D / uptake and tau = V / uptake.

    Raises
    ------
    InputError
        If a value is beyond all sense, or nothing is taken up.

    Notes
    -----
    V dC/dt = uptake (Csat - C) - D, solved; mixed water. Range: any. Check value: own arithmetic.

    Examples
    --------
    >>> round(oxygen_balance(300.0, 6.659, 157.7, 14.27).settles_mg_l, 2)
    -4.39
    """
    VOLUME_L.check("volume_l", volume_l)
    _LEVEL_MG_L.check("full_mg_l", full_mg_l)
    _DEMAND_MG_H.check("demand_mg_h", demand_mg_h)
    _UPTAKE_L_H.check("uptake_l_h", uptake_l_h)
    return OxygenBalance(full_mg_l - demand_mg_h / uptake_l_h, volume_l / uptake_l_h)


def uptake_l_h_from_log(log: Sequence[tuple[float, float]], full_mg_l: float, volume_l: float) -> float:
    """Return the uptake of a tank from the readings of a probe while its oxygen rises, without animals.

    Parameters
    ----------
    log
        Hours and oxygen [h, mg/L], at least three, all below saturation.
    full_mg_l
        Oxygen at saturation, Csat. [mg/L]
    volume_l
        Water, V. [L]

    Returns
    -------
    float
        Water renewed with oxygen in an hour. [L/h]

    Raises
    ------
    InputError
        If there are too few readings, some at saturation, or none that rise.

    Notes
    -----
    ln(Csat - C) falls by uptake / V an hour: the slope of a straight line through it.
    Check value: readings made from a known uptake, in the tests.

    Examples
    --------
    >>> round(uptake_l_h_from_log([(0.0, 3.0), (1.0, 3.36), (2.0, 3.685)], 6.66, 300.0), 1)
    31.1
    """
    VOLUME_L.check("volume_l", volume_l)
    usable = [(hour, math.log(full_mg_l - mg_l)) for hour, mg_l in log if mg_l < full_mg_l]
    if len(usable) < max(len(log), _FEWEST_READINGS) or len({hour for hour, _ in usable}) < len(usable):
        raise _bad_log(f"{len(log)} readings")
    mean_h = math.fsum(hour for hour, _ in usable) / len(usable)
    spread = math.fsum((hour - mean_h) ** 2 for hour, _ in usable)
    fall = -math.fsum((hour - mean_h) * gap for hour, gap in usable) / spread
    if fall <= 0.0:
        raise _bad_log("falling")
    return fall * volume_l


def _bad_log(given: str) -> InputError:
    return InputError(
        field="log",
        given=given,
        limit="three or more readings are needed, at different hours, below saturation and rising",
        remedy="Log the oxygen for some hours after it was low, without animals in the water.",
    )
