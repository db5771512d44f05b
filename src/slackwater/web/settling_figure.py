"""Is it settling? What was counted as dots, what is left today and then as bars, the level as a line."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

from markupsafe import Markup

from slackwater.plan.settling import Settling
from slackwater.report.svg import Node, node
from slackwater.service.diary_page import WatchDay
from slackwater.web.views import drawing

WIDTH, HEIGHT = 640.0, 240.0
_LEFT, _RIGHT, _TOP, _FOOT = 44.0, 16.0, 14.0, 30.0
_LEAST_PER_H = 0.5
_MARKS_PER_H = (1.0, 3.0, 10.0, 30.0, 100.0, 300.0)


def settling_figure(watched: Sequence[WatchDay], found: Settling, today: dt.date) -> Markup:
    """Return the course of a quarrel on a logarithmic scale, to be read beside its sentence."""
    first = min([one.day for one in watched] or [today])
    last = today + dt.timedelta(days=max(round(found.by_day), 1))
    highest = max([found.now[2], found.then[2], found.level_per_h, *(one.per_h for one in watched)])
    top = next((mark for mark in _MARKS_PER_H if mark >= highest), highest)
    scale = _Scale(first, last, top)
    marks = [node_ for mark in _MARKS_PER_H if mark <= top for node_ in _mark(scale, mark)]
    level = scale.y(found.level_per_h)
    parts: list[Node] = [
        *marks,
        node("path", d=_band(scale, found, today, last), class_="band"),
        node("line", x1=_LEFT, y1=level, x2=WIDTH - _RIGHT, y2=level, class_="level"),
        node("text", "left alone below", x=WIDTH - _RIGHT, y=level - 5.0, class_="end told"),
        *(node("circle", cx=scale.x(one.day), cy=scale.y(one.per_h), r=4.5, class_="dot") for one in watched),
        node("text", f"{first:%d %b}", x=_LEFT, y=HEIGHT - 8.0),
        node("text", f"{last:%d %b}", x=WIDTH - _RIGHT, y=HEIGHT - 8.0, class_="end"),
    ]
    return drawing(
        node(
            "svg",
            node("title", "Chases an hour by day, and what is expected"),
            *parts,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {WIDTH:g} {HEIGHT:g}",
            role="img",
        )
    )


class _Scale:
    """Days across, the logarithm of chases an hour upward."""

    def __init__(self, first: dt.date, last: dt.date, highest: float) -> None:
        self.first = first
        self.days = max((last - first).days, 1)
        self.highest = highest

    def x(self, day: dt.date) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * (day - self.first).days / self.days

    def y(self, per_h: float) -> float:
        share = math.log(max(per_h, _LEAST_PER_H) / _LEAST_PER_H) / math.log(self.highest / _LEAST_PER_H)
        return HEIGHT - _FOOT - (HEIGHT - _FOOT - _TOP) * min(share, 1.0)


def _mark(scale: _Scale, per_h: float) -> tuple[Node, Node]:
    y = scale.y(per_h)
    line = node("line", x1=_LEFT, y1=y, x2=WIDTH - _RIGHT, y2=y, class_="hair")
    return line, node("text", f"{per_h:g}", x=_LEFT - 6.0, y=y + 4.0, class_="end")


def _band(scale: _Scale, found: Settling, today: dt.date, last: dt.date) -> str:
    """Return nine in ten of what is expected from today to the day by which it should have settled."""
    x1, x2 = scale.x(today), scale.x(last)
    low1, high1 = scale.y(found.now[0]), scale.y(found.now[2])
    low2, high2 = scale.y(found.then[0]), scale.y(found.then[2])
    return f"M{x1:.1f} {high1:.1f} L{x2:.1f} {high2:.1f} L{x2:.1f} {low2:.1f} L{x1:.1f} {low1:.1f} Z"
