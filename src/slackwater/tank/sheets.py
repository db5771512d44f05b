"""A sheet with holes across the water: open area, head loss, bending, and who passes its holes.

Published formulas: numbers in, numbers out. What becomes of them for a tank is said in
`slackwater.plan.dividing`.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from slackwater.errors import InputError

GRAVITY_M_S2 = 9.80665
_SCREEN = ((0.2, 52.0), (0.3, 17.0), (0.4, 7.7), (0.5, 3.8))
_TERMS = 61


class Pattern(StrEnum):
    """How the holes of a sheet stand to one another."""

    SQUARE = "square"
    TRIANGULAR = "triangular"


class Opening(StrEnum):
    """The form of one opening."""

    ROUND = "round"
    SQUARE = "square"
    SLOT = "slot"


class Hold(StrEnum):
    """How the edges of a sheet are held."""

    FOUR_EDGES = "four edges"
    TWO_SIDES = "two sides"


def open_area(hole_cm: float, pitch_cm: float, pattern: Pattern = Pattern.TRIANGULAR) -> float:
    """Return the open share of a sheet with round holes. [-]

    Parameters
    ----------
    hole_cm
        Diameter of a hole, d. [cm]
    pitch_cm
        Distance between the middles of two neighbours, p. [cm]
    pattern
        How the holes stand.

    Raises
    ------
    InputError
        If the holes would run into one another.

    Notes
    -----
    Square: pi/4 (d/p)^2. Triangular: pi/(2 sqrt 3) (d/p)^2. Geometry.
    Check value: d 6, p 10 mm: 0.2827 and 0.3265, worked out by hand.

    Examples
    --------
    >>> round(open_area(0.8, 1.2), 4)
    0.4031
    """
    if not 0.0 < hole_cm < pitch_cm:
        raise InputError(
            field="pitch_cm",
            given=f"{pitch_cm:g} cm",
            limit=f"holes of {hole_cm:g} cm would run into one another",
            remedy="Set their middles farther apart than a hole is wide.",
        )
    full = math.pi / 4.0 if pattern is Pattern.SQUARE else math.pi / (2.0 * math.sqrt(3.0))
    return full * (hole_cm / pitch_cm) ** 2


def loss_coefficient_grill_blevins1984(open_share: float) -> float:
    """Return the loss coefficient of a square-edged grill, by the speed before it. [-]

    Parameters
    ----------
    open_share
        Open share of the sheet, a. [-]

    Notes
    -----
    K = [0.5 (1 - a) + 1 - a^2] / a^2 [blevins1984].
    Check values: those of the library fluids 1.3.1, kept in the reference tests.

    Examples
    --------
    >>> round(loss_coefficient_grill_blevins1984(0.4), 6)
    7.125
    """
    a = _share(open_share)
    return (0.5 * (1.0 - a) + 1.0 - a * a) / (a * a)


def loss_coefficient_sheet_idelchik1986(open_share: float) -> float:
    """Return the loss coefficient of a thin sharp-edged sheet, by the speed before it. [-]

    Parameters
    ----------
    open_share
        Open share of the sheet, a. [-]

    Notes
    -----
    K = (0.707 sqrt(1 - a) + 1 - a)^2 / a^2 [idelchik1986], from memory. Within 10 % of the measured
    table of Blevins between a 0.2 and 0.5.

    Examples
    --------
    >>> round(loss_coefficient_sheet_idelchik1986(0.4), 2)
    8.23
    """
    a = _share(open_share)
    return (0.707 * math.sqrt(1.0 - a) + 1.0 - a) ** 2 / (a * a)


def loss_coefficient_screen_blevins1984(open_share: float) -> float:
    """Return the loss coefficient of a thin square-edged screen from a table, 0.2 to 0.5 open. [-]

    Parameters
    ----------
    open_share
        Open share of the screen, a. [-]

    Raises
    ------
    InputError
        If the table does not reach so far.

    Notes
    -----
    Table of [blevins1984], 52, 17, 7.7 and 3.8 at 0.2, 0.3, 0.4 and 0.5; the logarithm is
    interpolated between its rows.
    """
    (low, _), (high, _) = _SCREEN[0], _SCREEN[-1]
    if not low <= open_share <= high:
        raise _bad_share(open_share, f"the table runs from {low:g} to {high:g}")
    shares, losses = zip(*_SCREEN, strict=True)
    return float(np.exp(np.interp(open_share, shares, np.log(losses))))


def head_loss_cm(open_share: float, speed_cm_s: float) -> float:
    """Return the difference of levels that drives water through a sheet. [cm]

    Parameters
    ----------
    open_share
        Open share of the sheet, a. [-]
    speed_cm_s
        Speed of the water before it, U. [cm/s]

    Notes
    -----
    dh = K U^2 / (2 g), K the larger of the grill's [blevins1984] and the thin sheet's
    [idelchik1986].

    Examples
    --------
    >>> round(head_loss_cm(0.1, 10.0), 1)
    12.6
    """
    larger = max(
        loss_coefficient_grill_blevins1984(open_share), loss_coefficient_sheet_idelchik1986(open_share)
    )
    return larger * speed_cm_s**2 / (2.0 * 100.0 * GRAVITY_M_S2)


@dataclass(frozen=True)
class Plate:
    """A sheet that bends under a difference of levels.

    Parameters
    ----------
    width_cm, height_cm
        Its free size between what holds it. [cm]
    thickness_cm
        Its thickness, t. [cm]
    hole_share
        Diameter of a hole over the distance between two, d/p; 0 for a solid sheet. [-]
    hold
        How its edges are held.
    modulus_mpa
        Young's modulus of the solid sheet, E. [MPa]
    poisson
        Its Poisson's ratio, nu. [-]
    """

    width_cm: float
    height_cm: float
    thickness_cm: float
    hole_share: float = 0.0
    hold: Hold = Hold.TWO_SIDES
    modulus_mpa: float = 2855.0
    poisson: float = 0.37

    @property
    def solid_share(self) -> float:
        """What the holes leave of stiffness and strength, 1 - d/p; assumed. [-]"""
        return 1.0 - self.hole_share


@dataclass(frozen=True)
class Bent:
    """How far a plate bends in its middle [cm], and its greatest stress [MPa]."""

    deflection_cm: float
    stress_mpa: float


def bent(plate: Plate, head_cm: float, density_kg_m3: float = 1023.0) -> Bent:
    """Return how a sheet bends under a difference of levels.

    Parameters
    ----------
    plate
        The sheet.
    head_cm
        Difference of the two levels, dh. [cm]
    density_kg_m3
        Density of the water, rho. [kg/m3]

    Notes
    -----
    p = rho g dh over the whole sheet; w = alpha p a^4 / D with D = E t^3 / (12 (1 - nu^2)), stress
    6 beta p a^2 / t^2 over what the holes leave. Held on four edges a is the shorter side and alpha,
    beta are Navier's double sine series [timoshenko1959]; held on two upright sides a is the width,
    alpha 5/384 and beta 1/8, a wide strip.
    """
    load_mpa = density_kg_m3 * GRAVITY_M_S2 * head_cm / 100.0 / 1e6
    span_cm, alpha, beta = _coefficients(plate)
    stiff = plate.modulus_mpa * plate.solid_share * plate.thickness_cm**3 / (12.0 * (1.0 - plate.poisson**2))
    stress = 6.0 * beta * load_mpa * (span_cm / plate.thickness_cm) ** 2 / plate.solid_share
    return Bent(alpha * load_mpa * span_cm**4 / stiff, stress)


def _coefficients(plate: Plate) -> tuple[float, float, float]:
    """Return the span [cm] and the coefficients of deflection and moment."""
    if plate.hold is Hold.TWO_SIDES:
        return plate.width_cm, 5.0 / 384.0, 1.0 / 8.0
    span, other = sorted((plate.width_cm, plate.height_cm))
    alpha, beta = plate_coefficients_timoshenko1959(other / span, plate.poisson)
    return span, alpha, beta


@functools.lru_cache(maxsize=256)
def plate_coefficients_timoshenko1959(ratio: float, poisson: float) -> tuple[float, float]:
    """Return w D / (p a^4) and the larger moment / (p a^2) in the middle of a plate held on four edges.

    Parameters
    ----------
    ratio
        Longer over shorter side, b/a. [-]
    poisson
        Poisson's ratio, nu. [-]

    Notes
    -----
    Navier's series for edges that are simply supported under an even load [timoshenko1959]:
    w = 16 p / (pi^6 D) sum over odd m, n of sin sin / (m n (m^2/a^2 + n^2/b^2)^2).
    Check values: 0.00406 and 0.0479 for a square, 0.01013 and 0.1017 at b/a 2, both at nu 0.3, from
    memory of the book's table.

    Examples
    --------
    >>> [round(value, 5) for value in plate_coefficients_timoshenko1959(1.0, 0.3)]
    [0.00406, 0.04789]
    """
    odd = np.arange(1, 2 * _TERMS, 2)
    m, n = odd[:, None], odd[None, :]
    sign = np.sin(0.5 * np.pi * m) * np.sin(0.5 * np.pi * n)
    wave = (m * m + (n / ratio) ** 2) ** 2
    deflection = sign / (m * n * wave)
    moment = deflection * (m * m + poisson * (n / ratio) ** 2)
    return (
        float(16.0 / np.pi**6 * deflection.sum()),
        float(16.0 / np.pi**4 * moment.sum()),
    )


def passing_cm(depth_cm: float, width_cm: float, opening: Opening) -> float:
    """Return the size of opening that a rigid body of such depth and width just passes. [cm]

    Parameters
    ----------
    depth_cm
        Greatest depth of the body, D. [cm]
    width_cm
        Its greatest width, W. [cm]
    opening
        The form of the opening.

    Notes
    -----
    The cross-section is taken as an ellipse: round max(D, W), square sqrt((D^2 + W^2) / 2), slot
    the smaller of both. Geometry: the box round an ellipse turned by 45 degrees is a square.

    Examples
    --------
    >>> round(passing_cm(3.0, 1.2, Opening.SQUARE), 2)
    2.28
    """
    if opening is Opening.ROUND:
        return max(depth_cm, width_cm)
    if opening is Opening.SLOT:
        return min(depth_cm, width_cm)
    return math.sqrt((depth_cm**2 + width_cm**2) / 2.0)


def _share(open_share: float) -> float:
    if not 0.0 < open_share <= 1.0:
        raise _bad_share(open_share, "an open share lies between 0 and 1")
    return open_share


def _bad_share(open_share: float, limit: str) -> InputError:
    return InputError(
        field="open_share",
        given=f"{open_share:g}",
        limit=limit,
        remedy="Enter the open area over the whole, for example 0.3.",
    )
