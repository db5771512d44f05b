"""A scanned surface: cleaned, closed, scaled, and turned upright; numbers only, no files."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

MOST_FACES = 200_000
"""Most faces of a scan that are read; more are thinned out by whoever made it."""

_WELD = 1e-6
_THINNEST = 1e-3
_MOST_GAPS = 50


@dataclass(frozen=True, eq=False)
class Mesh:
    """A surface of triangles.

    Parameters
    ----------
    points
        Its corners, shape (V, 3). [any unit, later cm]
    faces
        Three corners each, shape (F, 3).
    """

    points: Array
    faces: Indices

    @property
    def triangles(self) -> Array:
        """The faces as places, shape (F, 3, 3)."""
        return np.ascontiguousarray(self.points[self.faces])

    @property
    def size(self) -> Array:
        """Extent along x, y, z, shape (3,)."""
        return np.asarray(np.ptp(self.points, axis=0))


def cleaned(mesh: Mesh) -> tuple[Mesh, int]:
    """Return a closed surface of the same form, and how many gaps had to be closed.

    Parameters
    ----------
    mesh
        The surface as read.

    Raises
    ------
    InputError
        If it holds no finite points, is flat, or cannot be closed.

    Notes
    -----
    Corners within a millionth of the size are one; faces without area and doubled faces go. A
    ring of open edges, such as the missing underside of a scan, is closed by a fan round its middle.
    """
    if not len(mesh.faces) or not np.isfinite(mesh.points).all():
        raise refused("it holds points that are no numbers", "Export it again from the scanning program.")
    size = mesh.size
    if not size.min() > _THINNEST * size.max() > 0.0:
        raise refused("it is flat", "Export the solid, not a drawing of it.")
    welded = _welded(mesh)
    closed, gaps = _closed(welded)
    if _open_edges(closed.faces).size:
        raise refused(
            "its surface is not closed and could not be closed",
            "Make it watertight in the program that made it, and export it again.",
        )
    return closed, gaps


def upright(mesh: Mesh, up: str) -> Mesh:
    """Return the mesh with z up, from y up if so told."""
    if up == "z":
        return mesh
    x, y, z = mesh.points.T
    return Mesh(np.column_stack([x, -z, y]), mesh.faces)


def stood(mesh: Mesh, scale: float) -> Mesh:
    """Return the mesh scaled, with the middle of its box above the origin and its foot on it."""
    points = scale * mesh.points
    low, high = points.min(axis=0), points.max(axis=0)
    middle = np.array([0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]), low[2]])
    return Mesh(points - middle, mesh.faces)


def refused(limit: str, remedy: str) -> InputError:
    """Return the refusal of a scan; who reads it adds its name."""
    return InputError(field="scan", given="the scan", limit=limit, remedy=remedy)


def _welded(mesh: Mesh) -> Mesh:
    """Return the mesh with near corners made one, and empty and doubled faces left out."""
    keys = np.round((mesh.points - mesh.points.min(axis=0)) / (_WELD * mesh.size.max())).astype(np.int64)
    _, first, number = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    faces = number.reshape(-1)[mesh.faces]
    a, b, c = faces.T
    faces = faces[(a != b) & (b != c) & (c != a)]
    _, kept = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    return Mesh(mesh.points[first], np.ascontiguousarray(faces[np.sort(kept)]))


def _open_edges(faces: Indices) -> Indices:
    """Return the edges that an odd number of faces share, shape (E, 2), as their face runs."""
    edges = np.vstack([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    _, first, count = np.unique(np.sort(edges, axis=1), axis=0, return_index=True, return_counts=True)
    return np.asarray(edges[first[count % 2 == 1]])


def _closed(mesh: Mesh) -> tuple[Mesh, int]:
    """Close every ring of open edges by a fan round its middle."""
    rings = _rings(_open_edges(mesh.faces))
    points, faces = [mesh.points], [mesh.faces]
    count = len(mesh.points)
    for ring in rings:
        points.append(mesh.points[ring].mean(axis=0, keepdims=True))
        ends = np.roll(ring, -1)
        faces.append(np.column_stack([ends, ring, np.full(len(ring), count)]))
        count += 1
    return Mesh(np.vstack(points), np.vstack(faces)), len(rings)


def _rings(edges: Indices) -> list[Indices]:
    """Return open edges strung into closed rings; what does not close is left out."""
    beside: dict[int, list[int]] = {}
    for a, b in edges.tolist():
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    rings: list[Indices] = []
    while beside and len(rings) < _MOST_GAPS:
        start = next(iter(beside))
        ring = _walk(start, beside)
        if len(ring) > 2:  # noqa: PLR2004 - a ring has three corners at least
            rings.append(np.array(ring, np.int64))
    return rings


def _walk(start: int, beside: dict[int, list[int]]) -> list[int]:
    """Walk along open edges, taking each away, until back at the start or at an end."""
    ring, here = [start], start
    while beside.get(here):
        onward = beside[here].pop()
        beside[onward].remove(here)
        for spot in (here, onward):
            if not beside[spot]:
                del beside[spot]
        if onward == start:
            return ring
        ring.append(onward)
        here = onward
    beside.pop(here, None)
    return []
