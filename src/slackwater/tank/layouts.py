"""How the pieces of each rock word stand: plans in proportion, and their building in a tank.

A plan fixes each piece's place and proportions; `build` gives them a common scale, keeps them
inside the glass and lets them down on what stands below. The unevenness of the pieces comes from
fixed seeds, so a plan is the same each time.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import chain

import numpy as np

from slackwater.tank.outline import Spot
from slackwater.tank.pieces import Piece, PieceKind, Point
from slackwater.tank.shapes import Glass, Shape

FRONT_CM = 5.3
"""Water kept free behind the front glass, for the scraper; assumed. [cm]

A little over 5 cm, so that no rock touches a plane of cell middles, where sight would hang on the
last digit.
"""

SURFACE_CM = 3.0
"""Water kept free below the surface; assumed. [cm]"""

_TOUCH = 0.92
_RIM = 0.35
_GOLDEN_ANGLE = math.pi * (3.0 - math.sqrt(5.0))

_ROUNDS = 40
_CLEAR_CM = 1e-6
_UPRIGHT_BOXES = frozenset({Shape.RECTANGULAR, Shape.CUBE})


@dataclass(frozen=True)
class Stone:
    """One piece of a plan.

    Parameters
    ----------
    kind
        Its body.
    anchor
        Place of its heap, as shares of the tank's length and of the depth behind `FRONT_CM`. [-]
    offset
        Place from the heap's middle, in units of the scale. [-]
    half
        Half sizes, in units of the scale. [-]
    yaw_rad
        Its turn. [rad]
    is_foot
        Whether it stands on the floor.
    """

    kind: PieceKind
    anchor: Spot
    offset: Spot
    half: Point
    yaw_rad: float
    is_foot: bool = False


Plan = tuple[Stone, ...]


@dataclass(frozen=True)
class Site:
    """The tank a plan is built in, and the depth of its sand. [cm]"""

    glass: Glass
    sand_cm: float

    @property
    def unit_cm(self) -> Point:
        """Lengths that a scale of 1 stands for, between a cube's and the tank's own. [cm]"""
        deep = self.glass.width_cm - FRONT_CM
        high = self.glass.height_cm - 0.5 * self.sand_cm
        mean = (self.glass.length_cm * deep * high) ** 0.2
        return self.glass.length_cm**0.4 * mean, deep**0.4 * mean, high**0.4 * mean


# --- plans -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Heap:
    """Some pieces heaped round one place; `size` is relative to the other heaps."""

    anchor: Spot
    count: int
    seed: int
    size: float = 1.0

    def stones(self) -> Iterator[Stone]:
        """Yield half of the pieces as feet, then a roof per six, then the rest on top."""
        feet, roofs = (self.count + 1) // 2, max(1, self.count // 6)
        spots = [self.spot(k, 1.4) for k in range(feet)]
        for k, spot in enumerate(spots):
            yield self.boulder(k, spot, 1.0, is_foot=True)
        for k in range(roofs):
            yield self._roof(spots[-1 - k], spots)
        for k in range(feet, self.count - roofs):
            yield self.boulder(k, self.spot(k - feet, 0.8), 0.8, is_foot=False)

    def spot(self, k: int, spread: float) -> Spot:
        """Return the k-th place outwards on a spiral that never lines up."""
        turn = k * _GOLDEN_ANGLE + self.seed
        away = spread * self.size * math.sqrt(k + 0.3)
        return away * math.cos(turn), away * math.sin(turn)

    def boulder(self, k: int, spot: Spot, share: float, *, is_foot: bool) -> Stone:
        """Return the k-th boulder, uneven by a fifth each way."""
        uneven = np.random.default_rng([self.seed, k]).uniform(0.8, 1.2, 4)
        a, b, c = (share * self.size * uneven[:3] * (1.15, 0.95, 0.9)).tolist()
        yaw_rad = 3.0 * float(uneven[3])
        return Stone(PieceKind.ELLIPSOID, self.anchor, spot, (a, b, c), yaw_rad, is_foot)

    def _roof(self, spot: Spot, spots: list[Spot]) -> Stone:
        """Return a slab that bridges one foot and its nearest neighbour."""
        near = min((math.dist(spot, other), other) for other in spots if other != spot)[1]
        middle = (0.5 * (spot[0] + near[0]), 0.5 * (spot[1] + near[1]))
        half = (0.5 * math.dist(spot, near) + 0.6 * self.size, self.size, 0.22 * self.size)
        yaw_rad = math.atan2(near[1] - spot[1], near[0] - spot[0])
        return Stone(PieceKind.SLAB, self.anchor, middle, half, yaw_rad)


def _heaps(*heaps: Heap) -> Plan:
    return tuple(chain.from_iterable(heap.stones() for heap in heaps))


def _reef(count: int, seed: int) -> Callable[[int], Plan]:
    """Return the plans of plain rockwork: heaped left, heaped right, or in two unequal heaps."""

    def plan(variant: int) -> Plan:
        left, right = Heap((0.36, 0.58), count, seed), Heap((0.64, 0.58), count, seed + 1)
        most, rest = Heap((0.27, 0.6), count // 2, seed + 2), Heap((0.78, 0.5), count // 2, seed + 3, 0.8)
        return _heaps(*((left,), (right,), (most, rest))[variant])

    return plan


def _wall(variant: int) -> Plan:
    """Return three courses along the back: level, or rising to the left or to the right."""
    slope = (0.0, -0.4, 0.4)[variant]
    return tuple(
        _block(course, k, 1.0 + slope * ((2 * k + course + 1) / 5 - 1.0))
        for course, count in enumerate((5, 4, 3))
        for k in range(count)
    )


def _block(course: int, k: int, size: float) -> Stone:
    """Return a stone over the joint of two below; every other one of the second course is a roof."""
    heap = Heap(((2 * k + course + 1) / 10, 0.85), 12, 40 + course, size)
    if course == 1 and k % 2 == 0:
        return Stone(PieceKind.SLAB, heap.anchor, (0.0, 0.0), (1.6 * size, 0.9 * size, 0.25 * size), 0.1)
    stone = heap.boulder(k, (0.0, 0.0), 1.0 - 0.1 * course, is_foot=course == 0)
    return replace(stone, half=(stone.half[0], 0.8 * stone.half[1], stone.half[2]), yaw_rad=0.2 * (k - 2))


def _two_islands(variant: int) -> Plan:
    """Return two heaps with open water between: equal, or the left or right one larger."""
    left, right = ((6, 6), (7, 5), (5, 7))[variant]
    return _heaps(Heap((0.22, 0.58), left, 50 + variant), Heap((0.78, 0.55), right, 53 + variant))


def _bommies(variant: int) -> Plan:
    """Return columns apart from one another: three, four, or three in another order."""
    places = (
        ((0.18, 0.6), (0.52, 0.7), (0.83, 0.45)),
        ((0.13, 0.65), (0.38, 0.4), (0.63, 0.7), (0.88, 0.5)),
        ((0.2, 0.4), (0.47, 0.72), (0.82, 0.6)),
    )[variant]
    count = 12 // len(places)
    columns = (_column(place, count, 60 + 5 * variant + k) for k, place in enumerate(places))
    return tuple(chain.from_iterable(columns))


def _column(anchor: Spot, count: int, seed: int) -> Iterator[Stone]:
    """Yield one foot, smaller boulders on it and a roof near the top."""
    heap = Heap(anchor, count, seed)
    yield heap.boulder(0, (0.0, 0.0), 1.1, is_foot=True)
    for k in range(1, count - 1):
        yield heap.boulder(k, heap.spot(k, 0.15), 1.0 - 0.08 * k, is_foot=False)
    yield Stone(PieceKind.SLAB, anchor, heap.spot(count, 0.2), (1.3, 1.0, 0.2), float(seed))


PLANS: dict[str, Callable[[int], Plan]] = {
    "sparse": _reef(6, 10),
    "moderate": _reef(12, 20),
    "dense": _reef(18, 30),
    "wall": _wall,
    "two islands": _two_islands,
    "bommies": _bommies,
}
"""Plan by rock word and variant (0, 1, 2)."""


# --- building --------------------------------------------------------------------------------


def build(plan: Plan, site: Site, scale: float) -> tuple[Piece, ...]:
    """Return a plan's pieces in a tank.

    Parameters
    ----------
    plan
        The stones, each after those it may rest on.
    site
        The tank.
    scale
        Common scale; 1 is about as large as the tank. [-]

    Returns
    -------
    tuple of Piece
        One piece a stone, on the floor or on others, inside the glass.
    """
    placed: list[Piece] = []
    for stone in plan:
        placed.append(_lower(stone, _set_down(stone, site, scale), placed, site))
    return tuple(placed)


def _set_down(stone: Stone, site: Site, scale: float) -> Piece:
    """Return a stone on the floor of the tank, moved inside the glass."""
    across, deep, high = (scale * unit for unit in site.unit_cm)
    level = math.sqrt(across * deep)
    half = (stone.half[0] * level, stone.half[1] * level, stone.half[2] * high)
    half = _shrunk(half, stone, site)
    depth = site.glass.width_cm - FRONT_CM
    x = stone.anchor[0] * site.glass.length_cm + stone.offset[0] * across
    y = FRONT_CM + stone.anchor[1] * depth + stone.offset[1] * deep
    piece = Piece(stone.kind, (x, y, half[2]), half, stone.yaw_rad)
    x, y = _inside(piece, site.glass)
    return Piece(stone.kind, (x, y, half[2]), half, stone.yaw_rad)


def _shrunk(half: Point, stone: Stone, site: Site) -> Point:
    """Return half sizes that fit the tank whichever way the stone is turned."""
    widest = math.hypot(half[0], half[1]) if stone.kind is PieceKind.SLAB else max(half[:2])
    room = _room_cm(site.glass)
    fit = min(1.0, 0.48 * room / widest)
    tallest = 0.48 * (site.glass.height_cm - SURFACE_CM)
    return fit * half[0], fit * half[1], min(half[2], tallest)


def _room_cm(glass: Glass) -> float:
    """Return the width that a piece may have whichever way it is turned. [cm]"""
    if glass.shape in _UPRIGHT_BOXES or glass.shape is Shape.CYLINDER:
        return min(glass.length_cm, glass.width_cm - FRONT_CM)
    return glass.room_cm - FRONT_CM


def _inside(piece: Piece, glass: Glass) -> Spot:
    """Return the place nearest to the piece's own that is inside the glass, off the front."""
    x, y, _ = piece.centre_cm
    span_x, span_y, _ = piece.spans_cm
    if glass.shape in _UPRIGHT_BOXES:
        x = min(max(x, span_x), glass.length_cm - span_x)
        y = min(max(y, FRONT_CM + span_y), glass.width_cm - span_y)
    elif glass.shape is Shape.CYLINDER:
        x, y = _inside_circle(piece, glass)
    else:
        x, y = _inside_hull(piece, glass, (x, y))
    return _beside_walls((x, y), (span_x, span_y), glass)


