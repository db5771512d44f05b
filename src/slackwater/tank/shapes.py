"""The glass: inner sizes of the water body and what follows from them.

Axes: x runs left to right, y from the front glass to the back, z up from the floor; all in cm.
Every tank is one outline drawn upward. Where the outline turns inward, and where an overflow box
stands, a wall fills the place: no water, no way through, no sight.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slackwater.errors import InputError
from slackwater.tank.outline import Outline, Spot
from slackwater.tank.pieces import Piece, PieceKind, as_table

_CLOSE = 1e-3
_BEYOND_CM = 20.0


class Shape(StrEnum):
    """The outline of a tank seen from above, with a word of its own for the cube."""

    RECTANGULAR = "rectangular"
    CUBE = "cube"
    CYLINDER = "cylinder"
    HALF_CYLINDER = "half cylinder"
    QUADRANT = "quadrant"
    HEXAGON = "hexagon"
    BOW_FRONT = "bow-front"
    L_SHAPE = "L-shape"
    CUT_CORNER = "cut corner"


class Corner(StrEnum):
    """Which corner is missing or cut off, or where a quadrant is round."""

    FRONT_RIGHT = "front right"
    FRONT_LEFT = "front left"
    BACK_RIGHT = "back right"
    BACK_LEFT = "back left"


@dataclass(frozen=True)
class OverflowBox:
    """A box inside the glass, up to the water line, that animals are kept out of.

    Parameters
    ----------
    x_cm, y_cm
        Its middle from the left and from the front pane. [cm]
    length_cm, width_cm
        Its outer size along x and y. [cm]
    """

    x_cm: float
    y_cm: float
    length_cm: float
    width_cm: float


@dataclass(frozen=True)
class Glass:
    """A tank's water body.

    Parameters
    ----------
    shape
        Its outline.
    length_cm
        Inner length, left to right; the diameter of a cylinder, from corner to corner of a
        hexagon. [cm]
    width_cm
        Greatest inner width, front to back, with the bow of a bow-front. [cm]
    height_cm
        Height of the water from the floor, sand included. [cm]
    bow_cm
        How far the front of a bow-front stands out before its ends. [cm]
    cut_cm
        What is missing of an L-shape, or cut off a corner, along x and y. [cm]
    corner
        Which corner that is; the round side of a quadrant.
    overflow
        A box inside the glass.

    Raises
    ------
    InputError
        If a size is not positive, or the sizes do not fit the shape.
    """

    shape: Shape
    length_cm: float
    width_cm: float
    height_cm: float
    bow_cm: float = 0.0
    cut_cm: tuple[float, float] = (0.0, 0.0)
    corner: Corner = Corner.FRONT_RIGHT
    overflow: OverflowBox | None = None

    def __post_init__(self) -> None:
        """Refuse sizes that no such tank can have."""
        for name in ("length_cm", "width_cm", "height_cm"):
            _need_positive(name, getattr(self, name))
        _need_shape(self)
        _need_overflow_inside(self)

    @cached_property
    def outline(self) -> Outline:
        """The outline from above, without the overflow box."""
        plain = _OUTLINES[self.shape](self)
        return self._turned(plain)

    @cached_property
    def hull(self) -> Outline:
        """The outline with an inward corner filled; what it adds is a wall."""
        return _rectangle(self) if self.shape is Shape.L_SHAPE else self.outline

    @cached_property
    def walls(self) -> tuple[Piece, ...]:
        """Bodies inside the hull that hold no water and let no sight through."""
        boxes = []
        if self.shape is Shape.L_SHAPE:
            boxes.append(_missing_arm(self))
        if self.overflow:
            box = self.overflow
            boxes.append((box.x_cm, box.y_cm, box.length_cm, box.width_cm))
        return tuple(self._wall(box) for box in boxes)

    @property
    def footprint_m2(self) -> float:
        """Inner floor area, without the overflow box. [m2]"""
        box = self.overflow.length_cm * self.overflow.width_cm if self.overflow else 0.0
        return (self.outline.area_cm2 - box) / 1e4

    @property
    def volume_l(self) -> float:
        """Inner volume, sand and rock included, without the overflow box. [L]"""
        return self.footprint_m2 * 10.0 * self.height_cm

    @property
    def lane_cm(self) -> float:
        """Longest straight swim along or across the bare tank; a cylinder's diameter. [cm]"""
        return max(self.length_cm, self.width_cm)

    @property
    def panes_m2(self) -> float:
        """Upright panes up to the water line. [m2]"""
        return self.outline.perimeter_cm * self.height_cm / 1e4

    @cached_property
    def room_cm(self) -> float:
        """Diameter of the widest round stone that fits, to a fiftieth of the tank. [cm]"""
        return 2.0 * float(self.clearance_cm(self._spots).max())

    @property
    def breadth_cm(self) -> float:
        """Width that an animal has to turn in: of odd outlines the widest circle within. [cm]"""
        is_plain = self.shape in {Shape.RECTANGULAR, Shape.CUBE, Shape.CYLINDER}
        return self.width_cm if is_plain else min(self.width_cm, self.room_cm)

    def spot_inside(self, spot_cm: Spot, off_cm: float) -> Spot:
        """Return a place seen from above, or the nearest that stands off pane and wall. [cm]

        Parameters
        ----------
        spot_cm
            The place. [cm]
        off_cm
            How far off it should stand, as far as there is room. [cm]
        """
        off = min(off_cm, 0.4 * self.room_cm)
        if float(self.clearance_cm([spot_cm])[0]) >= off:
            return spot_cm
        free = self._spots[self.clearance_cm(self._spots) >= off]
        x, y = free[np.linalg.norm(free - np.array(spot_cm), axis=1).argmin()].tolist()
        return x, y

    def scaled(self, share: float) -> "Glass":
        """Return the tank as high and otherwise smaller or larger by a share, a plain one in length only."""
        if self.shape is Shape.RECTANGULAR and self.overflow is None:
            return replace(self, length_cm=share * self.length_cm)
        box = self.overflow
        sizes = (box.x_cm, box.y_cm, box.length_cm, box.width_cm) if box else ()
        return replace(
            self,
            shape=Shape.RECTANGULAR if self.shape is Shape.CUBE else self.shape,
            length_cm=share * self.length_cm,
            width_cm=share * self.width_cm,
            bow_cm=share * self.bow_cm,
            cut_cm=(share * self.cut_cm[0], share * self.cut_cm[1]),
            overflow=OverflowBox(*(share * size for size in sizes)) if sizes else None,
        )

    @cached_property
    def _spots(self) -> NDArray[np.float64]:
        xs, ys = (np.linspace(0.0, size, 51) for size in (self.length_cm, self.width_cm))
        return np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)

    def clearance_cm(self, spots_cm: ArrayLike) -> NDArray[np.float64]:
        """Return the distance from places seen from above to pane or wall, below 0 outside. [cm]

        Parameters
        ----------
        spots_cm
            Places, shape (N, 2). [cm]
        """
        spots = np.asarray(spots_cm, float)
        free = self.hull.inward_cm(spots)
        for wall in self.walls:
            aside = np.abs(spots - wall.centre_cm[:2]) - wall.half_cm[:2]
            outside = np.linalg.norm(np.maximum(aside, 0.0), axis=1)
            free = np.minimum(free, outside + np.minimum(aside.max(axis=1), 0.0))
        return free

    def contains(self, points_cm: ArrayLike) -> NDArray[np.bool_]:
        """Say which points lie in the water body, panes included.

        Parameters
        ----------
        points_cm
            Points, shape (N, 3). [cm]

        Returns
        -------
        ndarray of bool
            One claim per point, shape (N,); panes are taken to a ten-thousandth of the length.
        """
        points = np.asarray(points_cm, float)
        within = (points[:, 2] >= 0.0) & (points[:, 2] <= self.height_cm)
        slack_cm = 1e-4 * self.length_cm if any(self.outline.bows_cm) else 1e-9
        return np.asarray(within & (self.clearance_cm(points[:, :2]) >= -slack_cm))

    def _turned(self, plain: Outline) -> Outline:
        corner = self.corner
        across = corner in {Corner.FRONT_LEFT, Corner.BACK_LEFT}
        deep = corner in {Corner.BACK_LEFT, Corner.BACK_RIGHT}
        return plain.mirrored((self.length_cm, self.width_cm), across=across, deep=deep)

    def _wall(self, box: tuple[float, float, float, float]) -> Piece:
        x, y, length, width = box
        half = 0.5 * self.height_cm
        return Piece(PieceKind.SLAB, (x, y, half), (0.5 * length, 0.5 * width, half + _BEYOND_CM))


