"""What the assumptions of a counter check cost, and the one question to ask."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from slackwater.plan.records import Assumption
from slackwater.service.check_bench import Bench, Case
from slackwater.service.counter import Doubt, Scene
from slackwater.society.harm import ease

MOST_DOUBTS = 8
LARGE_COMPANY = 12

Arranged = Callable[[Scene], Scene]


def _as_it_is(scene: Scene) -> Scene:
    return scene


def named(doubts: Sequence[Doubt]) -> tuple[tuple[Assumption, ...], str]:
    """Return what was assumed, its cost not worked out, and no question."""
    return tuple(Assumption(doubt.what, doubt.taken, "") for doubt in doubts), ""


def weighed(
    plain: Case, bench: Bench, doubts: Sequence[Doubt], arranged: Arranged = _as_it_is
) -> tuple[tuple[Assumption, ...], str]:
    """Return what each assumption costs, and the question whose answer could change most.

    Parameters
    ----------
    plain
        The tank as it was told, judged.
    bench
        What judges it otherwise.
    doubts
        What was assumed.
    arranged
        What is done to the scene of each doubt before it is judged, such as its days.
    """
    is_large = len(plain.verdict.situation.animals) > LARGE_COMPANY
    most = MOST_DOUBTS // 4 if is_large else MOST_DOUBTS
    now = bench.sketched(plain.scene)
    rows, asks = [], [(0.0, "")]
    for number, doubt in enumerate(doubts):
        others = doubt.others if number < most else ()
        cases = [(word, bench.sketched(arranged(scene))) for word, scene in others]
        cost, shift = _cost(plain, now, cases)
        rows.append(Assumption(doubt.what, doubt.taken, cost))
        asks.append((shift, f"{doubt.ask} {cost}"))
    shift, question = max(asks, key=lambda ask: ask[0])
    return tuple(rows), question if shift > 0.0 else ""


def _cost(plain: Case, now: Case, cases: Sequence[tuple[str, Case]]) -> tuple[str, float]:
    """Return in words what another answer would change, and by how much."""
    moved = [(abs(case.burden - now.burden), word, case) for word, case in cases]
    if not moved:
        return "", 0.0
    shift, word, case = max(moved, key=lambda row: (row[2].is_bearable != now.is_bearable, row[0]))
    as_told, as_seen = (ease(one.burden, one.rules).value for one in (plain, now))
    then = ease(case.burden, case.rules).value
    if then in {as_told, as_seen}:
        return "Another answer would change little.", 0.0
    turns = case.is_bearable != now.is_bearable
    return f"With {word} the worst-off animal would be {then}, not {as_told}.", shift + float(turns)
