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
_LABEL_AT = 0.5


@dataclass(frozen=True)
class _Curve:
    """A bent line from one place to another."""

    start: Point
    bend: Point
    end: Point

    def at(self, share: float) -> Point:
        rest = 1.0 - share
        x, y = (
            rest * rest * a + 2.0 * rest * share * b + share * share * c
            for a, b, c in zip(self.start, self.bend, self.end, strict=True)
        )
        return x, y


def trouble_graph(found: Troubles) -> Markup:
    """Return the graph of a company; every arrow can be asked why."""
    places = _places(found.fares)
    names = {one.key: one.name for one in found.fares}
    arrows = [_arrow(arrow, places, names) for arrow in reversed(found.arrows)]
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


def _mark(one: Fares, place: Point) -> Node:
    x, y = place
    count = f" × {one.count}" if one.count > 1 else ""
    said = node("text", f"{one.name}{count}", x=x, y=y - 3.0, class_="who")
    comfort = node("text", one.comfort, x=x, y=y + 14.0, class_="comfort")
    return group((said, comfort))


def _arrow(arrow: Arrow, places: Mapping[str, Point], names: Mapping[str, str]) -> Node:
    curve = _curve(places[arrow.attacker], places[arrow.victim])
    step = pressure_step(arrow.per_h)
    line = node(
        "path",
        d=f"M{_told(curve.start)} Q{_told(curve.bend)} {_told(curve.end)}",
        stroke_width=1.2 + 1.1 * step,
        class_=f"line s{step}",
    )
    label_x, label_y = curve.at(_LABEL_AT)
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


def _curve(start: Point, end: Point) -> _Curve:
    """Return a line between two marks, bent to its right so that two ways never lie on each other."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    if length == 0.0:
        return _loop(start)
    bend = (
        (start[0] + end[0]) / 2.0 - _BEND * dy,
        (start[1] + end[1]) / 2.0 + _BEND * dx,
    )
    whole = _Curve(start, bend, end)
    clear = min(_CLEAR_PX / max(length, 1.0), 0.4)
    return _Curve(whole.at(clear), bend, whole.at(1.0 - clear))


def _loop(place: Point) -> _Curve:
    """Return a line over a mark, for animals of one kind among themselves."""
    x, y = place
    return _Curve((x - _LOOP_PX[0], y - 20.0), (x, y - 20.0 - 2.0 * _LOOP_PX[1]), (x + _LOOP_PX[0], y - 20.0))


def _head(curve: _Curve) -> str:
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
