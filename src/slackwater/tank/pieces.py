"""Pieces of rock as simple bodies, and the holes in them."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError

Point = tuple[float, float, float]
"""x left to right, y front to back, z up from the floor. [cm]"""


ROCK_KG_PER_L = 1.6
"""Mass of porous reef rock per litre of its outer form; assumed. [kg/L]"""

COLUMNS = 11
"""Columns of the table of pieces."""


class PieceKind(StrEnum):
    """The body that stands for a piece of rock."""

    ELLIPSOID = "ellipsoid"
    SLAB = "slab"


@dataclass(frozen=True)
class Piece:
    """A body of rock, turned about the upright and tilted along its own length.

    Parameters
    ----------
    kind
        Ellipsoid for boulders, slab for plates and roofs.
    centre_cm
        Its middle. [cm]
    half_cm
        Half its size along its own three axes. [cm]
    yaw_rad
        Turn from the tank's x axis towards its y axis. [rad]
    tilt_rad
        How far its own x axis is then raised above the level. [rad]

    Raises
    ------
    InputError
        If a half size is not positive.
    """

    kind: PieceKind
    centre_cm: Point
    half_cm: Point
    yaw_rad: float = 0.0
    tilt_rad: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a piece without thickness."""
        if not all(math.isfinite(half) and half > 0.0 for half in self.half_cm):
            raise InputError(
                field="half_cm",
                given=str(self.half_cm),
                limit="all three half sizes of a rock must be greater than 0",
                remedy="Give half the length, width and height of the piece.",
            )

    @property
    def axes(self) -> NDArray[np.float64]:
        """Its own x, y and z axes as unit vectors of the tank, one a column, shape (3, 3). [-]"""
        c, s = math.cos(self.yaw_rad), math.sin(self.yaw_rad)
        ct, st = math.cos(self.tilt_rad), math.sin(self.tilt_rad)
        return np.array([[c * ct, -s, -c * st], [s * ct, c, -s * st], [st, 0.0, ct]])

    @property
    def spans_cm(self) -> Point:
        """Half the extent of its upright box along the tank's axes. [cm]"""
        arms = np.abs(self.axes * np.array(self.half_cm))
        spans = arms.sum(axis=1) if self.kind is PieceKind.SLAB else np.sqrt((arms**2).sum(axis=1))
        x, y, z = spans.tolist()
        return x, y, z

    def at(self, unit: Point) -> Point:
        """Return the tank point of a point in the piece's unit frame. [cm]"""
        u, v, w = (share * half for share, half in zip(unit, self.half_cm, strict=True))
        cosine, sine = math.cos(self.yaw_rad), math.sin(self.yaw_rad)
        rise, level = math.sin(self.tilt_rad), math.cos(self.tilt_rad)
        x, y, z = self.centre_cm
        along, up = level * u - rise * w, rise * u + level * w
        return x + cosine * along - sine * v, y + sine * along + cosine * v, z + up

    @property
    def volume_l(self) -> float:
        """Volume of the whole body. [L]"""
        whole = 8.0 if self.kind is PieceKind.SLAB else 4.0 / 3.0 * math.pi
        return whole * math.prod(self.half_cm) / 1000.0


@dataclass(frozen=True)
class Hole:
    """A hole or cave an animal can shelter in.

    Parameters
    ----------
    centre_cm
        Middle of its mouth. [cm]
    width_cm
        Its narrowest width. [cm]
    exits
        Ways out, 1 or 2.
    piece
        Which piece of the rockwork holds or roofs it, counted from 0.
    """

    centre_cm: Point
    width_cm: float
    exits: int
    piece: int


def as_table(pieces: Iterable[Piece]) -> NDArray[np.float64]:
    """Return pieces as the kernels read them.

    Parameters
    ----------
    pieces
        The rock.

    Returns
    -------
    ndarray
        kind (0 ellipsoid, 1 slab), centre and half sizes [cm], cosine and sine of yaw and of tilt,
        shape (P, 11).
    """
    rows = [
        (
            float(piece.kind is PieceKind.SLAB),
            *piece.centre_cm,
            *piece.half_cm,
            math.cos(piece.yaw_rad),
            math.sin(piece.yaw_rad),
            math.cos(piece.tilt_rad),
            math.sin(piece.tilt_rad),
        )
        for piece in pieces
    ]
    return np.array(rows, float).reshape(-1, COLUMNS)
