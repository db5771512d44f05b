"""Sight and reach a second time: float64 numpy, other formulas, nothing compiled."""

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.cells import Cells
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import Rockwork

Array = NDArray[np.float64]


def clear_rows(rockwork: Rockwork, sources_cm: Array, targets_cm: Array) -> NDArray[np.bool_]:
    """Return which of (M sources, N targets) see each other."""
    seen = np.ones((len(sources_cm), len(targets_cm)), bool)
    for piece in rockwork.pieces:
        here, there = _in_frame(piece, sources_cm), _in_frame(piece, targets_cm)
        meets = _meets_ball if piece.kind is PieceKind.ELLIPSOID else _meets_cube
        seen &= ~meets(here[:, None], there[None])
    return seen


def _in_frame(piece: Piece, points_cm: Array) -> Array:
    cosine, sine = np.cos(piece.yaw_rad), np.sin(piece.yaw_rad)
    turn = np.array([[cosine, sine, 0.0], [-sine, cosine, 0.0], [0.0, 0.0, 1.0]])
    return (points_cm - np.array(piece.centre_cm)) @ turn.T / np.array(piece.half_cm)


def _meets_ball(here: Array, there: Array) -> NDArray[np.bool_]:
    """Solve |here + t step|^2 = 1 and look whether the roots and [0, 1] overlap."""
    step = there - here
    a = (step**2).sum(-1)
    b = (here * step).sum(-1)
    c = (here**2).sum(-1) - 1.0
    discriminant = b * b - a * c
    root = np.sqrt(np.maximum(discriminant, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        enter, leave = (-b - root) / a, (-b + root) / a
    crossed = (discriminant > 0.0) & (enter < 1.0) & (leave > 0.0)
    return np.where(a > 0.0, crossed, c < 0.0)


def _meets_cube(here: Array, there: Array) -> NDArray[np.bool_]:
    """Clip the segment by the cube's three pairs of faces."""
    step = there - here
    step = np.where(step == 0.0, 1e-300, step)
    with np.errstate(over="ignore"):
        first, second = (-1.0 - here) / step, (1.0 - here) / step
    enter = np.minimum(first, second).max(-1)
    leave = np.maximum(first, second).min(-1)
    return np.maximum(enter, 0.0) < np.minimum(leave, 1.0)


def reach_rows(cells: Cells, use: Array, radii_cm: tuple[float, ...], rows: slice) -> Array:
    """Return reach[r, x, s] of some cells x, straight from the definition."""
    points = cells.points_cm.astype(float)
    seen = clear_rows(cells.rockwork, points[rows], points)
    squares = ((points[rows, None] - points[None]) ** 2).sum(-1)
    fields = []
    for radius in radii_cm:
        wide = radius**2 + cells.edge_cm**2 / 3.0
        fields.append((seen * (radius**2 / wide) ** 1.5 * np.exp(-squares / wide)) @ use)
    return np.array(fields)


def encounters(cells: Cells, use: Array, radii_cm: tuple[float, ...], block: int = 64) -> Array:
    """Return E[r, i, j], summed by blocks of cells."""
    total = np.zeros((len(radii_cm), use.shape[1], use.shape[1]))
    for start in range(0, len(cells), block):
        rows = slice(start, start + block)
        field = reach_rows(cells, use, radii_cm, rows)
        total += np.einsum("rxi,xj->rij", field, use[rows])
    return total
