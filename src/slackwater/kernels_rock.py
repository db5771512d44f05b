"""The compiled loop that judges many rock layouts of one tank.

It does for a whole batch what `society.field` and `society.judge` do for one layout: cuts the water,
lets every party settle in order of arrival, looks past the rock, and follows attacks to harm. The
company, the days and the draws are the same for all layouts and arrive worked out.

Axes: i attacks j; p, q parties; n animals; x, y cells; h candidate homes; k columns of reach (a rung
of the ladder and a party); g stages; t moments; d draws; w windows.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from slackwater.kernels import (
    Doubles,
    Floats,
    _exp,
    _past_piece,
    _spans,
    local_frames,
    loop,
)
from slackwater.kernels_course import Course, Windows, followed, judged
from slackwater.kernels_recut import cut_again, gathered, moved_pieces

Counts = NDArray[np.int64]

_ZERO, _ONE = np.float32(0.0), np.float32(1.0)
_FAR = np.float32(1e30)
_TILE = 32
_MOST_FELT = 200.0
_TINY = 1e-12
_ROCKLESS = 1e29
_NOWHERE = -1e4


class Tank(NamedTuple):
    """The glass and two grids over it: cells and candidate homes.

    `water`, `coarse` hold height, sand and edge [cm]; `columns`, `coarse_columns` where the glass
    stands and `bare`, `coarse_bare` the water of all cells without rock, as `kernels_tank.free_water`
    takes and gives them. The first `rocks` rows of a layout are rock, the
    others walls and raised sand, which hide but are no shelter.
    """

    counts: Counts
    water: Doubles
    columns: Doubles
    bare: Doubles
    coarse_counts: Counts
    coarse: Doubles
    coarse_columns: Doubles
    coarse_bare: Doubles
    rocks: int


class Parties(NamedTuple):
    """How each party settles.

    `taste` (P, 4): middle and spread of its level, liking for structure, side (-1 none, 0, 1).
    `steep` (P): 1 / (2 r^2) of its ground [1/cm2]. `arrive` (P, P): rates felt at arrival [1/h].
    `law`: reach of structure [cm], divider [cm], home choice, home pressure, retreat, quiet [1/h],
    full view, width of a nest squared [cm2].
    """

    taste: Doubles
    steep: Floats
    arrive: Doubles
    law: Doubles


class Looks(NamedTuple):
    """Which reaches are needed: bells (R, 2), and the columns (K, 2) of rung and party.

    `lower`, `upper` (P, P) are columns and `share` (P, P) the part of the upper; -1 where i never
    troubles j. `wide` is the first of P columns for full view; `across` (P, P) is 0 between sides.
    """

    bells: Doubles
    columns: Counts
    lower: Counts
    upper: Counts
    share: Doubles
    wide: int
    across: Doubles


class Room(NamedTuple):
    """What one thread works in, made once for all its layouts.

    `before` is the layout before, `grid` and `coarse_grid` the cells of it, `moved` room for the
    pieces that differ.
    """

    before: Doubles
    moved: Doubles
    grid: Doubles
    coarse_grid: Doubles
    cells: Doubles
    sites: Doubles
    far: Floats
    near: Floats
    clear: Floats
    look: Floats
    whole: Floats
    suits: Doubles
    use: Floats
    shares: Floats
    felt: Floats
    pressure: Floats


@loop()
def _suit(cells: Doubles, tank: Doubles, taste: Doubles, law: Doubles, out: Doubles) -> None:
    """Fill how well each cell suits a party times its free water; 0 beyond a divider."""
    rockless = cells.shape[0] > 0 and cells[0, 4] > _ROCKLESS
    for x in range(cells.shape[0]):
        height = (cells[x, 2] - tank[1]) / (tank[0] - tank[1])
        level = np.exp(-0.5 * ((height - taste[0]) / taste[1]) ** 2)
        near = 1.0 if rockless else (1.0 - taste[2]) + taste[2] * np.exp(-cells[x, 4] / law[0]) + 1e-4
        is_left = 0.0 if cells[x, 0] < law[1] else 1.0
        allowed = 1.0 if taste[3] < 0.0 or taste[3] == is_left else 0.0
        out[x] = level * near * (cells[x, 3] / 1000.0) * allowed


@loop()
def _distances(cells: Doubles, sites: Doubles, far: Floats, nearest: Counts) -> None:
    """Fill squared distances (H, C) [cm2] and the nearest cell of each home."""
    for h in range(sites.shape[0]):
        row = far[h, : cells.shape[0]]
        best = np.float32(1e30)
        for x in range(row.shape[0]):
            dx, dy, dz = cells[x, 0] - sites[h, 0], cells[x, 1] - sites[h, 1], cells[x, 2] - sites[h, 2]
            row[x] = dx * dx + dy * dy + dz * dz
        for x in range(row.shape[0]):
            if row[x] < best:
                best, nearest[h] = row[x], x


@loop()
def _home(suits: Doubles, felt: Doubles, law: Doubles, shares: Floats) -> None:
    """Fill the shares of a party's candidate homes, chosen softly."""
    most, best, total = max(suits.max(), 1e-9), -1e30, 0.0
    score = np.empty(suits.shape[0])
    for h in range(suits.shape[0]):
        score[h] = law[2] * np.log(max(suits[h], 1e-9) / most) - law[3] * min(felt[h], _MOST_FELT)
        best = max(best, score[h])
    for h in range(suits.shape[0]):
        score[h] = np.exp(score[h] - best)
        total += score[h]
    for h in range(suits.shape[0]):
        shares[h] = score[h] / total


