"""What can be done with stones: each moved, raised, turned or added in places where it may stand."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.tank.pieces import PieceKind
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.tank.stability import Standing, let_down, standings
from slackwater.tank.stone import Form, Stone, bodies
from slackwater.tank.weights import stone_weight

Spot = tuple[float, float]

MOST_PEOPLE = 2
_TURNS_RAD = (0.0, math.pi / 2.0)
_STEP_CM = 10.0
_SURFACE_CM = 3.0


class Act(StrEnum):
    """What is done with a stone."""

    MOVE = "move"
    ADD = "add"
    TAKE_OUT = "take out"


@dataclass(frozen=True)
class Step:
    """One thing done with one stone: its number from 0, as it stands before and after.

    An added stone has the number after the last and no `before`; one taken out has no `after`.
    """

    act: Act
    number: int
    before: Stone | None
    after: Stone | None
    note: str = ""

    @property
    def stone(self) -> Stone:
        """The stone that is handled."""
        found = self.after or self.before
        if found is None:
            raise ValueError("a step needs a stone")
        return found


@dataclass(frozen=True)
class Bed:
    """Where stones may stand: the tank, the depth of its sand [cm], and how they stand now."""

    glass: Glass
    sand_cm: float
    stones: tuple[Stone, ...]
    standing: tuple[Standing, ...]

    @classmethod
    def of(cls, stones: tuple[Stone, ...], glass: Glass, sand_cm: float) -> Bed:
        """Return the bed with its stones felt from below."""
        return cls(glass, sand_cm, stones, standings(stones, glass))

    def bears(self, number: int) -> bool:
        """Say whether another stone rests on this one."""
        return any(number in standing.rests_on for standing in self.standing)

    def is_free(self, number: int) -> bool:
        """Say whether a stone can be taken up: nothing rests on it, it is loose, and two can lift it."""
        stone = self.stones[number]
        if stone.is_bed or stone.is_soft or stone.is_fixed or self.bears(number):
            return False
        return stone_weight(stone, self.glass).people <= MOST_PEOPLE


def stones_of(rock: Rockwork) -> tuple[Stone, ...]:
    """Return the stones of a rockwork, those of a customer's word one for each piece."""
    if rock.stones:
        return rock.stones
    out = []
    for piece in rock.pieces:
        form = Form.SLAB if piece.kind is PieceKind.SLAB else Form.BOULDER
        (x, y, z), (a, b, c) = piece.centre_cm, piece.half_cm
        out.append(Stone(form, x, y, z - c, (2 * a, 2 * b, 2 * c), piece.yaw_rad))
    return tuple(out)


def with_step(stones: tuple[Stone, ...], step: Step) -> tuple[Stone, ...]:
    """Return the stones after one step; the others keep their numbers, one taken out lies nowhere."""
    if step.after is None:
        return stones[: step.number] + stones[step.number + 1 :]
    if step.number == len(stones):
        return (*stones, step.after)
    return (*stones[: step.number], step.after, *stones[step.number + 1 :])


def spots(glass: Glass, step_cm: float = _STEP_CM) -> list[Spot]:
    """Return places for the middle of a stone, on a grid that keeps clear of the panes."""
    xs = _even(glass.length_cm, step_cm)
    ys = _even(glass.width_cm, step_cm)
    grid = np.array([(x, y) for x in xs for y in ys])
    clear = glass.clearance_cm(grid) > 0.0
    return [(float(x), float(y)) for x, y in grid[clear]]


def _even(size_cm: float, step_cm: float) -> NDArray[np.float64]:
    count = max(int(size_cm / step_cm), 2)
    return (np.arange(count) + 0.5) * size_cm / count


@dataclass(frozen=True)
class Try:
    """A stone to be put somewhere: its number from 0, as it lies now (None if added), and where."""

    number: int
    before: Stone | None
    stone: Stone
    place: Spot
    note: str = ""

    def step(self, bed: Bed, rules: Rules) -> Step | None:
        """Return the step, or None where the stone finds no place there or would hardly move."""
        rest = bed.stones[: self.number] + bed.stones[self.number + 1 :]
        placed = put(self.stone, self.place, rest, bed, rules)
        if placed is None or (self.before is not None and not _is_elsewhere(placed, self.before)):
            return None
        return Step(Act.ADD if self.before is None else Act.MOVE, self.number, self.before, placed, self.note)


