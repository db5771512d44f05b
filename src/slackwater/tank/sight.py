"""Which points of a tank see each other past the rock, the panes and the boxes."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.tank.cells import Cells, solids_of
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass


def clear_from(
    rockwork: Rockwork, origin_cm: ArrayLike, targets_cm: ArrayLike, glass: Glass | None = None
) -> NDArray[np.bool_]:
    """Say which targets are in plain sight of one point.

    Parameters
    ----------
    rockwork
        The rock in between.
    origin_cm
        The point, shape (3,). [cm]
    targets_cm
        The targets, shape (N, 3). [cm]
    glass
        The tank, if its walls hide anything.

    Returns
    -------
    ndarray of bool
        One claim per target, shape (N,).
    """
    origin = np.reshape(np.asarray(origin_cm, float), (1, 3))
    return _clear(_solids(rockwork, glass), origin, targets_cm).reshape(-1)


def clear_pairs(rockwork: Rockwork, points_cm: ArrayLike, glass: Glass | None = None) -> NDArray[np.bool_]:
    """Say which points see each other.

    Parameters
    ----------
    rockwork
        The rock in between.
    points_cm
        The points, shape (C, 3). [cm]
    glass
        The tank, if its walls hide anything.

    Returns
    -------
    ndarray of bool
        One claim per pair, shape (C, C).
    """
    return _clear(_solids(rockwork, glass), points_cm, points_cm)


def clear_between(cells: Cells, origins_cm: ArrayLike, targets_cm: ArrayLike) -> NDArray[np.bool_]:
    """Say which of some places see which others in a tank.

    Parameters
    ----------
    cells
        The tank, cut.
    origins_cm, targets_cm
        The places, shapes (M, 3) and (N, 3). [cm]

    Returns
    -------
    ndarray of bool
        One claim per pair, shape (M, N).
    """
    return _clear(cells.solids, origins_cm, targets_cm)


def _solids(rockwork: Rockwork, glass: Glass | None) -> NDArray[np.float64]:
    return rockwork.table if glass is None else solids_of(glass, rockwork)


def _clear(solids: NDArray[np.float64], origins: ArrayLike, targets: ArrayLike) -> NDArray[np.bool_]:
    from slackwater import kernels

    here = kernels.local_frames(np.ascontiguousarray(origins, float), solids)
    there = kernels.local_frames(np.ascontiguousarray(targets, float), solids)
    seen: NDArray[np.bool_] = kernels.clear(here, there, solids)
    return seen