@loop()
def _grounds(far: Floats, steep: np.float32, whole: Floats, near: Floats, masses: Doubles) -> None:
    """Fill the ground round each home (H, C) and how much of the usable water lies in it (H)."""
    for h in range(masses.shape[0]):
        row, away = near[h, : whole.shape[0]], far[h, : whole.shape[0]]
        for x in range(row.shape[0]):
            row[x] = _exp(-steep * away[x])
        masses[h] = max(_dot(whole, row), _TINY)


@loop()
def _spread(whole: Floats, near: Floats, masses: Doubles, shares: Floats, use: Floats) -> None:
    """Fill where a party spends its time, summing to 1: its ground round each home it may have."""
    use[:] = _ZERO
    for h in range(shares.shape[0]):
        weight, row = np.float32(shares[h] / masses[h]), near[h, : use.shape[0]]
        for x in range(use.shape[0]):
            use[x] += weight * row[x]
    total = _ONE / np.float32(max(_dot(whole, use), _TINY))
    for x in range(use.shape[0]):
        use[x] *= whole[x] * total


@loop()
def _dot(a: Floats, b: Floats) -> Any:
    total = _ZERO
    for x in range(a.shape[0]):
        total += a[x] * b[x]
    return total


@loop()
def _hide(kind: float, local: Floats, y: int, first: int, margin: Floats) -> None:
    """Lower `margin` where a piece, in whose frame all lie (3, C), hides cell y from `first` and later."""
    source = (local[0, y], local[1, y], local[2, y])
    _past_piece(kind, (local[0, first:], local[1, first:], local[2, first:]), source, margin)


@loop()
def _ring(xyz: Floats, y: int, clear: Floats, bell: Doubles, weights: Floats) -> None:
    """Fill the averaged kernel from cell y to the cells that it sees, else 0."""
    x0, y0, z0 = xyz[0, y], xyz[1, y], xyz[2, y]
    xs, ys, zs = xyz[0], xyz[1], xyz[2]
    steep, height = np.float32(-1.0 / bell[0]), np.float32(bell[1])
    for n in range(clear.shape[0]):
        dx, dy, dz = xs[n] - x0, ys[n] - y0, zs[n] - z0
        value = height * _exp(steep * (dx * dx + dy * dy + dz * dz))
        weights[n] = value if clear[n] >= _ZERO else _ZERO


@loop()
def _stretches(points: Doubles, table: Doubles) -> tuple[Counts, Counts]:
    """Return the first cell beyond each piece's left end, and the one after the last before its right."""
    begin, end = np.zeros(table.shape[0], np.int64), np.zeros(table.shape[0], np.int64)
    for p in range(table.shape[0]):
        low, high = table[p, 1] - _spans(table[p])[0], table[p, 1] + _spans(table[p])[0]
        begin[p] = points.shape[0]
        for x in range(points.shape[0]):
            if points[x, 0] <= high:
                end[p] = x + 1
        for x in range(points.shape[0] - 1, -1, -1):
            if points[x, 0] >= low:
                begin[p] = x
    return begin, end


