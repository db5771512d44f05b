"""The animals of the table side by side to one scale: as bought within as grown."""

from __future__ import annotations

from slackwater.plan.records import AnimalLine, Plan
from slackwater.report.figures import body_of
from slackwater.report.outlines import Ink, extent_cm, side_view
from slackwater.report.svg import group, node, number

_WIDEST_MM, _TALLEST_MM = 17.0, 7.6
_SHADE = "#c9c8c4"


def silhouettes(plan: Plan) -> list[str]:
    """Return one SVG for each animal, all to the one scale at which the largest grown one fits its cell."""
    extents = [extent_cm(body_of(animal, _full_cm(animal))) for animal in plan.animals]
    mm_per_cm = min((min(_WIDEST_MM / wide, _TALLEST_MM / high) for wide, high in extents), default=1.0)
    return [_silhouette(animal, mm_per_cm) for animal in plan.animals]


def _full_cm(animal: AnimalLine) -> float:
    return max(animal.length_cm, animal.adult_length_cm)


def _silhouette(animal: AnimalLine, mm_per_cm: float) -> str:
    grown = body_of(animal, _full_cm(animal))
    margin_cm = 0.5 / mm_per_cm
    wide, high = (size + margin_cm for size in extent_cm(grown))
    line = Ink(fill="none", stroke_cm=0.16 / mm_per_cm, eye=False)
    today = Ink(fill=_SHADE, stroke_cm=0.16 / mm_per_cm)
    bodies = group((side_view(body_of(animal), today), side_view(grown, line)))
    return str(
        node(
            "svg",
            bodies,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"{number(-wide / 2)} {number(-high / 2)} {number(wide)} {number(high)}",
            width=f"{number(wide * mm_per_cm)}mm",
            height=f"{number(high * mm_per_cm)}mm",
        )
    )
