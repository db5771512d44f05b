"""A closed mesh reduced to a few ellipsoids and boxes, with what that costs.

The solid is filled with points, the points are gathered into clusters round seeds far from one
another, and each cluster becomes the ellipsoid or the box with the same spread; all are then scaled
alike so that together they displace what the mesh displaces.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.mesh import Mesh, refused
from slackwater.tank.pieces import Piece, PieceKind, Point, as_table

Array = NDArray[np.float64]

COUNTS = (1, 2, 3, 4, 6, 8, 12, 16, 24)
"""Numbers of bodies that are tried, in order."""

GOOD_MISMATCH = 0.12
"""Mismatch at which no more bodies are tried; assumed. [-]"""

_STEPS = 36
_ROUNDS = 15
_SAMPLE = 5000
_FEWEST = 4
_JITTER = 1e-3
_BEYOND = 0.3
_SIGHTERS = 48
_OFF_GRID = 0.4142135623730951


@dataclass(frozen=True)
class Reduced:
    """A scan as bodies about the middle of its foot, and how far they are from it.

    Parameters
    ----------
    pieces
        The bodies. [cm]
    size_cm
        Extent of the scan along x, y, z. [cm]
    volume_l
        What the scan displaces. [L]
    volume_error
        Volume of the bodies over that of the scan, less 1. [-]
    mismatch
        Volume that only one of the two holds, over that of the scan. [-]
    sight_error
        Share of lines of sight round it that the bodies judge otherwise. [-]
    faces
        Faces of the scan as read.
    gaps
        Gaps in it that were closed.
    """

    pieces: tuple[Piece, ...]
    size_cm: Point
    volume_l: float
    volume_error: float
    mismatch: float
    sight_error: float
    faces: int
    gaps: int = 0


def reduce_mesh(mesh: Mesh) -> Reduced:
    """Return a closed mesh in centimetres as a few bodies.

    Parameters
    ----------
    mesh
        The surface, standing on the origin. [cm]

    Raises
    ------
    InputError
        If it encloses nothing.

    Notes
    -----
    As few bodies are taken as leave a mismatch of at most 0.12, else those of 24 that fit best.
    """
    filled = _Filled.of(mesh)
    if not len(filled.inside_cm):
        raise refused("it encloses no volume", "Check that it is a closed solid, and its unit.")
    best = _fit(filled, COUNTS[0])
    for count in COUNTS[1:]:
        if best.mismatch <= GOOD_MISMATCH or count > len(filled.inside_cm):
            break
        best = min(best, _fit(filled, count), key=lambda fit: fit.mismatch)
    x, y, z = mesh.size.tolist()
    return Reduced(
        pieces=best.pieces,
        size_cm=(x, y, z),
        volume_l=filled.volume_cm3 / 1000.0,
        volume_error=best.volume_error,
        mismatch=best.mismatch,
        sight_error=_sight_error(mesh, best.pieces, filled),
        faces=len(mesh.faces),
    )


@dataclass(frozen=True, eq=False)
class _Filled:
    """A mesh felt by a grid of points: those inside, and all with whether they are."""

    grid_cm: Array
    is_inside: NDArray[np.bool_]
    cell_cm3: float

    @classmethod
    def of(cls, mesh: Mesh) -> _Filled:
        from slackwater import kernels_mesh

        low = mesh.points.min(axis=0)
        step = np.full(3, float(mesh.size.max()) / _STEPS)
        counts = np.ceil(mesh.size / step).astype(np.int64) + 2
        # Off the round places where scans have their corners, so that no line runs along an edge.
        start = low + step * (_OFF_GRID - 0.5) * np.array([1.0, 0.93, 0.87])
        inside = kernels_mesh.mesh_fill(mesh.triangles, np.vstack([start, step]), counts)
        inside &= ~inside[:, :, -1:]
        points = start + step * np.indices(tuple(counts)).reshape(3, -1).T
        return cls(points, inside.reshape(-1), float(step.prod()))

    @property
    def inside_cm(self) -> Array:
        return np.asarray(self.grid_cm[self.is_inside])

    @property
    def volume_cm3(self) -> float:
        return self.cell_cm3 * int(self.is_inside.sum())


@dataclass(frozen=True)
class _Fit:
    pieces: tuple[Piece, ...]
    volume_error: float
    mismatch: float


def _fit(filled: _Filled, count: int) -> _Fit:
    """Return so many bodies for the points inside, scaled to their volume."""
    points = filled.inside_cm
    points = points[:: max(1, len(points) // _SAMPLE)]
    home = _clusters(points, count)
    bodies = [_body(points[home == n], filled.cell_cm3) for n in np.unique(home)]
    apart = np.min([apart_from(piece, filled.grid_cm) for piece in bodies], axis=0)
    wanted = int(filled.is_inside.sum())
    scale = float(np.partition(apart, wanted - 1)[wanted - 1])
    held = apart <= scale
    differ = int((held != filled.is_inside).sum())
    return _Fit(_grown(tuple(bodies), scale), int(held.sum()) / wanted - 1.0, differ / wanted)


def _clusters(points: Array, count: int) -> NDArray[np.int64]:
    """Return the cluster of each point: seeds far apart, then those of the most likely Gaussian."""
    seeds = [points[np.linalg.norm(points - points.mean(axis=0), axis=1).argmax()]]
    away = np.linalg.norm(points - seeds[0], axis=1)
    for _ in range(count - 1):
        seeds.append(points[away.argmax()])
        away = np.minimum(away, np.linalg.norm(points - seeds[-1], axis=1))
    home = _nearest(points, np.array(seeds))
    for _ in range(_ROUNDS):
        kept = [n for n in range(count) if (home == n).sum() > _FEWEST]
        home = _nearest(points, np.array([points[home == n].mean(axis=0) for n in kept]))
    for _ in range(_ROUNDS):
        kept = [n for n in np.unique(home).tolist() if (home == n).sum() > _FEWEST]
        home = np.argmin([_unlikeliness(points, points[home == n]) for n in kept], axis=0)
    return np.asarray(home)


def _nearest(points: Array, middles: Array) -> NDArray[np.int64]:
    return np.asarray(((points[:, None, :] - middles[None]) ** 2).sum(axis=2).argmin(axis=1))


def _unlikeliness(points: Array, members: Array) -> Array:
    """Return minus twice the log-likelihood of points under the Gaussian of some members."""
    spread = np.cov(members.T, bias=True) + _JITTER * np.trace(np.cov(members.T)) * np.eye(3)
    off = points - members.mean(axis=0)
    squares = np.einsum("ni,ij,nj->n", off, np.linalg.inv(spread), off)
    return np.asarray(squares + np.linalg.slogdet(spread)[1])


def _body(points: Array, cell_cm3: float) -> Piece:
    """Return the ellipsoid or the box with the points' spread, whichever holds more of them."""
    middle = points.mean(axis=0)
    grain = cell_cm3 ** (2.0 / 3.0) / 12.0 * np.eye(3)
    spread = grain + (np.cov(points.T, bias=True) if len(points) > 1 else 0.0)
    yaw, tilt = _axis_of(spread)
    frame = Piece(PieceKind.SLAB, (0.0, 0.0, 0.0), (1.0, 1.0, 1.0), yaw, tilt).axes
    along = np.sqrt(np.einsum("ia,ij,ja->a", frame, spread, frame))
    x, y, z = middle.tolist()
    offers = [
        Piece(kind, (x, y, z), _three(math.sqrt(wide) * along), yaw, tilt)
        for kind, wide in ((PieceKind.ELLIPSOID, 5.0), (PieceKind.SLAB, 3.0))
    ]
    return max(offers, key=lambda piece: float((apart_from(piece, points) < 1.0).sum() / piece.volume_l))


