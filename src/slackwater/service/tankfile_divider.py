"""A divider and an acclimation box in a tank file, and what they ask of the rest of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Literal, Self, get_args

from pydantic import Field, model_validator

from slackwater.errors import InputError
from slackwater.service.tankfile_base import Part
from slackwater.service.tankfile_values import PlaceCm, RockCm, fault, one_of

if TYPE_CHECKING:
    from slackwater.service.tankfile import TankFile

SHORTEST_SIDE_CM = 15.0
BOX_LENGTHS = 2.0
BOX_SIDE = 0.6
_SLACK_CM = 0.05

Sheet = Literal["opaque", "clear"]


class Divider(Part):
    """A sheet with holes across the tank."""

    at_cm: PlaceCm = Field(description="How far it stands from the left pane.")
    sheet: Annotated[Sheet, one_of(get_args(Sheet))] = Field(
        "opaque", description="Whether the two sides see each other."
    )

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read a bare place: `divider: 80 cm`."""
        if isinstance(given, str | int | float) and not isinstance(given, bool):
            return {"at": given}
        return given


class Box(Part):
    """The keeper's acclimation box, in inner sizes, and where it hangs or stands if it is in the tank."""

    length_cm: RockCm = Field(description="Inner length.")
    width_cm: RockCm | None = Field(None, description="Inner width.")
    height_cm: RockCm | None = Field(None, description="Inner height.")
    x_cm: PlaceCm | None = Field(None, description="Its middle from the left pane, if it is in the tank.")
    y_cm: PlaceCm | None = Field(None, description="Its middle from the front pane.")
    base_cm: PlaceCm | None = Field(
        None, description="Its foot above the floor; just under the surface if left out."
    )

    @model_validator(mode="after")
    def _place_is_whole(self) -> Self:
        if (self.x_cm is None) is not (self.y_cm is None) or (self.x_cm is None and self.base_cm is not None):
            remedy = "Write x and y, or leave the place out for a box that is not in the tank."
            raise fault("half a place", "a place has x and y", remedy, "x" if self.x_cm is None else "y")
        return self

    @property
    def size_cm(self) -> tuple[float, float, float]:
        """Length, width and height; a side that was not told is three fifths of the length. [cm]"""
        side = BOX_SIDE * self.length_cm
        return self.length_cm, self.width_cm or side, self.height_cm or side

    def middle_cm(self, height_cm: float) -> tuple[float, float, float] | None:
        """Return its middle in a tank with water of some height, None where it is not in the tank. [cm]"""
        if self.x_cm is None or self.y_cm is None:
            return None
        high = self.size_cm[2]
        base = height_cm - high if self.base_cm is None else self.base_cm
        return self.x_cm, self.y_cm, base + high / 2.0


SHORT_FORMS = {"Divider": ({"type": ["string", "number"], "examples": ["80 cm"]},)}
"""What may stand in place of a whole block, as JSON Schemas."""


def divider_faults(tank_file: TankFile) -> Iterator[InputError]:
    """Yield what does not fit between a divider, the tank, the rock and the animals."""
    yield from _stands_in_the_tank(tank_file)
    yield from _cuts_no_rock(tank_file)
    yield from _sides_are_told(tank_file)


def box_faults(tank_file: TankFile) -> Iterator[InputError]:
    """Yield animals that are too long for the box they are to wait in, and where it cannot stand."""
    if tank_file.box is None:
        return
    yield from _box_is_inside(tank_file, tank_file.box)
    yield from _box_is_on_a_side(tank_file, tank_file.box)
    for number, wish in enumerate(tank_file.wishes, start=1):
        needed_cm = BOX_LENGTHS * (wish.length_cm or 0.0)
        if wish.box_days and needed_cm > tank_file.box.length_cm:
            limit = f"an animal of {wish.length_cm:g} cm needs {needed_cm:g} cm to turn and rest"
            remedy = "Take a longer box, or part the tank with a divider."
            yield fault(
                f"for a box of {tank_file.box.length_cm:g} cm", limit, remedy, f"wishes[{number}].box_days"
            )


