"""The same tank to one scale today and in 6, 24 and 60 months, everyone as long as it will be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.plan.records import GrowthLine, TankDrawing
from slackwater.report.frames import FONT, INK, SAND, SOFT_INK
from slackwater.report.outlines import Body, Ink, extent_cm, side_view
from slackwater.report.svg import Node, Point, group, node, number
from slackwater.report.words import horizon

FRAMES = (0, 6, 24, 60)

_WIDTH_MM, _GAP_MM, _TOP_MM, _LIST_MM = 270.0, 6.0, 16.0, 4.0
_MOST_DRAWN = 12
_AIR = 1.1


@dataclass(frozen=True)
class _Place:
    """One body, and where its middle is in every frame. [cm]"""

    line: GrowthLine
    at_cm: Point


def film_svg(lines: Sequence[GrowthLine], tank: TankDrawing, title: str) -> str:
    """Return the tank from the front in four frames to one scale, side by side.

    Parameters
    ----------
    lines
        How the animals grow; at most twelve of a kind are drawn.
    tank
        The tank; rock is left out, so that lengths can be compared.
    title
        What the tank is called.

    Returns
    -------
    str
        SVG in centimetres of the tank, with a list of lengths under each frame.
    """
    scale = (_WIDTH_MM - _GAP_MM * (len(FRAMES) - 1)) / (len(FRAMES) * tank.length_cm)
    places = _placed(lines, tank)
    step = tank.length_cm + _GAP_MM / scale
    top = _TOP_MM / scale
    height = top + tank.height_cm + (_LIST_MM * (len(lines) + 2)) / scale
    frames = [
        group(
            _frame(months, places, lines, tank, scale),
            transform=f"translate({number(n * step)} {number(top)})",
        )
        for n, months in enumerate(FRAMES)
    ]
    return str(
        node(
            "svg",
            node("title", f"{title}: the years ahead, to scale"),
            node("desc", film_description(lines)),
            _words(title, (0.0, 5.0 / scale), 3.6 / scale, weight="600"),
            *frames,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {number(_WIDTH_MM / scale)} {number(height)}",
            width=f"{number(_WIDTH_MM)}mm",
            height=f"{number(height * scale)}mm",
            role="img",
            font_family=FONT,
        )
    )


def film_description(lines: Sequence[GrowthLine]) -> str:
    """Return the frames in words, for those who cannot see them."""
    told = [
        f"{when(months)}: "
        + ", ".join(f"{line.common_name} {length_at(line, months):.0f} cm" for line in lines)
        for months in FRAMES
    ]
    return "; ".join(told) + "."


def when(months: int) -> str:
    """Return the heading of a frame."""
    return "Today" if months == 0 else f"In {horizon(months)}"


def length_at(line: GrowthLine, months: int) -> float:
    """Return the length after so many months of the line. [cm]"""
    return line.length_cm[line.months.index(months)]


def _placed(lines: Sequence[GrowthLine], tank: TankDrawing) -> list[_Place]:
    """Return where each body stands: on shelves from the floor up, the largest lowest, with room to grow."""
    ordered = sorted(lines, key=lambda line: -line.length_cm[-1])
    shelves: list[list[GrowthLine]] = [[]]
    used = 0.0
    bodies = [line for line in ordered for _ in range(min(line.count, _MOST_DRAWN))]
    for line in bodies:
        wide = _extent(line)[0] * _AIR
        if shelves[-1] and used + wide > tank.length_cm:
            shelves.append([])
            used = 0.0
        shelves[-1].append(line)
        used += wide
    return _on_shelves(shelves, tank)


def _on_shelves(shelves: list[list[GrowthLine]], tank: TankDrawing) -> list[_Place]:
    """Return the places, shelves pushed into one another where the tank is too low for all."""
    floor = free_cm = tank.height_cm - tank.sand_cm
    heights = [max((_extent(line)[1] for line in shelf), default=1.0) for shelf in shelves]
    squeeze = min(1.0, free_cm / max(_AIR * sum(heights), 1e-9))
    slack = (free_cm - squeeze * sum(heights)) / (len(shelves) + 1)
    places = []
    for shelf, high in zip(shelves, heights, strict=True):
        places += _along(shelf, floor - slack - squeeze * high / 2.0, tank.length_cm)
        floor -= slack + squeeze * high
    return places


def _along(shelf: list[GrowthLine], middle_cm: float, length_cm: float) -> list[_Place]:
    widths = [_extent(line)[0] for line in shelf]
    slack = max(length_cm - sum(widths), 0.0) / (len(shelf) + 1)
    places, left = [], slack
    for line, wide in zip(shelf, widths, strict=True):
        places.append(_Place(line, (left + wide / 2.0, middle_cm)))
        left += wide + slack
    return places


def _extent(line: GrowthLine) -> Point:
    return extent_cm(Body(line.form, line.length_cm[-1], line.body_depth_ratio))


def _frame(
    months: int, places: Sequence[_Place], lines: Sequence[GrowthLine], tank: TankDrawing, scale: float
) -> list[Node]:
    sand = node(
        "rect", x=0.0, y=tank.height_cm - tank.sand_cm, width=tank.length_cm, height=tank.sand_cm, fill=SAND
    )
    pane = node(
        "rect", x=0.0, y=0.0, width=tank.length_cm, height=tank.height_cm,
        fill="none", stroke=INK, stroke_width=0.3 / scale,
    )  # fmt: skip
    head = _words(when(months), (0.0, -2.0 / scale), 3.2 / scale, weight="600")
    bodies = [_body(place, months, scale) for place in places]
    return [head, sand, *bodies, pane, *_list(months, lines, tank, scale)]


def _body(place: _Place, months: int, scale: float) -> Node:
    line = place.line
    body = Body(line.form, length_at(line, months), line.body_depth_ratio)
    x, y = place.at_cm
    ink = Ink(stroke_cm=0.16 / scale)
    return group((side_view(body, ink),), transform=f"translate({number(x)} {number(y)})")


def _list(months: int, lines: Sequence[GrowthLine], tank: TankDrawing, scale: float) -> list[Node]:
    top = tank.height_cm + 4.5 / scale
    size = f"tank {tank.length_cm:.0f} x {tank.height_cm:.0f} cm"
    told = [_told(line, months) for line in lines]
    return [
        _words(words, (0.0, top + _LIST_MM * n / scale), 2.7 / scale, fill=SOFT_INK if n == 0 else INK)
        for n, words in enumerate([size, *told])
    ]


def _told(line: GrowthLine, months: int) -> str:
    at = line.months.index(months)
    many = f"{line.count} " if line.count > 1 else ""
    sex = f", {line.sex}" if line.sex in {"male", "female"} else ""
    return f"{many}{line.common_name}{sex}: {line.length_cm[at]:.0f} cm, {line.mass_g[at]:.0f} g"


def _words(words: str, at_cm: Point, size_cm: float, *, weight: str = "400", fill: str = INK) -> Node:
    return node("text", words, x=at_cm[0], y=at_cm[1], font_size=size_cm, font_weight=weight, fill=fill)