@loop()
def _look(cells: Doubles, table: Doubles, bells: Doubles, clear: Floats, look: Floats) -> None:
    """Fill the averaged kernel where two cells see each other, else 0, in the corner of (R, C, C)."""
    count = cells.shape[0]
    points = cells[:, :3].copy()
    local, xyz = local_frames(points, table), np.empty((3, count), np.float32)
    for x in range(count):
        xyz[0, x], xyz[1, x], xyz[2, x] = points[x, 0], points[x, 1], points[x, 2]
    begin, end = _stretches(points, table)
    for y in range(count):
        margin = clear[y, :count]
        margin[y:] = _FAR
        for p in range(table.shape[0]):
            if y < end[p]:
                first = max(y, begin[p])
                _hide(table[p, 0], local[p], y, first, margin[first:])
    _mirror(clear, count)
    for y in range(count):
        for r in range(bells.shape[0]):
            _ring(xyz, y, clear[y, :count], bells[r], look[r, y, :count])


@loop()
def _mirror(clear: Floats, count: int) -> None:
    for first in range(0, count, _TILE):
        for other in range(first, count, _TILE):
            for y in range(first, min(first + _TILE, count)):
                for x in range(max(other, y + 1), min(other + _TILE, count)):
                    clear[x, y] = clear[y, x]


@loop()
def _felt_at(spots: Counts, looks: Any, look: Floats, use: Floats, felt: Floats) -> None:
    """Fill how strongly the party of each column is felt at some cells, shape (K, H)."""
    for k in range(looks.wide):
        r, party = looks.columns[k, 0], use[looks.columns[k, 1]]
        for h in range(spots.shape[0]):
            felt[k, h] = _dot(look[r, spots[h], : party.shape[0]], party)


@loop()
def _felt_everywhere(looks: Any, room: Any, count: int) -> None:
    """Fill how strongly the party of each column is felt at every cell, in the corner of (K, C)."""
    look = room.look
    for k in range(looks.columns.shape[0]):
        r, party, row = looks.columns[k, 0], room.use[looks.columns[k, 1], :count], room.felt[k, :count]
        row[:] = _ZERO
        whole = count - count % 4
        for y in range(0, whole, 4):
            u0, u1, u2, u3 = party[y], party[y + 1], party[y + 2], party[y + 3]
            w0, w1 = look[r, y, :count], look[r, y + 1, :count]
            w2, w3 = look[r, y + 2, :count], look[r, y + 3, :count]
            for x in range(count):
                row[x] += u0 * w0[x] + u1 * w1[x] + u2 * w2[x] + u3 * w3[x]
        for y in range(whole, count):
            w0 = look[r, y, :count]
            for x in range(count):
                row[x] += party[y] * w0[x]


@loop()
def _arrivals(p: int, parties: Any, looks: Any, felt: Floats, out: Doubles) -> None:
    """Fill what party p would draw at each home from those already there [1/h]."""
    out[:] = 0.0
    for q in range(parties.arrive.shape[0]):
        rate = parties.arrive[q, p]
        if rate > 0.0 and q != p:
            low, high, share = looks.lower[q, p], looks.upper[q, p], looks.share[q, p]
            for h in range(out.shape[0]):
                out[h] += rate * ((1.0 - share) * felt[low, h] + share * felt[high, h])


@loop()
def _settle(tank: Any, parties: Any, looks: Any, room: Any, found: Any) -> None:
    """Let all parties settle: alone first, then in order of arrival under pressure."""
    count, homes = found
    cells, sites, size = room.cells[:count], room.sites[:homes], parties.taste.shape[0]
    nearest, none, masses = np.empty(homes, np.int64), np.zeros(homes), np.empty((size, homes))
    _distances(cells, sites, room.far, nearest)
    alone, suits = np.empty((size, count), np.float32), np.empty((size, homes))
    for p in range(size):
        whole, shares = room.whole[p, :count], room.shares[p, :homes]
        _suit(cells, tank.water, parties.taste[p], parties.law, room.suits[:count])
        total = max(room.suits[:count].sum(), _TINY)
        for x in range(count):
            whole[x] = room.suits[x] / total
        _suit(sites, tank.water, parties.taste[p], parties.law, suits[p])
        _grounds(room.far, parties.steep[p], whole, room.near[p], masses[p])
        _home(suits[p], none, parties.law, shares)
        _spread(whole, room.near[p], masses[p], shares, alone[p])
    felt, drawn = np.empty((looks.wide, homes), np.float32), np.empty(homes)
    _felt_at(nearest, looks, room.look, alone, felt)
    for p in range(size):
        whole, shares = room.whole[p, :count], room.shares[p, :homes]
        _arrivals(p, parties, looks, felt, drawn)
        _home(suits[p], drawn, parties.law, shares)
        _spread(whole, room.near[p], masses[p], shares, room.use[p, :count])


