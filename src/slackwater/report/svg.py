"""A small SVG writer: nodes, numbers and smooth curves. Text given to it is always data, never markup."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape
from itertools import pairwise

Point = tuple[float, float]
_PIECES = re.compile(r"([MLCZ])([^MLCZ]*)")


@dataclass(frozen=True)
class Node:
    """One SVG element. Children that are strings are text and are escaped when written."""

    name: str
    attributes: tuple[tuple[str, str], ...]
    children: tuple[Node | str, ...]

    def __str__(self) -> str:
        """Return the element as SVG text."""
        attributes = "".join(f' {key}="{escape(value)}"' for key, value in self.attributes)
        if not self.children:
            return f"<{self.name}{attributes}/>"
        inner = "".join(
            str(child) if isinstance(child, Node) else escape(_printable(child)) for child in self.children
        )
        return f"<{self.name}{attributes}>{inner}</{self.name}>"


def node(name: str, *children: Node | str, **attributes: str | float | None) -> Node:
    """Return an element; `stroke_width=2` becomes `stroke-width="2"`, and None leaves an attribute out."""
    written = tuple(
        (key.rstrip("_").replace("_", "-"), value if isinstance(value, str) else number(value))
        for key, value in attributes.items()
        if value is not None
    )
    return Node(name, written, children)


def group(children: Iterable[Node], **attributes: str | float | None) -> Node:
    """Return a `g` element round the children."""
    return node("g", *children, **attributes)


def number(value: float) -> str:
    """Return a coordinate as short text with at most three decimals, never "-0"."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def polygon_path(points: Sequence[Point], *, closed: bool = True) -> str:
    """Return the path data of straight lines through the points."""
    steps = " L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{steps}" + ("Z" if closed else "")


def smooth_path(points: Sequence[Point], corners: frozenset[int]) -> str:
    """Return the path data of a closed smooth curve through the points, sharp at the given corners.

    Cubic Bezier pieces; the tangent at a point follows the chord between its neighbours and each
    handle is a third of its own chord, so that uneven spacing makes no overshoot.
    """
    count = len(points)
    start = min(corners, default=0)
    order = [(start + i) % count for i in range(count + 1)]
    first = points[order[0]]
    data = [f"M{number(first[0])} {number(first[1])}"]
    for here, there in pairwise(order):
        before = None if here in corners else points[(here - 1) % count]
        after = None if there in corners else points[(there + 1) % count]
        data.append(_piece(before, points[here], points[there], after))
    return "".join(data) + "Z"


def in_steps(drawn: Node) -> Node:
    """Return a drawing whose paths are told in whole steps, each from the end of the one before.

    What is told so is shorter by a third; the drawing has to be large enough for whole numbers.
    """
    told = tuple((key, _stepped(value) if key == "d" else value) for key, value in drawn.attributes)
    return Node(drawn.name, told, tuple(in_steps(c) if isinstance(c, Node) else c for c in drawn.children))


def _stepped(data: str) -> str:
    """Return path data of moves, lines, curves and ends in whole relative steps."""
    written, at = [], (0, 0)
    for kind, told in _PIECES.findall(data):
        steps = [round(float(value)) for value in told.split()]
        pairs = list(zip(steps[::2], steps[1::2], strict=True))
        written.append(kind.lower() + _closely([step for x, y in pairs for step in (x - at[0], y - at[1])]))
        at = pairs[-1] if pairs else at
    return "".join(written)


def _closely(steps: Sequence[int]) -> str:
    """Return whole numbers with a blank only where none has a sign."""
    return " ".join(str(step) for step in steps).replace(" -", "-")


def _piece(before: Point | None, here: Point, there: Point, after: Point | None) -> str:
    reach = math.dist(here, there) / 3.0
    out = _handle(here, _direction(before or here, there), reach)
    back = _handle(there, _direction(after or there, here), reach)
    return "C" + " ".join(f"{number(x)} {number(y)}" for x, y in (out, back, there))


def _direction(start: Point, end: Point) -> Point:
    run = math.dist(start, end) or 1.0
    return (end[0] - start[0]) / run, (end[1] - start[1]) / run


def _handle(point: Point, direction: Point, reach: float) -> Point:
    return point[0] + direction[0] * reach, point[1] + direction[1] * reach


def _printable(text: str) -> str:
    """Drop the control characters that XML forbids."""
    return "".join(c for c in text if c >= " " or c in "\t\n")
