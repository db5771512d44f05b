"""Rock against the clock: sight, one rock moved, whole evaluations, candidates, layouts, in one run.

Targets 1 to 6 of the study of the core, each beside plain numpy, a numba grid walk and, where it is
installed, embreex. Tanks and companies are invented. Run it with
``python benchmarks/bench_rock.py [--quick]`` from the top of the repository.
"""

# ruff: noqa: ANN401, SLF001 - compiled loops take what comes; a benchmark looks inside
from __future__ import annotations

import dataclasses
import datetime as dt
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.stats import spearmanr

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import bench_field
import bench_screen
from bench_field import seconds
from tests.plan.tanks import resident, wanted
from tests.rivals import sight_twin

from slackwater import kernels, kernels_rock, kernels_tank
from slackwater.kernels import loop, prange
from slackwater.plan.question import Question
from slackwater.plan.rejudge import days_of, with_best_order
from slackwater.plan.stone_moves import moves, with_step
from slackwater.plan.stones import _Search, table_of
from slackwater.rules import load_rules
from slackwater.society.company import Keeping, Situation
from slackwater.society.judge import Settings, judge
from slackwater.society.rearranged import padded, rearranging
from slackwater.tank.cells import cut
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import Rockwork, arranged, preset
from slackwater.tank.shapes import Glass, Shape

TANK = bench_field.TANK
LARGE = Glass(Shape.RECTANGULAR, 300.0, 100.0, 80.0)
LAYOUTS, COMPARED = 512, 40
Claims = NDArray[np.bool_]


# --- 1: sight, all pairs ---------------------------------------------------------------------


@loop("b1[:,::1](i8[:,::1], b1[:,:,::1])", parallel=True)
def walked(cells: Any, solid: Any) -> Any:
    """Return which cells see each other by walking a grid of solid and free cells (3-D DDA)."""
    count = cells.shape[0]
    seen = np.ones((count, count), np.bool_)
    for a in prange(count):
        for b in range(count):
            at = cells[a].copy()
            step, left, gain = np.empty(3, np.int64), np.empty(3), np.empty(3)
            for axis in range(3):
                away = cells[b, axis] - cells[a, axis]
                step[axis] = 1 if away > 0 else -1
                gain[axis] = 1.0 / abs(away) if away != 0 else 1e30
                left[axis] = 0.5 * gain[axis]
            while at[0] != cells[b, 0] or at[1] != cells[b, 1] or at[2] != cells[b, 2]:
                axis = 0 if left[0] <= left[1] and left[0] <= left[2] else (1 if left[1] <= left[2] else 2)
                at[axis] += step[axis]
                left[axis] += gain[axis]
                if solid[at[0], at[1], at[2]]:
                    seen[a, b] = False
                    break
    return seen


def grid_of(rockwork: Rockwork, edge_cm: float) -> tuple[NDArray[np.int64], Claims]:
    """Return free cells and the solid ones of a grid, by the middles of the cells."""
    counts = np.ceil(np.array([TANK.length_cm, TANK.width_cm, TANK.height_cm]) / edge_cm).astype(int)
    steps = np.indices(tuple(counts)).reshape(3, -1).T
    middles = np.ascontiguousarray((steps + 0.5) * edge_cm)
    solid = kernels_tank.rock_distance(middles, rockwork.rock_table) < 0.0
    return np.ascontiguousarray(steps[~solid]), solid.reshape(tuple(counts))