def wall_table(glass: Glass) -> NDArray[np.float64]:
    """Return the walls of a tank as the kernels read them, see `pieces.as_table`."""
    return as_table(glass.walls)


def shell(glass: Glass) -> tuple[Piece, ...]:
    """Return slabs that stand outside the hull, one to each flat pane and to ten degrees of an arc."""
    ring = glass.hull.ring_of(math.radians(10.0))
    slabs = []
    for (ax, ay), (bx, by) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        length, turn = math.hypot(bx - ax, by - ay), math.atan2(by - ay, bx - ax)
        out = (math.sin(turn) * _BEYOND_CM, -math.cos(turn) * _BEYOND_CM)
        centre = (0.5 * (ax + bx) + out[0], 0.5 * (ay + by) + out[1], 0.5 * glass.height_cm)
        half = (0.5 * length + _BEYOND_CM, _BEYOND_CM, glass.height_cm)
        slabs.append(Piece(PieceKind.SLAB, centre, half, turn))
    return tuple(slabs)


# --- outlines, the front right corner cut or round -------------------------------------------


def _rectangle(glass: Glass) -> Outline:
    length, width = glass.length_cm, glass.width_cm
    return Outline.flat((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def _circle(glass: Glass) -> Outline:
    radius = 0.5 * glass.length_cm
    return Outline(((0.0, radius), (glass.length_cm, radius)), (radius, radius))


def _half_circle(glass: Glass) -> Outline:
    return Outline(((0.0, glass.width_cm), (glass.length_cm, glass.width_cm)), (glass.width_cm, 0.0))


def _quarter(glass: Glass) -> Outline:
    radius = glass.length_cm
    bow = radius * (1.0 - math.sqrt(0.5))
    return Outline(((0.0, 0.0), (radius, radius), (0.0, radius)), (bow, 0.0, 0.0))


def _hexagon(glass: Glass) -> Outline:
    length, width = glass.length_cm, glass.width_cm
    left, right = 0.25 * length, 0.75 * length
    middle = 0.5 * width
    return Outline.flat(
        (left, 0.0), (right, 0.0), (length, middle), (right, width), (left, width), (0.0, middle)
    )


def _bowed(glass: Glass) -> Outline:
    corners = (
        (0.0, glass.bow_cm),
        (glass.length_cm, glass.bow_cm),
        (glass.length_cm, glass.width_cm),
        (0.0, glass.width_cm),
    )
    return Outline(corners, (glass.bow_cm, 0.0, 0.0, 0.0))


def _angled(glass: Glass) -> Outline:
    (length, width), (cut_x, cut_y) = (glass.length_cm, glass.width_cm), glass.cut_cm
    inner = (length - cut_x, cut_y)
    return Outline.flat((0.0, 0.0), (inner[0], 0.0), inner, (length, cut_y), (length, width), (0.0, width))


def _cut(glass: Glass) -> Outline:
    (length, width), (cut_x, cut_y) = (glass.length_cm, glass.width_cm), glass.cut_cm
    return Outline.flat((0.0, 0.0), (length - cut_x, 0.0), (length, cut_y), (length, width), (0.0, width))


_OUTLINES: dict[Shape, Callable[[Glass], Outline]] = {
    Shape.RECTANGULAR: _rectangle,
    Shape.CUBE: _rectangle,
    Shape.CYLINDER: _circle,
    Shape.HALF_CYLINDER: _half_circle,
    Shape.QUADRANT: _quarter,
    Shape.HEXAGON: _hexagon,
    Shape.BOW_FRONT: _bowed,
    Shape.L_SHAPE: _angled,
    Shape.CUT_CORNER: _cut,
}


def _missing_arm(glass: Glass) -> tuple[float, float, float, float]:
    """Return middle and size of what an L-shape lacks, reaching beyond the panes. [cm]"""
    cut_x, cut_y = glass.cut_cm
    is_left = glass.corner in {Corner.FRONT_LEFT, Corner.BACK_LEFT}
    is_back = glass.corner in {Corner.BACK_LEFT, Corner.BACK_RIGHT}
    x = 0.5 * (cut_x - _BEYOND_CM) if is_left else glass.length_cm - 0.5 * (cut_x - _BEYOND_CM)
    y = glass.width_cm - 0.5 * (cut_y - _BEYOND_CM) if is_back else 0.5 * (cut_y - _BEYOND_CM)
    return x, y, cut_x + _BEYOND_CM, cut_y + _BEYOND_CM


# --- what cannot be --------------------------------------------------------------------------


def _need_positive(field: str, size_cm: float) -> None:
    if not (math.isfinite(size_cm) and size_cm > 0.0):
        raise InputError(
            field=field,
            given=f"{size_cm:g} cm",
            limit="an inner size must be greater than 0",
            remedy="Measure the tank inside the glass, up to the water line.",
        )


WIDTH_PER_LENGTH = {
    Shape.CYLINDER: (1.0, "a cylinder is as wide as it is long"),
    Shape.HALF_CYLINDER: (0.5, "a half cylinder is half as wide as it is long"),
    Shape.QUADRANT: (1.0, "a quadrant is as wide as it is long"),
    Shape.HEXAGON: (math.sqrt(0.75), "a hexagon is 0.866 as wide as it is long from corner to corner"),
}
"""Width over length of the shapes that leave no choice, and how to say so."""


def _need_shape(glass: Glass) -> None:
    ratio, words = WIDTH_PER_LENGTH.get(glass.shape, (0.0, ""))
    if words and not math.isclose(glass.width_cm, ratio * glass.length_cm, rel_tol=_CLOSE):
        raise _unequal("width_cm", glass.width_cm, words)
    if glass.shape is Shape.CUBE and not glass.length_cm == glass.width_cm == glass.height_cm:
        raise _unequal("height_cm", glass.height_cm, "a cube has one size three times")
    if glass.shape is Shape.BOW_FRONT:
        _need_bow(glass)
    if glass.shape in {Shape.L_SHAPE, Shape.CUT_CORNER}:
        _need_cut(glass)


def _need_bow(glass: Glass) -> None:
    most = min(0.5 * glass.length_cm, glass.width_cm)
    if not 0.0 < glass.bow_cm < most:
        raise InputError(
            field="bow_cm",
            given=f"{glass.bow_cm:g} cm",
            limit=f"the front of this tank can bow out by more than 0 and less than {most:g} cm",
            remedy="Measure from a straight edge across the ends of the front pane to its middle.",
        )


def _need_cut(glass: Glass) -> None:
    sides = (glass.length_cm, glass.width_cm)
    if not all(0.0 < cut < side for cut, side in zip(glass.cut_cm, sides, strict=True)):
        raise InputError(
            field="cut_cm",
            given=f"{glass.cut_cm[0]:g} x {glass.cut_cm[1]:g} cm",
            limit=f"it must be more than 0 and less than the {sides[0]:g} x {sides[1]:g} cm of the tank",
            remedy="Measure what is missing of the full rectangle, along the front and along the side.",
        )


def _need_overflow_inside(glass: Glass) -> None:
    box = glass.overflow
    if box is None:
        return
    x, y = 0.5 * box.length_cm, 0.5 * box.width_cm
    corners = [(box.x_cm + i * x, box.y_cm + j * y) for i in (-1, 1) for j in (-1, 1)]
    inside = glass.hull.inward_cm(corners).min() >= -_CLOSE * glass.length_cm
    missing = _missing_arm(glass) if glass.shape is Shape.L_SHAPE else None
    clear = missing is None or any(
        abs(at - middle) >= half + 0.5 * size - 1e-9
        for at, middle, half, size in (
            (box.x_cm, missing[0], x, missing[2]),
            (box.y_cm, missing[1], y, missing[3]),
        )
    )
    if not (min(x, y) > 0.0 and inside and clear):
        raise InputError(
            field="overflow",
            given=f"{box.length_cm:g} x {box.width_cm:g} cm at x {box.x_cm:g}, y {box.y_cm:g} cm",
            limit="the box must stand inside the glass",
            remedy="Give the middle of the box from the left and from the front pane, and its outer size.",
        )


def _unequal(field: str, size_cm: float, limit: str) -> InputError:
    return InputError(
        field=field,
        given=f"{size_cm:g} cm",
        limit=limit,
        remedy="Give sizes that fit, or call the shape rectangular.",
    )
