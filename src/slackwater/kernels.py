"""The compiled loops of the field, and the only module that imports numba.

Rock arrives as a table, one piece a row: kind (0 ellipsoid, 1 slab), centre x y z [cm], half sizes
x y z [cm], cosine and sine of the yaw, cosine and sine of the tilt. Sight and reach run in float32
on each piece's own unit frame, where an ellipsoid is the unit ball and a slab the cube from -1 to
1. Every output cell is filled by one thread in a fixed order, so results do not depend on the
number of threads.
"""

import os
import tempfile
import threading
import zlib
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from functools import wraps
from importlib import import_module
from pathlib import Path
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray


def _cache_folder() -> Path:
    """Return a folder this user may write compiled code into, another one for other loops.

    numba keeps compiled code by the file of the caller alone: in one folder a changed helper of
    another file would leave stale code behind.
    """
    base = os.environ.get("XDG_CACHE_HOME", "~/.cache")
    loops = b"".join(path.read_bytes() for path in sorted(Path(__file__).parent.glob("kernels*.py")))
    try:
        folder = Path(base).expanduser() / "slackwater" / "compiled" / f"{zlib.crc32(loops):08x}"
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, RuntimeError):
        return Path(tempfile.gettempdir()) / f"slackwater-compiled-{os.getuid()}"
    return folder


# Both are read once, when numba and its threads start: where compiled code is kept, and that
# waiting threads sleep, because on a busy machine they would hold up the thread they wait for.
os.environ.setdefault("NUMBA_CACHE_DIR", str(_cache_folder()))
os.environ.setdefault("OMP_WAIT_POLICY", "passive")

import numba  # noqa: E402

prange = numba.prange

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
Loop = TypeVar("Loop", bound=Callable[..., Any])

_ZERO, _HALF, _ONE = np.float32(0.0), np.float32(0.5), np.float32(1.0)
_FAR = np.float32(1e30)
_TINY = np.float32(1e-12)
_FLAT = np.float32(1e-6)
_NEGLIGIBLE = 17.0
_TILE = 256
_SOURCES = 32  # a multiple of the 8 that _add_product takes at once
_LOG2_E = np.float32(1.4426950408889634)
_LOWEST_POWER = np.float32(-126.0)
_BIAS, _EXPONENT = np.float32(127.0), np.float32(2.0**23)
_P1, _P2, _P3 = np.float32(0.69314718), np.float32(0.24022650), np.float32(0.05550411)
_P4, _P5, _P6 = np.float32(0.00961813), np.float32(0.00133336), np.float32(0.00015404)


def _team() -> AbstractContextManager[Any]:
    """Return what parallel loops hold: nothing, or a lock where they may not overlap."""
    try:
        import_module("numba.np.ufunc.omppool")
    except ImportError:
        return threading.RLock()
    return nullcontext()


_TEAM = _team()
_CORES = numba.get_num_threads()


def loop(
    signature: str | None = None, *, parallel: bool = False, inlined: bool = False
) -> Callable[[Loop], Loop]:
    """Return the decorator that compiles a loop the one way this program does.

    `inlined` forces a helper into its callers, where the compiler would find it too large for that.
    """
    options: dict[str, Any] = {"cache": True, "fastmath": True, "error_model": "numpy", "nogil": True}
    if inlined:
        options["forceinline"] = True
    compiled = cast("Callable[[Loop], Loop]", numba.njit(signature, parallel=parallel, **options))
    if not parallel:
        return compiled

    def shared(loop: Loop) -> Loop:
        run = compiled(loop)

        @wraps(loop)
        def one_team(*arguments: Any) -> Any:
            with _TEAM:
                return run(*arguments)

        return cast("Loop", one_team)

    return shared


def threads() -> int:
    """Return how many cores parallel loops called from this thread use."""
    return int(numba.get_num_threads())


def use_threads(count: int) -> None:
    """Let parallel loops called from this thread use so many cores, at most all."""
    numba.set_num_threads(min(count, _CORES))


# --- sight -----------------------------------------------------------------------------------


@loop()
def _turned(x: float, y: float, z: float, piece: Doubles) -> tuple[float, float, float]:
    """Return a point along a piece's own axes, from its middle [cm]."""
    dx, dy, dz = x - piece[1], y - piece[2], z - piece[3]
    along = dx * piece[7] + dy * piece[8]
    across = dy * piece[7] - dx * piece[8]
    return along * piece[9] + dz * piece[10], across, dz * piece[9] - along * piece[10]