def moves(bed: Bed) -> Iterator[Try]:
    """Yield every loose stone put in every other place, as it lies and a quarter turned."""
    places = spots(bed.glass)
    for number, stone in enumerate(bed.stones):
        if bed.is_free(number):
            for place, turn in itertools.product(places, _TURNS_RAD):
                yield Try(number, stone, replace(stone, yaw_rad=stone.yaw_rad + turn), place)


def corner_moves(bed: Bed, number: int, away_from_cm: Spot, rules: Rules) -> Iterator[Try]:
    """Yield the moves of one stone into the corners, the farthest from a place first."""
    if not bed.is_free(number):
        return
    stone, glass = bed.stones[number], bed.glass
    half, gap = max(stone.size_cm[0], stone.size_cm[1]) / 2.0, rules["rock_gap_cm"]
    xs = (half + gap, glass.length_cm - half - gap)
    ys = (half + gap, glass.width_cm - half - gap)
    for corner in sorted(((x, y) for x in xs for y in ys), key=lambda c: -math.dist(c, away_from_cm)):
        yield Try(number, stone, stone, corner, "the chaser's favourite hole goes to a far corner")


def additions(bed: Bed) -> Iterator[Try]:
    """Yield a usual boulder, pipe or arch added in every place."""
    for new in usual_stones(bed.glass):
        if stone_weight(new, bed.glass).people <= MOST_PEOPLE:
            for place, turn in itertools.product(spots(bed.glass), _TURNS_RAD):
                yield Try(len(bed.stones), None, replace(new, yaw_rad=turn), place)


def usual_stones(glass: Glass) -> tuple[Stone, ...]:
    """Return what is easily added: a boulder, a pipe and an arch, sized to the tank; assumed."""
    unit = min(glass.length_cm, glass.width_cm, glass.height_cm)
    large = min(max(0.35 * unit, 10.0), 20.0)
    pipe = min(max(0.2 * unit, 7.0), 11.0)
    return (
        Stone(Form.BOULDER, 0.0, 0.0, 0.0, (1.2 * large, large, 0.9 * large)),
        Stone(Form.PIPE, 0.0, 0.0, 0.0, (2.0 * pipe, pipe, pipe)),
        Stone(Form.ARCH, 0.0, 0.0, 0.0, (1.6 * large, 0.7 * large, large)),
    )


def put(stone: Stone, place: Spot, rest: tuple[Stone, ...], bed: Bed, rules: Rules) -> Stone | None:
    """Return a stone let down at a place, or None where it would touch the glass or leave the water.

    A gap of `rock_gap_cm` is kept all round, for cleaning and for escape.
    """
    here = stone.moved_to(place[0], place[1], 0.0)
    if not _is_off_glass(here, bed.glass, rules["rock_gap_cm"]):
        return None
    placed = let_down(here, rest) if _may_touch(here, rest) else here
    highest = max(piece.centre_cm[2] + piece.spans_cm[2] for piece in bodies(placed))
    return placed if highest <= bed.glass.height_cm - _SURFACE_CM else None


def _is_off_glass(stone: Stone, glass: Glass, gap_cm: float) -> bool:
    corners = [
        (piece.centre_cm[0] + sx * piece.spans_cm[0], piece.centre_cm[1] + sy * piece.spans_cm[1])
        for piece in bodies(stone)
        for sx in (-1.0, 1.0)
        for sy in (-1.0, 1.0)
    ]
    return bool((glass.clearance_cm(np.array(corners)) >= gap_cm - 1e-9).all())


def _may_touch(stone: Stone, rest: tuple[Stone, ...]) -> bool:
    """Say whether a stone could meet others, seen from above (never wrongly no)."""
    reach = math.hypot(*stone.size_cm[:2]) / 2.0
    return any(
        math.hypot(stone.x_cm - other.x_cm, stone.y_cm - other.y_cm)
        < reach + math.hypot(*other.size_cm[:2]) / 2.0
        for other in rest
    )


def _is_elsewhere(placed: Stone, before: Stone) -> bool:
    return math.dist((placed.x_cm, placed.y_cm), (before.x_cm, before.y_cm)) > _STEP_CM / 2.0


def stands(stones: tuple[Stone, ...], bed: Bed) -> bool:
    """Say whether stones stand, or fault in nothing in which they did not fault before.

    Layouts that are known by a word alone are drawn roughly and may lean as drawn; what was moved
    or added must stand, and nothing may stand worse than it did.
    """
    now = standings(stones, bed.glass)
    old = {stone: set(standing.faults) for stone, standing in zip(bed.stones, bed.standing, strict=True)}
    return all(
        set(standing.faults) <= old.get(stone, set()) for stone, standing in zip(stones, now, strict=True)
    )
