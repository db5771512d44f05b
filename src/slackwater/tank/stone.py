"""Stones as a keeper lists them: boulders, slabs, arches, pipes and the rest, made into bodies.

A stone has a form, a place, a size, a turn and a tilt. Sight and water see it as one or a few
ellipsoids and boxes. Its own x axis runs along its length, y across, z up.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from slackwater.errors import InputError
from slackwater.tank.pieces import ROCK_KG_PER_L, Hole, Piece, PieceKind, Point

CORAL_BULK_KG_PER_L = (0.86, 1.68)
"""Least and greatest bulk density of branch tips of Acropora, measured [bucher1998]. [kg/L]"""

SHELL_CM = 0.6
"""Thickness of a pipe's wall; assumed. [cm]"""

_GOLDEN_ANGLE = math.pi * (3.0 - math.sqrt(5.0))
_BRANCHES = 6
_STEEPEST_RAD = math.radians(80.0)


class Form(StrEnum):
    """What a stone is."""

    BOULDER = "boulder"
    SLAB = "slab"
    PILLAR = "pillar"
    ARCH = "arch"
    SHELF = "shelf"
    PIPE = "pipe"
    RUBBLE = "rubble"
    BRANCHING_CORAL = "branching coral"
    ANEMONE = "anemone"
    SAND_BED = "sand bed"


LEVEL = frozenset({Form.RUBBLE, Form.BRANCHING_CORAL, Form.ANEMONE, Form.SAND_BED})
"""Forms that lie or grow level and cannot be tilted."""


_WAYS_THROUGH = frozenset({Form.ARCH, Form.PIPE})


class Side(StrEnum):
    """Where on a stone a hole opens, along the stone's own axes."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    TOP = "top"


@dataclass(frozen=True)
class Opening:
    """A hole that was told: its width, its ways out, and where on the stone it opens."""

    width_cm: float
    exits: int = 1
    side: Side = Side.FRONT


@dataclass(frozen=True)
class Stone:
    """One thing of the rockwork, in its place.

    Parameters
    ----------
    form
        What it is.
    x_cm, y_cm
        Its middle from the left and from the front pane. [cm]
    base_cm
        Its lowest point above the floor. [cm]
    size_cm
        Length, width and height as it lies untilted. [cm]
    yaw_rad
        Turn about the upright, from x towards y. [rad]
    tilt_rad
        How far its own right end is raised. [rad]
    mass_kg
        Its mass, if it was weighed. [kg]
    openings
        Its holes, None if nothing was told of them.
    is_fixed
        Whether it is glued or pinned to what it touches.
    parts
        Bodies it is made of, if it is no plain form but a scan, about its middle and base.
    """

    form: Form
    x_cm: float
    y_cm: float
    base_cm: float
    size_cm: Point
    yaw_rad: float = 0.0
    tilt_rad: float = 0.0
    mass_kg: float | None = None
    openings: tuple[Opening, ...] | None = None
    is_fixed: bool = False
    parts: tuple[Piece, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a size of nothing and a tilt that the form cannot have."""
        if not all(math.isfinite(size) and size > 0.0 for size in self.size_cm):
            raise InputError(
                field="size_cm",
                given=" x ".join(f"{size:g}" for size in self.size_cm) + " cm",
                limit="all three sizes of a stone must be greater than 0",
                remedy="Give length, width and height of the piece.",
            )
        if self.tilt_rad and (self.form in LEVEL or abs(self.tilt_rad) > _STEEPEST_RAD):
            raise InputError(
                field="tilt",
                given=f"{math.degrees(self.tilt_rad):.0f} degrees",
                limit=f"a {self.form} lies level" if self.form in LEVEL else "at most 80 degrees can be told",
                remedy="Leave the tilt out, or give another form or size.",
            )

    @property
    def is_bed(self) -> bool:
        """Whether it is sand and no rock."""
        return self.form is Form.SAND_BED

    @property
    def is_soft(self) -> bool:
        """Whether it is alive and as light as water."""
        return self.form is Form.ANEMONE

    @property
    def is_plain_rock(self) -> bool:
        """Whether it is massive rock of which no holes were told."""
        massive = self.form in {Form.BOULDER, Form.SLAB, Form.PILLAR}
        return massive and self.openings is None

    @property
    def solid_l(self) -> float:
        """Volume of its outer form, without the ways through it. [L]"""
        share = 0.5 if self.form is Form.RUBBLE else 1.0
        return share * sum(piece.volume_l for piece in bodies(self))

    @property
    def weight_kg(self) -> float:
        """Mass out of the water: as told, or by volume. [kg]"""
        if self.mass_kg is not None:
            return self.mass_kg
        if self.is_bed or self.is_soft:
            return 0.0
        dense = 0.5 * sum(CORAL_BULK_KG_PER_L) if self.form is Form.BRANCHING_CORAL else ROCK_KG_PER_L
        return dense * self.solid_l

    def moved_to(self, x_cm: float, y_cm: float, base_cm: float) -> "Stone":
        """Return the stone in another place."""
        return replace(self, x_cm=x_cm, y_cm=y_cm, base_cm=base_cm)


