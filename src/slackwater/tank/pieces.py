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


class PieceKind(StrEnum):
    """The body that stands for a piece of rock."""

    ELLIPSOID = "ellipsoid"
    SLAB = "slab"


@dataclass(frozen=True)
class Piece:
    """A piece of rock, level, turned about its upright axis.

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

    Raises
    ------
    InputError
        If a half size is not positive.
    """

    kind: PieceKind
    centre_cm: Point
    half_cm: Point
    yaw_rad: float = 0.0

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
    def spans_cm(self) -> Point:
        """Half the extent of its upright box along the tank's axes. [cm]"""
        across, deep, high = self.half_cm
        cosine, sine = abs(math.cos(self.yaw_rad)), abs(math.sin(self.yaw_rad))
        if self.kind is PieceKind.SLAB:
            return cosine * across + sine * deep, sine * across + cosine * deep, high
        return (
            math.hypot(cosine * across, sine * deep),
            math.hypot(sine * across, cosine * deep),
            high,
        )

    def at(self, unit: Point) -> Point:
        """Return the tank point of a point in the piece's unit frame. [cm]"""
        u, v, w = (share * half for share, half in zip(unit, self.half_cm, strict=True))
        cosine, sine = math.cos(self.yaw_rad), math.sin(self.yaw_rad)
        x, y, z = self.centre_cm
        return x + cosine * u - sine * v, y + sine * u + cosine * v, z + w


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
        kind (0 ellipsoid, 1 slab), centre and half sizes [cm], cos and sin of yaw, shape (P, 9).
    """
    rows = [
        (
            float(piece.kind is PieceKind.SLAB),
            *piece.centre_cm,
            *piece.half_cm,
            math.cos(piece.yaw_rad),
            math.sin(piece.yaw_rad),
        )
        for piece in pieces
    ]
    return np.array(rows, float).reshape(-1, 9)
