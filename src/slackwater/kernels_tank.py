"""The compiled loops that cut a tank's water into cells and measure its rock.

Rock arrives as the table of `kernels`, one piece a row.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import Doubles, _spans, _turned, loop, prange

Counts = NDArray[np.int64]

_FLAT = 1e-9


@loop()
def _distance(x: float, y: float, z: float, piece: Doubles) -> float:
    """Return the distance to a piece's surface [cm], exact for slabs, below 0 inside."""
    u, v, w = _turned(x, y, z, piece)
    if piece[0] == 0.0:
        size = np.sqrt((u / piece[4]) ** 2 + (v / piece[5]) ** 2 + (w / piece[6]) ** 2)
        slope = np.sqrt((u / piece[4] ** 2) ** 2 + (v / piece[5] ** 2) ** 2 + (w / piece[6] ** 2) ** 2)
        return size * (size - 1.0) / (slope + 1e-12)
    a, b, c = abs(u) - piece[4], abs(v) - piece[5], abs(w) - piece[6]
    outside = np.sqrt(max(a, 0.0) ** 2 + max(b, 0.0) ** 2 + max(c, 0.0) ** 2)
    return outside + min(max(a, b, c), 0.0)


@loop("f8[::1](f8[:,::1], f8[:,::1])")
def rock_distance(points_cm: Doubles, table: Doubles) -> Doubles:
    """Return the distance to the nearest rock [cm] (inf without rock, below 0 inside)."""
    out = np.full(points_cm.shape[0], 1e30)
    for n in range(points_cm.shape[0]):
        for p in range(table.shape[0]):
            x, y, z = points_cm[n, 0], points_cm[n, 1], points_cm[n, 2]
            out[n] = min(out[n], _distance(x, y, z, table[p]))
    return out


@loop()
def _touching(low: Any, edge_cm: float, table: Doubles, near: Doubles) -> int:
    """Copy the pieces whose upright box meets a cell to `near` and return their number."""
    found = 0
    for p in range(table.shape[0]):
        spans = _spans(table[p])
        meets = True
        for axis in range(3):
            apart = abs(table[p, 1 + axis] - low[axis] - 0.5 * edge_cm)
            meets &= apart < spans[axis] + 0.5 * edge_cm
        if meets:
            near[found] = table[p]
            found += 1
    return found


@loop()
def _level_first(table: Doubles) -> Doubles:
    """Return the pieces with the level ones before the tilted ones."""
    rock, found = np.empty_like(table), 0
    for tilted in (False, True):
        for p in range(table.shape[0]):
            if (table[p, 10] != 0.0) == tilted:
                rock[found] = table[p]
                found += 1
    return rock


@loop()
def _count_level(rock: Doubles) -> int:
    count = 0
    for p in range(rock.shape[0]):
        count += 1 if rock[p, 10] == 0.0 else 0
    return count


@loop()
def _level_stretch(x: float, y: float, piece: Doubles) -> tuple[float, float]:
    """Return where an upright line enters and leaves a level piece [cm]; equal if it misses."""
    dx, dy = x - piece[1], y - piece[2]
    u, v = dx * piece[7] + dy * piece[8], dy * piece[7] - dx * piece[8]
    u, v = abs(u / piece[4]), abs(v / piece[5])
    left = max(0.0, 1.0 - u * u - v * v)
    if piece[0] != 0.0:
        left = 1.0 if max(u, v) < 1.0 else 0.0
    half = piece[6] * np.sqrt(left)
    return piece[3] - half, piece[3] + half


@loop()
def _stretch(x: float, y: float, piece: Doubles) -> tuple[float, float]:
    """Return where an upright line enters and leaves any piece [cm]; not rising if it misses."""
    u, v, w = _turned(x, y, piece[3], piece)
    u, v, w = u / piece[4], v / piece[5], w / piece[6]
    du, dw = piece[10] / piece[4], piece[9] / piece[6]
    if piece[0] == 0.0:
        square = 1.0 / (du * du + dw * dw)
        middle = -(u * du + w * dw) * square
        half = np.sqrt(max(middle * middle - (u * u + v * v + w * w - 1.0) * square, 0.0))
        return piece[3] + middle - half, piece[3] + middle + half
    # Selects, not sums: fastmath would lose the guard against a step of nothing.
    du, dw = 1.0 / (du if abs(du) > _FLAT else _FLAT), 1.0 / (dw if abs(dw) > _FLAT else _FLAT)
    half = 1.0 if abs(v) < 1.0 else -1.0
    low = max(-u * du - half * abs(du), -w * dw - half * abs(dw))
    high = min(-u * du + half * abs(du), -w * dw + half * abs(dw))
    return piece[3] + low, piece[3] + high