def _inside_circle(piece: Piece, glass: Glass) -> Spot:
    x, y, _ = piece.centre_cm
    radius = 0.5 * (glass.length_cm - FRONT_CM)
    middle_x, middle_y = 0.5 * glass.length_cm, FRONT_CM + radius
    reach = math.hypot(*piece.half_cm[:2]) if piece.kind is PieceKind.SLAB else max(piece.half_cm[:2])
    away = math.hypot(x - middle_x, y - middle_y)
    pull = min(1.0, (radius - reach) / max(away, 1e-9))
    return middle_x + pull * (x - middle_x), middle_y + pull * (y - middle_y)


def _inside_hull(piece: Piece, glass: Glass, spot: Spot) -> Spot:
    """Push a place back from one pane after another, until the piece crosses none."""
    starts, normals = glass.hull.panes
    arms = piece.axes[:2, :] * np.array(piece.half_cm)
    across = normals @ arms
    reach = np.abs(across).sum(axis=1) if piece.kind is PieceKind.SLAB else np.linalg.norm(across, axis=1)
    reach = reach + FRONT_CM * np.maximum(normals[:, 1], 0.0)
    place = np.array(spot)
    for _ in range(_ROUNDS):
        short = reach - ((place - starts) * normals).sum(axis=1)
        worst = int(short.argmax())
        if short[worst] < _CLEAR_CM:
            break
        place = place + short[worst] * normals[worst]
    return float(place[0]), float(place[1])


