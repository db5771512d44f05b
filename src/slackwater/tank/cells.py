"""The water cut into cells: where an animal can be, and how much room is there."""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass, wall_table

_LINES = 8
"""Upright lines to a side of a cell, as the kernel has it."""


@dataclass(frozen=True, eq=False)
class Cells:
    """The free water of a tank, cell by cell; cells that stand together are listed together.

    Parameters
    ----------
    edge_cm
        Edge of a whole cell. [cm]
    points_cm
        Centroids of the free water, moved out where that would be rock, shape (C, 3). [cm]
    free_l
        Free water per cell, shape (C,). [L]
    rock_distance_cm
        Distance to the nearest rock surface, inf without rock, shape (C,). [cm]
    index
        Grid step of each cell along x, y, z, from the front left of the floor, shape (C, 3).
    shape
        Grid steps along x, y, z.
    glass, rockwork
        What was cut.
    """

    edge_cm: float
    points_cm: NDArray[np.float32]
    free_l: NDArray[np.float32]
    rock_distance_cm: NDArray[np.float32]
    index: NDArray[np.int32]
    shape: tuple[int, int, int]
    glass: Glass
    rockwork: Rockwork

    @cached_property
    def solids(self) -> NDArray[np.float64]:
        """All that stands in the water and in the way of sight, as the kernels read it."""
        return solids_of(self.glass, self.rockwork)

    def __len__(self) -> int:
        """Return the number of cells with free water."""
        return len(self.free_l)


def cut(glass: Glass, rockwork: Rockwork, edge_cm: float) -> Cells:
    """Cut the free water of a tank into cubic cells.

    Parameters
    ----------
    glass
        The tank.
    rockwork
        Its rock and the depth of its sand.
    edge_cm
        Cell edge: 10 for search, 5 for answers. [cm]

    Returns
    -------
    Cells
        Every cell with free water above the sand, outside rock, inside the glass.

    Raises
    ------
    InputError
        If the edge is not positive.

    Notes
    -----
    Each cell is summed over 8 x 8 upright lines, exact along z and, for the glass, along y; round
    glass is averaged along x over the width of a line. Distances to ellipsoids are first-order:
    right near the surface, up to a fifth too short far from a flat piece.
    """
    from slackwater import kernels_tank

    if not (math.isfinite(edge_cm) and edge_cm > 0.0):
        raise _bad_edge(edge_cm)
    size_cm = np.array([glass.length_cm, glass.width_cm, glass.height_cm])
    counts = np.ceil(size_cm / edge_cm - 1e-9).astype(np.int64)
    water = np.array([glass.height_cm, rockwork.sand_cm, edge_cm])
    columns = glass.hull.columns_cm(edge_cm / _LINES, _LINES * int(counts[0]))
    grid = kernels_tank.free_water(counts, water, columns, solids_of(glass, rockwork))
    kept = _together(counts)
    kept = kept[grid[kept, 3] > 0.0]
    points_cm = np.ascontiguousarray(grid[kept, :3])
    return Cells(
        edge_cm=float(edge_cm),
        points_cm=points_cm.astype(np.float32),
        free_l=(grid[kept, 3] / 1000.0).astype(np.float32),
        rock_distance_cm=_to_rock_cm(points_cm, rockwork),
        index=np.stack(np.unravel_index(kept, tuple(counts)), axis=1).astype(np.int32),
        shape=(int(counts[0]), int(counts[1]), int(counts[2])),
        glass=glass,
        rockwork=rockwork,
    )


def solids_of(glass: Glass, rockwork: Rockwork) -> NDArray[np.float64]:
    """Return rock, raised sand and the walls of a tank as the kernels read them."""
    if not glass.walls:
        return rockwork.table
    return np.ascontiguousarray(np.vstack([rockwork.table, wall_table(glass)]))


def _together(counts: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return flat grid numbers, bit by bit interleaved, so that neighbours stay close."""
    steps = np.indices(tuple(counts)).reshape(3, -1)
    order = np.zeros(steps.shape[1], np.int64)
    for bit in range(int(counts.max()).bit_length()):
        for axis in range(3):
            order |= (steps[axis] >> bit & 1) << (3 * bit + axis)
    return np.argsort(order)


def _to_rock_cm(points_cm: NDArray[np.float64], rockwork: Rockwork) -> NDArray[np.float32]:
    from slackwater import kernels_tank

    if not rockwork.pieces:
        return np.full(len(points_cm), np.inf, np.float32)
    return np.maximum(kernels_tank.rock_distance(points_cm, rockwork.rock_table), 0.0).astype(np.float32)


def _bad_edge(edge_cm: float) -> InputError:
    return InputError(
        field="edge_cm",
        given=f"{edge_cm:g} cm",
        limit="a cell edge must be greater than 0",
        remedy="Use 5 cm for answers or 10 cm for search.",
    )
