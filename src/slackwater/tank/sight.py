"""Which points of a tank see each other past the rock."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.tank.rock import Rockwork


def clear_from(rockwork: Rockwork, origin_cm: ArrayLike, targets_cm: ArrayLike) -> NDArray[np.bool_]:
    """Say which targets are in plain sight of one point.

    Parameters
    ----------
    rockwork
        The rock in between.
    origin_cm
        The point, shape (3,). [cm]
    targets_cm
        The targets, shape (N, 3). [cm]

    Returns
    -------
    ndarray of bool
        One claim per target, shape (N,).
    """
    origin = np.reshape(np.asarray(origin_cm, float), (1, 3))
    return _clear(rockwork, origin, targets_cm).reshape(-1)


def clear_pairs(rockwork: Rockwork, points_cm: ArrayLike) -> NDArray[np.bool_]:
    """Say which points see each other.

    Parameters
    ----------
    rockwork
        The rock in between.
    points_cm
        The points, shape (C, 3). [cm]

    Returns
    -------
    ndarray of bool
        One claim per pair, shape (C, C).
    """
    return _clear(rockwork, points_cm, points_cm)


def _clear(rockwork: Rockwork, origins: ArrayLike, targets: ArrayLike) -> NDArray[np.bool_]:
    from slackwater import kernels

    here = kernels.local_frames(np.ascontiguousarray(origins, float), rockwork.table)
    there = kernels.local_frames(np.ascontiguousarray(targets, float), rockwork.table)
    seen: NDArray[np.bool_] = kernels.clear(here, there, rockwork.table)
    return seen
