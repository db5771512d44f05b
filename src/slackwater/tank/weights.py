"""What a tank weighs, what its stones displace, and who can lift them over the rim."""

import math
from dataclasses import dataclass

from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.tank.stone import Stone

SOLID_L_PER_KG = 0.45
"""Water displaced by a kilogram of dry rock, between flooded and closed pores; assumed. [L/kg]"""

CORAL_GRAIN_KG_PER_L = (2.781, 2.873)
"""Least and greatest density of the skeleton itself, measured on Acropora [bucher1998]. [kg/L]"""

CORAL_PORES = (0.33, 0.70)
"""Least and greatest share of pores in branch tips of Acropora, measured [bucher1998]. [-]"""

SOLID_LOW_L_PER_KG = 2.0 / sum(CORAL_GRAIN_KG_PER_L)
"""The least, with all pores flooded: the skeleton alone. [L/kg]"""

SOLID_HIGH_L_PER_KG = 1.0 / 1.5
"""The most, with closed pores and 1.5 kg to the litre of outer form; assumed. [L/kg]"""

SEAWATER_KG_PER_L = 1.025
SAND_GRAIN_KG_PER_L = 2.7
SAND_PORES = 0.45
"""Share of pores in a bed of sand, 0.40 to 0.50. [-]"""

GLASS_KG_PER_L = 2.5
STAND_CM = 75.0
"""Height of the floor of a tank above the ground where nothing else is told; common practice. [cm]"""

FREEBOARD_CM = 4.0
"""Glass above the water line; common practice, 3 to 5. [cm]"""

_LIFT_KG, _BODY_CM, _NEAREST_CM, _FARTHEST_CM = 23.0, 20.0, 25.0, 63.0
_KNUCKLE_CM, _FALL_PER_CM = 75.0, 0.003
_GLASS_MM = ((100.0, 6.0), (200.0, 8.0), (350.0, 10.0), (600.0, 12.0), (1000.0, 15.0), (math.inf, 19.0))


@dataclass(frozen=True)
class StoneWeight:
    """One stone on the scales.

    Parameters
    ----------
    mass_kg
        Out of the water, dry of drips. [kg]
    displaced_l
        Water that its solid part displaces, and the least and most it may. [L]
    submerged_kg
        What is left to carry under water. [kg]
    one_lifts_kg
        What one person should lift over the rim to its place. [kg]
    people
        How many should lift it together.
    """

    mass_kg: float
    displaced_l: float
    displaced_low_l: float
    displaced_high_l: float
    submerged_kg: float
    one_lifts_kg: float
    people: int


@dataclass(frozen=True)
class TankWeight:
    """What stands on the floor of the room. [kg]"""

    water_kg: float
    rock_kg: float
    sand_kg: float
    glass_kg: float
    per_m2_kg: float

    @property
    def total_kg(self) -> float:
        """All of it. [kg]"""
        return self.water_kg + self.rock_kg + self.sand_kg + self.glass_kg


def usual_glass_mm(volume_l: float) -> float:
    """Return the usual thickness of panes. [mm]

    Notes
    -----
    6 below 100 L, 8 to 200, 10 to 350, 12 to 600: common practice; 15 to 1000 and 19 beyond are
    from memory. A builder works it out from height and length; this is for guessing inner sizes.
    """
    return next(glass_mm for most_l, glass_mm in _GLASS_MM if volume_l <= most_l)


def one_lifts_kg(reach_cm: float, rim_cm: float) -> float:
    """Return what one person should lift over a rim, by the revised NIOSH equation. [kg]

    Parameters
    ----------
    reach_cm
        From the front pane to the place of the stone. [cm]
    rim_cm
        Height of the rim above the ground. [cm]

    Notes
    -----
    23 kg (25 / H) (1 - 0.003 |V - 75|), the other factors taken as 1 [waters1993]; H is the reach
    and 20 cm from the ankles to the pane (assumed), between 25 and 63 cm where the equation holds.
    From memory; no check value was read.

    Examples
    --------
    >>> round(one_lifts_kg(30.0, 135.0), 1)
    9.4
    """
    away = min(max(reach_cm + _BODY_CM, _NEAREST_CM), _FARTHEST_CM)
    high = max(1.0 - _FALL_PER_CM * abs(rim_cm - _KNUCKLE_CM), 0.0)
    return _LIFT_KG * _NEAREST_CM / away * high


def stone_weight(stone: Stone, glass: Glass) -> StoneWeight:
    """Return what a stone weighs and how many should lift it.

    Parameters
    ----------
    stone
        The stone in its place.
    glass
        The tank it is lifted into.

    Notes
    -----
    Displacement by solid rock, its pores flooded in part: 0.45 L/kg, between 0.35 and 0.67.
    """
    mass = stone.weight_kg
    alone = one_lifts_kg(stone.y_cm, STAND_CM + glass.height_cm + FREEBOARD_CM)
    solid = SOLID_L_PER_KG * mass
    return StoneWeight(
        mass_kg=mass,
        displaced_l=solid,
        displaced_low_l=SOLID_LOW_L_PER_KG * mass,
        displaced_high_l=SOLID_HIGH_L_PER_KG * mass,
        submerged_kg=max(mass - SEAWATER_KG_PER_L * solid, 0.0),
        one_lifts_kg=alone,
        people=max(1, math.ceil(mass / alone - 1e-9)),
    )


def sand_l(glass: Glass, rockwork: Rockwork) -> float:
    """Return the room that sand takes, water between the grains included. [L]"""
    return glass.footprint_m2 * 10.0 * rockwork.sand_cm + rockwork.bed_l()


def tank_weight(glass: Glass, rockwork: Rockwork, glass_mm: float | None = None) -> TankWeight:
    """Return what the filled tank weighs.

    Parameters
    ----------
    glass
        The tank.
    rockwork
        Its rock and sand.
    glass_mm
        Thickness of the panes, if known. [mm]
    """
    thick_m = (glass_mm or usual_glass_mm(glass.volume_l)) / 1000.0
    sand = sand_l(glass, rockwork)
    rock_l = SOLID_L_PER_KG * rockwork.mass_kg
    water = SEAWATER_KG_PER_L * max(glass.volume_l - rock_l - sand * (1.0 - SAND_PORES), 0.0)
    grains = sand * (1.0 - SAND_PORES) * SAND_GRAIN_KG_PER_L
    rim = 1.0 + FREEBOARD_CM / glass.height_cm
    panes = (glass.panes_m2 * rim + glass.footprint_m2) * thick_m * 1000.0 * GLASS_KG_PER_L
    parts = (water, rockwork.mass_kg, grains, panes)
    return TankWeight(*parts, per_m2_kg=sum(parts) / glass.footprint_m2)
