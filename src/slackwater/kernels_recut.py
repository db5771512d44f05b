"""The compiled loops that cut a tank's water anew where stones have moved since the layout before.

The cells are those of `kernels_tank.free_water`; one call keeps to one thread.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import Doubles, _spans, loop
from slackwater.kernels_tank import (
    _cut_gaps,
    _distance,
    _is_in_rock,
    _lines,
    _move_out,
    _stretch,
)

Counts = NDArray[np.int64]


@loop()
def moved_pieces(table: Doubles, before: Doubles, moved: Doubles) -> int:
    """Fill the pieces that lie elsewhere than in the layout before, as they lay and as they lie."""
    found = 0
    for p in range(table.shape[0]):
        same = True
        for column in range(table.shape[1]):
            same &= table[p, column] == before[p, column]
        if not same:
            moved[found], moved[found + 1] = before[p], table[p]
            found += 2
    return found


@loop()
def cut_again(counts: Counts, water: Doubles, glass: Any, rock: int, tables: Any, grid: Doubles) -> None:
    """Bring x, y, z [cm] and free volume [cm3] of every cell up to a layout, from the one before.

    `glass` holds its columns and the cells without rock, `tables` the pieces and those of them that
    moved: only columns of cells that these meet are cut anew.
    """
    (columns, bare), (table, moved) = glass, tables
    near, lines = np.empty_like(moved), np.empty((64, 5))
    solid = np.empty_like(table)
    ends, gaps = np.empty((table.shape[0], 64, 2)), np.empty((table.shape[0] + 1, 2))
    for column in range(counts[0] * counts[1]):
        i, j = column // counts[1], column % counts[1]
        corner = (i * water[2], j * water[2])
        if _upright(corner, water[2], moved, near) > 0:
            _lines((j * water[2], 0.0), water, columns[8 * i : 8 * i + 8], lines)
            stones = _upright(corner, water[2], table[:rock], solid)
            count = stones + _upright(corner, water[2], table[rock:], solid[stones:])
            _pierce(lines, solid[:count], ends)
            for k in range(counts[2]):
                low, spot = k * water[2], grid[column * counts[2] + k]
                spot[:] = bare[column * counts[2] + k]
                if spot[3] > 0.0 and _is_met(low, low + water[2], solid[:stones]):
                    for n in range(64):
                        lines[n, 2], lines[n, 3] = max(low, water[1]), min(low + water[2], water[0])
                    _fill(lines, solid[:count], ends, gaps, spot)


@loop()
def gathered(grid: Doubles, rock: Doubles, cells: Doubles) -> int:
    """Fill x, y, z, free volume and distance to rock [cm] of the free cells; return how many.

    They stand in the order of x. Without rock the distance is 1e30.
    """
    found = 0
    for cell in range(grid.shape[0]):
        if grid[cell, 3] > 0.0:
            spot, away = cells[found], 1e30
            spot[:4] = grid[cell]
            for p in range(rock.shape[0]):
                away = min(away, _distance(spot[0], spot[1], spot[2], rock[p]))
            spot[4] = max(away, 0.0)
            found += 1
    return found


@loop()
def _upright(low: Any, edge_cm: float, table: Doubles, near: Doubles) -> int:
    """Copy the pieces that stand in a column of cells, seen from above, and return their number."""
    found = 0
    for p in range(table.shape[0]):
        spans = _spans(table[p])
        meets = abs(table[p, 1] - low[0] - 0.5 * edge_cm) < spans[0] + 0.5 * edge_cm
        if meets and abs(table[p, 2] - low[1] - 0.5 * edge_cm) < spans[1] + 0.5 * edge_cm:
            near[found] = table[p]
            found += 1
    return found


@loop()
def _pierce(lines: Doubles, solid: Doubles, ends: Doubles) -> None:
    """Fill where each line enters and leaves each piece [cm], shape (P, 64, 2)."""
    for p in range(solid.shape[0]):
        for n in range(64):
            ends[p, n, 0], ends[p, n, 1] = _stretch(lines[n, 0], lines[n, 1], solid[p])


@loop()
def _is_met(low: float, high: float, stones: Doubles) -> bool:
    """Say whether a stone reaches between two heights."""
    for p in range(stones.shape[0]):
        span = _spans(stones[p])[2]
        if stones[p, 3] + span > low and stones[p, 3] - span < high:
            return True
    return False


@loop()
def _fill(lines: Doubles, solid: Doubles, ends: Doubles, gaps: Doubles, out: Doubles) -> None:
    """Fill x, y, z of the free water's centroid [cm] and its volume [cm3], out of the rock."""
    out[:4] = 0.0
    for n in range(64):
        gaps[0, 0], gaps[0, 1] = lines[n, 2], lines[n, 3]
        count = 1 if lines[n, 2] < lines[n, 3] else 0
        for p in range(solid.shape[0]):
            if ends[p, n, 0] < ends[p, n, 1]:
                count = _cut_gaps(gaps, count, ends[p, n, 0], ends[p, n, 1])
        for k in range(count):
            volume = lines[n, 4] * (gaps[k, 1] - gaps[k, 0])
            out[0] += volume * lines[n, 0]
            out[1] += volume * lines[n, 1]
            out[2] += volume * 0.5 * (gaps[k, 0] + gaps[k, 1])
            out[3] += volume
    out[:3] /= out[3] + 1e-30
    if out[3] > 0.0 and _is_in_rock(out[0], out[1], out[2], solid):
        _move_out(lines, solid, 0, gaps, out)