def station_faults(tank_file: TankFile) -> Iterator[InputError]:
    """Yield places for food outside the tank, and a side of a divider where somebody lives and none is."""
    places = tank_file.keeping.stations.places if tank_file.keeping.stations else ()
    tank, divider = tank_file.tank, tank_file.divider
    for number, place in enumerate(places, start=1):
        where = f"keeping.stations.places[{number}]"
        rooms = (tank.inner_length_cm, tank.inner_width_cm, tank.water_cm)
        for key, at_cm, room_cm in zip("xyb", (place.x_cm, place.y_cm, place.base_cm), rooms, strict=True):
            if at_cm is not None and room_cm is not None and at_cm > room_cm:
                name = {"b": "base"}.get(key, key)
                limit = f"the tank ends at {room_cm:g} cm"
                yield fault(f"{at_cm:g} cm", limit, "Move the place inside the tank.", f"{where}.{name}")
    if divider is None or not places:
        return
    fed = {"left" if place.x_cm < divider.at_cm else "right" for place in places}
    lived = {row.side for row in (*tank_file.company, *tank_file.wishes) if row.side is not None}
    for side in sorted(lived - fed):
        remedy = f"Put a place {side} of {divider.at_cm:g} cm."
        yield fault(f"none on the {side}", "somebody lives there", remedy, "keeping.stations")


def _box_is_inside(tank_file: TankFile, box: Box) -> Iterator[InputError]:
    if box.x_cm is None or box.y_cm is None:
        return
    tank, size = tank_file.tank, box.size_cm
    base = box.base_cm or 0.0
    sides = (
        ("x", box.x_cm - size[0] / 2.0, box.x_cm + size[0] / 2.0, tank.inner_length_cm),
        ("y", box.y_cm - size[1] / 2.0, box.y_cm + size[1] / 2.0, tank.inner_width_cm),
        ("base", base, base + size[2], tank.water_cm),
    )
    for key, low, high, room in sides:
        if low < -_SLACK_CM or (room is not None and high > room + _SLACK_CM):
            limit = f"the box reaches from {low:.0f} to {high:.0f} cm" + (
                f" and the tank ends at {room:g} cm" if room is not None else ""
            )
            yield fault("outside", limit, "Move the box inside the tank.", f"box.{key}")


def _box_is_on_a_side(tank_file: TankFile, box: Box) -> Iterator[InputError]:
    divider = tank_file.divider
    if divider is None or box.x_cm is None:
        return
    if abs(box.x_cm - divider.at_cm) < box.length_cm / 2.0:
        limit = f"the divider stands there, at {divider.at_cm:g} cm"
        yield fault(f"{box.x_cm:g} cm", limit, "Move the box or the divider.", "box.x")


def _stands_in_the_tank(tank_file: TankFile) -> Iterator[InputError]:
    divider, length_cm = tank_file.divider, tank_file.tank.inner_length_cm
    if divider is None or length_cm is None:
        return
    if not SHORTEST_SIDE_CM <= divider.at_cm <= length_cm - SHORTEST_SIDE_CM:
        limit = f"the tank is {length_cm:g} cm long and each side needs {SHORTEST_SIDE_CM:g} cm"
        remedy = f"Set it between {SHORTEST_SIDE_CM:g} and {length_cm - SHORTEST_SIDE_CM:g} cm."
        yield fault(f"{divider.at_cm:g} cm", limit, remedy, "divider.at")


def _cuts_no_rock(tank_file: TankFile) -> Iterator[InputError]:
    divider = tank_file.divider
    if divider is None:
        return
    for number, piece in enumerate(tank_file.rock.pieces, start=1):
        turn = math.radians(piece.turn_deg)
        reach = 0.5 * math.hypot(piece.length_cm * math.cos(turn), piece.width_cm * math.sin(turn))
        if abs(piece.x_cm - divider.at_cm) < reach:
            low, high = piece.x_cm - reach, piece.x_cm + reach
            limit = f"rock.pieces[{number}], the {piece.kind}, stands there from {low:.0f} to {high:.0f} cm"
            yield fault(f"{divider.at_cm:g} cm", limit, "Move the piece or the divider.", "divider.at")


def _sides_are_told(tank_file: TankFile) -> Iterator[InputError]:
    """With a divider everyone in the tank lives on a side; without one nobody does."""
    for name, rows in (("company", tank_file.company), ("wishes", tank_file.wishes)):
        for number, row in enumerate(rows, start=1):
            where = f"{name}[{number}].side"
            if tank_file.divider is None and row.side is not None:
                remedy = "Write divider: {at: 80 cm}, or leave the side out."
                yield fault(row.side, "there is no divider", remedy, where)
            if tank_file.divider is not None and row.side is None and row.place == "tank":
                limit = "a divider stands in the tank"
                yield fault("missing", limit, f"Write side: left or side: right for {row.animal}.", where)
