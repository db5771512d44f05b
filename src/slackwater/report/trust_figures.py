"""How far the answers can be trusted, drawn: forecasts against judgements, and families one by one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.report.svg import Node, node

_SIZE, _EDGE = 300.0, 40.0
_AIR = 10.0
_ROW, _LEFT, _WIDE = 16.0, 190.0, 260.0


@dataclass(frozen=True)
class Shades:
    """The ink of a figure, what it fills with, its thin lines, and the paper under it."""

    ink: str = "#1f2933"
    fill: str = "#8fb0bf"
    thin: str = "#9aa5b1"
    paper: str = "#ffffff"


def reliability_figure(rows: Sequence[tuple[float, float, int]], shades: Shades | None = None) -> Node:
    """Return what was forecast against what the judges say.

    Parameters
    ----------
    rows
        For each band of forecasts: forecast and judged share of serious harm [0 to 1], and how many.
    shades
        The colours; those of paper if left out.
    """
    use = shades or Shades()
    parts = [*_frame(use), *(mark for share in (0.0, 0.25, 0.5, 0.75, 1.0) for mark in _marks(share, use))]
    for said, came, count in rows:
        x, y = _EDGE + _SIZE * said, 10 + _SIZE * (1 - came)
        radius = 3.0 + 1.2 * math.sqrt(count)
        parts.append(node("circle", cx=x, cy=y, r=radius, fill=use.fill, stroke=use.ink, stroke_width=1))
        parts.append(_text(str(count), x, y + 4, "middle", use))
    middle = _EDGE + _SIZE / 2
    parts.append(_text("forecast chance of serious harm [%]", middle, 10 + _SIZE + 36, "middle", use))
    parts.append(_text("judged serious [%]; numbers in circles: cases", _EDGE, 0, "start", use))
    return _svg(parts, (360.0, 362.0), "Reliability of forecasts of serious harm", use)


def families_figure(rows: Sequence[tuple[str, int, int]], shades: Shades | None = None) -> Node:
    """Return the share right by family as bars with counts.

    Parameters
    ----------
    rows
        Family, how many cases came out right, and of how many.
    shades
        The colours; those of paper if left out.
    """
    use = shades or Shades()
    parts = []
    for n, (family, right, count) in enumerate(rows):
        y = 10 + n * _ROW
        parts.append(_text(family, _LEFT - 6, y + 11, "end", use))
        wide = _WIDE * right / count
        parts.append(node("rect", x=_LEFT, y=y + 2, width=wide, height=_ROW - 5, fill=use.fill))
        parts.append(_text(f"{right} of {count}", _LEFT + _WIDE + 6, y + 11, "start", use))
    return _svg(parts, (_LEFT + _WIDE + 70, 20 + _ROW * len(rows)), "Share right by family", use)


def _frame(use: Shades) -> list[Node]:
    far = _EDGE + _SIZE
    return [
        node("rect", x=_EDGE, y=10, width=_SIZE, height=_SIZE, fill="none", stroke=use.ink, stroke_width=1),
        node("line", x1=_EDGE, y1=10 + _SIZE, x2=far, y2=10, stroke=use.thin, stroke_dasharray="4 4"),
    ]


def _marks(share: float, use: Shades) -> list[Node]:
    x, y = _EDGE + _SIZE * share, 10 + _SIZE * (1 - share)
    number = f"{100 * share:.0f}"
    return [_text(number, x, 10 + _SIZE + 16, "middle", use), _text(number, _EDGE - 6, y + 4, "end", use)]


def _text(text: str, x: float, y: float, anchor: str, use: Shades) -> Node:
    return node(
        "text", text, x=x, y=y, font_size=11, text_anchor=anchor, fill=use.ink, font_family="sans-serif"
    )


def _svg(parts: Sequence[Node], size: tuple[float, float], title: str, use: Shades) -> Node:
    width, height = size
    return node(
        "svg",
        node("title", title),
        node("rect", x=0, y=-_AIR, width=width, height=height + _AIR, fill=use.paper),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 {-_AIR:g} {width:g} {height + _AIR:g}",
        width=width,
        height=height + _AIR,
    )
