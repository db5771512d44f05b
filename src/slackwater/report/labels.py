"""Where the numbers go: each label beside what it names, clear of the other labels and of the glass."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.report.svg import Point

_DIRECTIONS = tuple(i * math.pi / 8 for i in (4, 2, 6, 0, 8, 12, 10, 14, 3, 5, 1, 7, 9, 11, 13, 15))
_STEPS = (1.0, 1.5, 2.2, 3.0, 4.0)


@dataclass(frozen=True)
class Box:
    """A rectangle by its middle and half sizes. [cm]"""

    centre: Point
    half: Point

    def overlap(self, other: Box) -> float:
        """Return the area the two share. [cm2]"""
        wide, high = (self.half[i] + other.half[i] - abs(self.centre[i] - other.centre[i]) for i in (0, 1))
        wide = min(wide, 2 * self.half[0], 2 * other.half[0])
        high = min(high, 2 * self.half[1], 2 * other.half[1])
        return max(0.0, wide) * max(0.0, high)

    def holds(self, other: Box) -> bool:
        """Tell whether the other lies wholly inside."""
        return all(
            abs(self.centre[i] - other.centre[i]) + other.half[i] <= self.half[i] + 1e-9 for i in (0, 1)
        )

    def moved_into(self, other: Box) -> Box:
        """Return this box moved just far enough to lie inside the other; centred where it is too large."""
        centre = tuple(
            other.centre[i] + max(-slack, min(slack, self.centre[i] - other.centre[i]))
            for i, slack in ((i, max(0.0, other.half[i] - self.half[i])) for i in (0, 1))
        )
        return Box((centre[0], centre[1]), self.half)


def label_places(anchors: Sequence[Box], bodies: Sequence[Box], bounds: Box, radius_cm: float) -> list[Point]:
    """Return a place for one round label for each anchor, in order.

    The nearest place that covers nothing is taken; where all cover something, the one that
    covers least. Labels weigh more than bodies.
    """
    placed: list[Box] = []
    for anchor in anchors:
        candidates = [c for c in _around(anchor, radius_cm) if bounds.holds(c)] or [
            Box(anchor.centre, (radius_cm, radius_cm)).moved_into(bounds)
        ]
        placed.append(min(candidates, key=lambda c: _cost(c, anchor, placed, bodies)))
    return [label.centre for label in placed]


def _around(anchor: Box, radius_cm: float) -> list[Box]:
    half = (radius_cm * 1.15, radius_cm * 1.15)
    gap = radius_cm * 1.25
    return [
        Box(
            (
                anchor.centre[0] + math.cos(angle) * (anchor.half[0] + gap * step),
                anchor.centre[1] - math.sin(angle) * (anchor.half[1] + gap * step),
            ),
            half,
        )
        for step in _STEPS
        for angle in _DIRECTIONS
    ]


def _cost(label: Box, anchor: Box, placed: Sequence[Box], bodies: Sequence[Box]) -> float:
    over_labels = sum(label.overlap(other) for other in placed)
    over_bodies = sum(label.overlap(body) for body in bodies)
    away = math.dist(label.centre, anchor.centre)
    return round(over_labels * 50.0 + over_bodies * 5.0 + away * label.half[0] * 0.1, 6)
