"""Coats drawn upon outlines: each mark is one path of broad strokes, cut to the body.

Marks are laid in shares of the length (0 snout, 1 tip of the tail) and of the height of the body there
(-0.5 belly, 0.5 back), so that they follow it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from slackwater.report.colour import muted
from slackwater.report.outlines import Body, eye_of, hull_path, placed, span_at
from slackwater.report.svg import Node, Point, group, node, number
from slackwater.taxa.coat import Coat, Mark

Stroke = tuple[Point, ...]

_STRETCH = (0.06, 0.18, 0.3, 0.45, 0.6, 0.72, 0.8, 0.88)
_RIM = 0.022
_NEVER_SEEN_FROM_ABOVE = {"belly", "throat"}


def dressed(name: str, body: Body, coat: Coat, *, above: bool) -> Node:
    """Return an animal in its coat, looking left, its middle at the origin, to be drawn with `use`.

    Classes: `hull` the outline, `skin` what is filled, with a halo, `inked` its line.

    Parameters
    ----------
    name
        The id of the drawing, of its own on a page.
    body
        What is drawn. [lengths: cm]
    coat
        Its colours.
    above
        Whether it is seen from above.
    """
    hull = node("path", id=f"{name}h", class_="hull", d=hull_path(body, above=above))
    marks = [_drawn(mark, body, above=above) for mark in coat.marks if not (above and _hidden(mark))]
    eye = [] if above else [_eye(body)]
    return group(
        (
            node("clipPath", hull, id=f"{name}c"),
            node("use", href=f"#{name}h", class_="skin", fill=muted(coat.main)),
            group(
                [one for both in marks for one in both],
                clip_path=f"url(#{name}c)",
                fill="none",
                stroke_linejoin="round",
            ),
            node("use", href=f"#{name}h", class_="inked"),
            *eye,
        ),
        id=name,
    )


def _hidden(mark: Mark) -> bool:
    return mark.shape in _NEVER_SEEN_FROM_ABOVE


def _eye(body: Body) -> Node:
    (x, y), radius = eye_of(body)
    return node("circle", class_="eye", cx=x, cy=y, r=radius)


def _drawn(mark: Mark, body: Body, *, above: bool) -> list[Node]:
    strokes, wide = _LAID.get(mark.shape, _plain)(mark)
    if above and mark.shape == "back":
        strokes, wide = [((0.0, 0.0), (0.9, 0.0))], 0.06
    wide_cm = wide * body.length_cm
    path = _path(strokes, body, above=above)
    cap = "round" if mark.shape in _DOTTED else None
    inked = node("path", d=path, stroke=muted(mark.colour), stroke_width=wide_cm, stroke_linecap=cap)
    if not mark.rim:
        return [inked]
    rim_cm = wide_cm + _RIM * body.length_cm
    return [node("path", d=path, stroke=muted(mark.rim), stroke_width=rim_cm, stroke_linecap=cap), inked]


def _path(strokes: Iterable[Stroke], body: Body, *, above: bool) -> str:
    data = []
    for stroke in strokes:
        points = [_point(along, across, body, above=above) for along, across in stroke]
        (first, *rest) = [f"{number(round(x, 2))} {number(round(y, 2))}" for x, y in points]
        data.append(f"M{first}" + "".join(f"L{point}" for point in rest or [first]))
    return "".join(data)


def _point(along: float, across: float, body: Body, *, above: bool) -> Point:
    low, high = span_at(body, along, above=above)
    return placed(body, (along, (low + high) / 2.0 + across * (high - low)), above=above)


def _bars(mark: Mark) -> tuple[list[Stroke], float]:
    count = mark.count or 3
    step = 0.58 / max(count - 1, 1)
    at = [0.24 + step * n if count > 1 else 0.28 for n in range(count)]
    return [((x, 0.8), (x, -0.8)) for x in at], min(0.12, max(0.02, 0.75 * mark.share / count))


def _stripes(mark: Mark) -> tuple[list[Stroke], float]:
    count = mark.count or 4
    levels = [0.0] if count == 1 else [0.32 - 0.64 * n / (count - 1) for n in range(count)]
    return [tuple((x, y) for x in _STRETCH) for y in levels], min(0.06, max(0.012, 0.25 * mark.share / count))


def _spots(mark: Mark) -> tuple[list[Stroke], float]:
    rows = ((0.25, 0.3), (0.3, 0.0), (0.25, -0.28))
    spots: list[Stroke] = [((start + 0.16 * n, y),) for start, y in rows for n in range(4)]
    return spots, min(0.075, max(0.03, 0.2 * mark.share))


def _blotches(mark: Mark) -> tuple[list[Stroke], float]:
    return [((0.3, 0.12), (0.36, 0.2)), ((0.5, -0.12), (0.52, -0.05)), ((0.66, 0.16), (0.74, 0.1))], min(
        0.15, max(0.06, 0.5 * mark.share)
    )


def _mottled(mark: Mark) -> tuple[list[Stroke], float]:
    at = (
        (0.14, 0.1),
        (0.24, -0.2),
        (0.3, 0.28),
        (0.4, 0.0),
        (0.5, -0.3),
        (0.55, 0.3),
        (0.66, -0.05),
        (0.76, 0.25),
    )
    return [((x, y), (x + 0.03, y - 0.06)) for x, y in at], min(0.08, max(0.04, 0.2 * mark.share))


def _net(mark: Mark) -> tuple[list[Stroke], float]:
    rising: list[Stroke] = [((x, -0.6), (x + 0.2, 0.6)) for x in (0.05, 0.22, 0.39, 0.56, 0.73)]
    falling: list[Stroke] = [((x + 0.2, -0.6), (x, 0.6)) for x in (0.05, 0.22, 0.39, 0.56, 0.73)]
    return rising + falling, min(0.03, max(0.012, 0.06 * mark.share))


def _between(start: float, end: float) -> tuple[list[Stroke], float]:
    middle = (start + end) / 2.0
    return [((middle, 9.0), (middle, -9.0))], end - start


def _along(level: float, start: float, end: float, wide: float) -> tuple[list[Stroke], float]:
    return [tuple((start + (end - start) * n / 4.0, level) for n in range(5))], wide


def _plain(mark: Mark) -> tuple[list[Stroke], float]:
    return _between(0.83, 1.1) if mark.share < 0.25 else _rear(mark)  # noqa: PLR2004 - a tail's share at most


def _rear(mark: Mark) -> tuple[list[Stroke], float]:
    return _between(1.0 - min(0.6, max(0.3, mark.share)), 1.1)


_LAID: dict[str, Callable[[Mark], tuple[list[Stroke], float]]] = {
    "bars": _bars,
    "stripes": _stripes,
    "spots": _spots,
    "blotches": _blotches,
    "mottled": _mottled,
    "net": _net,
    "mask": lambda _: _between(0.08, 0.2),
    "two_tone": _rear,
    "rear": _rear,
    "front": lambda mark: _between(-0.1, min(0.6, max(0.3, mark.share))),
    "head": lambda _: _between(-0.1, 0.2),
    "tail": lambda _: _between(0.83, 1.1),
    "back": lambda _: _along(0.5, 0.16, 0.86, 0.09),
    "belly": lambda _: _along(-0.5, 0.1, 0.86, 0.12),
    "throat": lambda _: _along(-0.5, 0.0, 0.3, 0.16),
}
_DOTTED = {"spots", "blotches", "mottled"}
