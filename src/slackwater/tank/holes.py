"""Where rock of a known form is likely to offer shelter.

Live rock is riddled; a shop's customer cannot list its holes. These rules give a rockwork the
number and widths of holes that rock of its size would have. All figures are assumed.
"""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from slackwater.tank.pieces import Hole, Piece, PieceKind, Point, as_table
from slackwater.tank.shapes import Glass

WIDTHS_CM = (4.0, 2.0, 6.0, 3.0, 9.0, 2.0, 13.0, 3.0, 4.0)
"""Widths in the order rock offers them, small ones more often; assumed. [cm]"""

NARROWEST_CM = 1.5
"""Gaps below this width shelter nothing sold for such a tank; assumed. [cm]"""

SURFACE_PER_HOLE_CM2 = 300.0
"""Rock surface per hole, about one hole per 25 L of a sparsely rocked tank; assumed. [cm2]"""

_GOLDEN_ANGLE = math.pi * (3.0 - math.sqrt(5.0))
_GOLDEN_PART = (math.sqrt(5.0) - 1.0) / 2.0


def find_holes(pieces: tuple[Piece, ...], glass: Glass, sand_cm: float) -> tuple[Hole, ...]:
    """Return the holes that rock of this form is taken to have.

    Parameters
    ----------
    pieces
        The rock.
    glass
        The tank it stands in.
    sand_cm
        Depth of sand, which closes what it buries. [cm]

    Returns
    -------
    tuple of Hole
        Holes of at least 1.5 cm, piece by piece.

    Notes
    -----
    Boulders: one hole per 300 cm2 of surface, no wider than 0.9 of the shortest half size, and no
    wider than twice the room before its mouth. The last hole of a piece opens by degrees as the
    piece grows, so a slightly larger tank has slightly wider holes. Slabs: up to three places
    beneath, as wide as the room there and at most 0.9 of the slab's shorter half size, open to
    both sides.
    """
    proposed = [
        (number, *offer) for number, piece in enumerate(pieces) for offer in _offers(number, piece, sand_cm)
    ]
    rooms = _room_cm(pieces, [(offer[0], offer[1]) for offer in proposed], glass, sand_cm)
    widths = [min(offer[2], 2.0 * room) for offer, room in zip(proposed, rooms, strict=True)]
    return tuple(
        Hole(centre, width, exits, number)
        for (number, centre, _, exits), width in zip(proposed, widths, strict=True)
        if width >= NARROWEST_CM
    )


def _offers(number: int, piece: Piece, sand_cm: float) -> Iterator[tuple[Point, float, int]]:
    """Yield centre, greatest width and exits of a piece's possible holes."""
    if piece.kind is PieceKind.SLAB:
        yield from _caves(piece, sand_cm)
        return
    count = _surface_cm2(piece) / SURFACE_PER_HOLE_CM2
    for k in range(math.ceil(count)):
        width = WIDTHS_CM[(k + 2 * number) % len(WIDTHS_CM)] * min(1.0, count - k)
        exits = 1 if (k + number) % 3 else 2
        yield piece.at(_side(k, number)), min(width, 0.9 * min(piece.half_cm)), exits


def _caves(roof: Piece, sand_cm: float) -> Iterator[tuple[Point, float, int]]:
    gap = max(roof.centre_cm[2] - roof.half_cm[2] - sand_cm, 0.0)
    width = min(gap, 0.9 * min(roof.half_cm[:2]))
    for along in (-0.6, 0.0, 0.6):
        yield roof.at((along, 0.0, -1.0 - 0.5 * width / roof.half_cm[2])), width, 2


def _side(k: int, number: int) -> Point:
    """Return a point on the unit ball, spread evenly, more often low than high."""
    height = -0.4 + 1.1 * ((0.5 + k * _GOLDEN_PART) % 1.0)
    turn = k * _GOLDEN_ANGLE + number
    level = math.sqrt(1.0 - height * height)
    return level * math.cos(turn), level * math.sin(turn), height


def _surface_cm2(piece: Piece) -> float:
    """Return the surface of an ellipsoid (Thomsen's approximation, within 1.1 %). [cm2]"""
    a, b, c = (half**1.6075 for half in piece.half_cm)
    return float(4.0 * math.pi * ((a * b + a * c + b * c) / 3.0) ** (1.0 / 1.6075))


def _room_cm(
    pieces: tuple[Piece, ...], mouths: list[tuple[int, Point]], glass: Glass, sand_cm: float
) -> list[float]:
    """Return the distance from each mouth to other rock, sand and glass. [cm]"""
    from slackwater import kernels_tank

    points = np.array([point for _, point in mouths], float).reshape(-1, 3)
    owners = np.array([number for number, _ in mouths], int)
    room = np.minimum(_to_glass_cm(points, glass), points[:, 2] - sand_cm)
    for number in np.unique(owners):
        own = owners == number
        others = as_table(pieces[:number] + pieces[number + 1 :])
        room[own] = np.minimum(room[own], kernels_tank.rock_distance(points[own], others))
    return [float(distance) for distance in room]


def _to_glass_cm(points: NDArray[np.float64], glass: Glass) -> NDArray[np.float64]:
    """Return the distance to the nearest pane or the water line, below 0 outside. [cm]"""
    to_line = np.minimum(points[:, 2], glass.height_cm - points[:, 2])
    return np.asarray(np.minimum(to_line, glass.clearance_cm(points[:, :2])))