def embree_rows(rockwork: Rockwork, points: NDArray[np.float32]) -> Callable[[], Claims] | None:
    """Return a function that asks embree row by row, or None where it is not installed."""
    try:
        import trimesh
        from embreex import rtcore_scene
        from embreex.mesh_construction import TriangleMesh
    except ImportError:
        return None
    scene = rtcore_scene.EmbreeScene()
    for piece in rockwork.pieces:
        TriangleMesh(scene, mesh_of(trimesh, piece))

    def ask() -> Claims:
        seen = np.empty((len(points), len(points)), np.bool_)
        for n, point in enumerate(points):
            ways = np.ascontiguousarray(points - point)
            origins = np.ascontiguousarray(np.broadcast_to(point, ways.shape))
            hit = scene.run(origins, ways, dists=np.ones(len(ways), np.float32), query="OCCLUDED")
            seen[n] = np.asarray(hit) != 0
        return seen

    return ask


def mesh_of(trimesh: Any, piece: Piece) -> NDArray[np.float32]:
    """Return the triangles of a piece, balls as icospheres of 1,280 faces."""
    ball = piece.kind is PieceKind.ELLIPSOID
    mesh = trimesh.creation.icosphere(subdivisions=3) if ball else trimesh.creation.box((2, 2, 2))
    placed = mesh.vertices * np.array(piece.half_cm) @ piece.axes.T + np.array(piece.centre_cm)
    return np.ascontiguousarray(placed[mesh.faces], np.float32)


def print_sight(rockwork: Rockwork) -> None:
    """Print target 1: all pairs at 5 cm against a grid walk, embree and numpy."""
    points = cut(TANK, rockwork, 5.0).points_cm
    wide = points.astype(float)
    local = kernels.local_frames(wide, rockwork.table)
    ours, _ = seconds(lambda: kernels.clear(local, local, rockwork.table), 7)
    cells, solid = grid_of(rockwork, 5.0)
    walked(cells[:8], solid)
    grid, _ = seconds(lambda: walked(cells, solid), 3)
    plain, _ = seconds(lambda: sight_twin.clear_rows(rockwork, wide[:64], wide), 2)
    plain *= len(points) / 64.0
    print(
        f"1. sight, {len(points)} cells: ours {1e3 * ours:.1f} ms; "
        f"grid walk {grid / ours:.1f} times (at least 8)"
    )
    print(f"   numpy {plain / ours:.0f} times (worked out from 64 rows)")
    ask = embree_rows(rockwork, points)
    if ask is None:
        print("   embreex is not installed: not compared")
        return
    asked, _ = seconds(ask, 1)
    print(f"   embreex row by row {asked / ours:.0f} times (at least 20)")


# --- 2: one rock moved -----------------------------------------------------------------------


@loop()
def _may_lie_behind(source: Any, box: Any, piece: Any, ball_cm: float) -> bool:
    """Say whether a ball round a piece meets the hull of a source and a block, or the cone between."""
    along = length = to_piece = wide = 0.0
    for axis in range(3):
        low, high = min(box[0, axis], source[axis]), max(box[1, axis], source[axis])
        if piece[1 + axis] + ball_cm < low or piece[1 + axis] - ball_cm > high:
            return False
        step = 0.5 * (box[0, axis] + box[1, axis]) - source[axis]
        offset = piece[1 + axis] - source[axis]
        along += step * offset
        length += step * step
        to_piece += offset * offset
        wide += 0.25 * (box[1, axis] - box[0, axis]) ** 2
    t = min(max(along / (length + 1e-9), 0.0), 1.0)
    return to_piece - 2.0 * t * along + t * t * length <= (ball_cm + np.sqrt(wide) + 1e-3) ** 2


@loop()
def _packed(margin: Any) -> Any:
    """Return 64 claims as the bits of one word."""
    word = np.uint64(0)
    for n in range(64):
        word |= np.uint64(margin[n] >= np.float32(0.0)) << np.uint64(n)
    return word


