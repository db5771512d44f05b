"""Rockwork: a customer's word for it, a list of pieces, and what it displaces and weighs."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from slackwater.errors import InputError
from slackwater.tank.holes import find_holes
from slackwater.tank.layouts import PLANS, Plan, Site, build
from slackwater.tank.pieces import ROCK_KG_PER_L, Hole, Piece, PieceKind, as_table
from slackwater.tank.shapes import Glass
from slackwater.tank.stone import Stone, bodies, shelters

__all__ = [
    "ROCK_KG_PER_L",
    "Hole",
    "Piece",
    "PieceKind",
    "RockWord",
    "Rockwork",
    "Stone",
    "arranged",
    "custom",
    "preset",
]

VARIANTS = 3
"""How many layouts each word stands for."""

_LINES = np.array([128, 96])
_SMALLEST, _LARGEST = 0.005, 1.0
_CLOSE = 1e-6


class RockWord(StrEnum):
    """The words customers use for their rock."""

    NONE = "none"
    SPARSE = "sparse"
    MODERATE = "moderate"
    DENSE = "dense"
    WALL = "wall"
    TWO_ISLANDS = "two islands"
    BOMMIES = "bommies"


SHARES = {
    RockWord.NONE: 0.0,
    RockWord.SPARSE: 0.04,
    RockWord.MODERATE: 0.09,
    RockWord.DENSE: 0.16,
    RockWord.WALL: 0.09,
    RockWord.TWO_ISLANDS: 0.09,
    RockWord.BOMMIES: 0.09,
}
"""Share of the inner volume that the rock displaces, by word; assumed. [-]"""


@dataclass(frozen=True)
class Rockwork:
    """All rock of a tank, with its holes and the sand round its feet.

    Parameters
    ----------
    word
        What the customer would call it; ``custom`` for listed pieces.
    pieces
        The rock.
    holes
        Where an animal can shelter.
    sand_cm
        Depth of sand. [cm]
    beds
        Boxes of deeper sand.
    stones
        What was listed, if anything was; `owners` says which stone each piece is of.
    owners
        Number of the stone, by piece.
    """

    word: str
    pieces: tuple[Piece, ...]
    holes: tuple[Hole, ...]
    sand_cm: float
    beds: tuple[Piece, ...] = ()
    stones: tuple[Stone, ...] = ()
    owners: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        """Refuse sand of less than no depth."""
        if not self.sand_cm >= 0.0:
            raise InputError(
                field="sand_cm",
                given=f"{self.sand_cm:g} cm",
                limit="a depth of sand cannot be negative",
                remedy="Give 0 for a bare floor.",
            )

    @cached_property
    def table(self) -> NDArray[np.float64]:
        """Rock and raised sand as the kernels read them, see `pieces.as_table`."""
        return as_table((*self.pieces, *self.beds))

    @cached_property
    def rock_table(self) -> NDArray[np.float64]:
        """The rock alone as the kernels read it."""
        return self.table[: len(self.pieces)]

    def displaced_l(self, glass: Glass) -> float:
        """Return the water the rock displaces above the sand, overlaps counted once. [L]"""
        return _displaced_l(self.rock_table, glass, self.sand_cm)

    @cached_property
    def mass_kg(self) -> float:
        """Mass of the rock: as listed, or 1.6 kg per litre of outer form, overlaps once (assumed). [kg]"""
        if self.stones:
            return sum(stone.weight_kg for stone in self.stones)
        return _mass_kg(self.pieces, self.rock_table)

    @property
    def deepest_sand_cm(self) -> float:
        """Depth of sand where it is deepest, beds counted. [cm]"""
        return max([self.sand_cm, *(2.0 * bed.half_cm[2] for bed in self.beds)])

    def bed_l(self) -> float:
        """Return the sand that beds hold above the rest, with the water in it. [L]"""
        tops = ((bed, 2.0 * bed.half_cm[2] - self.sand_cm) for bed in self.beds)
        return sum(4.0 * bed.half_cm[0] * bed.half_cm[1] * max(above, 0.0) / 1000.0 for bed, above in tops)


def custom(pieces: Iterable[Piece], holes: Iterable[Hole] = (), sand_cm: float = 5.0) -> Rockwork:
    """Return rockwork made of listed pieces and holes.

    Parameters
    ----------
    pieces
        The rock.
    holes
        Its shelters; none are guessed.
    sand_cm
        Depth of sand. [cm]

    Returns
    -------
    Rockwork
        With the word ``custom``.

    Raises
    ------
    InputError
        If a hole names a piece that is not there, or the sand is negative.
    """
    listed, shelters = tuple(pieces), tuple(holes)
    for hole in shelters:
        if not 0 <= hole.piece < len(listed):
            raise InputError(
                field="holes.piece",
                given=str(hole.piece),
                limit=f"the rockwork has {len(listed)} pieces, counted from 0",
                remedy="Name the piece that holds or roofs the hole.",
            )
    return Rockwork("custom", listed, shelters, sand_cm)


def arranged(stones: Iterable[Stone], glass: Glass, sand_cm: float = 5.0) -> Rockwork:
    """Return rockwork made of listed stones, as they stand.

    Parameters
    ----------
    stones
        What stands in the tank; whether it could is for `stability` to say.
    glass
        The tank.
    sand_cm
        Depth of sand. [cm]

    Returns
    -------
    Rockwork
        With the word ``custom``. A stone whose holes were not told has those that rock of its form
        and size would have.
    """
    listed = tuple(stones)
    solid = [(number, piece) for number, stone in enumerate(listed) for piece in bodies(stone)]
    rock = [(number, piece) for number, piece in solid if not listed[number].is_bed]
    pieces = tuple(piece for _, piece in rock)
    owners = tuple(number for number, _ in rock)
    guessed = find_holes(pieces, glass, sand_cm)
    holes = [hole for hole in guessed if listed[owners[hole.piece]].is_plain_rock]
    for number, stone in enumerate(listed):
        holes += shelters(stone, owners.index(number) if number in owners else 0)
    beds = tuple(piece for number, piece in solid if listed[number].is_bed)
    return Rockwork("custom", pieces, tuple(holes), sand_cm, beds, listed, owners)


@lru_cache(maxsize=512)
def preset(
    word: str,
    glass: Glass,
    sand_cm: float = 5.0,
    variant: int = 0,
    mass_kg: float | None = None,
) -> Rockwork:
    """Return a plausible layout for a customer's word.

    Parameters
    ----------
    word
        One of :class:`RockWord`.
    glass
        The tank.
    sand_cm
        Depth of sand. [cm]
    variant
        Which of the word's layouts: 0, 1 or 2.
    mass_kg
        Mass of rock, if known; else the word's usual share of the volume. [kg]

    Returns
    -------
    Rockwork
        The same for the same arguments; little changed for a slightly different tank.

    Raises
    ------
    InputError
        If the word or the variant is unknown, or the rock cannot fit the tank.

    Notes
    -----
    Each word fixes the number of pieces and how they stand. Their common scale is found by
    bisection so that the rock displaces its share: sparse 4 %, moderate 9 %, dense 16 %, all
    others 9 % (assumed). Pieces stand on the floor, in the sand, or on one another, and leave
    5 cm free behind the front glass.
    """
    known = _known_word(word)
    if variant not in range(VARIANTS):
        raise _unknown("variant", str(variant), "each word has the layouts 0, 1 and 2")
    if known is RockWord.NONE:
        return Rockwork(known, (), (), sand_cm)
    site = Site(glass, sand_cm)
    pieces = _fitted(PLANS[known](variant), site, SHARES[known] * glass.volume_l, mass_kg)
    return Rockwork(known, pieces, find_holes(pieces, glass, sand_cm), sand_cm)


def _fitted(plan: Plan, site: Site, displaced_l: float, mass_kg: float | None) -> tuple[Piece, ...]:
    """Return the plan's pieces at the scale that meets the volume, or the mass if given."""

    def excess(scale: float) -> float:
        pieces = build(plan, site, scale)
        if mass_kg is not None:
            return float(np.cbrt(_mass_kg(pieces, as_table(pieces))) - np.cbrt(mass_kg))
        return float(np.cbrt(_displaced_l(as_table(pieces), site.glass, site.sand_cm)) - np.cbrt(displaced_l))

    if not excess(_SMALLEST) < 0.0 < excess(_LARGEST):
        raise _unknown("rock", f"{mass_kg} kg", "that much rock cannot stand in this tank")
    return build(plan, site, _root(excess, _SMALLEST, _LARGEST))


