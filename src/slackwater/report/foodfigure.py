"""Who gets how much of the food, as plain bars in one even hue."""

from __future__ import annotations

from slackwater.plan.records import FedRow, FeedingCard
from slackwater.report.frames import FONT, INK, SOFT_INK
from slackwater.report.svg import Node, group, node, number

BAR = "#8fb0bd"

_WIDTH_MM, _NAME_MM, _FIGURE_MM = 150.0, 48.0, 12.0
_ROW_MM, _BAR_MM, _TOP_MM, _FOOT_MM = 7.0, 4.2, 13.0, 9.0
_TEXT_MM, _SMALL_MM = 3.0, 2.6


def food_svg(card: FeedingCard, title: str) -> str:
    """Return the share of its need that reaches each party at the keeper's feeds and stations.

    Parameters
    ----------
    card
        The feeding card; one bar for each row.
    title
        What the tank is called.

    Returns
    -------
    str
        SVG in millimetres. A full bar is all that the worst-off of a party needs; each bar carries
        its figure, so that nothing is told by length or colour alone.
    """
    height = _TOP_MM + _ROW_MM * len(card.rows) + _FOOT_MM
    head = _words(title, 0.0, 4.0, size=_TEXT_MM, weight="600")
    sub = _words("Share of its need that reaches the worst-off of each kind", 0.0, 9.0, size=_SMALL_MM)
    bars = [_bar(row, _TOP_MM + _ROW_MM * n) for n, row in enumerate(card.rows)]
    return str(
        node(
            "svg",
            node("title", f"{title}: who gets how much of the food"),
            node("desc", food_description(card)),
            head,
            sub,
            *bars,
            _axis(height - _FOOT_MM),
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {number(_WIDTH_MM)} {number(height)}",
            width=f"{number(_WIDTH_MM)}mm",
            height=f"{number(height)}mm",
            role="img",
            font_family=FONT,
        )
    )


def food_description(card: FeedingCard) -> str:
    """Return the bars in words, for those who cannot see them."""
    return "; ".join(f"{row.common_name} {100.0 * (1.0 - row.missed):.0f} %" for row in card.rows) + "."


def _bar(row: FedRow, top_mm: float) -> Node:
    reached = 1.0 - row.missed
    middle = top_mm + _ROW_MM / 2.0
    name = f"{row.count} {row.common_name}" if row.count > 1 else row.common_name
    frame = {"x": _NAME_MM, "y": middle - _BAR_MM / 2.0, "height": _BAR_MM}
    return group(
        (
            _words(name, _NAME_MM - 2.0, middle + 1.0, anchor="end"),
            node("rect", width=_full_mm() * reached, fill=BAR, **frame),
            node("rect", width=_full_mm(), fill="none", stroke=INK, stroke_width=0.15, **frame),
            _words(f"{100.0 * reached:.0f} %", _WIDTH_MM, middle + 1.0, anchor="end"),
        )
    )


def _axis(top_mm: float) -> Node:
    marks = [
        _words(
            words, _NAME_MM + share * _full_mm(), top_mm + 4.0, size=_SMALL_MM, anchor="middle", fill=SOFT_INK
        )
        for share, words in ((0.0, "none"), (0.5, "half"), (1.0, "all"))
    ]
    return group(marks)


def _full_mm() -> float:
    return _WIDTH_MM - _NAME_MM - _FIGURE_MM


def _words(
    words: str,
    x_mm: float,
    y_mm: float,
    *,
    size: float = _TEXT_MM,
    anchor: str = "start",
    weight: str = "400",
    fill: str = INK,
) -> Node:
    return node(
        "text", words, x=x_mm, y=y_mm, font_size=size, text_anchor=anchor, font_weight=weight, fill=fill
    )