@loop(
    "void(f4[:,::1], f4[:,:,::1], f8[:,:,::1], f8[::1], u8[:,::1], f8[:,::1], f8, u8[:,::1])", parallel=True
)
def see_again(
    local: Any, blocks: Any, boxes: Any, piece: Any, others: Any, points: Any, ball_cm: float, seen: Any
) -> None:
    """Fill sight after one rock has moved, a bit a pair: `others` holds sight past all other rock.

    Only targets whose block of 64 can lie behind the moved rock's ball are asked again.
    """
    for a in prange(points.shape[0]):
        margin = np.empty(64, np.float32)
        source = (local[0, a], local[1, a], local[2, a])
        for k in range(boxes.shape[0]):
            seen[a, k] = others[a, k]
            if others[a, k] != 0 and _may_lie_behind(points[a], boxes[k], piece, ball_cm):
                margin[:] = np.float32(1e30)
                kernels._past_piece(piece[0], blocks[k], source, margin)
                seen[a, k] = others[a, k] & _packed(margin)


def as_bits(seen: Claims) -> NDArray[np.uint64]:
    """Return claims packed into words of 64, the rest of the last word left out."""
    short = -seen.shape[1] % 64
    whole = np.pad(seen, ((0, 0), (0, short)))
    return np.ascontiguousarray(np.packbits(whole, axis=1, bitorder="little").view(np.uint64))


def in_blocks(points: NDArray[np.float64], local: NDArray[np.float32]) -> tuple[Any, Any]:
    """Return targets in blocks of 64, as local frames (K, 3, 64) and as boxes (K, 2, 3)."""
    starts = range(0, len(points), 64)
    blocks = np.full((len(starts), 3, 64), 1e6, np.float32)
    boxes = np.empty((len(starts), 2, 3))
    for k, first in enumerate(starts):
        some = points[first : first + 64]
        blocks[k, :, : len(some)] = local[:, first : first + 64]
        boxes[k] = some.min(axis=0), some.max(axis=0)
    return blocks, boxes


def print_one_moved(glass: Glass, edge_cm: float, least: int) -> None:
    """Print target 2: sight after one rock moved against sight past all rock."""
    rockwork = preset("dense", glass)
    points = np.ascontiguousarray(cut(glass, rockwork, edge_cm).points_cm.astype(float))
    local = kernels.local_frames(points, rockwork.table)
    one = np.ascontiguousarray(rockwork.table[3:4])
    rest = np.ascontiguousarray(np.delete(rockwork.table, 3, axis=0))
    frames = kernels.local_frames(points, rest)
    others = kernels.clear(frames, frames, rest)
    mine = np.ascontiguousarray(local[3])
    ball = float(max(one[0, 4:7])) if one[0, 0] == 0.0 else float(np.linalg.norm(one[0, 4:7]))
    blocks, boxes = in_blocks(points, mine)
    bits = as_bits(others)
    seen = np.empty_like(bits)
    again = partial(see_again, mine, blocks, boxes, one[0], bits, points, ball, seen)
    whole, _ = seconds(lambda: kernels.clear(local, local, rockwork.table), 5)
    once, _ = seconds(again, 5)
    same = np.array_equal(seen, as_bits(kernels.clear(local, local, rockwork.table)))
    print(
        f"2. one of {len(rockwork.pieces)} rocks moved, {len(points)} cells: {1e3 * once:.2f} ms, "
        f"{whole / once:.1f} times faster (at least {least}); the same pairs: {same}"
    )


# --- 6: layouts ------------------------------------------------------------------------------


def invented_company(glass: Glass) -> Question:
    """Return ten animals of seven kinds in a tank of two islands."""
    here = dt.date(2026, 1, 1)
    return Question(
        title="an invented tank",
        made_on=dt.date(2027, 1, 1),
        start=dt.date(2027, 1, 9),
        glass=glass,
        rockworks=(preset("two islands", glass, 5.0),),
        rock_word="two islands",
        keeping=Keeping(),
        residents=(
            resident("Amphiprion ocellaris", 7.0, here, count=2, sex="pair"),
            resident("Pseudocheilinus hexataenia", 6.0, here),
            resident("Chrysiptera cyanea", 6.0, here),
        ),
        wishes=(
            wanted("Nemateleotris magnifica", 5.0, count=2, sex="pair"),
            wanted("Gramma loreto", 5.0),
            wanted("Centropyge bispinosa", 6.0),
            wanted("Zebrasoma flavescens", 9.0, count=2),
        ),
        quarantine=None,
    )


