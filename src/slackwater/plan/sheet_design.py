"""A divider to be cut and drilled: openings nobody passes, what the water asks, how thick, how held."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from slackwater.errors import InputError
from slackwater.plan.question import Wanted
from slackwater.rules import Rules
from slackwater.tank.shapes import Glass
from slackwater.tank.sheets import (
    Bent,
    Opening,
    Pattern,
    Plate,
    bent,
    head_loss_cm,
    open_area,
    passing_cm,
)
from slackwater.taxa.facts import Species

DRILLS_CM = (1.2, 1.0, 0.8, 0.6, 0.5, 0.4, 0.3)
THICKNESSES_CM = (0.3, 0.4, 0.5, 0.6)
MOST_RIBS = 4
ACRYLIC_KG_CM3 = 1.19e-3
_PLAY_CM, _STEP_CM = 0.3, 0.5
_CLOSED = 0.999
_ROW = math.sqrt(3.0) / 2.0


@dataclass(frozen=True)
class Narrowest:
    """The animal that passes the smallest opening: its body today and what it just passes. [cm]"""

    common_name: str
    length_cm: float
    depth_cm: float
    width_cm: float
    round_cm: float
    square_cm: float


@dataclass(frozen=True)
class EggCrate:
    """Whether egg-crate holds everyone, and why."""

    holds: bool
    opening_cm: float
    largest_cm: float
    open_share: float
    sentence: str


@dataclass(frozen=True)
class Drilling:
    """The holes of a sheet, in rows that stand in one another's gaps. [cm]

    `open_share` is that of the pattern, `wet_share` that of the whole sheet under water.
    """

    hole_cm: float
    pitch_cm: float
    columns: int
    rows: int
    holes: int
    rim_cm: float
    floor_rim_cm: float
    open_share: float
    wet_share: float


@dataclass(frozen=True)
class Through:
    """What a sheet does to the water at one speed before it.

    `head_cm` is the difference of levels, `may_clog` the share of the holes that may clog before it
    comes to what the sheet is made for. [0 to 1]
    """

    speed_cm_s: float
    head_cm: float
    may_clog: float


@dataclass(frozen=True)
class Strength:
    """How thick a sheet is, how many upright ribs it has, and how it bends at `made_for_cm`."""

    thickness_cm: float
    ribs: int
    slot_cm: float
    made_for_cm: float
    deflection_cm: float
    stress_mpa: float
    is_stiff: bool


@dataclass(frozen=True)
class SheetDesign:
    """A sheet to cut: its size [cm], holes, what it does to the water at the flow and before a pump."""

    width_cm: float
    height_cm: float
    wet_cm: float
    drilling: Drilling
    strength: Strength
    flow_l_h: float
    at_flow: Through
    at_pump: Through
    mass_kg: float


@dataclass(frozen=True)
class SheetSite:
    """Where a sheet stands: the tank, the depth of its sand, its place from the left, the flow along it.

    Lengths in cm, the flow in L/h.
    """

    glass: Glass
    sand_cm: float
    at_cm: float
    flow_l_h: float

    @property
    def chord_cm(self) -> float:
        """Inner width of the tank where the sheet stands. [cm]"""
        steps = max(round(self.glass.length_cm / _STEP_CM), 1)
        step = self.glass.length_cm / steps
        columns = self.glass.hull.columns_cm(step, steps)
        _, _, front, back = columns[min(int(self.at_cm / step), steps - 1)]
        return float(back - front)


def body_cm(species: Species, length_cm: float) -> tuple[float, float]:
    """Return greatest depth and width of an animal of some length. [cm]"""
    standard_cm = length_cm / species.number("tl_per_sl")
    depth = standard_cm * species.number("body_depth_ratio")
    return depth, standard_cm * species.number("body_width_ratio")


def narrowest(animals: Sequence[Wanted]) -> Narrowest:
    """Return the animal that passes the smallest round opening, as long as today.

    Raises
    ------
    InputError
        If there are no animals.
    """
    if not animals:
        raise InputError(
            field="the company",
            given="empty",
            limit="the holes of a sheet follow from who must not pass them",
            remedy="Add a company or wishes.",
        )
    return min((_narrow(w) for w in animals), key=lambda n: (n.round_cm, n.square_cm))


def _narrow(wanted: Wanted) -> Narrowest:
    depth, width = body_cm(wanted.species, wanted.length_cm)
    return Narrowest(
        wanted.species.common_name,
        wanted.length_cm,
        depth,
        width,
        passing_cm(depth, width, Opening.ROUND),
        passing_cm(depth, width, Opening.SQUARE),
    )


def egg_crate(animals: Sequence[Wanted], rules: Rules) -> EggCrate:
    """Return whether egg-crate holds everyone: its opening against half of what each just passes."""
    tight = min((_narrow(w) for w in animals), key=lambda n: n.square_cm)
    opening, bar = rules["egg_crate_cm"], rules["egg_crate_bar_cm"]
    largest = rules["sheet_wedge"] * tight.square_cm
    holds = opening <= largest
    size = f"its openings of {10 * opening:.1f} mm"
    if holds:
        sentence = f"Egg-crate holds them: {size} stop even {tight.common_name}."
    elif opening >= tight.square_cm:
        sentence = f"No egg-crate: {tight.common_name} swims through {size}."
    else:
        sentence = f"No egg-crate: {tight.common_name} could wedge in {size}."
    return EggCrate(holds, opening, largest, (opening / (opening + bar)) ** 2, sentence)


def hole_cm(animals: Sequence[Wanted], rules: Rules) -> float:
    """Return the widest usual drill whose hole nobody passes or wedges in. [cm]

    Raises
    ------
    InputError
        If someone passes even the smallest.
    """
    tight = narrowest(animals)
    largest = rules["sheet_wedge"] * tight.round_cm
    fits = [drill for drill in DRILLS_CM if drill <= largest + 1e-9]
    if not fits:
        raise InputError(
            field=tight.common_name,
            given=f"{tight.length_cm:.1f} cm long and {10 * tight.depth_cm:.1f} mm deep",
            limit=f"holes of {10 * DRILLS_CM[-1]:.0f} mm, the smallest drilled here, could hold it fast",
            remedy="Let it grow first, or keep it in a box of fine mesh.",
        )
    return fits[0]


def design(animals: Sequence[Wanted], site: SheetSite, rules: Rules) -> SheetDesign:
    """Return a sheet for a tank: drilled for the narrowest animal, as thin as stays stiff.

    Parameters
    ----------
    animals
        Everyone on either side.
    site
        Where it stands.
    rules
        The coefficients.

    Raises
    ------
    InputError
        If no drilled hole holds the narrowest animal, or the sheet has no room for holes.
    """
    wet = site.glass.height_cm
    width, height = site.chord_cm - 2.0 * _PLAY_CM, wet + rules["sheet_above_cm"]
    drilled = _drilled(hole_cm(animals, rules), (width, height), site, rules)
    strong = _strong((width, height), drilled.hole_cm / drilled.pitch_cm, rules)
    speed = site.flow_l_h / 3.6 / (width * (wet - site.sand_cm))
    solid_cm2 = width * height - drilled.holes * _disc_cm2(drilled.hole_cm)
    return SheetDesign(
        width_cm=width,
        height_cm=height,
        wet_cm=wet,
        drilling=drilled,
        strength=strong,
        flow_l_h=site.flow_l_h,
        at_flow=_through(drilled.wet_share, speed, rules),
        at_pump=_through(drilled.wet_share, rules["sheet_jet_cm_s"], rules),
        mass_kg=ACRYLIC_KG_CM3 * strong.thickness_cm * solid_cm2,
    )


def _drilled(hole: float, size_cm: tuple[float, float], site: SheetSite, rules: Rules) -> Drilling:
    """Return the holes of a sheet, none in its rims nor below the sand."""
    (width, height), wet = size_cm, site.glass.height_cm
    pitch = math.ceil(10.0 * hole / rules["sheet_pitch"]) / 10.0
    rim, floor_rim = rules["sheet_rim_cm"], site.sand_cm + rules["sheet_rim_cm"]
    columns, rows = _grid((width - 2.0 * rim, height - rim - floor_rim), pitch, hole)
    wet_rows = min(rows, max(math.floor((wet - floor_rim - hole) / (pitch * _ROW) + 1e-9) + 1, 1))
    wet_cm2 = width * (wet - site.sand_cm)
    return Drilling(
        hole_cm=hole,
        pitch_cm=pitch,
        columns=columns,
        rows=rows,
        holes=_count(columns, rows),
        rim_cm=rim,
        floor_rim_cm=floor_rim,
        open_share=open_area(hole, pitch, Pattern.TRIANGULAR),
        wet_share=_count(columns, wet_rows) * _disc_cm2(hole) / wet_cm2,
    )


def _disc_cm2(hole: float) -> float:
    return math.pi * hole**2 / 4.0


def _through(open_share: float, speed_cm_s: float, rules: Rules) -> Through:
    margin = may_clog(open_share, speed_cm_s, rules["sheet_head_cm"])
    return Through(speed_cm_s, head_loss_cm(open_share, speed_cm_s), margin)


def may_clog(open_share: float, speed_cm_s: float, head_cm: float) -> float:
    """Return the share of the openings that may clog before the levels differ by so much. [0 to 1]"""
    if speed_cm_s <= 0.0:
        return 1.0
    low, high = 0.0, _CLOSED
    if head_loss_cm(open_share, speed_cm_s) >= head_cm:
        return 0.0
    for _ in range(40):
        middle = 0.5 * (low + high)
        if head_loss_cm(open_share * (1.0 - middle), speed_cm_s) < head_cm:
            low = middle
        else:
            high = middle
    return low


def hole_places(sheet: SheetDesign) -> tuple[tuple[float, float], ...]:
    """Return the middles of all holes from the lower left corner of the sheet, row by row. [cm]"""
    drilled = sheet.drilling
    left = 0.5 * (sheet.width_cm - (drilled.columns - 1) * drilled.pitch_cm)
    bottom = drilled.floor_rim_cm + 0.5 * drilled.hole_cm
    return tuple(
        (left + drilled.pitch_cm * (column + 0.5 * (row % 2)), bottom + drilled.pitch_cm * _ROW * row)
        for row in range(drilled.rows)
        for column in range(drilled.columns - row % 2)
    )


def _grid(room: tuple[float, float], pitch: float, hole: float) -> tuple[int, int]:
    columns = math.floor((room[0] - hole) / pitch + 1e-9) + 1
    rows = math.floor((room[1] - hole) / (pitch * _ROW) + 1e-9) + 1
    if columns < 2 or rows < 2:  # noqa: PLR2004 - a pattern
        raise InputError(
            field="the sheet",
            given=f"{room[0]:.0f} x {room[1]:.0f} cm between its rims",
            limit="there is no room for holes",
            remedy="Check the inner width of the tank and the depth of its sand.",
        )
    return columns, rows


def _count(columns: int, rows: int) -> int:
    return columns * rows - rows // 2


def _strong(size_cm: tuple[float, float], hole_share: float, rules: Rules) -> Strength:
    """Return the fewest ribs, then the thinnest sheet, that hold; the stiffest of all if none does."""
    tried = [
        (thickness, ribs, _bent(size_cm, thickness, ribs, hole_share, rules))
        for ribs, thickness in product(range(MOST_RIBS + 1), THICKNESSES_CM)
    ]
    thickness, ribs, bend = next((one for one in tried if _holds(one[2], rules)), tried[-1])
    return Strength(
        thickness_cm=thickness,
        ribs=ribs,
        slot_cm=math.ceil(10.0 * max(1.0, 2.0 * bend.deflection_cm)) / 10.0,
        made_for_cm=rules["sheet_head_cm"],
        deflection_cm=bend.deflection_cm,
        stress_mpa=bend.stress_mpa,
        is_stiff=_holds(bend, rules),
    )


def _bent(size_cm: tuple[float, float], thickness: float, ribs: int, hole_share: float, rules: Rules) -> Bent:
    plate = Plate(
        size_cm[0] / (ribs + 1),
        size_cm[1],
        thickness,
        hole_share,
        modulus_mpa=rules["sheet_modulus_mpa"],
    )
    return bent(plate, rules["sheet_head_cm"])


def _holds(bend: Bent, rules: Rules) -> bool:
    return bend.stress_mpa <= rules["sheet_stress_mpa"] and 2.0 * bend.deflection_cm <= rules["sheet_slot_cm"]