def _root(excess: Callable[[float], float], low: float, high: float) -> float:
    """Return where `excess` turns from below 0 to above, by false position (Illinois rule)."""
    below, above = excess(low), excess(high)
    was_below = None
    while high - low > _CLOSE:
        middle = low + (high - low) * below / (below - above)
        found = excess(middle)
        if abs(found) < _CLOSE:
            return middle
        is_below = found < 0.0
        weight = 0.5 if is_below is was_below else 1.0
        if is_below:
            low, below, above = middle, found, weight * above
        else:
            high, above, below = middle, found, weight * below
        was_below = is_below
    return high


def _displaced_l(table: NDArray[np.float64], glass: Glass, sand_cm: float) -> float:
    from slackwater import kernels_tank

    box = np.array([[0.0, 0.0, sand_cm], [glass.length_cm, glass.width_cm, max(glass.height_cm, sand_cm)]])
    return float(kernels_tank.rock_volume(table, box, _LINES) / 1000.0)


def _mass_kg(pieces: tuple[Piece, ...], table: NDArray[np.float64]) -> float:
    from slackwater import kernels_tank

    if not pieces:
        return 0.0
    centres = np.array([piece.centre_cm for piece in pieces])
    spans = np.array([piece.spans_cm for piece in pieces])
    box = np.array([(centres - spans).min(axis=0), (centres + spans).max(axis=0)])
    return float(kernels_tank.rock_volume(table, box, _LINES) / 1000.0 * ROCK_KG_PER_L)


def _known_word(word: str) -> RockWord:
    try:
        return RockWord(word)
    except ValueError:
        words = ", ".join(RockWord)
        raise _unknown("rock", word, f"the words for rock are: {words}") from None


def _unknown(field: str, given: str, limit: str) -> InputError:
    return InputError(
        field=field, given=given, limit=limit, remedy="Choose one of these, or list the pieces."
    )
