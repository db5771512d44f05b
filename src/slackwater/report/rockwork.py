"""The rock in a drawing: every body in its true outline from above or from the front, and its holes.

What a stone is shows in black and white: rubble has pebbles, an anemone a fringe, a bed of sand a
broken edge; holes that another stone hides are rings instead of spots.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.records import HoleDrawing, PieceDrawing
from slackwater.report.frames import INK, ROCK, ROCK_LINE, SAND, SOFT_INK, Frame, View
from slackwater.report.svg import Node, Point, group, node, number

Array = NDArray[np.float64]

_HOLE = "#4b5358"
_ROUNDING_CM = 1.2
_PEBBLES = 14
_GOLDEN_ANGLE = math.pi * (3.0 - math.sqrt(5.0))
_CORNERS = np.array([(i, j, k) for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])
_HIDDEN_CM = 0.8
_FLAT = 1e-9


def stones(frame: Frame, view: View, pieces: tuple[PieceDrawing, ...]) -> list[Node]:
    """Return the rock in a view, the farthest first."""
    return [_stone(frame, view, piece) for piece in _ordered(view, pieces)]


def rock_lines(view: View, pieces: tuple[PieceDrawing, ...], **line: str | float | None) -> list[Node]:
    """Return the bare outlines of the rock, for maps."""
    solid = tuple(piece for piece in pieces if piece.form != "sand bed")
    return [_body(view, piece, {"fill": "none", **line}) for piece in _ordered(view, solid)]


def hole_marks(
    frame: Frame, view: View, holes: tuple[HoleDrawing, ...], pieces: tuple[PieceDrawing, ...]
) -> list[Node]:
    """Return the holes: spots where their mouth is seen, rings where rock hides it."""
    ordered = sorted(holes, key=lambda hole: -view.depth(hole.centre_cm))
    return [_hole(frame, view, hole, is_hidden=hides(view, hole, pieces)) for hole in ordered]


def hides(view: View, hole: HoleDrawing, pieces: tuple[PieceDrawing, ...]) -> bool:
    """Tell whether rock stands between the eye and the mouth of a hole."""
    return any(_shadows(view, piece, hole) for piece in pieces if piece.form != "sand bed")


def _ordered(view: View, pieces: tuple[PieceDrawing, ...]) -> list[PieceDrawing]:
    return sorted(pieces, key=lambda piece: -_nearest(view, piece))


def _nearest(view: View, piece: PieceDrawing) -> float:
    """Return how near to the eye a body reaches; greater is farther. [cm]"""
    away = 2 if view.axis == "above" else 1
    reach = np.abs(_axes(piece)[away] * np.array(piece.half_cm))
    span = float(reach.sum() if piece.kind == "slab" else np.linalg.norm(reach))
    return view.depth(piece.centre_cm) - span


def _axes(piece: PieceDrawing) -> Array:
    """Return a body's own axes as columns, shape (3, 3)."""
    c, s = math.cos(piece.yaw_rad), math.sin(piece.yaw_rad)
    ct, st = math.cos(piece.tilt_rad), math.sin(piece.tilt_rad)
    return np.array([[c * ct, -s, -c * st], [s * ct, c, -s * st], [st, 0.0, ct]])


def _stone(frame: Frame, view: View, piece: PieceDrawing) -> Node:
    thin = frame.mm(0.18)
    look: dict[str, str | float | None] = {"fill": ROCK, "stroke": ROCK_LINE, "stroke_width": thin}
    if piece.form == "sand bed":
        dash = f"{number(frame.mm(0.9))} {number(frame.mm(0.6))}"
        look |= {"fill": SAND, "stroke": SOFT_INK, "stroke_dasharray": dash}
    if piece.form == "pipe":
        look |= {"fill": "#ffffff", "stroke": SOFT_INK, "stroke_width": frame.mm(0.25)}
    if piece.form == "branching coral":
        look |= {"fill": "#ffffff", "stroke": INK}
    if piece.form == "anemone":
        return _anemone(frame, view, piece)
    body = _body(view, piece, look)
    return group((body, *_pebbles(frame, view, piece))) if piece.form == "rubble" else body


def _anemone(frame: Frame, view: View, piece: PieceDrawing) -> Node:
    """Return an anemone: a white body with a fringe of tentacles."""
    long = frame.mm(1.1)
    dash = f"{number(frame.mm(0.3))} {number(frame.mm(0.45))}"
    fringe = _body(
        view, piece, {"fill": "none", "stroke": INK, "stroke_width": long, "stroke_dasharray": dash}
    )
    body = _body(view, piece, {"fill": "#ffffff", "stroke": INK, "stroke_width": frame.mm(0.15)})
    return group((fringe, body))