def bodies(stone: Stone) -> tuple[Piece, ...]:
    """Return the ellipsoids and boxes that stand for a stone, in its place.

    Parameters
    ----------
    stone
        The stone.

    Returns
    -------
    tuple of Piece
        Their lowest point is at the stone's base, except of rubble and sand, which lie on it.
    """
    plain = stone.parts or tuple(_FORMS[stone.form](stone))
    turned = [_placed(piece, stone) for piece in plain]
    if stone.form in LEVEL or stone.parts:
        return tuple(turned)
    lowest = min(piece.centre_cm[2] - piece.spans_cm[2] for piece in turned)
    return tuple(_raised(piece, stone.base_cm - lowest) for piece in turned)


def shelters(stone: Stone, first_piece: int) -> list[Hole]:
    """Return the holes of a stone: those told, or those its form makes.

    Parameters
    ----------
    stone
        The stone.
    first_piece
        Number of its first body in the rockwork.
    """
    bounds = Piece(PieceKind.SLAB, (0.0, 0.0, 0.5 * stone.size_cm[2]), _half(stone))
    frame = bodies(replace(stone, form=Form.SLAB, parts=())) if stone.form not in LEVEL else ()
    box = frame[0] if frame else _placed(bounds, stone)
    told = stone.openings
    if told is None:
        return [Hole(box.at(spot), width, exits, first_piece) for spot, width, exits in _made(stone)]
    made = []
    if stone.form in _WAYS_THROUGH:
        # The first hole told of an arch or a pipe is the width of the way through it.
        made = [Hole(box.at(spot), width, exits, first_piece) for spot, width, exits in _made(stone)]
        told = told[1:]
    return made + [
        Hole(box.at(_mouth(opening.side, k)), opening.width_cm, opening.exits, first_piece)
        for k, opening in enumerate(told)
    ]


def _made(stone: Stone) -> Iterator[tuple[Point, float, int]]:
    made = _NATURAL.get(stone.form)
    return made(stone) if made else iter(())


def _half(stone: Stone) -> Point:
    a, b, c = stone.size_cm
    return 0.5 * a, 0.5 * b, 0.5 * c


def _placed(piece: Piece, stone: Stone) -> Piece:
    """Turn and tilt a body about the middle of the stone, and put it there.

    Bodies that are themselves turned or tilted belong to forms that lie level.
    """
    anchor = Piece(PieceKind.SLAB, (0.0, 0.0, 0.0), (1.0, 1.0, 1.0), stone.yaw_rad, stone.tilt_rad)
    middle = 0.5 * stone.size_cm[2]
    x, y, z = anchor.at((*piece.centre_cm[:2], piece.centre_cm[2] - middle))
    return replace(
        piece,
        centre_cm=(stone.x_cm + x, stone.y_cm + y, stone.base_cm + middle + z),
        yaw_rad=piece.yaw_rad + stone.yaw_rad,
        tilt_rad=piece.tilt_rad + stone.tilt_rad,
    )


