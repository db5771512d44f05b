"""Two views of one tank to one scale: where they stand on the paper, their glass and their rulers.

All drawing is in centimetres of the tank. x runs to the right, and up the paper is to the back in
the view from above and to the surface in the view from the front, so the front glass is below.
"""

from __future__ import annotations

import math
import textwrap
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from slackwater.plan.records import TankDrawing
from slackwater.report.svg import Node, Point, group, node, number, polygon_path

FONT = "Source Sans Pro, sans-serif"
INK = "#1f2a30"
SOFT_INK = "#5d686d"
ROCK = "#dddcd8"
ROCK_LINE = "#8d8c88"
SAND = "#efede7"

_TEXT_MM = 2.5
_FOOTNOTE_LETTER_MM = 1.08
_LEFT_MM, _RIGHT_MM, _TOP_MM, _RULER_MM = 8.0, 3.0, 5.5, 6.0
_TICKS_CM = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_Axis = Literal["above", "front"]


@dataclass(frozen=True)
class Paper:
    """The room a figure may take; `beside` is None to let the larger drawing win."""

    width_mm: float = 180.0
    height_mm: float = 240.0
    beside: bool | None = None
    foot_mm: float = 6.0


@dataclass(frozen=True)
class View:
    """One view: what it shows and where its inner glass lies in the drawing. [cm]"""

    axis: _Axis
    left_cm: float
    top_cm: float
    width_cm: float
    height_cm: float

    def at(self, place_cm: tuple[float, float, float]) -> Point:
        """Return where a place in the tank falls in the drawing. [cm, cm]"""
        up = place_cm[1] if self.axis == "above" else place_cm[2]
        return self.left_cm + place_cm[0], self.top_cm + self.height_cm - up

    def depth(self, place_cm: tuple[float, float, float]) -> float:
        """Return how far a place is from the eye, greater is farther."""
        return -place_cm[2] if self.axis == "above" else place_cm[1]

    @property
    def bottom_cm(self) -> float:
        """The lower edge: the front glass, or the floor. [cm]"""
        return self.top_cm + self.height_cm


@dataclass(frozen=True)
class Frame:
    """Both views at a scale of 1 to `scale`, and the size of the whole drawing. [cm of the tank]"""

    tank: TankDrawing
    scale: int
    above: View
    front: View
    width_cm: float
    height_cm: float
    foot_cm: float

    @property
    def text_cm(self) -> float:
        """Height of the lettering, the same on paper at every scale. [cm of the tank]"""
        return self.mm(_TEXT_MM)

    def mm(self, paper_mm: float) -> float:
        """Return a length on paper as a length in the drawing. [cm of the tank]"""
        return paper_mm * self.scale / 10.0

    @property
    def views(self) -> tuple[View, View]:
        """The view from above, then the view from the front."""
        return self.above, self.front


def framed(tank: TankDrawing, paper: Paper) -> Frame:
    """Return the frame at the largest whole-number scale that fits the paper.

    The views stand one above the other unless the paper says otherwise or they gain by standing
    side by side.
    """
    ways = (False, True) if paper.beside is None else (paper.beside,)
    scale, beside = min((_scale(tank, paper, beside=way), way) for way in ways)
    return _placed(tank, paper.foot_mm, scale, beside=beside)


def _scale(tank: TankDrawing, paper: Paper, *, beside: bool) -> int:
    across = 2 * tank.length_cm if beside else tank.length_cm
    down = max(tank.width_cm, tank.height_cm) if beside else tank.width_cm + tank.height_cm
    columns, rows = (2, 1) if beside else (1, 2)
    free_width_mm = paper.width_mm - columns * (_LEFT_MM + _RIGHT_MM)
    free_height_mm = paper.height_mm - rows * (_TOP_MM + _RULER_MM) - paper.foot_mm
    return max(1, math.ceil(max(across * 10.0 / free_width_mm, down * 10.0 / free_height_mm)))