@loop("f4[:,:,::1](f8[:,::1], f8[:,::1])")
def local_frames(points_cm: Doubles, table: Doubles) -> Floats:
    """Return the points in every piece's unit frame, shape (P, 3, N)."""
    local = np.empty((table.shape[0], 3, points_cm.shape[0]), np.float32)
    for p in range(table.shape[0]):
        for n in range(points_cm.shape[0]):
            x, y, z = _turned(points_cm[n, 0], points_cm[n, 1], points_cm[n, 2], table[p])
            local[p, 0, n] = x / table[p, 4]
            local[p, 1, n] = y / table[p, 5]
            local[p, 2, n] = z / table[p, 6]
    return local


@loop()
def _past_ellipsoid(lanes: Any, source: Any, margin: Floats) -> None:
    """Lower `margin` below zero where the segment from the source meets the unit ball."""
    ox, oy, oz = source
    xs, ys, zs = lanes[0], lanes[1], lanes[2]
    for n in range(margin.shape[0]):
        dx, dy, dz = xs[n] - ox, ys[n] - oy, zs[n] - oz
        nearest = -(ox * dx + oy * dy + oz * dz) / (dx * dx + dy * dy + dz * dz + _TINY)
        t = min(max(nearest, _ZERO), _ONE)
        qx, qy, qz = ox + t * dx, oy + t * dy, oz + t * dz
        margin[n] = min(margin[n], qx * qx + qy * qy + qz * qz - _ONE)


@loop()
def _past_slab(lanes: Any, source: Any, margin: Floats) -> None:
    """Lower `margin` below zero where the segment from the source meets the unit cube."""
    ox, oy, oz = source
    xs, ys, zs = lanes[0], lanes[1], lanes[2]
    for n in range(margin.shape[0]):
        ax, bx = _crossing(ox, xs[n] - ox)
        ay, by = _crossing(oy, ys[n] - oy)
        az, bz = _crossing(oz, zs[n] - oz)
        enter = max(max(ax, ay), max(az, _ZERO))
        leave = min(min(bx, by), min(bz, _ONE))
        margin[n] = min(margin[n], enter - leave)


@loop()
def _crossing(start: np.float32, step: np.float32) -> tuple[np.float32, np.float32]:
    # A select, not "+ tiny": fastmath would re-associate the sum and lose the guard.
    safe = step if abs(step) > _FLAT else _FLAT
    first, second = (-_ONE - start) / safe, (_ONE - start) / safe
    return min(first, second), max(first, second)


@loop()
def _past_piece(kind: float, lanes: Any, source: Any, margin: Floats) -> None:
    """Lower `margin` below zero where a piece stands between the source and the x, y and z of `lanes`."""
    if kind == 0.0:
        _past_ellipsoid(lanes, source, margin)
    else:
        _past_slab(lanes, source, margin)


@loop("b1[:,::1](f4[:,:,::1], f4[:,:,::1], f8[:,::1])", parallel=True)
def clear(sources: Floats, targets: Floats, table: Doubles) -> NDArray[np.bool_]:
    """Return which of (M sources, N targets), both as local frames, see each other."""
    count = targets.shape[2]
    seen = np.empty((sources.shape[2], count), np.bool_)
    for m in prange(sources.shape[2]):
        margin = np.full(count, _FAR, np.float32)
        for p in range(table.shape[0]):
            source = (sources[p, 0, m], sources[p, 1, m], sources[p, 2, m])
            _past_piece(table[p, 0], targets[p], source, margin)
        for n in range(count):
            seen[m, n] = margin[n] >= _ZERO
    return seen


# --- reach -----------------------------------------------------------------------------------


@loop()
def _exp(power: np.float32) -> np.float32:
    """Return exp(power) for power <= 0 by a polynomial that vectorises, to 2e-6 relative."""
    twos = max(power * _LOG2_E, _LOWEST_POWER)
    whole = np.floor(twos + _HALF)
    f = twos - whole
    mantissa = _P5 + f * _P6
    mantissa = _P3 + f * (_P4 + f * mantissa)
    mantissa = _ONE + f * (_P1 + f * (_P2 + f * mantissa))
    return mantissa * np.int32((whole + _BIAS) * _EXPONENT).view(np.float32)


@loop()
def _box(points_cm: Floats, first: int, last: int) -> Floats:
    """Return the lowest and highest corner of a run of points, shape (2, 3)."""
    box = np.empty((2, 3), np.float32)
    for axis in range(3):
        box[0, axis] = points_cm[axis, first:last].min()
        box[1, axis] = points_cm[axis, first:last].max()
    return box


