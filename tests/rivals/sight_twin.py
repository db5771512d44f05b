"""Sight, reach and encounters a second time: plain numpy, other formulas, nothing compiled."""

import numpy as np
from numpy.typing import DTypeLike, NDArray

from slackwater.tank.cells import Cells
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import Rockwork

Array = NDArray[np.floating]
Claims = NDArray[np.bool_]


def clear_rows(
    rockwork: Rockwork, sources_cm: Array, targets_cm: Array, dtype: DTypeLike = np.float64
) -> Claims:
    """Return which of (M sources, N targets) see each other."""
    seen = np.ones((len(sources_cm), len(targets_cm)), np.bool_)
    for piece in rockwork.pieces:
        here = _in_frame(piece, sources_cm).astype(dtype)[:, :, None]
        there = _in_frame(piece, targets_cm).astype(dtype)[:, None, :]
        meets = _meets_ball if piece.kind is PieceKind.ELLIPSOID else _meets_cube
        seen &= ~meets(here, there - here)
    return seen


def _in_frame(piece: Piece, points_cm: Array) -> Array:
    """Return points in the piece's unit frame, axis first."""
    cosine, sine = np.cos(piece.yaw_rad), np.sin(piece.yaw_rad)
    turn = np.array([[cosine, sine, 0.0], [-sine, cosine, 0.0], [0.0, 0.0, 1.0]])
    level, rise = np.cos(piece.tilt_rad), np.sin(piece.tilt_rad)
    raise_end = np.array([[level, 0.0, rise], [0.0, 1.0, 0.0], [-rise, 0.0, level]])
    local = raise_end @ turn @ (points_cm.astype(np.float64) - np.array(piece.centre_cm)).T
    return np.asarray(local / np.array(piece.half_cm)[:, None])


def _meets_ball(here: Array, step: Array) -> Claims:
    """Solve |here + t step| = 1 and look whether the stretch inside overlaps [0, 1]."""
    a = step[0] * step[0] + step[1] * step[1] + step[2] * step[2]
    b = here[0] * step[0] + here[1] * step[1] + here[2] * step[2]
    c = here[0] * here[0] + here[1] * here[1] + here[2] * here[2] - 1.0
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    return np.asarray((b * b > a * c) & (-b - root < a) & (root > b) | (c < 0.0))


def _meets_cube(here: Array, step: Array) -> Claims:
    """Clip the segment by the cube's three pairs of faces."""
    step = np.where(step == 0.0, np.finfo(step.dtype).tiny, step)
    with np.errstate(over="ignore"):
        first, second = (-1.0 - here) / step, (1.0 - here) / step
    enter = np.minimum(first, second).max(axis=0)
    leave = np.maximum(first, second).min(axis=0)
    return np.asarray(np.maximum(enter, 0.0) < np.minimum(leave, 1.0))


def reach_rows(
    cells: Cells,
    use: Array,
    radii_cm: tuple[float, ...],
    rows: slice,
    dtype: DTypeLike = np.float64,
) -> Array:
    """Return reach[r, x, s] for some cells x, straight from the definition."""
    points = cells.points_cm.astype(dtype)
    seen = clear_rows(cells.rockwork, points[rows], points, dtype)
    squares = sum((points[rows, None, axis] - points[None, :, axis]) ** 2 for axis in range(3))
    fields = []
    for radius in radii_cm:
        wide = radius**2 + cells.edge_cm**2 / 3.0
        kernel = (radius**2 / wide) ** 1.5 * np.exp(-squares / wide)
        fields.append((seen * kernel) @ use.astype(dtype))
    return np.array(fields)


def encounters(
    cells: Cells,
    use: Array,
    radii_cm: tuple[float, ...],
    block: int = 64,
    dtype: DTypeLike = np.float64,
) -> Array:
    """Return E[r, i, j], summed by blocks of cells."""
    total = np.zeros((len(radii_cm), use.shape[1], use.shape[1]))
    for start in range(0, len(cells), block):
        rows = slice(start, start + block)
        field = reach_rows(cells, use, radii_cm, rows, dtype)
        total += np.einsum("rxi,xj->rij", field, use[rows], optimize=True)
    return total