def _raised(piece: Piece, by_cm: float) -> Piece:
    x, y, z = piece.centre_cm
    return replace(piece, centre_cm=(x, y, z + by_cm))


def _mouth(side: Side, k: int) -> Point:
    """Return where the k-th told hole opens, in the unit frame of the stone."""
    aside = 0.5 * math.sin(k * _GOLDEN_ANGLE)
    low = -0.3 + 0.25 * math.cos(k * _GOLDEN_ANGLE)
    return {
        Side.FRONT: (aside, -1.0, low),
        Side.BACK: (aside, 1.0, low),
        Side.LEFT: (-1.0, aside, low),
        Side.RIGHT: (1.0, aside, low),
        Side.TOP: (aside, 0.5 * low, 1.0),
    }[side]


# --- forms: bodies about the middle of the base ------------------------------------------------


def _box(x_cm: float, y_cm: float, base_cm: float, size_cm: Point) -> Piece:
    length, width, height = size_cm
    half = (0.5 * length, 0.5 * width, 0.5 * height)
    return Piece(PieceKind.SLAB, (x_cm, y_cm, base_cm + half[2]), half)


def _boulder(stone: Stone) -> Iterator[Piece]:
    half = _half(stone)
    yield Piece(PieceKind.ELLIPSOID, (0.0, 0.0, half[2]), half)


def _block(stone: Stone) -> Iterator[Piece]:
    yield _box(0.0, 0.0, 0.0, stone.size_cm)


def _gap_cm(stone: Stone, usual_share: float, most_cm: float) -> float:
    """Return the width of the way through a stone: that of its first hole, or the usual one. [cm]"""
    told = stone.openings[0].width_cm if stone.openings else usual_share * most_cm
    return min(told, 0.9 * most_cm)


def _arch(stone: Stone) -> Iterator[Piece]:
    length, width, height = stone.size_cm
    gap = _gap_cm(stone, 0.5, length)
    leg, roof = 0.5 * (length - gap), 0.3 * height
    for side in (-1.0, 1.0):
        yield _box(side * 0.5 * (gap + leg), 0.0, 0.0, (leg, width, height - roof))
    yield _box(0.0, 0.0, height - roof, (length, width, roof))


def _shelf(stone: Stone) -> Iterator[Piece]:
    """Return a foot along the back and a plate that stands out in front of it."""
    length, width, height = stone.size_cm
    plate = min(max(0.2 * height, 2.0), 0.5 * height)
    yield _box(0.0, 0.2 * width, 0.0, (length, 0.6 * width, height - plate))
    yield _box(0.0, 0.0, height - plate, (length, width, plate))


def _pipe(stone: Stone) -> Iterator[Piece]:
    """Return four walls round a square way through, along the length."""
    length, width, height = stone.size_cm
    bore = _gap_cm(stone, 0.9, min(width, height))
    side, top = 0.5 * (width - bore), 0.5 * (height - bore)
    yield _box(0.0, 0.0, 0.0, (length, width, top))
    yield _box(0.0, 0.0, height - top, (length, width, top))
    for way in (-1.0, 1.0):
        yield _box(0.0, way * 0.5 * (bore + side), top, (length, side, bore))


def _rubble(stone: Stone) -> Iterator[Piece]:
    """Return a mound: the upper half of an ellipsoid on the base."""
    half_x, half_y, _ = _half(stone)
    yield Piece(PieceKind.ELLIPSOID, (0.0, 0.0, 0.0), (half_x, half_y, stone.size_cm[2]))