@loop()
def _gap_squared(here: Floats, there: Floats) -> float:
    gap = 0.0
    for axis in range(3):
        apart = max(here[0, axis] - there[1, axis], there[0, axis] - here[1, axis], _ZERO)
        gap += apart * apart
    return gap


@loop()
def _spans(piece: Doubles) -> tuple[float, float, float]:
    """Return half the piece's extent along x, y and z [cm], for ellipsoids rather too much."""
    long = abs(piece[9]) * piece[4] + abs(piece[10]) * piece[6]
    along_x = abs(piece[7]) * long + abs(piece[8]) * piece[5]
    along_y = abs(piece[8]) * long + abs(piece[7]) * piece[5]
    return along_x, along_y, abs(piece[10]) * piece[4] + abs(piece[9]) * piece[6]


@loop()
def _may_block(piece: Doubles, here: Floats, there: Floats) -> bool:
    """Say whether a piece can meet a segment between two boxes (never wrongly no)."""
    spans = _spans(piece)
    for axis in range(3):
        low = min(here[0, axis], there[0, axis])
        high = max(here[1, axis], there[1, axis])
        if piece[1 + axis] + spans[axis] < low or piece[1 + axis] - spans[axis] > high:
            return False
    return _near_axis(piece, here, there)


@loop()
def _near_axis(piece: Doubles, here: Floats, there: Floats) -> bool:
    """Say whether a piece's ball meets the capsule that holds both boxes."""
    ball = max(piece[4], piece[5], piece[6])
    if piece[0] != 0.0:
        ball = np.sqrt(piece[4] ** 2 + piece[5] ** 2 + piece[6] ** 2)
    along = length = to_piece = wide_here = wide_there = 0.0
    for axis in range(3):
        start = 0.5 * (here[0, axis] + here[1, axis])
        step = 0.5 * (there[0, axis] + there[1, axis]) - start
        offset = piece[1 + axis] - start
        along += step * offset
        length += step * step
        to_piece += offset * offset
        wide_here += 0.25 * (here[1, axis] - here[0, axis]) ** 2
        wide_there += 0.25 * (there[1, axis] - there[0, axis]) ** 2
    t = min(max(along / (length + 1e-12), 0.0), 1.0)
    apart = to_piece - 2.0 * t * along + t * t * length
    return apart <= (ball + np.sqrt(max(wide_here, wide_there)) + 1e-3) ** 2


@loop()
def _add_product(weights: Floats, use: Floats, out: Floats) -> None:
    """Add use.T @ weights to `out`, eight sources at a time; shapes (K, n), (K, S), (S, n)."""
    for k in range(0, weights.shape[0], 8):
        w0, w1, w2, w3 = weights[k], weights[k + 1], weights[k + 2], weights[k + 3]
        w4, w5, w6, w7 = weights[k + 4], weights[k + 5], weights[k + 6], weights[k + 7]
        for s in range(out.shape[0]):
            u0, u1, u2, u3 = use[k, s], use[k + 1, s], use[k + 2, s], use[k + 3, s]
            u4, u5, u6, u7 = use[k + 4, s], use[k + 5, s], use[k + 6, s], use[k + 7, s]
            row = out[s]
            for n in range(row.shape[0]):
                low = u0 * w0[n] + u1 * w1[n] + u2 * w2[n] + u3 * w3[n]
                high = u4 * w4[n] + u5 * w5[n] + u6 * w6[n] + u7 * w7[n]
                row[n] += low + high


@loop()
def _weigh(xyz: Floats, source: Any, margin: Floats, bell: Doubles, weights: Floats) -> None:
    """Fill `weights` with the averaged kernel where the source is seen, else 0; shape (n,)."""
    x, y, z = source
    xs, ys, zs = xyz[0], xyz[1], xyz[2]
    steep, height = np.float32(-1.0 / bell[0]), np.float32(bell[1])
    for n in range(margin.shape[0]):
        dx, dy, dz = xs[n] - x, ys[n] - y, zs[n] - z
        value = height * _exp(steep * (dx * dx + dy * dy + dz * dz))
        weights[n] = value if margin[n] >= _ZERO else _ZERO


@loop()
def _bells(radii_cm: Doubles, edge_cm: float) -> Doubles:
    """Return width squared [cm2] and height of the cell-averaged kernel per radius."""
    bells = np.empty((radii_cm.shape[0], 2))
    for r in range(radii_cm.shape[0]):
        square = radii_cm[r] ** 2
        bells[r, 0] = square + edge_cm**2 / 3.0
        bells[r, 1] = (square / bells[r, 0]) ** 1.5
    return bells


