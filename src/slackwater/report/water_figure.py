"""The still tank hour by hour: oxygen and warmth in rows of cells, one even hue, each with its number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from slackwater.plan.water_records import HourLine, WaterReport
from slackwater.report.colour import even_hue
from slackwater.report.frames import FONT, INK, SOFT_INK
from slackwater.report.svg import Node, group, node, number
from slackwater.report.words import hours

_LEFT_MM, _CELL_MM, _HIGH_MM, _TOP_MM, _GAP_MM = 46.0, 10.0, 8.0, 16.0, 7.0
_TEXT_MM, _SMALL_MM = 2.9, 2.4
_DEEPEST = 0.6  # dark ink stays readable on it
_FOOT_MM = 20.0


@dataclass(frozen=True)
class _Row:
    """A row of cells: its name, the value of each hour, where the hue begins and ends, its digits."""

    name: str
    value: Callable[[HourLine], float]
    light: float
    dark: float
    digits: int


def water_svg(report: WaterReport) -> str:
    """Return oxygen and temperature by hour after the power fails.

    Parameters
    ----------
    report
        The water of one tank.

    Returns
    -------
    str
        SVG, sized in millimetres; darker is less oxygen, or colder, and each cell has its number.
    """
    lines = report.power.hours
    oxygen = [
        _Row("Oxygen, mg/L: hard case", lambda line: line.hard_mg_l, report.full_mg_l, 0.0, 1),
        _Row("the same with an air pump", lambda line: line.aided_mg_l, report.full_mg_l, 0.0, 1),
        _Row("easy case", lambda line: line.easy_mg_l, report.full_mg_l, 0.0, 1),
    ]
    start, room = report.temperature_c, report.power.room_c
    warmth = [
        _Row("Water, C: cools fast", lambda line: line.cold_c, start, room, 0),
        _Row("cools slowly", lambda line: line.warm_c, start, room, 0),
    ]
    top, between = _TOP_MM, _TOP_MM + len(oxygen) * _HIGH_MM + _GAP_MM
    parts = [*_heads(report, lines), *_rows(oxygen, lines, top), *_rows(warmth, lines, between)]
    bottom = between + len(warmth) * _HIGH_MM
    parts += [_words(text, 2.0, bottom + 6.0 + 4.0 * n, _SMALL_MM) for n, text in enumerate(_foot(report))]
    return _drawn(parts, _LEFT_MM + len(lines) * _CELL_MM + 3.0, bottom + _FOOT_MM, describe(report))


def describe(report: WaterReport) -> str:
    """Return the figure in words, for those who cannot see it."""
    levels = "; ".join(
        f"{line.level_mg_l:g} mg/L after {hours(line.hours_low, line.hours_high)}"
        for line in report.power.levels
    )
    return f"Without pumps the oxygen falls to {levels}, from a hard to an easy case; 24 is the most counted."


def _heads(report: WaterReport, lines: Sequence[HourLine]) -> list[Node]:
    title = f"Hours after the power fails: {report.title}, {report.net_l:.0f} L"
    hours_at = [
        _words(f"{line.hour:g}", _LEFT_MM + (n + 0.5) * _CELL_MM, _TOP_MM - 2.0, _SMALL_MM, anchor="middle")
        for n, line in enumerate(lines)
    ]
    return [_words(title, 2.0, 6.0, 3.4), _words("hour", 2.0, _TOP_MM - 2.0, _SMALL_MM), *hours_at]


def _rows(rows: Sequence[_Row], lines: Sequence[HourLine], top_mm: float) -> list[Node]:
    return [_row(row, lines, top_mm + n * _HIGH_MM) for n, row in enumerate(rows)]


def _row(row: _Row, lines: Sequence[HourLine], top_mm: float) -> Node:
    cells = [_cell(row, line, _LEFT_MM + n * _CELL_MM, top_mm) for n, line in enumerate(lines)]
    return group((_words(row.name, 2.0, top_mm + 5.2, _TEXT_MM), *cells))


def _cell(row: _Row, line: HourLine, left_mm: float, top_mm: float) -> Node:
    value = row.value(line)
    span = row.light - row.dark
    depth = min(max((row.light - value) / span, 0.0), 1.0) if span > 0.0 else 0.0
    box = node(
        "rect",
        x=left_mm,
        y=top_mm,
        width=_CELL_MM,
        height=_HIGH_MM,
        fill=even_hue(_DEEPEST * depth),
        stroke="#ffffff",
        stroke_width=0.3,
    )
    middle = left_mm + 0.5 * _CELL_MM
    shown = _words(f"{value:.{row.digits}f}", middle, top_mm + 5.2, _TEXT_MM, anchor="middle", ink=INK)
    return group((box, shown))


def _foot(report: WaterReport) -> tuple[str, ...]:
    return (
        describe(report),
        f"Room {report.power.room_c:g} C; panes and surface pass 10 (fast) or 4 (slowly) W/(m2 K), assumed.",
        "Count on the hard case. Darker is less oxygen, or colder.",
    )


def _words(
    text: str, x_mm: float, y_mm: float, size_mm: float, *, anchor: str = "start", ink: str = SOFT_INK
) -> Node:
    return node("text", text, x=x_mm, y=y_mm, font_size=size_mm, text_anchor=anchor, fill=ink)


def _drawn(parts: Sequence[Node], width_mm: float, height_mm: float, description: str) -> str:
    return str(
        node(
            "svg",
            node("title", "Oxygen and warmth without power"),
            node("desc", description),
            node("rect", width=width_mm, height=height_mm, fill="#ffffff"),
            *parts,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {number(width_mm)} {number(height_mm)}",
            width=f"{number(width_mm)}mm",
            height=f"{number(height_mm)}mm",
            role="img",
            font_family=FONT,
        )
    )