def _pebbles(frame: Frame, view: View, piece: PieceDrawing) -> Iterator[Node]:
    """Yield small stones on a mound of rubble."""
    size = 0.11 * min(piece.half_cm[:2])
    axes, half = _axes(piece), np.array(piece.half_cm)
    for k in range(_PEBBLES):
        away, turn = 0.88 * math.sqrt((k + 0.5) / _PEBBLES), k * _GOLDEN_ANGLE
        unit = (away * math.cos(turn), away * math.sin(turn), math.sqrt(1.0 - away * away))
        x, y, z = (np.array(piece.centre_cm) + axes @ (half * unit)).tolist()
        at = view.at((x, y, z))
        line = frame.mm(0.12)
        yield node(
            "ellipse", cx=at[0], cy=at[1], rx=1.5 * size, ry=size, fill="#ffffff", stroke=SOFT_INK,
            stroke_width=line,
        )  # fmt: skip


def _body(view: View, piece: PieceDrawing, look: dict[str, str | float | None]) -> Node:
    arms = _flat(view, _axes(piece) * np.array(piece.half_cm))
    centre = np.array(view.at(piece.centre_cm))
    if piece.kind == "slab":
        return node("path", d=_rounded(_hull(_CORNERS @ arms.T + centre)), **look)
    return _ellipse(centre, arms, look)


def _flat(view: View, arms: Array) -> Array:
    """Return arms in the drawing, right and down the paper, shape (2, 3)."""
    up = arms[1] if view.axis == "above" else arms[2]
    return np.stack([arms[0], -up])


def _ellipse(centre: Array, arms: Array, look: dict[str, str | float | None]) -> Node:
    """Return the outline of an ellipsoid: an ellipse with the spread of its arms."""
    squares, ways = np.linalg.eigh(arms @ arms.T)
    minor, major = np.sqrt(np.maximum(squares, 0.0)).tolist()
    turn = math.degrees(math.atan2(ways[1, 1], ways[0, 1]))
    x, y = centre.tolist()
    about = f"rotate({number(turn)} {number(x)} {number(y)})"
    return node("ellipse", cx=x, cy=y, rx=major, ry=minor, transform=about, **look)


def _hull(points: Array) -> list[Point]:
    """Return the corners of the smallest convex outline, in order (Andrew's chain)."""
    ordered = sorted({(round(x, 6), round(y, 6)) for x, y in points.tolist()})
    halves: list[list[Point]] = []
    for run in (ordered, ordered[::-1]):
        half: list[Point] = []
        for point in run:
            while len(half) > 1 and _turns(half[-2], half[-1], point) <= 0.0:
                half.pop()
            half.append(point)
        halves.append(half[:-1])
    return halves[0] + halves[1]


def _turns(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _rounded(corners: list[Point]) -> str:
    """Return the path of a polygon with its corners rounded."""
    count = len(corners)
    data = ""
    for k, here in enumerate(corners):
        before, after = corners[k - 1], corners[(k + 1) % count]
        start, end = _towards(here, before), _towards(here, after)
        data += f"{'L' if data else 'M'}{number(start[0])} {number(start[1])}"
        data += f"Q{number(here[0])} {number(here[1])} {number(end[0])} {number(end[1])}"
    return data + "Z"


def _towards(here: Point, there: Point) -> Point:
    away = math.dist(here, there)
    share = min(_ROUNDING_CM, 0.35 * away) / max(away, 1e-9)
    return here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])


def _hole(frame: Frame, view: View, hole: HoleDrawing, *, is_hidden: bool) -> Node:
    x, y = view.at(hole.centre_cm)
    wide, high = hole.width_cm / 2, hole.width_cm * 0.38
    if not is_hidden:
        return node("ellipse", cx=x, cy=y, rx=wide, ry=high, fill=_HOLE)
    dash = f"{number(frame.mm(0.7))} {number(frame.mm(0.5))}"
    return node(
        "ellipse", cx=x, cy=y, rx=wide, ry=high, fill="none", stroke=_HOLE,
        stroke_width=frame.mm(0.25), stroke_dasharray=dash,
    )  # fmt: skip


def _shadows(view: View, piece: PieceDrawing, hole: HoleDrawing) -> bool:
    """Tell whether the line from a mouth to the eye runs through a body."""
    way = np.array([0.0, 0.0, 1.0] if view.axis == "above" else [0.0, -1.0, 0.0])
    axes, half = _axes(piece), np.array(piece.half_cm)
    start = axes.T @ (np.array(hole.centre_cm) + _HIDDEN_CM * way - np.array(piece.centre_cm)) / half
    step = axes.T @ way / half
    if piece.kind == "slab":
        return _enters_cube(start, step)
    along = -float(start @ step) / float(step @ step)
    nearest = start + max(along, 0.0) * step
    return bool(nearest @ nearest < 1.0)


def _enters_cube(start: Array, step: Array) -> bool:
    safe = np.where(np.abs(step) > _FLAT, step, _FLAT)
    first, second = (-1.0 - start) / safe, (1.0 - start) / safe
    enter = max(float(np.minimum(first, second).max()), 0.0)
    return enter < float(np.maximum(first, second).min())
