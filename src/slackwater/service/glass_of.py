"""The glass of a tank file whose sides are all told; loads no more than the shapes need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slackwater.tank.shapes import Corner, Glass, OverflowBox, Shape

if TYPE_CHECKING:
    from slackwater.service.tankfile_tank import Tank


def whole_glass(tank: Tank) -> Glass | None:
    """Return the glass where all its sides were told, else None.

    Raises
    ------
    InputError
        If the sides do not fit the shape.
    """
    length, width, height = tank.inner_length_cm, tank.inner_width_cm, tank.water_cm
    if length is not None and height is None and tank.shape == "cube":
        height = length
    if length is None or width is None or height is None:
        return None
    return glass_with(tank, length, width, height)


def glass_with(tank: Tank, length_cm: float, width_cm: float, height_cm: float) -> Glass:
    """Return the glass with given inner sides and all else as told."""
    cut = tank.cut_length_cm or 0.0
    box = tank.overflow
    return Glass(
        Shape(tank.shape),
        length_cm,
        width_cm,
        height_cm,
        bow_cm=tank.bow_cm or 0.0,
        cut_cm=(cut, tank.cut_width_cm or cut),
        corner=Corner(tank.corner),
        overflow=OverflowBox(box.x_cm, box.y_cm, box.length_cm, box.width_cm) if box else None,
    )