def _beside_walls(spot: Spot, spans_cm: Spot, glass: Glass) -> Spot:
    """Return the place moved off any wall inside the hull, the shorter way."""
    x, y = spot
    for wall in glass.walls:
        over = [
            wall.half_cm[axis] + spans_cm[axis] - abs(spot[axis] - wall.centre_cm[axis]) for axis in (0, 1)
        ]
        if min(over) <= 0.0:
            continue
        if over[0] < over[1]:
            x += math.copysign(over[0], x - wall.centre_cm[0])
        else:
            y += math.copysign(over[1], y - wall.centre_cm[1])
    return x, y


def _lower(stone: Stone, piece: Piece, placed: list[Piece], site: Site) -> Piece:
    """Return the piece let down until it touches one below, or the floor."""
    if stone.is_foot:
        return piece
    x, y, floor = piece.centre_cm
    highest = site.glass.height_cm - SURFACE_CM - piece.half_cm[2]
    z = max([floor, *(_contact_cm(piece, below) for below in placed)])
    return Piece(piece.kind, (x, y, min(z, highest)), piece.half_cm, piece.yaw_rad)


def _contact_cm(piece: Piece, below: Piece) -> float:
    """Return the height of the piece's centre where it meets one below; its own if beside. [cm]

    In the upright plane through both centres the two outlines added make one curve, flatter for
    slabs. Towards its rim a piece leans lower, down to the floor, so that a stone that only just
    misses another lies much as one that only just touches it.
    """
    aside_x = piece.centre_cm[0] - below.centre_cm[0]
    aside_y = piece.centre_cm[1] - below.centre_cm[1]
    turn = math.atan2(aside_y, aside_x)
    share = math.hypot(aside_x, aside_y) / (_radius_cm(piece, turn) + _radius_cm(below, turn))
    power = 2.0 if piece.kind is below.kind is PieceKind.ELLIPSOID else 2.5
    left = max(0.0, 1.0 - math.pow(share, power))
    lean = min(1.0, left / _RIM)
    high = _TOUCH * (piece.half_cm[2] + below.half_cm[2])
    contact = below.centre_cm[2] + high * math.pow(left, 1.0 / power)
    return lean * contact + (1.0 - lean) * piece.half_cm[2]


def _radius_cm(piece: Piece, turn: float) -> float:
    """Return how far a piece's outline, seen from above, reaches in a direction. [cm]"""
    along = abs(math.cos(turn - piece.yaw_rad)) / piece.half_cm[0]
    across = abs(math.sin(turn - piece.yaw_rad)) / piece.half_cm[1]
    if piece.kind is PieceKind.SLAB:
        return 1.0 / max(along, across)
    return 1.0 / math.hypot(along, across)
