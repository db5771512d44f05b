"""Who meets whom: overlap of use, nearness and line of sight, summed over the water."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.cells import Cells


def reach(cells: Cells, use: NDArray[np.float32], radii_cm: Sequence[float]) -> NDArray[np.float32]:
    """Return how strongly each animal is felt at each cell, per reaction distance.

    Parameters
    ----------
    cells
        The water of the tank.
    use
        Share of its time that animal s spends in cell y; columns sum to 1, shape (C, S). [-]
    radii_cm
        Reaction distances, shape (R,). [cm]

    Returns
    -------
    ndarray of float32
        reach[r, x, s], shape (R, C, S). [-]

    Raises
    ------
    ValueError
        If `use` does not have one row per cell.

    Notes
    -----
    reach[r, x, s] = sum over y of K_r(x, y) v(x, y) use[y, s], with v = 1 where x sees y, and
    K_r = (rho^2 / q)^1.5 exp(-d^2 / q), q = rho^2 + h^2 / 3: the kernel exp(-d^2 / rho^2)
    averaged over two cells of edge h. Values of exp below 4e-8 are left out.
    """
    from slackwater import kernels

    if use.shape[0] != len(cells):
        raise ValueError(f"use has {use.shape[0]} rows for {len(cells)} cells")
    local = kernels.local_frames(cells.points_cm.astype(np.float64), cells.solids)
    xyz = np.ascontiguousarray(cells.points_cm.T)
    shares = np.ascontiguousarray(use, np.float32)
    radii = np.array(radii_cm, float)
    field = kernels.reach(xyz, local, cells.solids, shares, radii, cells.edge_cm)
    return field.transpose(0, 2, 1)


def encounters(reach: NDArray[np.float32], use: NDArray[np.float32]) -> NDArray[np.float64]:
    """Return the encounter of every ordered pair, per reaction distance.

    Parameters
    ----------
    reach
        What :func:`reach` returned, shape (R, C, S). [-]
    use
        The use it was made with, shape (C, S). [-]

    Returns
    -------
    ndarray of float64
        E[r, i, j] = sum over x of use[x, j] reach[r, x, i], shape (R, S, S). [-]
    """
    from slackwater import kernels

    by_animal = np.ascontiguousarray(reach.transpose(0, 2, 1))
    return kernels.pair_sums(by_animal, np.ascontiguousarray(use.T, np.float32))
