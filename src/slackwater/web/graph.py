"""Who troubles whom, drawn: everyone in a ring, an arrow for every attacker, its number on it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from slackwater.report.svg import Node, Point, group, node, number
from slackwater.service.troubles import Arrow, Fares, Troubles
from slackwater.web.views import drawing, pressure_step, rate_word

WIDTH, HEIGHT = 560.0, 470.0
_RING = (205.0, 175.0)
_CLEAR_PX = 30.0
_LOOP_PX = (34.0, 30.0)
_BEND = 0.16
_HEAD_PX = 9.0
_LETTER_PX = 7.2
_LINE_PX = 17.0
_SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73, 0.2, 0.8)
"""Where on its arrow a figure may stand, the best place first."""


@dataclass(frozen=True)
class Curve:
    """A bent line from one place to another."""

    start: Point
    bend: Point
    end: Point

    def at(self, share: float) -> Point:
        """Return the point at a share of the way. [0 to 1]"""
        rest = 1.0 - share
        x, y = (
            rest * rest * a + 2.0 * rest * share * b + share * share * c
            for a, b, c in zip(self.start, self.bend, self.end, strict=True)
        )
        return x, y


@dataclass(frozen=True)
class Box:
    """The room a text takes. [px of the drawing]"""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def around(cls, middle: Point, text: str) -> Box:
        """Return the room of a text of one line about its middle, by the width of usual letters."""
        half = len(text) * _LETTER_PX / 2.0
        return cls(middle[0] - half, middle[1] - _LINE_PX / 2.0, middle[0] + half, middle[1] + _LINE_PX / 2.0)

    def shared(self, other: Box) -> float:
        """Return the area that both take. [px2]"""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(wide, 0.0) * max(high, 0.0)


def trouble_graph(found: Troubles) -> Markup:
    """Return the graph of a company; every arrow can be asked why."""
    places = _places(found.fares)
    names = {one.key: one.name for one in found.fares}
    curves = [_curve(places[arrow.attacker], places[arrow.victim]) for arrow in found.arrows]
    figures = [_figure(arrow.per_h) for arrow in found.arrows]
    labels = label_places(
        curves, figures, [box for one in found.fares for box in _room(one, places[one.key])]
    )
    drawn = zip(found.arrows, curves, labels, strict=True)
    arrows = [_arrow(arrow, curve, label, names) for arrow, curve, label in reversed(list(drawn))]
    marks = [_mark(one, places[one.key]) for one in found.fares]
    made = node(
        "svg",
        node("title", "Who troubles whom"),
        *arrows,
        *marks,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
        role="group",
        aria_label="Who troubles whom: an arrow from each attacker to whom it attacks",
    )
    return drawing(made)


def _places(fares: Sequence[Fares]) -> Mapping[str, Point]:
    """Return a ring with the worst-off at the top, the others by turns to its right and left."""
    turns = [((n + 1) // 2) * (1.0 if n % 2 else -1.0) for n in range(len(fares))]
    step = 2.0 * math.pi / max(len(fares), 1)
    return {
        one.key: (
            WIDTH / 2.0 + _RING[0] * math.sin(step * turn),
            HEIGHT / 2.0 - _RING[1] * math.cos(step * turn),
        )
        for one, turn in zip(fares, turns, strict=True)
    }


def label_places(curves: Sequence[Curve], figures: Sequence[str], taken: Sequence[Box]) -> list[Point]:
    """Return where the figure of each arrow stands: on its arrow, where it covers least of what is written.

    Parameters
    ----------
    curves, figures
        The arrows and what stands on each, the gravest first: it has the choice.
    taken
        Where other words stand already.
    """
    room, found = list(taken), []
    for curve, figure in zip(curves, figures, strict=True):
        offered = [curve.at(share) for share in _SHARES]
        covers = [sum(Box.around(point, figure).shared(box) for box in room) for point in offered]
        best = offered[covers.index(min(covers))]
        room.append(Box.around(best, figure))
        found.append(best)
    return found


def _title(one: Fares) -> str:
    return f"{one.name} × {one.count}" if one.count > 1 else one.name


def _room(one: Fares, place: Point) -> tuple[Box, Box]:
    """Return the room of a name and of the word below it."""
    x, y = place
    return Box.around((x, y - 8.0), _title(one)), Box.around((x, y + 9.0), one.comfort)


def _mark(one: Fares, place: Point) -> Node:
    x, y = place
    said = node("text", _title(one), x=x, y=y - 3.0, class_="who")
    comfort = node("text", one.comfort, x=x, y=y + 14.0, class_="comfort")
    return group((said, comfort))


def _arrow(arrow: Arrow, curve: Curve, label: Point, names: Mapping[str, str]) -> Node:
    step = pressure_step(arrow.per_h)
    line = node(
        "path",
        d=f"M{_told(curve.start)} Q{_told(curve.bend)} {_told(curve.end)}",
        stroke_width=1.2 + 1.1 * step,
        class_=f"line s{step}",
    )
    label_x, label_y = label
    told = (
        f"{names[arrow.attacker]} attacks {names[arrow.victim]}, {_figure(arrow.per_h)} times an hour: why?"
    )
    return node(
        "g",
        node("path", d=f"M{_told(curve.start)} Q{_told(curve.bend)} {_told(curve.end)}", class_="reach"),
        line,
        node("path", d=_head(curve), class_=f"head s{step}"),
        node("text", _figure(arrow.per_h), x=label_x, y=label_y + 5.0, class_="rate"),
        class_="arrow",
        role="button",
        tabindex="0",
        aria_label=told,
        data_attacker=arrow.attacker,
        data_victim=arrow.victim,
    )


def _curve(start: Point, end: Point) -> Curve:
    """Return a line between two marks, bent to its right so that two ways never lie on each other."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    if length == 0.0:
        return _loop(start)
    bend = (
        (start[0] + end[0]) / 2.0 - _BEND * dy,
        (start[1] + end[1]) / 2.0 + _BEND * dx,
    )
    whole = Curve(start, bend, end)
    clear = min(_CLEAR_PX / max(length, 1.0), 0.4)
    return Curve(whole.at(clear), bend, whole.at(1.0 - clear))


def _loop(place: Point) -> Curve:
    """Return a line over a mark, for animals of one kind among themselves."""
    x, y = place
    return Curve((x - _LOOP_PX[0], y - 20.0), (x, y - 20.0 - 2.0 * _LOOP_PX[1]), (x + _LOOP_PX[0], y - 20.0))


def _head(curve: Curve) -> str:
    (x, y), (from_x, from_y) = curve.end, curve.bend
    angle = math.atan2(y - from_y, x - from_x)
    sides = [
        (x - _HEAD_PX * math.cos(angle + turn), y - _HEAD_PX * math.sin(angle + turn))
        for turn in (-0.45, 0.45)
    ]
    return f"M{_told((x, y))} L{_told(sides[0])} L{_told(sides[1])} Z"


def _figure(per_h: float) -> str:
    """Return a rate in two figures, as small as arrows are drawn."""
    return f"{per_h:.2f}" if per_h < 1.0 else rate_word(per_h)


def _told(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"