def _axis_of(spread: Array) -> tuple[float, float]:
    """Return turn and tilt of the principal axis that lies most level, its tilt within 45 degrees."""
    _, axes = np.linalg.eigh(spread)
    longest_level = max(range(3), key=lambda n: (abs(axes[2, n]) < math.sqrt(0.5), n))
    axis = axes[:, longest_level] * (1.0 if axes[0, longest_level] >= 0.0 else -1.0)
    return math.atan2(axis[1], axis[0]), math.asin(min(max(axis[2], -1.0), 1.0))


def _three(values: Array) -> Point:
    x, y, z = values.tolist()
    return x, y, z


def _grown(pieces: tuple[Piece, ...], scale: float) -> tuple[Piece, ...]:
    return tuple(replace(piece, half_cm=_three(scale * np.array(piece.half_cm))) for piece in pieces)


def apart_from(piece: Piece, points_cm: Array) -> Array:
    """Return how far points lie from a body's middle, 1 on its surface, shape (N,). [-]"""
    local = (points_cm - np.array(piece.centre_cm)) @ piece.axes / np.array(piece.half_cm)
    if piece.kind is PieceKind.SLAB:
        return np.asarray(np.abs(local).max(axis=1))
    return np.asarray(np.sqrt((local**2).sum(axis=1)))


def inside_any(pieces: tuple[Piece, ...], points_cm: Array) -> NDArray[np.bool_]:
    """Say which points lie inside any of some bodies, shape (N,)."""
    return np.asarray(np.any([apart_from(piece, points_cm) < 1.0 for piece in pieces], axis=0))


def _sight_error(mesh: Mesh, pieces: tuple[Piece, ...], filled: _Filled) -> float:
    """Return the share of sight lines round it that the bodies judge otherwise. [-]"""
    from slackwater import kernels, kernels_mesh

    beside, around = _watchers(pieces, mesh, filled)
    rows = np.repeat(np.arange(len(beside)), len(around))
    columns = np.tile(np.arange(len(around)), len(beside))
    hidden = kernels_mesh.mesh_hides(
        np.ascontiguousarray(beside[rows]), np.ascontiguousarray(around[columns]), mesh.triangles
    )
    table = as_table(pieces)
    here, there = (kernels.local_frames(np.ascontiguousarray(places), table) for places in (beside, around))
    return float((kernels.clear(here, there, table).reshape(-1) == hidden).mean())


def _watchers(pieces: tuple[Piece, ...], mesh: Mesh, filled: _Filled) -> tuple[Array, Array]:
    """Return places in the water close to a scan, and places beyond its box; the same each time."""
    rng = np.random.default_rng(5)
    free = filled.grid_cm[~filled.is_inside]
    free = free[~inside_any(pieces, free)]
    beside = free[rng.integers(0, len(free), _SIGHTERS)]
    low, high = mesh.points.min(axis=0), mesh.points.max(axis=0)
    around = rng.uniform(low, high, (_SIGHTERS, 3))
    axis, is_far = rng.integers(0, 2, _SIGHTERS), rng.integers(0, 2, _SIGHTERS) == 1
    each = np.arange(_SIGHTERS)
    away = _BEYOND * mesh.size[axis]
    around[each, axis] = np.where(is_far, high[axis] + away, low[axis] - away)
    return beside, around