@loop()
def _add_block(start: int, tile: Any, field: Any, live: Any, out: Floats) -> None:
    """Add what one block of sources sends to one tile of targets."""
    tile_xyz, tile_local, here = tile
    xyz, local, table, use, bells = field
    stop = min(start + _SOURCES, xyz.shape[1])
    there = _box(xyz, start, stop)
    blockers = [p for p in range(table.shape[0]) if _may_block(table[p], here, there)]
    margin = np.empty(tile_xyz.shape[1], np.float32)
    weights = np.zeros((bells.shape[0], _SOURCES, margin.shape[0]), np.float32)
    for y in range(start, stop):
        margin[:] = _FAR
        for p in blockers:
            source = (local[p, 0, y], local[p, 1, y], local[p, 2, y])
            _past_piece(table[p, 0], tile_local[p], source, margin)
        source = (xyz[0, y], xyz[1, y], xyz[2, y])
        for r in live:
            _weigh(tile_xyz, source, margin, bells[r], weights[r, y - start])
    for r in live:
        _add_product(weights[r], use[start : start + _SOURCES], out[r])


@loop()
def _fill_tile(first: Any, last: Any, field: Any, out: Floats) -> None:
    """Add what all sources send to the targets from `first` to `last`."""
    xyz, local, _, _, bells = field
    here = _box(xyz, first, last)
    tile = (xyz[:, first:last].copy(), local[:, :, first:last].copy(), here)
    for start in range(0, xyz.shape[1], _SOURCES):
        gap = _gap_squared(here, _box(xyz, start, min(start + _SOURCES, xyz.shape[1])))
        live = [r for r in range(bells.shape[0]) if gap < _NEGLIGIBLE * bells[r, 0]]
        if len(live) > 0:
            _add_block(start, tile, field, live, out)


@loop("f4[:,:,::1](f4[:,::1], f4[:,:,::1], f8[:,::1], f4[:,::1], f8[::1], f8)", parallel=True)
def reach(
    xyz: Floats, local: Floats, table: Doubles, use: Floats, radii_cm: Doubles, edge_cm: float
) -> Floats:
    """Return the sum over y of kernel, sight and use, shape (R, S, C).

    `xyz` is (3, C) [cm], `use` (C, S). Kernel values below exp(-17) count as nothing.
    """
    cells, animals = use.shape
    tiles = 2 * ((cells + 2 * _TILE - 1) // (2 * _TILE))
    width = (cells + tiles - 1) // max(tiles, 1)
    padded = np.zeros((cells + _SOURCES, animals), np.float32)
    padded[:cells] = use
    field = (xyz, local, table, padded, _bells(radii_cm, edge_cm))
    out = np.zeros((radii_cm.shape[0], animals, cells), np.float32)
    for t in prange(tiles):
        # Every other tile first: neighbouring tiles cost alike, so threads end together.
        tile = 2 * np.int64(t) if 2 * t < tiles else 2 * np.int64(t) - tiles + 1
        first, last = min(tile * width, cells), min(tile * width + width, cells)
        part = np.zeros((radii_cm.shape[0], animals, last - first), np.float32)
        if first < last:
            _fill_tile(first, last, field, part)
        out[:, :, first:last] = part
    return out


@loop("f8[:,:,::1](f4[:,:,::1], f4[:,::1])", parallel=True)
def pair_sums(field: Floats, use: Floats) -> Doubles:
    """Return E[r, i, j] = sum over x of use[j, x] field[r, i, x], in float64."""
    radii, animals, cells = field.shape
    out = np.empty((radii, animals, animals))
    for row in prange(radii * animals):
        r, i = np.int64(row) // animals, np.int64(row) % animals
        for j in range(animals):
            total = 0.0
            for x in range(cells):
                total += np.float64(use[j, x]) * np.float64(field[r, i, x])
            out[r, i, j] = total
    return out


def warm() -> None:
    """Run every kernel once on a toy tank, so that compiled code stands in the cache."""
    table = np.array([[0.0, 5, 5, 3, 2, 2, 2, 1, 0, 1, 0], [1.0, 5, 5, 6, 3, 2, 0.5, 1, 0, 1, 0]])
    steps = np.indices((2, 2, 2)).reshape(3, -1).T
    points_cm = np.ascontiguousarray(2.5 + 5.0 * steps)
    local = local_frames(points_cm, table)
    clear(local, local, table)
    use = np.ones((len(points_cm), 1), np.float32)
    xyz = np.ascontiguousarray(points_cm.T.astype(np.float32))
    field = reach(xyz, local, table, use, np.array([7.5]), 5.0)
    pair_sums(field, np.ascontiguousarray(use.T))