@loop()
def _cut_gaps(gaps: Doubles, count: int, bottom: float, top: float) -> int:
    """Take one stretch of rock out of the gaps and return how many are left."""
    kept = 0
    for k in range(count):
        low, high = gaps[k, 0], gaps[k, 1]
        if low < bottom and high > top:
            gaps[k, 1] = bottom
            gaps[count, 0], gaps[count, 1] = top, high
            return count + 1
        low, high = (max(low, top), high) if low >= bottom else (low, min(high, bottom))
        if low < high:
            gaps[kept, 0], gaps[kept, 1] = low, high
            kept += 1
    return kept


@loop(inlined=True)
def _gaps(line: Any, rock: Doubles, level: int, gaps: Doubles) -> int:
    """Fill `gaps` (P + 1, 2) with the stretches of an upright line outside rock [cm].

    `line` holds x, y and the lowest and highest z; the first `level` pieces are not tilted, which
    keeps their loop small. Returns the number of gaps. Not inlined, this is three times as slow.
    """
    x, y, low, high = line
    gaps[0, 0], gaps[0, 1] = low, high
    count = 1 if low < high else 0
    for p in range(level):
        bottom, top = _level_stretch(x, y, rock[p])
        if bottom < top:
            count = _cut_gaps(gaps, count, bottom, top)
    for p in range(level, rock.shape[0]):
        bottom, top = _stretch(x, y, rock[p])
        if bottom < top:
            count = _cut_gaps(gaps, count, bottom, top)
    return count


