"""The calendar of a plan as a strip by weeks: releases, quarantine, absences, what comes first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from slackwater.plan.records import Plan, Release
from slackwater.report.svg import Node, group, node
from slackwater.web.views import drawing

WEEK_PX = 24.0
_DAYS, _SPARE_WEEKS = 7, 8
_LEFT, _TOP, _ROW, _LETTER = 14.0, 46.0, 40.0, 7.6
_MARK, _REACH, _BAR = 11.0, 22.0, 10.0
_ROOM = 66.0


@dataclass(frozen=True)
class _Weeks:
    """Days across, whole weeks from a Monday on."""

    first: dt.date
    count: int

    def x(self, day: dt.date) -> float:
        return _LEFT + WEEK_PX * (day - self.first).days / _DAYS

    @property
    def right(self) -> float:
        return _LEFT + WEEK_PX * self.count


def absences(question: Mapping[str, object]) -> list[tuple[dt.date, dt.date]]:
    """Return the days on which nobody is at home, from the plain values of a tank file."""
    limits = question.get("limits")
    told = limits.get("away", []) if isinstance(limits, Mapping) else []
    halves = [str(one).split("/") for one in told]
    return [(dt.date.fromisoformat(begin), dt.date.fromisoformat(end)) for begin, end in halves]


def strip_figure(plan: Plan, away: Sequence[tuple[dt.date, dt.date]], *, can_move: bool) -> Markup:
    """Return the strip; its marks can be reached by keyboard where releases can be moved."""
    weeks = _weeks(plan, away)
    high = _TOP + _ROW * len(plan.releases)
    longest = max(weeks.x(r.date) + _MARK + _LETTER * len(_said(r)) for r in plan.releases)
    wide = max(weeks.right, longest) + _LEFT
    parts = [
        _hatch(),
        *_months(weeks, high),
        *(_away(weeks, begin, end, high) for begin, end in away),
        group(_arcs(plan, weeks), data_layer="arcs"),
        *(_release(weeks, row, release, can_move=can_move) for row, release in enumerate(plan.releases)),
    ]
    return drawing(
        node(
            "svg",
            node("title", "The calendar by weeks"),
            *parts,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {wide:g} {high:g}",
            width=wide,
            height=high,
            role="group" if can_move else "img",
            aria_label="The calendar by weeks",
            data_week=WEEK_PX,
            data_weeks_px=weeks.right,
        )
    )


def _weeks(plan: Plan, away: Sequence[tuple[dt.date, dt.date]]) -> _Weeks:
    days = [day for r in plan.releases for day in (r.quarantine_from, r.date) if day]
    first, last = min(days), max(days)
    first -= dt.timedelta(days=first.weekday())
    last = max([last, *(end for _, end in away if end < last + dt.timedelta(weeks=_SPARE_WEEKS))])
    return _Weeks(first, (last - first).days // _DAYS + 1 + _SPARE_WEEKS)


def _said(release: Release) -> str:
    return f"{release.title}, {release.date:%-d %b}"


def _hatch() -> Node:
    line = node("path", d="M0 6 L6 0", class_="hair")
    return node(
        "defs", node("pattern", line, id="hatch", width=6.0, height=6.0, patternUnits="userSpaceOnUse")
    )


def _months(weeks: _Weeks, high: float) -> Iterator[Node]:
    """Yield a tick for each week, and the name of each month at the first that begins in it."""
    days = [weeks.first + dt.timedelta(weeks=number) for number in range(weeks.count)]
    begins = [
        day for day, last in zip(days, [None, *days], strict=False) if not last or day.month != last.month
    ]
    named = begins[1:] if len(begins) > 1 and weeks.x(begins[1]) - weeks.x(begins[0]) < _ROOM else begins
    for day in days:
        x = weeks.x(day)
        yield node("line", x1=x, x2=x, y1=20.0 if day in begins else 26.0, y2=high, class_="week")
    for day in named:
        told = f"{day:%b %Y}" if day == named[0] or day.month == 1 else f"{day:%b}"
        yield node("text", told, x=weeks.x(day) + 3.0, y=18.0, class_="month")


def _away(weeks: _Weeks, begin: dt.date, end: dt.date, high: float) -> Node:
    x1 = max(weeks.x(begin), _LEFT)
    x2 = min(weeks.x(end + dt.timedelta(days=1)), weeks.right)
    told = node("title", f"Nobody at home from {begin:%-d %b} to {end:%-d %b %Y}")
    place = {"x": x1, "y": 26.0, "width": max(x2 - x1, 0.0), "height": high - 26.0}
    return node("rect", told, **place, fill="url(#hatch)", class_="away")


def _arcs(plan: Plan, weeks: _Weeks) -> Iterator[Node]:
    """Yield a line from each release to those that must come after it."""
    names = {animal.key: animal.common_name for animal in plan.animals}
    rows = {names[key]: row for row, release in enumerate(plan.releases) for key in release.keys}
    for rule in plan.befores:
        if rule.first in rows and rule.then in rows and rows[rule.first] != rows[rule.then]:
            first, then = rows[rule.first], rows[rule.then]
            ends = [(weeks.x(plan.releases[n].date), _y(n)) for n in (first, then)]
            told = node("title", rule.reason)
            yield node("path", told, d=arc(*ends), class_="before", data_first=first, data_then=then)


def arc(start: tuple[float, float], end: tuple[float, float]) -> str:
    """Return the line from one mark down or up to another, with a head, as the page draws it anew."""
    (x1, y1), (x2, y2) = start, end
    way = 1.0 if y2 > y1 else -1.0
    y1, y2 = y1 + way * _MARK, y2 - way * (_MARK + 1.0)
    bend = 0.55 * (y2 - y1)
    head = f"M{x2 - 4:.1f} {y2 - way * 6:.1f} L{x2:.1f} {y2:.1f} L{x2 + 4:.1f} {y2 - way * 6:.1f}"
    return f"M{x1:.1f} {y1:.1f} C{x1:.1f} {y1 + bend:.1f} {x2:.1f} {y2 - bend:.1f} {x2:.1f} {y2:.1f} {head}"


def _y(row: int) -> float:
    return _TOP + _ROW * row + 0.5 * _ROW - 6.0


def _release(weeks: _Weeks, row: int, release: Release, *, can_move: bool) -> Node:
    """Return a release with its quarantine, at its place; what moves is drawn about the mark."""
    x, y = weeks.x(release.date), _y(row)
    parts: list[Node] = []
    if release.quarantine_from and release.quarantine_to:
        begin = weeks.x(release.quarantine_from) - x
        end = weeks.x(release.quarantine_to) - x
        told = node("title", f"In quarantine from {release.quarantine_from:%-d %b}")
        bar = {"x": begin, "y": -0.5 * _BAR, "width": max(end - begin, 1.0), "height": _BAR}
        parts.append(node("rect", told, **bar, class_="quarantine"))
    parts += [
        node("circle", r=_REACH, class_="reach"),
        node("circle", r=_MARK, class_="mark"),
        node("text", f"{release.number}", y=4.5, class_="number"),
        node("text", _said(release), x=_MARK + 6.0, y=4.5, class_="said"),
    ]
    most = max(int((weeks.right - x) // WEEK_PX), 0)
    slider: dict[str, str | float] = {
        "tabindex": 0.0,
        "role": "slider",
        "aria_label": f"Release {release.number}, {release.title}",
        "aria_valuemin": 0.0,
        "aria_valuemax": float(most),
        "aria_valuenow": 0.0,
        "aria_valuetext": f"{release.date:%-d %B %Y}",
    }
    return group(
        parts,
        class_="release",
        transform=f"translate({x:.1f} {y:.1f})",
        data_keys=" ".join(release.keys),
        data_day=release.date.isoformat(),
        data_x=x,
        data_y=y,
        data_title=release.title,
        **(slider if can_move else {}),
    )
