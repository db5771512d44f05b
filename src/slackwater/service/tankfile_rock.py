"""The rock in a tank file: a word, an arrangement with its mass, piece by piece, or a scan."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Literal, Self, get_args

from pydantic import Field, StringConstraints, model_validator

from slackwater.service.tankfile_base import MOST_ENTRIES, Part
from slackwater.service.tankfile_values import HoleCm, Kilograms, PlaceCm, RockCm, fault, one_of

_SCAN = re.compile(r".*\.(glb|gltf|stl|obj|ply)", re.IGNORECASE)
_SCANS = "STL, OBJ, PLY and GLB"

Layout = Literal["none", "sparse", "moderate", "dense", "wall", "two islands", "bommies"]
Form = Literal[
    "boulder",
    "slab",
    "pillar",
    "arch",
    "shelf",
    "pipe",
    "rubble",
    "branching coral",
    "anemone",
    "sand bed",
]
Side = Literal["front", "back", "left", "right", "top"]
Unit = Literal["mm", "cm", "m", "in", "ft"]
Up = Literal["y", "z"]
FileName = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300)]


class RockHole(Part):
    """A hole in a piece: its narrowest width, its ways out and where it opens."""

    width_cm: HoleCm = Field(description="Narrowest width.")
    exits: int = Field(1, ge=1, le=2, description="Ways out: 1 for a dead end, 2 for a way through.")
    side: Annotated[Side, one_of(get_args(Side))] = Field(
        "front", description="Where it opens, as the piece is seen unturned."
    )

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read a bare width."""
        if isinstance(given, str | int | float) and not isinstance(given, bool):
            return {"width": given}
        return given


class RockPiece(Part):
    """One piece of rock, by the box around it before it is tilted."""

    kind: Annotated[Form, one_of(get_args(Form))] = Field("boulder", description="Its form.")
    x_cm: PlaceCm = Field(description="Middle of the piece from the left pane.")
    y_cm: PlaceCm = Field(description="Middle of the piece from the front pane.")
    base_cm: PlaceCm | None = Field(
        None, description="Foot above the floor; left out, it is let down onto what was listed before it."
    )
    length_cm: RockCm = Field(description="Size along its own long side.")
    width_cm: RockCm = Field(description="Size across it.")
    height_cm: RockCm = Field(description="Size upward; of a sand bed, its depth.")
    turn_deg: float = Field(0.0, ge=-360.0, le=360.0, description="Turned about the vertical, degrees.")
    tilt_deg: float = Field(0.0, ge=-80.0, le=80.0, description="Its right end raised, degrees.")
    mass_kg: Kilograms | None = Field(None, description="Its mass, if it was weighed.")
    holes: tuple[RockHole, ...] | None = Field(
        None,
        max_length=MOST_ENTRIES,
        description="Its holes; the first of an arch or pipe is the way through. Left out, as usual.",
    )
    fixed: bool = Field(False, description="Whether it is glued or pinned to what it touches.")


class Scan(Part):
    """A scan of rock, put into the tank as it is."""

    file: FileName = Field(description=f"Name of the file beside this one: {_SCANS}.")
    unit: Annotated[Unit, one_of(get_args(Unit))] | None = Field(
        None, description="Unit of the scan; metres if left out for GLB."
    )
    length_cm: RockCm | None = Field(None, description="Length from left to right, instead of a unit.")
    up: Annotated[Up, one_of(get_args(Up))] | None = Field(
        None, description="Axis that points up; y if left out for GLB, else z."
    )
    x_cm: PlaceCm | None = Field(None, description="Its middle from the left pane; the tank's if left out.")
    y_cm: PlaceCm | None = Field(None, description="Its middle from the front pane; the tank's if left out.")
    base_cm: PlaceCm = Field(0.0, description="Its foot above the floor.")
    turn_deg: float = Field(0.0, ge=-360.0, le=360.0, description="Turned about the vertical, degrees.")
    mass_kg: Kilograms | None = Field(None, description="Its mass, if it was weighed.")

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read a bare file name."""
        return {"file": given} if isinstance(given, str) else given

    @model_validator(mode="after")
    def _file_and_scale(self) -> Self:
        name = self.file.lower()
        if not _SCAN.fullmatch(name) or name.endswith(".gltf"):
            remedy = f"Save it as one of {_SCANS}."
            raise fault(self.file, f"scans are read from {_SCANS} files", remedy, "file")
        if self.unit and self.length_cm:
            raise fault(self.unit, "the length is told as well", "Leave one of the two out.", "unit")
        if not (self.unit or self.length_cm or name.endswith(".glb")):
            remedy = "Write unit: mm, or length: 60 cm from left to right."
            raise fault(self.file, "such a file does not say its unit", remedy)
        return self


class Rock(Part):
    """The rockwork: a word, or an arrangement with its mass, or piece by piece, or a scan."""

    layout: Annotated[Layout, one_of(get_args(Layout))] | None = Field(
        None, description="How much rock there is, or how it is arranged."
    )
    mass_kg: Kilograms | None = Field(None, description="Mass of all rock.")
    pieces: tuple[RockPiece, ...] = Field(
        (), max_length=MOST_ENTRIES, description="Each piece, with its place."
    )
    scan: Scan | None = Field(None, description="A scan of the rock; pieces may stand beside it.")

    @model_validator(mode="before")
    @classmethod
    def _short_forms(cls, given: object) -> object:
        """Read `moderate`, `two islands`, `reef.glb` and a bare list of pieces."""
        if isinstance(given, list):
            return {"pieces": given}
        if not isinstance(given, str):
            return given
        return {"scan": given} if _SCAN.fullmatch(given) else {"layout": given}

    @model_validator(mode="after")
    def _one_way_to_say_it(self) -> Self:
        if self.layout and (self.scan or self.pieces):
            other = "a scan" if self.scan else "pieces"
            raise fault(self.layout, f"the rock is told by {other} as well", "Leave one out.", "layout")
        return self


SHORT_FORMS: Mapping[str, tuple[Mapping[str, object], ...]] = {
    "Rock": (
        {"enum": list(get_args(Layout))},
        {"type": "array", "items": {"$ref": "#/$defs/RockPiece"}},
        {"type": "string", "examples": ["reef.glb"]},
    ),
    "RockHole": ({"type": ["string", "number"], "examples": ["4 cm"]},),
    "Scan": ({"type": "string", "examples": ["reef.glb"]},),
}
"""What may stand in place of a whole block, as JSON Schemas."""