def _placed(tank: TankDrawing, foot_mm: float, scale: int, *, beside: bool) -> Frame:
    left, right, top, ruler, foot = (
        mm * scale / 10.0 for mm in (_LEFT_MM, _RIGHT_MM, _TOP_MM, _RULER_MM, foot_mm)
    )
    tallest = max(tank.width_cm, tank.height_cm)
    above_top = top + (tallest - tank.width_cm if beside else 0.0)
    front_left = left + (tank.length_cm + right + left if beside else 0.0)
    front_top = top + (tallest - tank.height_cm if beside else tank.width_cm + ruler + top)
    front = View("front", front_left, front_top, tank.length_cm, tank.height_cm)
    return Frame(
        tank=tank,
        scale=scale,
        above=View("above", left, above_top, tank.length_cm, tank.width_cm),
        front=front,
        width_cm=front_left + tank.length_cm + right,
        height_cm=front.bottom_cm + ruler + foot,
        foot_cm=front.bottom_cm + ruler,
    )


def drawing(frame: Frame, title: str, description: str, *parts: Node) -> str:
    """Return the finished SVG, `viewBox` in centimetres of the tank, size in millimetres of paper."""
    per_cm = 10.0 / frame.scale
    return str(
        node(
            "svg",
            node("title", title),
            node("desc", description),
            *parts,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {number(frame.width_cm)} {number(frame.height_cm)}",
            width=f"{number(frame.width_cm * per_cm)}mm",
            height=f"{number(frame.height_cm * per_cm)}mm",
            role="img",
            font_family=FONT,
        )
    )


def letters(frame: Frame, words: str, place: Point, **attributes: str | float | None) -> Node:
    """Return small lettering; attributes override the usual ink and size."""
    usual: dict[str, str | float | None] = {"fill": INK, "font_size": frame.text_cm}
    return node("text", words, x=place[0], y=place[1], **(usual | attributes))


def footnote_lines(frame: Frame, words: str) -> list[str]:
    """Return the words cut into lines that fit under the drawing."""
    width_mm = (frame.width_cm - frame.above.left_cm) * 10.0 / frame.scale
    return textwrap.wrap(words, max(20, int(width_mm / _FOOTNOTE_LETTER_MM)))


def footnote(frame: Frame, lines: list[str]) -> list[Node]:
    """Return the lines below both views."""
    left, top = frame.above.left_cm, frame.foot_cm + frame.mm(2.4)
    size = frame.mm(2.3)
    return [
        letters(frame, line, (left, top + frame.mm(3.0) * i), font_size=size) for i, line in enumerate(lines)
    ]


def caption(frame: Frame, view: View) -> Node:
    """Return the words above a view."""
    from_above = "From above, front glass below" if is_roomy(frame, view) else "From above"
    words = from_above if view.axis == "above" else "From the front"
    return letters(frame, words, (view.left_cm, view.top_cm - frame.mm(1.8)), font_weight="600")


def is_roomy(frame: Frame, view: View) -> bool:
    """Tell whether a view is wide enough for long words above it."""
    return view.width_cm >= frame.mm(40.0)


def glass(frame: Frame, view: View, **attributes: str | float | None) -> Node:
    """Return the inner edge of the glass as a shape."""
    if view.axis == "above" and frame.tank.outline_cm:
        ring = [view.at((x, y, 0.0)) for x, y in frame.tank.outline_cm]
        return node("path", d=polygon_path(ring), **attributes)
    return node(
        "rect", x=view.left_cm, y=view.top_cm, width=view.width_cm, height=view.height_cm, **attributes
    )


def glass_line(frame: Frame, view: View) -> Node:
    """Return the glass as it is drawn last, over everything it holds, with its upright edges."""
    edges = [_upright(frame, view, x) for x in frame.tank.edges_cm if view.axis == "front"]
    line = glass(frame, view, fill="none", stroke=INK, stroke_width=frame.mm(0.35))
    return group((*overflow(frame, view), *edges, line))


def overflow(frame: Frame, view: View) -> list[Node]:
    """Return the overflow box, crossed out because no animal can be there."""
    box = frame.tank.overflow_cm
    if box is None:
        return []
    x, y, length, width = box
    low = view.at((x - 0.5 * length, y - 0.5 * width, 0.0))
    high = view.at((x + 0.5 * length, y + 0.5 * width, frame.tank.height_cm))
    thin: dict[str, str | float | None] = {"stroke": SOFT_INK, "stroke_width": frame.mm(0.2)}
    if view.axis == "front":
        thin["stroke_dasharray"] = f"{number(frame.mm(1.2))} {number(frame.mm(0.8))}"
    ring = polygon_path([low, (high[0], low[1]), high, (low[0], high[1])])
    marks = [node("path", d=ring, fill="#ffffff" if view.axis == "above" else "none", **thin)]
    if view.axis == "above":
        marks.append(node("path", d=f"{polygon_path([low, high], closed=False)}", fill="none", **thin))
        other = [(low[0], high[1]), (high[0], low[1])]
        marks.append(node("path", d=polygon_path(other, closed=False), fill="none", **thin))
    return marks


