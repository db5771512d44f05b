"""The tank drawing as a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slackwater.report.figures import tank_svg
from slackwater.report.typesetting import png_bytes

if TYPE_CHECKING:
    from slackwater.plan.records import Plan

_PIXELS_PER_INCH = 144.0


def tank_png(plan: Plan) -> bytes:
    """Return the tank from above and from the front as PNG, at 144 pixels per inch of its print size."""
    return png_bytes(tank_svg(plan), _PIXELS_PER_INCH)