@loop()
def _press(j: int, rate: Doubles, looks: Any, felt: Floats, out: Floats) -> None:
    """Fill the pressure map of a party [1/h]."""
    count = out.shape[0]
    out[:] = _ZERO
    for i in range(rate.shape[0]):
        if rate[i, j] > 0.0:
            low, high = felt[looks.lower[i, j], :count], felt[looks.upper[i, j], :count]
            a = np.float32(rate[i, j] * (1.0 - looks.share[i, j]))
            b = np.float32(rate[i, j] * looks.share[i, j])
            for x in range(out.shape[0]):
                out[x] += a * low[x] + b * high[x]


@loop()
def _stage(rate: Doubles, parties: Any, looks: Any, room: Any, nests: Floats, out: Any) -> None:
    """Fill meetings (P, P), exposure (P) and nearness to homes (P, P) of one stage."""
    meet, exposed, close = out
    count, size = nests.shape[1], rate.shape[0]
    moved = np.empty(count, np.float32)
    quiet, step = np.float32(parties.law[5]), np.float32(-parties.law[4])
    for j in range(size):
        pressure, use, whole = room.pressure[:count], room.use[j, :count], room.whole[j, :count]
        _press(j, rate, looks, room.felt, pressure)
        total, reached = _ZERO, _ZERO
        for x in range(count):
            moved[x] = use[x] * _exp(step * min(pressure[x], np.float32(_MOST_FELT)))
            total += moved[x]
            reached += whole[x] * pressure[x] / (pressure[x] + quiet)
        exposed[j] = reached
        total = max(total, np.float32(_TINY))
        for i in range(size):
            close[i, j] = _dot(nests[i], moved) / total
            meet[i, j] = 0.0
            if looks.lower[i, j] >= 0:
                low = _dot(room.felt[looks.lower[i, j], :count], moved)
                high = _dot(room.felt[looks.upper[i, j], :count], moved)
                met = ((1.0 - looks.share[i, j]) * low + looks.share[i, j] * high) / total
                meet[i, j] = met * looks.across[i, j]


@loop()
def _nests(found: Any, parties: Any, course: Any, room: Any) -> Floats:
    """Return how near each cell is to the homes of each party that breeds, shape (P, C)."""
    count, homes = found
    out = np.zeros((parties.taste.shape[0], count), np.float32)
    steep = np.float32(-1.0 / parties.law[7])
    guards = np.zeros(parties.taste.shape[0])
    for n in range(course.party.shape[0]):
        guards[course.party[n]] = max(guards[course.party[n]], course.breeding[n])
    if guards.max() > 0.0:
        near = np.empty(count, np.float32)
        for h in range(homes):
            for x in range(count):
                near[x] = _exp(steep * room.far[h, x])
            for p in range(out.shape[0]):
                share = room.shares[p, h] if guards[p] > 0.0 else _ZERO
                if share > np.float32(1e-6):
                    for x in range(count):
                        out[p, x] += share * near[x]
    return out


@loop()
def _sight(looks: Any, room: Any, count: int, full: float) -> Doubles:
    """Return the share of the time of party q that it is in view of party p, 0 across a sheet."""
    size = looks.lower.shape[0]
    sees = np.zeros((size, size))
    for p in range(size):
        for q in range(size):
            if looks.across[p, q] == 1.0:
                wide = _dot(room.felt[looks.wide + p, :count], room.use[q, :count])
                sees[p, q] = min(wide / full, 1.0)
    return sees