@loop()
def _lines(low: Any, water: Doubles, columns: Doubles, lines: Doubles) -> None:
    """Fill `lines` (64, 5): x, y, lowest and highest z [cm] and area [cm2] of a cell's lines.

    `columns` (8, 4) holds x, width, and where the glass stands in front and behind [cm].
    """
    step = 0.125 * water[2]
    bottom, top = max(low[1], water[1]), min(low[1] + water[2], water[0])
    for n in range(64):
        column, start = columns[n // 8], low[0] + (n % 8) * step
        front, back = max(start, column[2]), min(start + step, column[3])
        lines[n, 0], lines[n, 1], lines[n, 2], lines[n, 3] = column[0], 0.5 * (front + back), bottom, top
        lines[n, 4] = column[1] * max(back - front, 0.0)


@loop()
def _fill_cell(lines: Doubles, rock: Doubles, level: int, gaps: Doubles, out: Doubles) -> None:
    """Fill x, y, z of the free water's centroid [cm] and its volume [cm3]."""
    for n in range(64):
        line = (lines[n, 0], lines[n, 1], lines[n, 2], lines[n, 3])
        for k in range(_gaps(line, rock, level, gaps)):
            volume = lines[n, 4] * (gaps[k, 1] - gaps[k, 0])
            out[0] += volume * lines[n, 0]
            out[1] += volume * lines[n, 1]
            out[2] += volume * 0.5 * (gaps[k, 0] + gaps[k, 1])
            out[3] += volume
    out[:3] /= out[3] + 1e-30


@loop()
def _move_out(lines: Doubles, rock: Doubles, level: int, gaps: Doubles, out: Doubles) -> None:
    """Move a centroid that lies in rock to the nearest middle of a gap."""
    x, y, z, best = out[0], out[1], out[2], 1e30
    for n in range(64):
        line = (lines[n, 0], lines[n, 1], lines[n, 2], lines[n, 3])
        for k in range(_gaps(line, rock, level, gaps)):
            middle = 0.5 * (gaps[k, 0] + gaps[k, 1])
            apart = (line[0] - x) ** 2 + (line[1] - y) ** 2 + (middle - z) ** 2
            if lines[n, 4] > 0.0 and apart < best:
                best, out[0], out[1], out[2] = apart, line[0], line[1], middle


@loop()
def _is_in_rock(x: float, y: float, z: float, rock: Doubles) -> bool:
    for p in range(rock.shape[0]):
        bottom, top = _stretch(x, y, rock[p])
        if bottom < z < top:
            return True
    return False


@loop("f8[:,::1](i8[::1], f8[::1], f8[:,::1], f8[:,::1])", parallel=True)
def free_water(counts: Counts, water: Doubles, columns: Doubles, table: Doubles) -> Doubles:
    """Return free centroid x, y, z [cm] and free volume [cm3] of every grid cell, shape (n, 4).

    `water` holds height, sand depth and cell edge [cm]; `columns` (8 per cell along x, 4) the x,
    width, front and back [cm] of the glass. Each cell is summed over 8 x 8 upright lines, exact
    along z.
    """
    out = np.zeros((counts[0] * counts[1] * counts[2], 4))
    ordered = _level_first(table)
    for c in prange(out.shape[0]):
        cell = np.int64(c)
        i = cell // (counts[1] * counts[2])
        j, k = cell // counts[2] % counts[1], cell % counts[2]
        low = (i * water[2], j * water[2], k * water[2])
        near, gaps = np.empty_like(ordered), np.empty((ordered.shape[0] + 1, 2))
        rock = near[: _touching(low, water[2], ordered, near)]
        level = _count_level(rock)
        lines = np.empty((64, 5))
        _lines((low[1], low[2]), water, columns[8 * i : 8 * i + 8], lines)
        _fill_cell(lines, rock, level, gaps, out[cell])
        if _is_in_rock(out[cell, 0], out[cell, 1], out[cell, 2], rock):
            _move_out(lines, rock, level, gaps, out[cell])
    return out


@loop()
def _in_rock(line: Any, rock: Doubles, level: int, gaps: Doubles) -> float:
    """Return how much of an upright line is in rock [cm], overlaps counted once."""
    total = line[3] - line[2]
    for k in range(_gaps(line, rock, level, gaps)):
        total -= gaps[k, 1] - gaps[k, 0]
    return total


@loop("f8(f8[:,::1], f8[:,::1], i8[::1])")
def rock_volume(table: Doubles, box: Doubles, counts: Counts) -> float:
    """Return the rock in a box [low, high], overlaps counted once [cm3].

    Summed over `counts` upright lines along x and y, exact along z.
    """
    wide, deep = box[1, 0] - box[0, 0], box[1, 1] - box[0, 1]
    gaps, rock = np.empty((table.shape[0] + 1, 2)), _level_first(table)
    level = _count_level(rock)
    total = 0.0
    for i in range(counts[0]):
        for j in range(counts[1]):
            x = box[0, 0] + (i + 0.5) / counts[0] * wide
            y = box[0, 1] + (j + 0.5) / counts[1] * deep
            total += _in_rock((x, y, box[0, 2], box[1, 2]), rock, level, gaps)
    return total * wide * deep / (counts[0] * counts[1])


@loop("f8[:,:,::1](f8[:,::1], f8[:,::1])")
def profiles(spots_cm: Doubles, table: Doubles) -> Doubles:
    """Return where an upright line at each spot enters and leaves each piece [cm], shape (P, N, 2).

    Where a line misses a piece the leaving end is not above the entering one.
    """
    out = np.empty((table.shape[0], spots_cm.shape[0], 2))
    for p in range(table.shape[0]):
        for n in range(spots_cm.shape[0]):
            out[p, n, 0], out[p, n, 1] = _stretch(spots_cm[n, 0], spots_cm[n, 1], table[p])
    return out


def warm() -> None:
    """Run every loop once on a toy tank, so that compiled code stands in the cache."""
    table = np.array([[0.0, 5, 5, 3, 2, 2, 2, 1, 0, 1, 0], [1.0, 5, 5, 6, 3, 2, 0.5, 1, 0, 1, 0]])
    columns = np.array([[0.3125 + 0.625 * k, 0.625, 0.0, 10.0] for k in range(16)])
    counts = np.array([2, 2, 2])
    points_cm = np.ascontiguousarray(free_water(counts, np.array([10.0, 1.0, 5.0]), columns, table)[:, :3])
    rock_distance(points_cm, table)
    rock_volume(table, np.array([[0.0, 0, 0], [10.0, 10, 10]]), counts[:2])
    profiles(np.ascontiguousarray(points_cm[:, :2]), table)
