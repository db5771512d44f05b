"""The cutting list of a divider on one page: what to cut, and where to drill, to scale."""

from __future__ import annotations

import datetime as dt
import json
import math
from importlib import resources
from typing import Any

from slackwater.plan.sheet_design import SheetDesign, hole_places
from slackwater.report.frames import FONT, INK, SOFT_INK
from slackwater.report.svg import Node, group, node, number
from slackwater.report.typesetting import Fit, pdf_bytes

_FIT = Fit(sizes_pt=(10.0, 9.5, 9.0, 8.5, 8.0), pages=(1,))
_DRAWING_MM = (150.0, 118.0)
_TEMPLATE_MM = 70.0
_MOST_DRAWN = 3000
_MARGIN_MM = 17.0


def cutting_bytes(sheet: SheetDesign, heading: tuple[str, str], made_on: dt.date, paper: str = "a4") -> bytes:
    """Return the cutting list as a tagged PDF of one page.

    Parameters
    ----------
    sheet
        What is cut and drilled.
    heading
        Title, and the line under it.
    made_on
        The day by which the file is dated; the same sheet and day give the same bytes.
    paper
        a4 or us-letter.
    """
    template = (resources.files("slackwater.report") / "cutting.typ").read_bytes()
    made_at = dt.datetime.combine(made_on, dt.time(), tzinfo=dt.UTC)
    files = {
        "main.typ": template,
        "pattern.svg": pattern_svg(sheet).encode(),
        "template.svg": template_svg(sheet).encode(),
    }
    return pdf_bytes(files, json.dumps(cutting_data(sheet, heading, paper)), made_at, _FIT)


def cutting_data(sheet: SheetDesign, heading: tuple[str, str], paper: str) -> dict[str, Any]:
    """Return every text of the page by its place."""
    return {
        "title": heading[0],
        "under": heading[1],
        "paper": paper,
        "scale": f"Drill pattern, 1 to {scale_of(sheet)}; front pane at the left edge, floor below",
        "rows": [list(row) for row in cutting_rows(sheet)],
        "steps": list(_STEPS),
        "template": "Full size: check the line of 50 mm with a ruler before drilling by it.",
        "foot": (
            "Sizes are inner sizes less 3 mm of play at each side. Thickness by plate formulas for a "
            "strip held at two sides, long-term stiffness assumed; not a builder's calculation."
        ),
    }


_STEPS = (
    "Cut the sheet; round its corners; leave the film on.",
    "Mark the first row, then every row half a step aside; drill slowly, backed with wood.",
    "Round both edges of every hole with a larger drill turned by hand.",
    "Glue the channels upright to both panes, tank empty and dry; let cure as its maker says.",
    "Slide the sheet in; sand against its foot; lid to its top.",
)


def cutting_rows(sheet: SheetDesign) -> tuple[tuple[str, str], ...]:
    """Return what to cut, line by line."""
    drilled, strong = sheet.drilling, sheet.strength
    step = drilled.pitch_cm * math.sqrt(3.0) / 2.0
    rows = [
        ("sheet, acrylic", f"{_mm(sheet.width_cm)} x {_mm(sheet.height_cm)} x {_mm(strong.thickness_cm)} mm"),
        ("holes", f"{drilled.holes} of {_mm(drilled.hole_cm)} mm"),
        ("from middle to middle", f"{_mm(drilled.pitch_cm)} mm in a row, rows {10 * step:.1f} mm apart"),
        ("rows and holes in a row", f"{drilled.rows}; {drilled.columns} and {drilled.columns - 1} in turn"),
        ("undrilled rim", f"{_mm(drilled.rim_cm)} mm; {_mm(drilled.floor_rim_cm)} mm at the floor"),
        ("upright channels", f"2 of {_mm(sheet.height_cm)} mm, slot {_mm(strong.slot_cm)} mm deep"),
    ]
    if strong.ribs:
        apart = sheet.width_cm / (strong.ribs + 1)
        rows.append(("upright ribs", f"{strong.ribs} of {_mm(sheet.height_cm)} mm, every {_mm(apart)} mm"))
    rows.append(("mass", f"{sheet.mass_kg:.1f} kg"))
    return tuple(rows)


def _mm(length_cm: float) -> str:
    return f"{10 * length_cm:.0f}"


def scale_of(sheet: SheetDesign) -> int:
    """Return the n of the scale 1 to n at which the pattern is drawn."""
    across, down = 10 * sheet.width_cm / _DRAWING_MM[0], 10 * sheet.height_cm / _DRAWING_MM[1]
    return max(1, math.ceil(max(across, down)))


