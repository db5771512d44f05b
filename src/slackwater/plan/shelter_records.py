"""What is told of a tank's rock: its runs and views, its holes, and who finds a home."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class LaneRow:
    """The longest clear run at a height above the floor. [cm]"""

    height_cm: float
    lane_cm: float


@dataclass(frozen=True)
class HoleRow:
    """The holes of one class of width: how many, and how many of them are dead ends."""

    up_to_cm: float | None
    words: str
    holes: int
    dead_ends: int
    two_exits: int


@dataclass(frozen=True)
class BullyRow:
    """An animal that presses others: the water it sees from its homes, and the holes it does not.

    `hidden_holes` counts by class of width, in the order of the card's holes; a hole in view of
    half of its homes counts half.
    """

    key: str
    common_name: str
    sees_share: float
    hidden_holes: tuple[float, ...]


@dataclass(frozen=True)
class HomeRow:
    """The home that an animal needs and how far it finds one.

    `fitting_holes` and `hidden_holes` count holes that fit it, the latter out of sight of whoever
    presses it; both are 0 for animals that use no holes.
    """

    key: str
    common_name: str
    need: str
    found_share: float
    sees_share: float
    quiet_share: float
    fitting_holes: float
    hidden_holes: float
    pressed_by: str


@dataclass(frozen=True)
class StoneRow:
    """One listed stone on the scales and where it stands."""

    number: int
    what: str
    mass_kg: float
    load_kg: float
    displaced_l: float
    displaced_low_l: float
    displaced_high_l: float
    submerged_kg: float
    one_lifts_kg: float
    people: int
    margin_cm: float


@dataclass(frozen=True)
class WeightRow:
    """The filled tank on its floor. [kg]"""

    water_kg: float
    rock_kg: float
    sand_kg: float
    glass_kg: float
    total_kg: float
    per_m2_kg: float


@dataclass(frozen=True)
class ShelterCard:
    """The figures of one rockwork for one company, with their sentences and cautions."""

    structures: int
    broken_share: float
    breaks_per_60_cm: float
    lanes: tuple[LaneRow, ...]
    holes: tuple[HoleRow, ...]
    bullies: tuple[BullyRow, ...]
    homes: tuple[HomeRow, ...]
    stones: tuple[StoneRow, ...]
    weight: WeightRow
    lines: tuple[str, ...]
    cautions: tuple[str, ...]
