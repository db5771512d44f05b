"""The outline of a tank from above: a ring of sides, each straight or bowed outward as an arc."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Spot = tuple[float, float]
"""x left to right, y front to back. [cm]"""

_ARC_STEP_RAD = math.radians(1.0)
_SAMPLES = 8


def segment_area(chord: float, bow: float) -> float:
    """Return the area between a chord and its arc, in the square of their unit.

    Parameters
    ----------
    chord
        Length of the chord. [any]
    bow
        Height of the arc above the middle of the chord, at most half of it. [the same]

    Notes
    -----
    R = (c^2/4 + s^2) / (2 s), theta = 2 asin(c / 2R), area = R^2 (theta - sin theta) / 2:
    elementary geometry of the circle. Check values: worked out, see `tests/reference/tank.csv`.

    Examples
    --------
    >>> round(segment_area(1.2, 0.2), 6)
    0.163501
    """
    if bow == 0.0:
        return 0.0
    radius, angle = _arc(chord, bow)
    return 0.5 * radius**2 * (angle - math.sin(angle))


def _arc(chord: float, bow: float) -> tuple[float, float]:
    """Return radius and angle of an arc of at most half a circle."""
    radius = (0.25 * chord**2 + bow**2) / (2.0 * bow)
    return radius, 2.0 * math.asin(min(chord / (2.0 * radius), 1.0))


@dataclass(frozen=True)
class Outline:
    """A ring of corners, against the clock as seen from above, and how far each side bows out.

    Parameters
    ----------
    corners_cm
        Where the sides meet. [cm]
    bows_cm
        How far the side from each corner to the next bows out; 0 for a flat pane. [cm]
    """

    corners_cm: tuple[Spot, ...]
    bows_cm: tuple[float, ...]

    @classmethod
    def flat(cls, *corners_cm: Spot) -> "Outline":
        """Return an outline of flat panes."""
        return cls(corners_cm, (0.0,) * len(corners_cm))

    @property
    def sides(self) -> Iterator[tuple[Spot, Spot, float]]:
        """Start, end and bow of every side. [cm]"""
        ring = (*self.corners_cm, self.corners_cm[0])
        return ((a, b, bow) for (a, b), bow in zip(pairwise(ring), self.bows_cm, strict=True))

    @property
    def area_cm2(self) -> float:
        """Area within, exact. [cm2]"""
        flat = sum(a[0] * b[1] - b[0] * a[1] for a, b, _ in self.sides)
        return 0.5 * flat + sum(segment_area(math.dist(a, b), bow) for a, b, bow in self.sides)

    @property
    def perimeter_cm(self) -> float:
        """Length of all panes together, exact. [cm]"""
        return sum(_side_cm(math.dist(a, b), bow) for a, b, bow in self.sides)

    @cached_property
    def ring_cm(self) -> Array:
        """The outline as points, a degree apart along arcs, shape (N, 2). [cm]"""
        return self.ring_of(_ARC_STEP_RAD)

    def ring_of(self, step_rad: float) -> Array:
        """Return the outline as points with so much turn between them along arcs, shape (N, 2). [cm]"""
        return np.array([spot for a, b, bow in self.sides for spot in _along(a, b, bow, step_rad)])

    def mirrored(self, size_cm: Spot, *, across: bool, deep: bool) -> "Outline":
        """Return the outline with left and right, or front and back, changed over."""
        if not (across or deep):
            return self
        corners = tuple(
            (size_cm[0] - x if across else x, size_cm[1] - y if deep else y) for x, y in self.corners_cm
        )
        if across and deep:
            return Outline(corners, self.bows_cm)
        # One change alone turns the ring round: side k then runs from the end of the old one.
        return Outline(corners[::-1], (*self.bows_cm[-2::-1], self.bows_cm[-1]))

    def inward_cm(self, spots_cm: ArrayLike) -> Array:
        """Return how far spots lie inside the nearest pane, below 0 outside; convex outlines only.

        Parameters
        ----------
        spots_cm
            Places seen from above, shape (N, 2). [cm]
        """
        starts, normals = self.panes
        spots = np.asarray(spots_cm, float)
        depth = np.full(len(spots), np.inf)
        for start, normal in zip(starts, normals, strict=True):
            depth = np.minimum(depth, (spots - start) @ normal)
        return depth

    @cached_property
    def panes(self) -> tuple[Array, Array]:
        """A point on every flat piece of the ring and its inward normal, shapes (N, 2). [cm, 1]"""
        ring = self.ring_cm
        step = np.roll(ring, -1, axis=0) - ring
        inward = np.column_stack([-step[:, 1], step[:, 0]])
        return ring, inward / np.linalg.norm(inward, axis=1, keepdims=True)

    def columns_cm(self, edge_cm: float, count: int) -> Array:
        """Return strips along x and where the glass bounds them, shape (count, 4). [cm]

        Parameters
        ----------
        edge_cm
            Width of a strip; the last may be cut short. [cm]
        count
            Number of strips from the left.

        Returns
        -------
        ndarray
            Middle, width, front and back of each strip, means over its width; convex only.
        """
        return _columns_cm(self, edge_cm, count).copy()


@lru_cache(maxsize=256)
def _columns_cm(outline: Outline, edge_cm: float, count: int) -> Array:
    ring = outline.ring_cm
    low, high = float(ring[:, 0].min()), float(ring[:, 0].max())
    starts = edge_cm * np.arange(count)
    stops = np.minimum(starts + edge_cm, high)
    widths = np.maximum(stops - np.maximum(starts, low), 0.0)
    parts = (np.arange(_SAMPLES) + 0.5) / _SAMPLES
    xs = starts[:, None] + (stops - starts)[:, None] * parts
    front, back = _crossed(ring, xs.ravel())
    fronts, backs = (y.reshape(count, _SAMPLES).mean(axis=1) for y in (front, back))
    return np.column_stack([0.5 * (starts + stops), widths, fronts, backs])


def _crossed(ring: Array, xs: Array) -> tuple[Array, Array]:
    """Return the least and greatest y inside a ring at each x; equal where it is not met."""
    front, back = np.full(len(xs), np.inf), np.full(len(xs), -np.inf)
    for (ax, ay), (bx, by) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        if ax == bx:
            continue
        share = (xs - ax) / (bx - ax)
        met = (share >= 0.0) & (share <= 1.0)
        y = ay + share * (by - ay)
        front = np.where(met, np.minimum(front, y), front)
        back = np.where(met, np.maximum(back, y), back)
    missed = front > back
    front[missed] = back[missed] = 0.0
    return front, back


def _side_cm(chord_cm: float, bow_cm: float) -> float:
    if bow_cm == 0.0:
        return chord_cm
    radius, angle = _arc(chord_cm, bow_cm)
    return radius * angle


def _along(start: Spot, end: Spot, bow_cm: float, step_rad: float) -> Iterator[Spot]:
    """Yield points of a side, its start included and its end left out."""
    yield start
    if bow_cm == 0.0:
        return
    chord = math.dist(start, end)
    radius, angle = _arc(chord, bow_cm)
    across = ((end[0] - start[0]) / chord, (end[1] - start[1]) / chord)
    out = (across[1], -across[0])
    steps = max(2, math.ceil(angle / step_rad))
    for k in range(1, steps):
        turn = angle * (k / steps - 0.5)
        along, away = radius * math.sin(turn), radius * math.cos(turn) - (radius - bow_cm)
        x = start[0] + (0.5 * chord + along) * across[0] + away * out[0]
        yield x, start[1] + (0.5 * chord + along) * across[1] + away * out[1]
