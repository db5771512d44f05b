"""The glass in a tank file: its outline, and its inner sizes as told or from the outer ones."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal, Self, get_args

from pydantic import Field, model_validator

from slackwater.errors import InputError
from slackwater.service.tankfile_base import Part
from slackwater.service.tankfile_values import (
    BoxCm,
    FreeboardCm,
    GlassCm,
    Litres,
    PlaceCm,
    TankCm,
    fault,
    one_of,
)

Shape = Literal[
    "rectangular",
    "cube",
    "cylinder",
    "half cylinder",
    "quadrant",
    "hexagon",
    "bow-front",
    "L-shape",
    "cut corner",
]
Corner = Literal["front right", "front left", "back right", "back left"]
Measured = Literal["inside", "outside"]

_SAME: Mapping[str, str] = {"box": "rectangular", "bow front": "bow-front", "l shape": "L-shape"}
_OF_SHAPE = {"bow_cm": ("bow-front",), "cut_length_cm": ("L-shape", "cut corner")}
_KEYS = {"cut_cm": "cut_length"}
_FREEBOARD_CM = 4.0


class Overflow(Part):
    """An overflow box inside the glass, up to the water line."""

    x_cm: PlaceCm = Field(description="Middle of the box from the left pane.")
    y_cm: PlaceCm = Field(description="Middle of the box from the front pane.")
    length_cm: BoxCm = Field(description="Outer size, left to right.")
    width_cm: BoxCm = Field(description="Outer size, front to back.")


class Tank(Part):
    """The glass, and what lies on it."""

    shape: Annotated[Shape, one_of(get_args(Shape), _SAME)] = Field(
        "rectangular",
        description="Outline of the tank; a box is a rectangular one.",
        json_schema_extra={"enum": [*get_args(Shape), "box"]},
    )
    length_cm: TankCm | None = Field(None, description="Length, left to right.")
    width_cm: TankCm | None = Field(None, description="Greatest width, front to back.")
    height_cm: TankCm | None = Field(
        None, description="Height of the water above the floor; of the glass if measured outside."
    )
    measured: Annotated[Measured, one_of(get_args(Measured))] = Field(
        "inside", description="Whether the sizes are those of the water or of the glass outside."
    )
    glass_cm: GlassCm | None = Field(None, description="Thickness of the panes; the usual one if left out.")
    freeboard_cm: FreeboardCm | None = Field(
        None, description="Glass above the water line, if measured outside; 4 cm if left out."
    )
    bow_cm: BoxCm | None = Field(None, description="How far the front of a bow-front stands out.")
    cut_length_cm: BoxCm | None = Field(
        None, description="What an L-shape lacks or a corner has cut off, along the length."
    )
    cut_width_cm: BoxCm | None = Field(None, description="The same along the width; the same if left out.")
    corner: Annotated[Corner, one_of(get_args(Corner))] = Field(
        "front right", description="Which corner is missing, cut, or round."
    )
    overflow: Overflow | None = Field(None, description="An overflow box inside the glass.")
    volume_l: Litres | None = Field(None, description="Inner volume, if a side is not known.")
    sump_l: Litres | None = Field(None, description="Water in the sump.")
    lid: bool | None = Field(None, description="Whether the tank is covered.")

    @model_validator(mode="after")
    def _shape_is_told(self) -> Self:
        """Ask for what a shape needs, and refuse what only another has."""
        for name, shapes in _OF_SHAPE.items():
            key = name.removesuffix("_cm")
            told = getattr(self, name)
            if told is not None and self.shape not in shapes:
                limit = f"a {self.shape} tank has none"
                raise fault(f"{told:g} cm", limit, f"Leave it out, or write shape: {shapes[0]}.", key)
            if told is None and self.shape in shapes:
                raise fault("missing", f"a {self.shape} tank needs it", "Measure it and add it.", key)
        return self

    @model_validator(mode="after")
    def _sides_fit_the_shape(self) -> Self:
        """Refuse sides that no such outline has, and an overflow box outside the glass."""
        if self.shape == "rectangular" and self.overflow is None:
            return self
        from slackwater.service.glass_of import whole_glass

        try:
            whole_glass(self)
        except InputError as error:
            key = _KEYS.get(error.field, error.field.removesuffix("_cm"))
            raise fault(error.given, error.limit, error.remedy, key) from None
        return self

    @model_validator(mode="after")
    def _volume_fits(self) -> Self:
        """Refuse a volume that the sides cannot hold; a twentieth more is rounding."""
        sides = (self.length_cm, self.width_cm, self.height_cm)
        if self.volume_l is None or None in sides:
            return self
        holds_l = self.gross_l or 0.0
        if self.volume_l > 1.05 * holds_l:
            limit = f"these sides hold {holds_l:.0f} L at most"
            raise fault(f"{self.volume_l:.0f} L", limit, "Measure the inner sides again.", "volume")
        return self

    @property
    def inner_length_cm(self) -> float | None:
        """Inner length, or None. [cm]"""
        return self._inner(self.length_cm)

    @property
    def inner_width_cm(self) -> float | None:
        """Inner width, as told or as the shape has it, or None. [cm]"""
        from slackwater.tank.shapes import WIDTH_PER_LENGTH, Shape

        length = self.inner_length_cm
        if self.width_cm is None and length is not None:
            ratio, _ = WIDTH_PER_LENGTH.get(Shape(self.shape), (0.0, ""))
            return ratio * length or (length if self.shape == "cube" else None)
        return self._inner(self.width_cm)

    @property
    def water_cm(self) -> float | None:
        """Height of the water above the floor, or None. [cm]"""
        if self.height_cm is None or self.measured == "inside":
            return self.height_cm
        free = _FREEBOARD_CM if self.freeboard_cm is None else self.freeboard_cm
        return self.height_cm - self._pane_cm - free

    @property
    def gross_l(self) -> float | None:
        """Volume by the sides, or as told, or None. [L]"""
        from slackwater.service.glass_of import whole_glass

        glass = whole_glass(self)
        return glass.volume_l if glass else self.volume_l

    @property
    def _pane_cm(self) -> float:
        """Thickness of the panes, the usual one for the size if it was not told. [cm]"""
        from slackwater.tank.weights import usual_glass_mm

        if self.glass_cm is not None:
            return self.glass_cm
        sides = [side or 50.0 for side in (self.length_cm, self.width_cm, self.height_cm)]
        return usual_glass_mm(sides[0] * sides[1] * sides[2] / 1000.0) / 10.0

    def _inner(self, size_cm: float | None) -> float | None:
        if size_cm is None or self.measured == "inside":
            return size_cm
        return size_cm - 2.0 * self._pane_cm
