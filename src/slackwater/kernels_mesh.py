"""The compiled loops that feel a scanned surface: what it encloses, and which lines it crosses."""

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import Doubles, loop, prange

Counts = NDArray[np.int64]

_SLIVER = 1e-12


@loop()
def _cross_lines(triangle: Doubles, grid: Doubles, crossed: Doubles) -> None:
    """Add a triangle's crossings; `grid` holds start and step of x, y, z [cm], shape (2, 3)."""
    ax, ay, bx, by, cx, cy = (
        triangle[0, 0], triangle[0, 1], triangle[1, 0], triangle[1, 1], triangle[2, 0], triangle[2, 1],
    )  # fmt: skip
    area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
    if abs(area) < _SLIVER:
        return
    start_x, start_y, start_z = grid[0, 0], grid[0, 1], grid[0, 2]
    first_x = max(int(np.ceil((min(ax, bx, cx) - start_x) / grid[1, 0])), 0)
    last_x = min(int(np.floor((max(ax, bx, cx) - start_x) / grid[1, 0])), crossed.shape[0] - 1)
    first_y = max(int(np.ceil((min(ay, by, cy) - start_y) / grid[1, 1])), 0)
    last_y = min(int(np.floor((max(ay, by, cy) - start_y) / grid[1, 1])), crossed.shape[1] - 1)
    for i in range(first_x, last_x + 1):
        for j in range(first_y, last_y + 1):
            x, y = start_x + i * grid[1, 0], start_y + j * grid[1, 1]
            u = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area
            v = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area
            if u >= 0.0 and v >= 0.0 and u + v <= 1.0:
                z = (
                    triangle[0, 2]
                    + u * (triangle[1, 2] - triangle[0, 2])
                    + v * (triangle[2, 2] - triangle[0, 2])
                )
                k = max(int(np.ceil((z - start_z) / grid[1, 2])), 0)
                if k < crossed.shape[2]:
                    crossed[i, j, k] += 1.0


@loop("f8[:,:,::1](f8[:,:,::1], f8[:,::1], i8[::1])")
def _crossing_parity(triangles: Doubles, grid: Doubles, counts: Counts) -> Doubles:
    """Return how often upright lines cross a mesh, by the first grid point above, shape `counts`."""
    crossed = np.zeros((counts[0], counts[1], counts[2]))
    for t in range(triangles.shape[0]):
        _cross_lines(triangles[t], grid, crossed)
    return crossed


def mesh_fill(triangles: Doubles, grid: Doubles, counts: Counts) -> NDArray[np.bool_]:
    """Return which points of a grid lie inside a closed mesh, by crossings below, shape `counts`.

    `triangles` is (T, 3, 3) [cm]; `grid` holds start and step of x, y, z [cm], shape (2, 3).
    """
    return np.cumsum(_crossing_parity(triangles, grid, counts), axis=2) % 2.0 == 1.0


@loop()
def _meets_triangle(start: Doubles, end: Doubles, triangle: Doubles) -> bool:
    """Say whether a segment meets a triangle (Moeller and Trumbore's way)."""
    for axis in range(3):
        low, high = min(start[axis], end[axis]), max(start[axis], end[axis])
        a, b, c = triangle[0, axis], triangle[1, axis], triangle[2, axis]
        if max(a, b, c) < low or min(a, b, c) > high:
            return False
    base = triangle[0]
    dx, dy, dz = end[0] - start[0], end[1] - start[1], end[2] - start[2]
    ex, ey, ez = triangle[1, 0] - base[0], triangle[1, 1] - base[1], triangle[1, 2] - base[2]
    fx, fy, fz = triangle[2, 0] - base[0], triangle[2, 1] - base[1], triangle[2, 2] - base[2]
    px, py, pz = dy * fz - dz * fy, dz * fx - dx * fz, dx * fy - dy * fx
    scale = ex * px + ey * py + ez * pz
    if abs(scale) < _SLIVER:
        return False
    sx, sy, sz = start[0] - base[0], start[1] - base[1], start[2] - base[2]
    u = (sx * px + sy * py + sz * pz) / scale
    qx, qy, qz = sy * ez - sz * ey, sz * ex - sx * ez, sx * ey - sy * ex
    v = (dx * qx + dy * qy + dz * qz) / scale
    t = (fx * qx + fy * qy + fz * qz) / scale
    return u >= 0.0 and v >= 0.0 and u + v <= 1.0 and 0.0 <= t <= 1.0


@loop("b1[::1](f8[:,::1], f8[:,::1], f8[:,:,::1])", parallel=True)
def mesh_hides(starts: Doubles, ends: Doubles, triangles: Doubles) -> NDArray[np.bool_]:
    """Return which segments meet a mesh, shape (N,)."""
    hidden = np.zeros(starts.shape[0], np.bool_)
    for n in prange(starts.shape[0]):
        for t in range(triangles.shape[0]):
            if _meets_triangle(starts[n], ends[n], triangles[t]):
                hidden[n] = True
                break
    return hidden


def warm() -> None:
    """Run every loop once on a toy surface, so that compiled code stands in the cache."""
    triangle = np.array([[[2.0, 2, 2], [8, 2, 3], [2, 8, 4]]])
    mesh_fill(triangle, np.array([[0.5, 0.5, 0.5], [1.0, 1, 1]]), np.array([10, 10, 10]))
    mesh_hides(np.zeros((1, 3)), np.full((1, 3), 9.0), triangle)