@loop()
def _layout(
    tank: Any, parties: Any, looks: Any, course: Any, windows: Any, table: Doubles, room: Any, out: Doubles
) -> None:
    """Judge one layout: chances of harm by animal, then that of the worst kind."""
    moved = room.moved[: moved_pieces(table, room.before, room.moved)]
    room.before[:] = table
    fine, coarse = (tank.columns, tank.bare), (tank.coarse_columns, tank.coarse_bare)
    cut_again(tank.counts, tank.water, fine, tank.rocks, (table, moved), room.grid)
    cut_again(tank.coarse_counts, tank.coarse, coarse, tank.rocks, (table, moved), room.coarse_grid)
    rock = table[: tank.rocks]
    found = (gathered(room.grid, rock, room.cells), gathered(room.coarse_grid, rock, room.sites))
    count, size, stages = found[0], parties.taste.shape[0], course.stage_rate.shape[0]
    _look(room.cells[:count], table, looks.bells, room.clear, room.look)
    _settle(tank, parties, looks, room, found)
    _felt_everywhere(looks, room, count)
    nests = _nests(found, parties, course, room)
    meet, close = np.zeros((stages, size, size)), np.zeros((stages, size, size))
    exposed = np.zeros((stages, size))
    for g in range(stages):
        _stage(course.stage_rate[g], parties, looks, room, nests, (meet[g], exposed[g], close[g]))
    sees = _sight(looks, room, count, parties.law[6])
    judged(followed(course, (meet, exposed, close), sees), windows, out)


@loop()
def judge_layouts(
    tank: Any, parties: Any, looks: Any, course: Any, windows: Any, tables: Doubles, out: Doubles
) -> None:
    """Fill each animal's chance of harm and, last, that of the worst kind, shape (L, N + 1).

    `tables` (L, P, 11) are the layouts as rock tables. One call keeps to one thread; several may run
    at once.
    """
    size = parties.taste.shape[0]
    most = tank.bare.shape[0] + 1
    homes = tank.coarse_bare.shape[0] + 1
    before = np.empty((tables.shape[1], tables.shape[2]))
    before[:] = _NOWHERE
    room = Room(
        before,
        np.empty((2 * tables.shape[1], tables.shape[2])),
        tank.bare.copy(),
        tank.coarse_bare.copy(),
        np.empty((most, 5)),
        np.empty((homes, 5)),
        np.empty((homes, most), np.float32),
        np.empty((size, homes, most), np.float32),
        np.empty((most, most), np.float32),
        np.empty((looks.bells.shape[0], most, most), np.float32),
        np.empty((size, most), np.float32),
        np.empty(most),
        np.empty((size, most), np.float32),
        np.empty((size, homes), np.float32),
        np.empty((looks.columns.shape[0], most), np.float32),
        np.empty(most, np.float32),
    )
    for n in range(tables.shape[0]):
        _layout(tank, parties, looks, course, windows, tables[n], room, out[n])


def warm() -> None:
    """Run the loop once on a toy tank, so that compiled code stands in the cache."""
    one, counts = np.ones((1, 1)), np.array([2, 2, 2])
    columns = np.array([[0.3125 + 0.625 * k, 0.625, 0.0, 10.0] for k in range(16)])
    bare = np.array([[2.5 + 5.0 * i, 2.5 + 5.0 * j, 2.5 + 5.0 * k, 125.0] for i, j, k in np.ndindex(2, 2, 2)])
    grid = (counts, np.array([10.0, 1.0, 5.0]), columns, bare)
    taste, steep = np.array([[0.5, 0.3, 0.5, -1.0]]), np.ones(1, np.float32)
    parties = Parties(taste, steep, np.zeros((1, 1)), np.array([8.0, 0.0, 1.0, 1.0, 0.1, 1.0, 0.3, 100.0]))
    none, share = np.full((1, 1), -1), np.zeros((1, 1))
    looks = Looks(np.array([[100.0, 0.9]]), np.zeros((1, 2), np.int64), none, none.copy(), share, 0, one)
    still, kind = np.zeros((1, 1, 1, 1)), np.zeros(1, np.int64)
    course = Course(
        np.zeros((1, 1, 1)),
        kind,
        kind,
        one,
        still,
        still,
        one,
        np.ones(1),
        np.ones(1),
        share,
        one,
        np.ones(4),
    )
    windows = Windows(np.ones((1, 1, 1)), share, share, kind)
    table = np.array([[[0.0, 5, 5, 3, 2, 2, 2, 1, 0, 1, 0]]])
    judge_layouts(Tank(*grid, *grid, 1), parties, looks, course, windows, table, np.zeros((1, 2)))
