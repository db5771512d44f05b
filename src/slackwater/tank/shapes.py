"""The glass: inner sizes of the water body and what follows from them.

Axes: x runs left to right, y from the front glass to the back, z up from the floor; all in cm.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.errors import InputError


class Shape(StrEnum):
    """The outline of a tank seen from above, with a word of its own for the cube."""

    RECTANGULAR = "rectangular"
    CUBE = "cube"
    CYLINDER = "cylinder"


@dataclass(frozen=True)
class Glass:
    """A tank's water body.

    Parameters
    ----------
    shape
        Its outline.
    length_cm
        Inner length, left to right; the diameter of a cylinder. [cm]
    width_cm
        Inner width, front to back; the diameter of a cylinder. [cm]
    height_cm
        Height of the water from the floor, sand included. [cm]

    Raises
    ------
    InputError
        If a size is not positive, or the sizes do not fit the shape.
    """

    shape: Shape
    length_cm: float
    width_cm: float
    height_cm: float

    def __post_init__(self) -> None:
        """Refuse sizes that no such tank can have."""
        for name in ("length_cm", "width_cm", "height_cm"):
            _need_positive(name, getattr(self, name))
        if self.shape is Shape.CYLINDER and self.width_cm != self.length_cm:
            raise _unequal("width_cm", self.width_cm, "a cylinder is as wide as it is long")
        if self.shape is Shape.CUBE and not self.length_cm == self.width_cm == self.height_cm:
            raise _unequal("height_cm", self.height_cm, "a cube has one size three times")

    @property
    def footprint_m2(self) -> float:
        """Inner floor area. [m2]"""
        if self.shape is Shape.CYLINDER:
            return math.pi / 4.0 * self.length_cm**2 / 1e4
        return self.length_cm * self.width_cm / 1e4

    @property
    def volume_l(self) -> float:
        """Inner volume, sand and rock included. [L]"""
        return self.footprint_m2 * 10.0 * self.height_cm

    @property
    def lane_cm(self) -> float:
        """Longest straight swim along a pane at mid level; a cylinder's diameter. [cm]"""
        return max(self.length_cm, self.width_cm)

    def contains(self, points_cm: ArrayLike) -> NDArray[np.bool_]:
        """Say which points lie in the water body, walls included.

        Parameters
        ----------
        points_cm
            Points, shape (N, 3). [cm]

        Returns
        -------
        ndarray of bool
            One claim per point, shape (N,).
        """
        points = np.asarray(points_cm, float)
        size = np.array([self.length_cm, self.width_cm, self.height_cm])
        inside: NDArray[np.bool_] = np.all((points >= 0.0) & (points <= size), axis=1)
        if self.shape is Shape.CYLINDER:
            radius = self.length_cm / 2.0
            inside &= np.hypot(points[:, 0] - radius, points[:, 1] - radius) <= radius
        return inside


def _need_positive(field: str, size_cm: float) -> None:
    if not (math.isfinite(size_cm) and size_cm > 0.0):
        raise InputError(
            field=field,
            given=f"{size_cm:g} cm",
            limit="an inner size must be greater than 0",
            remedy="Measure the tank inside the glass, up to the water line.",
        )


def _unequal(field: str, size_cm: float, limit: str) -> InputError:
    return InputError(
        field=field,
        given=f"{size_cm:g} cm",
        limit=limit,
        remedy="Give equal sizes, or call the shape rectangular.",
    )
