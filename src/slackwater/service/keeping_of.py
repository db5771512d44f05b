"""How a tank is kept, out of its file: feeds and places for food, corals and invertebrates, the box."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from slackwater.plan.feeding import NEAR_SURFACE
from slackwater.plan.question import BoxPlace
from slackwater.plan.records import Assumption
from slackwater.rules import load_rules
from slackwater.service.tankfile import TankFile
from slackwater.service.tankfile_parts import GivenAt, Station
from slackwater.society.company import Keeping
from slackwater.society.stations import placed
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass

Spot = tuple[float, float, float]

UPPER, LOWEST = 0.5, 0.25
"""Shares of the height of the water: food at the top is given above one, at the floor below the other. [-]"""


def box_place(tank_file: TankFile, glass: Glass) -> BoxPlace | None:
    """Return the acclimation box that is in the tank, None where none is."""
    box = tank_file.box
    middle = box.middle_cm(glass.height_cm) if box else None
    return BoxPlace(middle, box.size_cm) if box and middle else None


def keeping_of(tank_file: TankFile, glass: Glass, rock: Rockwork, assumed: list[Assumption]) -> Keeping:
    """Return how a tank is kept; what was not told is assumed and named."""
    keeping = tank_file.keeping
    stations = keeping.stations
    places = places_of(stations.places if stations else (), glass)
    lid = tank_file.tank.lid
    if lid is None:
        assumed.append(Assumption("lid", "there is one", "without it jumpers are lost"))
    if keeping.feeds_per_day is None:
        assumed.append(Assumption("feeds", "2 a day", "hungry animals fight more"))
    told = Keeping(
        feeds_per_day=keeping.feeds_per_day or 2.0,
        stations=len(places) or (stations.count if stations else None) or 1,
        places_cm=places,
        lid=True if lid is None else lid,
        food_both_ends=len(set(keeping.food)) == len(get_args(GivenAt))
        or (not keeping.food and at_both_ends(places, glass)),
        strong_first=keeping.strong_first,
        corals=tuple(keeping.corals),
        inverts=_inverts(tank_file),
        temperature_c=tank_file.water.temperature_c,
        salinity=tank_file.water.practical_salinity,
    )
    divider_cm = tank_file.divider.at_cm if tank_file.divider else None
    return placed(told, rock, divider_cm, load_rules())


def places_of(stations: Sequence[Station], glass: Glass) -> tuple[Spot, ...]:
    """Return places for food as points; a height that was not told is near the surface. [cm]"""
    usual = NEAR_SURFACE * glass.height_cm
    return tuple((s.x_cm, s.y_cm, usual if s.base_cm is None else s.base_cm) for s in stations)


def at_both_ends(places: Sequence[Spot], glass: Glass) -> bool:
    """Say whether food is given in the upper half of the water and in its lowest quarter."""
    heights = [z / glass.height_cm for _, _, z in places]
    return bool(heights) and max(heights) >= UPPER and min(heights) <= LOWEST


def _inverts(tank_file: TankFile) -> tuple[str, ...]:
    """Return the invertebrates told, an anemone that stands among the rock included."""
    told = tuple(tank_file.keeping.inverts)
    stands = any(piece.kind == "anemone" for piece in tank_file.rock.pieces)
    return (*told, "anemone") if stands and "anemone" not in told else told