def pattern_svg(sheet: SheetDesign) -> str:
    """Return the whole sheet with its holes, to scale; of very many holes only those of a corner.

    Parameters
    ----------
    sheet
        What is drilled.
    """
    scale = scale_of(sheet)
    per_cm = 10.0 / scale
    places = hole_places(sheet)
    shown = [p for p in places if _is_shown(p, sheet, len(places))]
    radius = sheet.drilling.hole_cm / 2.0
    dots = [_circle(x, sheet.height_cm - y, radius, per_cm) for x, y in shown]
    wet = sheet.height_cm - sheet.wet_cm
    parts: list[Node] = [
        _rect(0.0, 0.0, (sheet.width_cm, sheet.height_cm), per_cm, stroke_width=0.4),
        group(dots, fill="none", stroke=INK, stroke_width=0.12),
        _dashed((0.0, wet), (sheet.width_cm, wet), per_cm),
        *_ribs(sheet, per_cm),
        _words("water line", sheet.width_cm + 0.1 * scale, wet + 0.1 * scale, per_cm),
    ]
    if len(shown) < len(places):
        parts.append(
            _words(f"and so on: {len(places)} holes", 0.52 * sheet.width_cm, 0.6 * sheet.height_cm, per_cm)
        )
    width_mm = sheet.width_cm * per_cm + _MARGIN_MM
    return _svg(width_mm, sheet.height_cm * per_cm, "Drill pattern to scale", parts)


def _is_shown(place: tuple[float, float], sheet: SheetDesign, count: int) -> bool:
    """Say whether a hole is drawn: all where there are few, else those in the lower left corner."""
    if count <= _MOST_DRAWN:
        return True
    share = math.sqrt(_MOST_DRAWN / count)
    return place[0] < share * sheet.width_cm and place[1] < share * sheet.height_cm


def template_svg(sheet: SheetDesign) -> str:
    """Return the lower left corner of the drilled field in full size, with a line of 50 mm."""
    places = hole_places(sheet)
    left, bottom = min(x for x, _ in places), min(y for _, y in places)
    size = _TEMPLATE_MM / 10.0
    near = [
        (x - left + 0.6, y - bottom + 0.6)
        for x, y in places
        if x - left < size - 1.2 and y - bottom < size - 2.2
    ]
    radius = sheet.drilling.hole_cm / 2.0
    circles = [_circle(x, size - 1.0 - y, radius, 10.0) for x, y in near]
    crosses = [_cross(10.0 * x, 10.0 * (size - 1.0 - y), 5.0 * radius) for x, y in near]
    base = _TEMPLATE_MM - 5.0
    parts: list[Node] = [
        group(circles, fill="none", stroke=INK, stroke_width=0.2),
        group(crosses, stroke=INK, stroke_width=0.12),
        node("line", x1=6.0, y1=base, x2=56.0, y2=base, stroke=INK, stroke_width=0.4),
        _label("50 mm", 31.0, base + 3.6),
    ]
    return _svg(_TEMPLATE_MM, _TEMPLATE_MM, "Drill pattern in full size", parts)


def _cross(x_mm: float, y_mm: float, half_mm: float) -> Node:
    return group(
        (
            node("line", x1=x_mm - half_mm, y1=y_mm, x2=x_mm + half_mm, y2=y_mm),
            node("line", x1=x_mm, y1=y_mm - half_mm, x2=x_mm, y2=y_mm + half_mm),
        )
    )


def _circle(x_cm: float, y_cm: float, radius_cm: float, per_cm: float) -> Node:
    return node("circle", cx=x_cm * per_cm, cy=y_cm * per_cm, r=radius_cm * per_cm)


def _rect(x_cm: float, y_cm: float, size_cm: tuple[float, float], per_cm: float, stroke_width: float) -> Node:
    return node(
        "rect",
        x=x_cm * per_cm,
        y=y_cm * per_cm,
        width=size_cm[0] * per_cm,
        height=size_cm[1] * per_cm,
        fill="none",
        stroke=INK,
        stroke_width=stroke_width,
    )


def _dashed(start: tuple[float, float], end: tuple[float, float], per_cm: float) -> Node:
    return node(
        "line",
        x1=start[0] * per_cm,
        y1=start[1] * per_cm,
        x2=end[0] * per_cm,
        y2=end[1] * per_cm,
        stroke=SOFT_INK,
        stroke_width=0.25,
        stroke_dasharray="2 1.2",
    )


def _ribs(sheet: SheetDesign, per_cm: float) -> list[Node]:
    apart = sheet.width_cm / (sheet.strength.ribs + 1)
    return [
        _dashed((apart * n, 0.0), (apart * n, sheet.height_cm), per_cm)
        for n in range(1, sheet.strength.ribs + 1)
    ]


def _words(words: str, x_cm: float, y_cm: float, per_cm: float) -> Node:
    return _label(words, x_cm * per_cm, y_cm * per_cm, anchor="start")


def _label(words: str, x_mm: float, y_mm: float, anchor: str = "middle") -> Node:
    return node("text", words, x=x_mm, y=y_mm, fill=INK, font_size=2.8, text_anchor=anchor)


def _svg(width_mm: float, height_mm: float, title: str, parts: list[Node]) -> str:
    return str(
        node(
            "svg",
            node("title", title),
            *parts,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"-1 -1 {number(width_mm + 2)} {number(height_mm + 2)}",
            width=f"{number(width_mm + 2)}mm",
            height=f"{number(height_mm + 2)}mm",
            role="img",
            font_family=FONT,
        )
    )