def holds_water(frame: Frame, view: View, point: Point) -> bool:
    """Tell whether a place in the view from above lies within the panes and beside the overflow box."""
    if view.axis == "front":
        return True
    x, y = point[0] - view.left_cm, view.bottom_cm - point[1]
    box = frame.tank.overflow_cm
    if box and abs(x - box[0]) < 0.5 * box[2] and abs(y - box[1]) < 0.5 * box[3]:
        return False
    ring = frame.tank.outline_cm
    crossed = 0
    for (ax, ay), (bx, by) in pairwise((*ring, *ring[:1])):
        crossed += (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay)
    return not ring or crossed % 2 == 1


def _upright(frame: Frame, view: View, x_cm: float) -> Node:
    x = view.left_cm + x_cm
    thin = frame.mm(0.18)
    return node("line", x1=x, y1=view.top_cm, x2=x, y2=view.bottom_cm, stroke=SOFT_INK, stroke_width=thin)


def sheet_line(frame: Frame, view: View) -> list[Node]:
    """Return a divider as a dashed line across the view, with its name; nothing without one."""
    at_cm = frame.tank.sheet_cm
    if at_cm is None:
        return []
    x = view.left_cm + at_cm
    dashes = f"{number(frame.mm(1.6))} {number(frame.mm(0.8))}"
    line = node(
        "line",
        x1=x,
        y1=view.top_cm,
        x2=x,
        y2=view.bottom_cm,
        stroke=INK,
        stroke_width=frame.mm(0.5),
        stroke_dasharray=dashes,
    )
    words_at = (x + frame.mm(1.0), view.top_cm + frame.mm(3.0))
    return [line, letters(frame, "divider", words_at, font_size=frame.mm(2.2))]


def clipped(frame: Frame, view: View, key: str, parts: list[Node]) -> Node:
    """Return parts cut off at the glass."""
    name = f"{key}-{view.axis}"
    clip = node("clipPath", glass(frame, view), id=name)
    return group((clip, group(parts, clip_path=f"url(#{name})")))


def rulers(frame: Frame, view: View) -> Node:
    """Return a ruler in cm below the view and one up its left side."""
    step = _label_step(frame)
    below = [_tick(frame, view, at, across=True) for at in _steps(view.width_cm, step)]
    aside = [_tick(frame, view, at, across=False) for at in _steps(view.height_cm, step)]
    unit = letters(
        frame,
        "cm",
        (view.left_cm - frame.mm(1.6), view.bottom_cm + frame.mm(3.6)),
        text_anchor="end",
        fill=SOFT_INK,
        font_size=frame.mm(2.2),
    )
    return group((*below, *aside, unit), stroke_width=frame.mm(0.2))


def _label_step(frame: Frame) -> float:
    """Return the ruler's step: the least round one at which labels stand clear."""
    return next((step for step in _TICKS_CM if step >= frame.mm(8.0)), _TICKS_CM[-1])


def _steps(length_cm: float, step_cm: float) -> list[float]:
    return [i * step_cm for i in range(int(length_cm / step_cm + 1e-9) + 1)]


def _tick(frame: Frame, view: View, at_cm: float, *, across: bool) -> Node:
    long, off = frame.mm(1.1), frame.mm(3.6 if across else 1.6)
    x = view.left_cm + at_cm if across else view.left_cm
    y = view.bottom_cm if across else view.bottom_cm - at_cm
    end = (x, y + long) if across else (x - long, y)
    line = node("line", x1=x, y1=y, x2=end[0], y2=end[1], stroke=INK)
    label_at = (x, y + off) if across else (x - off, y + frame.mm(0.75))
    label = letters(
        frame,
        f"{at_cm:g}",
        label_at,
        text_anchor="middle" if across else "end",
        fill=SOFT_INK,
        font_size=frame.mm(2.2),
    )
    bare = at_cm == 0 and not across
    return group((line,) if bare else (line, label))
