"""The pressure map: attacks per hour on the worst-off animal by place, in one even hue with numbers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.records import BodyDrawing, Plan, PressureMap, TankDrawing
from slackwater.report.colour import even_hue
from slackwater.report.contours import fine_field, regions_above, round_levels
from slackwater.report.figures import body_mark
from slackwater.report.frames import (
    INK,
    ROCK,
    Frame,
    Paper,
    View,
    caption,
    clipped,
    drawing,
    framed,
    glass,
    glass_line,
    holds_water,
    letters,
    rulers,
    sheet_line,
)
from slackwater.report.outlines import Body
from slackwater.report.rockwork import rock_lines
from slackwater.report.svg import Node, Point, group, node, polygon_path
from slackwater.report.words import share


def pressure_svg(plan: Plan, paper: Paper | None = None) -> str:
    """Return the pressure map from above and from the front, or an empty drawing's words without one.

    Parameters
    ----------
    plan
        The plan; its `pressure` may be None.
    paper
        The room to fill.

    Returns
    -------
    str
        SVG with bands, contour lines and their numbers in attacks per hour; empty when the plan
        holds no pressure map.
    """
    if plan.pressure is None:
        return ""
    worst = [a for a in plan.animals if a.key == plan.worst_key]
    bodies = tuple(
        BodyDrawing(a.common_name, a.form, a.length_cm, a.body_depth_ratio, home)
        for a in worst
        for home in a.homes_cm
    )
    return map_svg(Mapped(plan.tank, plan.pressure, bodies), paper)


@dataclass(frozen=True)
class Mapped:
    """A pressure map to be drawn: the tank, the pressure, the animals at home in it, and its levels.

    `levels` are attacks per hour, so that two maps can be compared; None to take what fits. `title`
    is left out to say whose pressure it is.
    """

    tank: TankDrawing
    pressure: PressureMap
    bodies: tuple[BodyDrawing, ...] = ()
    levels: tuple[float, ...] | None = None
    title: str = ""


def map_svg(mapped: Mapped, paper: Paper | None = None) -> str:
    """Return a pressure map from above and from the front, to scale, in one even hue.

    Parameters
    ----------
    mapped
        What is drawn.
    paper
        The room to fill.
    """
    frame = framed(mapped.tank, paper or Paper())
    levels = levels_of(mapped.pressure) if mapped.levels is None else mapped.levels
    rows = (mapped.pressure.top, mapped.pressure.front)
    views = [
        _map_view(mapped, frame, view, cells, levels) for view, cells in zip(frame.views, rows, strict=True)
    ]
    title = mapped.title or f"Pressure on {mapped.pressure.whose}, attacks per hour"
    return drawing(
        frame,
        title,
        pressure_description(mapped.pressure),
        *views,
        _legend(frame, levels, mapped.pressure.whose),
    )


def pressure_description(pressure: PressureMap) -> str:
    """Return the map in words, for those who cannot see it."""
    return (
        f"Pressure on {pressure.whose} by place, from above and from the front. {pressure_summary(pressure)}"
    )


def pressure_summary(pressure: PressureMap) -> str:
    """Return the highest pressure and the share of quiet water in words."""
    known = _known(pressure)
    highest = f"At most {known.max():.2g} attacks per hour. " if known.size else ""
    return f"{highest}Quiet water: {share(pressure.quiet_share)} of the water it uses."


def levels_of(pressure: PressureMap) -> tuple[float, ...]:
    """Return up to five round levels for a map. [1/h]"""
    known = _known(pressure)
    return round_levels(float(known.max()), float(known.min())) if known.size else ()


def _known(pressure: PressureMap) -> NDArray[np.float64]:
    """Return the values of all cells that hold water. [1/h]"""
    rows = (*pressure.top, *pressure.front)
    return np.array([value for row in rows for value in row if not math.isnan(value)])


def _map_view(
    mapped: Mapped, frame: Frame, view: View, cells: tuple[tuple[float, ...], ...], levels: tuple[float, ...]
) -> Node:
    cell_cm = mapped.pressure.cell_cm
    loops = [_regions(view, cells, cell_cm, level) for level in levels]
    bands = [_band(frame, loop, (i + 1) / len(levels)) for i, loop in enumerate(loops)]
    stones = rock_lines(view, mapped.tank.pieces, stroke="#6d6c69", stroke_width=frame.mm(0.18))
    water = glass(frame, view, fill=even_hue(0.0))
    dry = tuple(tuple(float(math.isnan(value)) for value in row) for row in cells)
    no_water = node("path", d=_outline(_regions(view, dry, cell_cm, 0.5)), fill=ROCK, fill_rule="evenodd")
    inside = clipped(frame, view, "map", [water, *bands, no_water, *stones])
    homes = [
        body_mark(frame, view, Body(b.form, b.length_cm, b.body_depth_ratio), b.home_cm)
        for b in mapped.bodies
    ]
    wet = [
        [
            p
            for loop in level_loops
            for p in loop
            if _is_wet(view, cells, cell_cm, p) and holds_water(frame, view, p)
        ]
        for level_loops in loops
    ]
    numbers = _contour_numbers(frame, view, wet, levels)
    return group(
        (
            caption(frame, view),
            inside,
            glass_line(frame, view),
            *sheet_line(frame, view),
            rulers(frame, view),
            *homes,
            *numbers,
        )
    )


def _regions(
    view: View, cells: tuple[tuple[float, ...], ...], cell_cm: float, level: float
) -> list[list[Point]]:
    field, xs, ys = fine_field(cells, cell_cm, (view.width_cm, view.height_cm))
    loops = regions_above(field, level, xs, ys)
    return [[(view.left_cm + x, view.bottom_cm - y) for x, y in loop] for loop in loops]


def _is_wet(view: View, cells: tuple[tuple[float, ...], ...], cell_cm: float, point: Point) -> bool:
    column = min(len(cells[0]) - 1, max(0, int((point[0] - view.left_cm) / cell_cm)))
    row = min(len(cells) - 1, max(0, int((view.bottom_cm - point[1]) / cell_cm)))
    return not math.isnan(cells[row][column])


def _outline(loops: list[list[Point]]) -> str:
    return "".join(polygon_path(loop) for loop in loops)


def _band(frame: Frame, loops: list[list[Point]], depth: float) -> Node:
    fill = even_hue(depth)
    line = frame.mm(0.18)
    return node("path", d=_outline(loops), fill=fill, fill_rule="evenodd", stroke=INK, stroke_width=line)


def _contour_numbers(
    frame: Frame, view: View, contours: list[list[Point]], levels: tuple[float, ...]
) -> list[Node]:
    """Return one number on each contour, as far as can be from the glass and the other numbers."""
    taken: list[Point] = []
    marks = []
    for level, points in zip(levels, contours, strict=True):
        place = _roomiest(points, view, taken)
        if place is not None and _room(place, view, taken) > frame.mm(1.6):
            taken.append(place)
            marks.append(_contour_number(frame, level, place))
    return marks


def _roomiest(points: list[Point], view: View, taken: list[Point]) -> Point | None:
    return max(points, key=lambda p: (round(_room(p, view, taken), 6), p), default=None)


def _room(point: Point, view: View, taken: list[Point]) -> float:
    to_glass = min(
        point[0] - view.left_cm,
        view.left_cm + view.width_cm - point[0],
        point[1] - view.top_cm,
        view.bottom_cm - point[1],
    )
    return min([2.0 * to_glass, *(math.dist(point, other) for other in taken)])


def _contour_number(frame: Frame, level: float, place: Point) -> Node:
    halo: dict[str, str | float | None] = {
        "stroke": "#ffffff",
        "stroke_width": frame.mm(0.7),
        "stroke_linejoin": "round",
    }
    at = (place[0], place[1] + frame.mm(0.8))
    style: dict[str, str | float | None] = {
        "text_anchor": "middle",
        "font_size": frame.mm(2.3),
        "font_weight": "600",
    }
    return group(
        (letters(frame, f"{level:g}", at, **(style | halo)), letters(frame, f"{level:g}", at, **style))
    )


def _legend(frame: Frame, levels: tuple[float, ...], whose: str) -> Node:
    """Return the bands in a row with the number at each step between them."""
    top, high, wide = frame.foot_cm + frame.mm(0.6), frame.mm(2.4), frame.mm(6.5)
    left = frame.above.left_cm
    depths = [i / max(1, len(levels)) for i in range(len(levels) + 1)]
    boxes = [
        node(
            "rect",
            x=left + i * wide,
            y=top,
            width=wide,
            height=high,
            fill=even_hue(depth),
            stroke=INK,
            stroke_width=frame.mm(0.15),
        )
        for i, depth in enumerate(depths)
    ]
    small = frame.mm(2.2)
    steps = [
        letters(
            frame,
            f"{level:g}",
            (left + (i + 1) * wide, top + high + frame.mm(2.4)),
            text_anchor="middle",
            font_size=small,
        )
        for i, level in enumerate(levels)
    ]
    words_at = (left + len(depths) * wide + frame.mm(2.0), top + frame.mm(2.1))
    words = letters(frame, f"attacks per hour on {whose}", words_at, font_size=frame.mm(2.3))
    return group((*boxes, *steps, words))
