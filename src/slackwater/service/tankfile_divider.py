"""A divider and an acclimation box in a tank file, and what they ask of the rest of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Literal, get_args

from pydantic import Field, model_validator

from slackwater.errors import InputError
from slackwater.service.tankfile_base import Part
from slackwater.service.tankfile_values import PlaceCm, RockCm, fault, one_of

if TYPE_CHECKING:
    from slackwater.service.tankfile import TankFile

SHORTEST_SIDE_CM = 15.0
BOX_LENGTHS = 2.0

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
    """The keeper's acclimation box, in inner sizes."""

    length_cm: RockCm = Field(description="Inner length.")
    width_cm: RockCm | None = Field(None, description="Inner width.")
    height_cm: RockCm | None = Field(None, description="Inner height.")


SHORT_FORMS = {"Divider": ({"type": ["string", "number"], "examples": ["80 cm"]},)}
"""What may stand in place of a whole block, as JSON Schemas."""


def divider_faults(tank_file: TankFile) -> Iterator[InputError]:
    """Yield what does not fit between a divider, the tank, the rock and the animals."""
    yield from _stands_in_the_tank(tank_file)
    yield from _cuts_no_rock(tank_file)
    yield from _sides_are_told(tank_file)


def box_faults(tank_file: TankFile) -> Iterator[InputError]:
    """Yield animals that are too long for the box they are to wait in."""
    if tank_file.box is None:
        return
    for number, wish in enumerate(tank_file.wishes, start=1):
        needed_cm = BOX_LENGTHS * (wish.length_cm or 0.0)
        if wish.box_days and needed_cm > tank_file.box.length_cm:
            limit = f"an animal of {wish.length_cm:g} cm needs {needed_cm:g} cm to turn and rest"
            remedy = "Take a longer box, or part the tank with a divider."
            yield fault(
                f"for a box of {tank_file.box.length_cm:g} cm", limit, remedy, f"wishes[{number}].box_days"
            )


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
