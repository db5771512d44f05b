"""From what a tank file says of glass, rock and sand to the tank the model sees."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from slackwater.errors import InputError
from slackwater.plan.records import Assumption
from slackwater.service.counter import USUAL_LENGTH_CM, usual_glass
from slackwater.service.glass_of import glass_with, whole_glass
from slackwater.service.tankfile import TankFile
from slackwater.service.tankfile_rock import RockPiece, Scan
from slackwater.service.tankfile_tank import Tank
from slackwater.service.tankfile_values import fault
from slackwater.tank.reduction import Reduced
from slackwater.tank.rock import Rockwork, arranged, preset
from slackwater.tank.shapes import WIDTH_PER_LENGTH, Glass, Shape
from slackwater.tank.stability import Fault, Standing, let_down, standings
from slackwater.tank.stone import Form, Opening, Side, Stone

_LENGTH_COST = "length decides more than volume: measure it"
_USUAL_SAND_CM = 5.0


def told_glass(tank: Tank, assumed: list[Assumption]) -> Glass:
    """Return the glass; sides not told follow from the volume or are those of usual make."""
    whole = whole_glass(tank)
    if whole is not None:
        return whole
    length_cm = tank.inner_length_cm
    if not length_cm and not tank.volume_l:
        assumed.append(Assumption("tank length", f"{USUAL_LENGTH_CM:.0f} cm", _LENGTH_COST))
    length = length_cm or _length_for(tank.volume_l)
    told = {"width": tank.inner_width_cm, "height": tank.water_cm}
    if tank.volume_l:
        sides = _sides(tank.volume_l, length, told)
        taken = " x ".join(f"{side:.0f}" for side in (length, sides["width"], sides["height"]))
        assumed.append(Assumption("tank sides", f"{taken} cm from {tank.volume_l:.0f} L", _LENGTH_COST))
    else:
        usual = usual_glass(length)
        sides = {"width": told["width"] or usual.width_cm, "height": told["height"] or usual.height_cm}
        for name, side in told.items():
            if side is None:
                cost = "less water means more chasing"
                assumed.append(Assumption(f"tank {name}", f"{sides[name]:.0f} cm", cost))
    height = length if tank.shape == "cube" else sides["height"]
    return glass_with(tank, length, _fitting(tank, length, sides["width"]), height)


def _fitting(tank: Tank, length_cm: float, width_cm: float) -> float:
    """Return the width, or the one that the shape leaves no choice about. [cm]"""
    ratio, _ = WIDTH_PER_LENGTH.get(Shape(tank.shape), (0.0, ""))
    return ratio * length_cm or (length_cm if tank.shape == "cube" else width_cm)


def _length_for(volume_l: float | None) -> float:
    """Return the length of a usual tank of a volume, 2.2 times as long as wide and high. [cm]"""
    if volume_l is None:
        return USUAL_LENGTH_CM
    return float((1000.0 * volume_l * 2.2**2) ** (1.0 / 3.0))


def _sides(volume_l: float, length_cm: float, told: dict[str, float | None]) -> dict[str, float]:
    """Return width and height that hold a volume at a length, those told kept. [cm]"""
    across = 1000.0 * volume_l / length_cm
    for side in told.values():
        across /= side or 1.0
    free = sum(1 for side in told.values() if side is None)
    return {name: side or across ** (1.0 / free) for name, side in told.items()}


# --- rock ------------------------------------------------------------------------------------


def rockworks_of(
    tank_file: TankFile, glass: Glass, assumed: list[Assumption]
) -> tuple[tuple[Rockwork, ...], str, bool]:
    """Return the rock layouts to judge, the word for them, and whether they were told."""
    rock, sand = tank_file.rock, tank_file.sand.depth_cm
    if sand is None:
        sand = _USUAL_SAND_CM
        assumed.append(Assumption("sand", "5 cm", "sand sleepers and burrowers need more"))
    if rock.pieces or rock.scan:
        return (arranged(stones_of(tank_file, glass), glass, sand),), "as listed", True
    word = rock.layout or "moderate"
    if rock.layout is None:
        assumed.append(Assumption("rock", "moderate", "bare tanks are harder on the chased"))
    variants = (0,) if word == "none" else (0, 1, 2)
    layouts = tuple(preset(word, glass, sand, v, rock.mass_kg) for v in variants)
    return layouts, word, rock.layout is not None


def stones_of(tank_file: TankFile, glass: Glass) -> tuple[Stone, ...]:
    """Return the listed stones and the scan in their places; a mass told of all is shared out.

    Raises
    ------
    InputError
        If a scan cannot be read.
    """
    rock = tank_file.rock
    scanned = (scanned_stone(rock.scan, glass),) if rock.scan else ()
    stones = list(scanned)
    for piece in rock.pieces:
        stones.append(_stone(piece, tuple(stones)))
    if rock.mass_kg is None:
        return tuple(stones)
    return _sharing(tuple(stones), rock.mass_kg)


def _stone(piece: RockPiece, before: tuple[Stone, ...]) -> Stone:
    """Return a piece as a stone, let down onto those before it where no foot was told."""
    stone = Stone(
        form=Form(piece.kind),
        x_cm=piece.x_cm,
        y_cm=piece.y_cm,
        base_cm=piece.base_cm or 0.0,
        size_cm=(piece.length_cm, piece.width_cm, piece.height_cm),
        yaw_rad=math.radians(piece.turn_deg),
        tilt_rad=math.radians(piece.tilt_deg),
        mass_kg=piece.mass_kg,
        openings=_openings(piece),
        is_fixed=piece.fixed,
    )
    return stone if piece.base_cm is not None else let_down(stone, before)


def _openings(piece: RockPiece) -> tuple[Opening, ...] | None:
    if piece.holes is None:
        return None
    return tuple(Opening(hole.width_cm, hole.exits, Side(hole.side)) for hole in piece.holes)


def _sharing(stones: tuple[Stone, ...], mass_kg: float) -> tuple[Stone, ...]:
    """Return stones whose masses come to what was told of all, those told kept."""
    told = sum(stone.mass_kg or 0.0 for stone in stones)
    guessed = sum(stone.weight_kg for stone in stones if stone.mass_kg is None)
    if guessed <= 0.0 or mass_kg <= told:
        return stones
    share = (mass_kg - told) / guessed
    return tuple(
        stone if stone.mass_kg is not None else replace(stone, mass_kg=share * stone.weight_kg)
        for stone in stones
    )


def scanned_stone(scan: Scan, glass: Glass) -> Stone:
    """Return a scan as one stone in its place.

    Raises
    ------
    InputError
        If the file cannot be used, or the extra `scan` is not installed.
    """
    reduced = _reduced(scan)
    return Stone(
        form=Form.BOULDER,
        x_cm=0.5 * glass.length_cm if scan.x_cm is None else scan.x_cm,
        y_cm=0.5 * glass.width_cm if scan.y_cm is None else scan.y_cm,
        base_cm=scan.base_cm,
        size_cm=reduced.size_cm,
        yaw_rad=math.radians(scan.turn_deg),
        mass_kg=scan.mass_kg,
        parts=reduced.pieces,
    )


def scan_notes(scan: Scan | None) -> tuple[str, ...]:
    """Return what was made of a scan and how far that is from it; nothing without one."""
    if scan is None:
        return ()
    made = _reduced(scan)
    gaps = {0: "", 1: "; one gap in it was closed"}.get(made.gaps, f"; {made.gaps} gaps in it were closed")
    bodies = "one body stands" if len(made.pieces) == 1 else f"{len(made.pieces)} bodies stand"
    note = (
        f"Scan {Path(scan.file).name}: {made.volume_l:.3g} L; {bodies} for it, with as much volume, "
        f"{100.0 * made.mismatch:.0f} % of it in other places, and {100.0 * made.sight_error:.0f} % of the "
        f"views round it judged otherwise{gaps}."
    )
    return (note,)


def _reduced(scan: Scan) -> Reduced:
    from slackwater.tank.scan import Setting, read_scan

    return read_scan(Path(scan.file), Setting(unit=scan.unit, length_cm=scan.length_cm, up=scan.up))


# --- faults ----------------------------------------------------------------------------------


def standing_faults(tank_file: TankFile, glass: Glass) -> Iterator[InputError]:
    """Yield what is wrong with the places of listed stones."""
    stones = stones_of(tank_file, glass)
    scans = 1 if tank_file.rock.scan else 0
    for standing in standings(stones, glass):
        where = f"rock.pieces[{standing.stone - scans + 1}]" if standing.stone >= scans else "rock.scan"
        for kind, by_cm in zip(standing.faults, standing.by_cm, strict=True):
            yield _place_fault(stones[standing.stone], standing, kind, by_cm, where)


def box_in_rock(tank_file: TankFile, glass: Glass) -> Iterator[InputError]:
    """Yield the fault of an acclimation box that stands in rock or beyond the glass."""
    from slackwater.plan.settling_in import is_clear

    middle = tank_file.box.middle_cm(glass.height_cm) if tank_file.box else None
    if tank_file.box is None or middle is None:
        return
    rock = arranged(stones_of(tank_file, glass), glass, tank_file.sand.depth_cm or 0.0)
    if not is_clear(glass, rock, middle, tank_file.box.size_cm):
        place = ", ".join(f"{at_cm:.0f}" for at_cm in middle)
        limit = "a stone or the glass is where it would be"
        remedy = "Move the box or the stone."
        yield InputError(field="box", given=f"its middle at {place} cm", limit=limit, remedy=remedy)


def _place_fault(stone: Stone, standing: Standing, kind: Fault, by_cm: float, where: str) -> InputError:
    given = f"{_article(stone.form)} at x {stone.x_cm:g}, y {stone.y_cm:g}, base {stone.base_cm:.3g} cm"
    if kind is Fault.FLOATS:
        lower = max(stone.base_cm - standing.gap_cm, 0.0)
        return fault(
            given,
            f"it floats {by_cm:.1f} cm above what it could rest on",
            f"Write base: {lower:.1f} cm, or leave base out and it is let down.",
            where,
        )
    limit, remedy = _SAID[kind]
    return fault(given, limit.format(by=by_cm), remedy, where)


_SAID = {
    Fault.LEANS: (
        "it leans out: the middle of its load lies {by:.1f} cm outside what it rests on",
        "Move it over its support, or write fixed: true if it is glued or pinned.",
    ),
    Fault.THROUGH_GLASS: (
        "it reaches {by:.1f} cm through the glass",
        "Move it inside the tank, or check its size and turn.",
    ),
    Fault.TOO_HIGH: (
        "it stands {by:.1f} cm out of the water",
        "Lower it, or check its height and tilt.",
    ),
    Fault.INSIDE_ANOTHER: (
        "more than half of it lies inside another stone",
        "Move one of them, or leave one out.",
    ),
}


def _article(form: Form) -> str:
    return f"an {form}" if form[0] in "aeiou" else f"a {form}"