def _coral(stone: Stone) -> Iterator[Piece]:
    """Return branches from one foot: one upright, the others round it like a cup."""
    length, width, height = stone.size_cm
    thick = 0.07 * min(length, width)
    yield Piece(PieceKind.ELLIPSOID, (0.0, 0.0, 0.5 * height), (thick, thick, 0.5 * height))
    for k in range(_BRANCHES):
        turn = 2.0 * math.pi * k / _BRANCHES
        reach = 0.5 / math.hypot(math.cos(turn) / length, math.sin(turn) / width) - thick
        rise = height * (0.75 + 0.15 * (-1) ** k)
        tilt = math.atan2(rise, reach)
        middle = (0.5 * reach * math.cos(turn), 0.5 * reach * math.sin(turn), 0.5 * rise)
        yield Piece(PieceKind.ELLIPSOID, middle, (0.5 * math.hypot(reach, rise), thick, thick), turn, tilt)


def _anemone(stone: Stone) -> Iterator[Piece]:
    half_x, half_y, half_z = _half(stone)
    foot = 0.35 * min(half_x, half_y)
    yield Piece(PieceKind.ELLIPSOID, (0.0, 0.0, half_z), (foot, foot, half_z))
    yield Piece(PieceKind.ELLIPSOID, (0.0, 0.0, 1.4 * half_z), (half_x, half_y, 0.6 * half_z))


_FORMS: dict[Form, Callable[[Stone], Iterator[Piece]]] = {
    Form.BOULDER: _boulder,
    Form.SLAB: _block,
    Form.PILLAR: _block,
    Form.ARCH: _arch,
    Form.SHELF: _shelf,
    Form.PIPE: _pipe,
    Form.RUBBLE: _rubble,
    Form.BRANCHING_CORAL: _coral,
    Form.ANEMONE: _anemone,
    Form.SAND_BED: _block,
}


# --- the shelter that a form makes by itself: place in the unit frame, width, exits -------------

_Spot = tuple[Point, float, int]


def _under_arch(stone: Stone) -> Iterator[_Spot]:
    length, _, height = stone.size_cm
    gap = _gap_cm(stone, 0.5, length)
    yield (0.0, 0.0, -0.3), min(gap, 0.7 * height), 2


def _under_shelf(stone: Stone) -> Iterator[_Spot]:
    _, width, height = stone.size_cm
    plate = min(max(0.2 * height, 2.0), 0.5 * height)
    for along in (-0.5, 0.5):
        yield (along, -0.8, -plate / height), min(height - plate, 0.4 * width), 2


def _through_pipe(stone: Stone) -> Iterator[_Spot]:
    _, width, height = stone.size_cm
    yield (-1.0, 0.0, 0.0), _gap_cm(stone, 0.9, min(width, height)), 2


def _in_rubble(stone: Stone) -> Iterator[_Spot]:
    """Yield narrow gaps, one to 60 cm2 of footprint, at most twelve; assumed."""
    length, width, height = stone.size_cm
    for k in range(min(12, int(0.25 * math.pi * length * width / 60.0))):
        turn, away = k * _GOLDEN_ANGLE, 0.85 * math.sqrt((k + 0.5) / 12.0)
        up = math.sqrt(max(0.0, 1.0 - away * away))
        spot = (away * math.cos(turn), away * math.sin(turn), 2.0 * up - 1.0)
        yield spot, min((1.5, 2.0, 3.0)[k % 3], 0.5 * height), 1 + k % 2


def _in_branches(stone: Stone) -> Iterator[_Spot]:
    """Yield the gaps between branches half-way up: open above and below."""
    length, width, _ = stone.size_cm
    gap = math.pi * 0.25 * min(length, width) / _BRANCHES
    for k in range(_BRANCHES):
        turn = 2.0 * math.pi * (k + 0.5) / _BRANCHES
        yield (0.5 * math.cos(turn), 0.5 * math.sin(turn), 0.0), gap, 2


_NATURAL: dict[Form, Callable[[Stone], Iterator[_Spot]]] = {
    Form.ARCH: _under_arch,
    Form.SHELF: _under_shelf,
    Form.PIPE: _through_pipe,
    Form.RUBBLE: _in_rubble,
    Form.BRANCHING_CORAL: _in_branches,
}
