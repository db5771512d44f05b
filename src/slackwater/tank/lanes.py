"""The swim lane and the views of a tank with its rock: the longest clear run and how views are broken."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.cells import cut
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.sight import clear_between

Array = NDArray[np.float64]

VIEW_CM = 60.0
"""Length of the views that are looked at. [cm]"""

OFF_ROCK_CM = 4.0
"""Water that a lane keeps to each side and above and below; assumed. [cm]"""

_STEP_CM = 2.5
_LEVELS = (0.25, 0.5, 0.75)
_SLACK_CM = 10.0
_MOST_POINTS = 900
_GROUND_CM = 2.5
_SMALLEST_L = 1.0
_HEXAGON_WAYS = (0.0, math.pi / 3.0, 2.0 * math.pi / 3.0)
_SQUARE_WAYS = (0.0, 0.5 * math.pi)
_NEIGHBOURS = np.ones((3, 3, 3), np.bool_)


@dataclass(frozen=True)
class Lane:
    """The longest clear run at one height above the floor, and where it begins and ends. [cm]"""

    height_cm: float
    lane_cm: float
    start_cm: tuple[float, float]
    end_cm: tuple[float, float]


def lanes(glass: Glass, rockwork: Rockwork) -> tuple[Lane, ...]:
    """Return the longest clear run along the panes at a quarter, half and three quarters of the water.

    Parameters
    ----------
    glass
        The tank.
    rockwork
        Its rock.

    Notes
    -----
    Runs go along and across the tank, in a hexagon along its panes; lines 2.5 cm apart are felt
    every 2.5 cm, and a run keeps 4 cm off rock and box. The panes at its ends may be touched.
    """
    depth = glass.height_cm - rockwork.sand_cm
    heights = [rockwork.sand_cm + share * depth for share in _LEVELS]
    ways = _HEXAGON_WAYS if glass.shape is Shape.HEXAGON else _SQUARE_WAYS
    return tuple(
        max((_run(glass, rockwork, z, way) for way in ways), key=lambda lane: lane.lane_cm) for z in heights
    )


def _run(glass: Glass, rockwork: Rockwork, height_cm: float, way_rad: float) -> Lane:
    """Return the longest clear run at a height in one direction."""
    along = np.array([math.cos(way_rad), math.sin(way_rad)])
    across = np.array([-along[1], along[0]])
    middle = np.array([0.5 * glass.length_cm, 0.5 * glass.width_cm])
    reach = math.hypot(*middle)
    marks = np.arange(-reach, reach + _STEP_CM, _STEP_CM)
    spots = middle + marks[:, None, None] * across + marks[None, :, None] * along
    free = _is_free(glass, rockwork, spots.reshape(-1, 2), height_cm).reshape(len(marks), len(marks))
    best, row, end = 0, 0, 0
    run = np.zeros(len(marks), np.int64)
    for k in range(len(marks)):
        run = np.where(free[:, k], run + 1, 0)
        if int(run.max()) > best:
            best, row, end = int(run.max()), int(run.argmax()), k
    first = spots[row, max(end - best + 1, 0)]
    last = spots[row, end]
    length = min(best * _STEP_CM, glass.lane_cm)
    return Lane(height_cm, length, _spot(first), _spot(last))


def _is_free(glass: Glass, rockwork: Rockwork, spots: Array, height_cm: float) -> NDArray[np.bool_]:
    from slackwater import kernels_tank

    inside = glass.hull.inward_cm(spots) > 0.0
    points = np.column_stack([spots, np.full(len(spots), height_cm)])
    for wall in glass.walls:
        aside = np.abs(spots - wall.centre_cm[:2]) - wall.half_cm[:2]
        inside &= aside.max(axis=1) > OFF_ROCK_CM
    if rockwork.pieces:
        inside &= kernels_tank.rock_distance(np.ascontiguousarray(points), rockwork.rock_table) > OFF_ROCK_CM
    return inside


def _spot(place: Array) -> tuple[float, float]:
    x, y = place.tolist()
    return x, y


def broken_views(glass: Glass, rockwork: Rockwork) -> float:
    """Return the share of level views of 60 cm that something breaks, below the top of the rock. [-]

    Parameters
    ----------
    glass
        The tank.
    rockwork
        Its rock.

    Notes
    -----
    Pairs of cells 50 to 70 cm apart on one level, weighted by their free water; 0 where the tank is
    too short for such a view or has no rock.
    """
    if not rockwork.pieces:
        return 0.0
    top = max(piece.centre_cm[2] + piece.spans_cm[2] for piece in rockwork.pieces)
    cells = cut(glass, rockwork, max(10.0, (1000.0 * glass.volume_l / _MOST_POINTS) ** (1.0 / 3.0)))
    low = cells.points_cm[:, 2] <= top
    points, free = cells.points_cm[low].astype(float), cells.free_l[low].astype(float)
    level = cells.index[low, 2]
    apart = np.linalg.norm(points[:, None, :2] - points[None, :, :2], axis=2)
    pairs = (np.abs(apart - VIEW_CM) < _SLACK_CM) & (level[:, None] == level[None])
    weights = free[:, None] * free[None] * pairs
    if weights.sum() <= 0.0:
        return 0.0
    seen = clear_between(cells, points, points)
    return float(weights[~seen].sum() / weights.sum())


def breaks_per_view(broken_share: float) -> float:
    """Return how many breaks a view of 60 cm meets on average, if they fall at random. [-]

    Notes
    -----
    A share p of broken views means -ln(1 - p) breaks in each (Poisson); at most 5 are told.
    """
    return min(-math.log(max(1.0 - broken_share, 1e-9)), 5.0)


def structures(glass: Glass, rockwork: Rockwork) -> int:
    """Return how many heaps of rock stand apart from one another.

    Notes
    -----
    Rock above the sand on a grid of 2.5 cm; heaps that touch are one, and so are two with less than
    about 5 cm of water between. Heaps under 1 L are not counted.
    """
    from scipy.ndimage import binary_dilation, label

    if not rockwork.pieces:
        return 0
    rock = _rock_grid(glass, rockwork)
    found, _ = label(binary_dilation(rock), _NEIGHBOURS)
    litres = np.bincount(found[rock], minlength=1) * _GROUND_CM**3 / 1000.0
    return int((litres[1:] > _SMALLEST_L).sum())


def _rock_grid(glass: Glass, rockwork: Rockwork) -> NDArray[np.bool_]:
    """Return which points of a grid above the sand lie in rock, shape (X, Y, Z)."""
    from slackwater import kernels_tank

    xs, ys = (np.arange(0.5 * _GROUND_CM, size, _GROUND_CM) for size in (glass.length_cm, glass.width_cm))
    zs = np.arange(rockwork.sand_cm + 0.5 * _GROUND_CM, glass.height_cm, _GROUND_CM)
    spots = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
    rock = np.zeros((len(spots), len(zs)), np.bool_)
    for low, high in np.moveaxis(
        kernels_tank.profiles(np.ascontiguousarray(spots), rockwork.rock_table), 2, 1
    ):
        rock |= (zs > low[:, None]) & (zs < high[:, None])
    return rock.reshape(len(xs), len(ys), len(zs))