def print_layouts(quick: bool) -> None:  # noqa: FBT001 - a switch of the command line
    """Print target 6: layouts a second at 10 cm, and how well they rank those at 5 cm."""
    rules = load_rules()
    search = _Search.of(invented_company(TANK), rules, lambda _: None)
    rng = np.random.default_rng(5)
    drawn = [search.shuffled(rng) for _ in range(12 if quick else COMPARED)]
    tables = padded([table_of(stones) for stones in drawn])
    steps = (one.step(search.bed, rules) for one in moves(search.bed))
    moved = [with_step(search.bed.stones, step) for step in steps if step is not None]
    cells = len(search.ready.verdict.fields[0].ground.height)
    for kind, laid in (("one stone moved", [table_of(s) for s in moved]), ("all stones moved", tables)):
        many = (laid * (LAYOUTS // len(laid) + 1))[:LAYOUTS]
        for threads in (1, 2):
            kernels.use_threads(threads)
            took, _ = seconds(partial(search.ready.chances, many), 3)
            print(
                f"6. {kind}: {LAYOUTS / took:.0f} layouts a second on {threads} thread{'s' * (threads > 1)} "
                f"({cells} cells, whole company judged; at least 1000 on 2)"
            )
    coarse = search.ready.chances(tables)[:, -1]
    fine = [judged_finely(search.situation, arranged(s, TANK, 5.0)) for s in drawn]
    rank = spearmanr(coarse, fine).statistic
    best = float(np.array(fine)[int(np.argmin(coarse))] - min(fine))
    print(
        f"   ranks against 5 cm over {len(drawn)} layouts: Spearman {rank:.3f} (at least 0.95); "
        f"lost {best:.4f}"
    )


def judged_finely(situation: Situation, rock: Rockwork) -> float:
    """Return the worst-off animal's chance of harm by the full judgement at 5 cm."""
    return judge(dataclasses.replace(situation, rockworks=(rock,)), Settings(), load_rules()).worst_p


def print_alone(quick: bool) -> None:  # noqa: FBT001 - as above
    """Print how long one judgement of the search setting takes beside one layout of a batch."""
    rules, asked = load_rules(), invented_company(TANK)
    fixed = with_best_order(asked, rules)
    situation = fixed.situation(days_of(fixed, rules), layouts=1)
    ready = rearranging(situation, rules)
    one, _ = seconds(lambda: judge(situation, Settings.search(), rules), 2 if quick else 5)
    batch, _ = seconds(lambda: ready.chances([situation.rockworks[0].rock_table] * 64), 3)
    print(f"   one judgement alone takes {one / (batch / 64):.0f} times as long as a layout of a batch")


if __name__ == "__main__":
    QUICK = "--quick" in sys.argv
    for LOOPS in (kernels, kernels_tank, kernels_rock):
        LOOPS.warm()
    DENSE = preset("dense", TANK)
    print_sight(DENSE)
    print_one_moved(TANK, 5.0, 8)
    if not QUICK:
        print_one_moved(LARGE, 5.0, 30)
    print("3. cells")
    bench_field.print_convergence("moderate")
    print(
        "4. whole evaluations, 30 animals (at most 40 ms at 5 cm and 1.5 ms at 10; numpy at least 20 times)"
    )
    bench_field.print_speed(DENSE)
    bench_field.print_ratio(DENSE, 5.0)
    bench_field.print_agreement(DENSE)
    print("5. candidates (at most 0.3 s; one by one at least 1000 times)")
    bench_screen.main()
    print_layouts(QUICK)
    print_alone(QUICK)
