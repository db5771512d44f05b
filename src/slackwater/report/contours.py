"""Contours of a field on a grid: round levels, a smooth field, and closed regions above a level."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slackwater.report.svg import Point

Grid = NDArray[np.float64]

_FINE = 4
_NOWHERE = -1e9
# Corners of a cell in turn: (0,0) (0,1) (1,1) (1,0) as (row, column). Edge i joins corner i to the next.
# For each pattern of corners above the level: the edges by which a contour enters and leaves,
# always with the high ground on the same hand, so that pieces join into loops.
_CROSSINGS: tuple[tuple[tuple[int, int], ...], ...] = (
    *((), ((3, 0),), ((0, 1),), ((3, 1),)),
    *(((1, 2),), ((3, 0), (1, 2)), ((0, 2),), ((3, 2),)),
    *(((2, 3),), ((2, 0),), ((0, 1), (2, 3)), ((2, 1),)),
    *(((1, 3),), ((1, 0),), ((0, 3),), ()),
)
_CORNERS = ((0, 0), (0, 1), (1, 1), (1, 0))
_Edge = tuple[int, int, int, int]


def round_levels(highest: float, lowest: float, most: int = 5) -> tuple[float, ...]:
    """Return up to `most` levels of the series 1, 2, 5 strictly between the lowest and highest value."""
    if not highest > 0:
        return ()
    top = math.floor(math.log10(highest))
    series = [m * 10.0**e for e in range(top, top - 4, -1) for m in (5, 2, 1)]
    levels = [level for level in series if lowest < level < highest]
    return tuple(sorted(levels[:most]))


def fine_field(rows: Sequence[Sequence[float]], cell_cm: float, size_cm: Point) -> tuple[Grid, Grid, Grid]:
    """Return a smooth field from cell values, reaching to the glass, and its x and y places.

    Holes (`nan`) take the mean of their neighbours; between cells a monotone cubic is drawn, so
    no hill appears that is not in the cells.
    """
    values = _without_holes(np.array(rows, dtype=np.float64))
    ys, values = _finer(values, cell_cm, size_cm[1])
    xs, turned = _finer(values.T, cell_cm, size_cm[0])
    return turned.T, xs, ys


def regions_above(field: Grid, level: float, xs: Grid, ys: Grid) -> list[list[Point]]:
    """Return closed polygons round all ground above the level, by marching squares. [cm]"""
    ringed = np.pad(field, 1, constant_values=_NOWHERE)
    xs_ringed, ys_ringed = np.pad(xs, 1, mode="edge"), np.pad(ys, 1, mode="edge")
    following = _joined_edges(ringed, level)
    return [
        [_crossing(ringed, level, edge, xs_ringed, ys_ringed) for edge in loop] for loop in _loops(following)
    ]


def _without_holes(values: Grid) -> Grid:
    while np.isnan(values).any():
        if np.isnan(values).all():
            return np.zeros_like(values)
        padded = np.pad(values, 1, constant_values=np.nan)
        around = np.stack([padded[:-2, 1:-1], padded[2:, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:]])
        known = ~np.isnan(around)
        total = np.where(known, around, 0.0).sum(axis=0)
        count = known.sum(axis=0)
        fill = np.where(count > 0, total / np.maximum(count, 1), np.nan)
        values = np.where(np.isnan(values), fill, values)
    return values


def _finer(values: Grid, cell_cm: float, length_cm: float) -> tuple[Grid, Grid]:
    """Interpolate along the first axis from cell centres to a finer row that ends at the glass."""
    from scipy.interpolate import PchipInterpolator

    count = values.shape[0]
    centres = (np.arange(count) + 0.5) * min(cell_cm, length_cm / count)
    places = np.concatenate([[0.0], centres, [length_cm]])
    ends = np.concatenate([_beyond(values[:2]), values, _beyond(values[:-3:-1])])
    fine = np.linspace(0.0, length_cm, _FINE * count + 1)
    return fine, np.asarray(PchipInterpolator(places, ends, axis=0)(fine), dtype=np.float64)


def _beyond(last_two: Grid) -> Grid:
    """Carry the slope of the last two cells half a cell on, to the glass, never below zero."""
    outer, inner = last_two[:1], last_two[-1:]
    return np.maximum(0.0, outer + (outer - inner) / 2.0)


def _joined_edges(field: Grid, level: float) -> dict[_Edge, _Edge]:
    """Map the edge at which each piece of contour enters a cell to the edge at which it leaves."""
    following: dict[_Edge, _Edge] = {}
    above = field > level
    for row in range(field.shape[0] - 1):
        for column in range(field.shape[1] - 1):
            pattern = sum(1 << i for i, (r, c) in enumerate(_CORNERS) if above[row + r, column + c])
            for entry, leave in _CROSSINGS[pattern]:
                following[_edge(row, column, entry)] = _edge(row, column, leave)
    return following


def _edge(row: int, column: int, side: int) -> _Edge:
    (r0, c0), (r1, c1) = sorted((_CORNERS[side], _CORNERS[(side + 1) % 4]))
    return row + r0, column + c0, row + r1, column + c1


def _loops(following: dict[_Edge, _Edge]) -> list[list[_Edge]]:
    loops: list[list[_Edge]] = []
    left = dict(following)
    while left:
        start, here = left.popitem()
        loop = [start]
        while here != start:
            loop.append(here)
            here = left.pop(here)
        loops.append(loop)
    return sorted(loops)


def _crossing(field: Grid, level: float, edge: _Edge, xs: Grid, ys: Grid) -> Point:
    row0, column0, row1, column1 = edge
    low, high = field[row0, column0], field[row1, column1]
    share = (level - low) / (high - low)
    return (
        float(xs[column0] + share * (xs[column1] - xs[column0])),
        float(ys[row0] + share * (ys[row1] - ys[row0])),
    )
