"""The tank file: what a person writes about a tank, read, checked and turned into one record."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from slackwater.errors import InputError, InputErrors
from slackwater.service.faults import faults_of
from slackwater.service.plain_data import parse, read_text
from slackwater.service.tankfile_base import MOST_ENTRIES, Part
from slackwater.service.tankfile_divider import SHORT_FORMS as DIVIDER_FORMS
from slackwater.service.tankfile_divider import Box, Divider, box_faults, divider_faults, station_faults
from slackwater.service.tankfile_parts import (
    SHORT_FORMS,
    Animals,
    Keeper,
    Keeping,
    Limits,
    Quarantine,
    Resident,
    Sand,
    Water,
    Wish,
)
from slackwater.service.tankfile_rock import SHORT_FORMS as ROCK_FORMS
from slackwater.service.tankfile_rock import Rock, RockHole, RockPiece, Scan
from slackwater.service.tankfile_tank import Overflow, Tank
from slackwater.service.tankfile_values import Away, fault

__all__ = [
    "Animals",
    "Away",
    "Box",
    "Divider",
    "Keeper",
    "Keeping",
    "Limits",
    "Overflow",
    "Quarantine",
    "Resident",
    "Rock",
    "RockHole",
    "RockPiece",
    "Sand",
    "Scan",
    "Tank",
    "TankFile",
    "Water",
    "Wish",
    "json_schema",
    "load",
]

ROCK_KG_PER_L = 2.0
MOST_ROCK_SHARE = 0.5


class TankFile(Part):
    """A tank, who lives in it, and who is wished for."""

    slackwater: Literal[1] = Field(description="Version of this format.")
    tank: Tank = Field(default_factory=Tank, description="The glass.")
    rock: Rock = Field(default_factory=Rock, description="The rockwork.")
    sand: Sand = Field(default_factory=Sand, description="What lies on the floor.")
    divider: Divider | None = Field(None, description="A sheet with holes across the tank.")
    box: Box | None = Field(None, description="The keeper's acclimation box.")
    water: Water = Field(default_factory=Water, description="The water.")
    keeping: Keeping = Field(default_factory=Keeping, description="How the tank is kept.")
    keeper: Keeper = Field(default_factory=Keeper, description="Who looks after it.")
    company: tuple[Resident, ...] = Field((), max_length=MOST_ENTRIES, description="Who lives there now.")
    wishes: tuple[Wish, ...] = Field(
        (), max_length=MOST_ENTRIES, description="Who is wished for, in order of the heart."
    )
    limits: Limits = Field(default_factory=Limits, description="What the plan has to keep to.")
    stock: str | None = Field(None, description="A CSV file of what the shop has, beside this file.")


def load(given: Path | str, *, nobody_ok: bool = False) -> TankFile:
    """Return a tank file, from its path or from its text.

    Parameters
    ----------
    given
        A path; or the text itself, known by a line break or an opening brace.
    nobody_ok
        Whether a tank with nobody in it and nobody wished for will do, as for a counter check.

    Returns
    -------
    TankFile
        With quantities in the program's units, and `stock` beside the file it was named in.

    Raises
    ------
    InputError
        If the file cannot be read at all.
    InputErrors
        If it can, but something in it will not do; all faults at once.
    """
    if isinstance(given, str) and ("\n" in given or given.lstrip().startswith("{")):
        return _checked(parse(given, "the tank file"), "the tank file", None, nobody_ok=nobody_ok)
    path = Path(given)
    return _checked(parse(read_text(path), path.name), path.name, path.parent, nobody_ok=nobody_ok)


def json_schema() -> dict[str, object]:
    """Return the format of the tank file as a JSON Schema (draft 2020-12)."""
    schema = TankFile.model_json_schema()
    blocks = schema["$defs"]
    for name, forms in {**SHORT_FORMS, **ROCK_FORMS, **DIVIDER_FORMS}.items():
        blocks[name] = {"title": name, "anyOf": [blocks[name], *forms]}
    dialect = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return dialect | schema | {"title": "Slackwater tank file"}


def _checked(data: object, source: str, folder: Path | None, *, nobody_ok: bool) -> TankFile:
    try:
        tank_file = _beside(folder, TankFile.model_validate(data))
    except ValidationError as error:
        raise InputErrors(source=source, faults=faults_of(error, TankFile)) from None
    faults = list(_misfits(tank_file, folder))
    if not (nobody_ok or tank_file.company or tank_file.wishes):
        faults.append(fault("empty", "a plan needs animals", "Add a company or wishes.", "wishes"))
    if not faults:
        faults = list(_stones_stand(tank_file))
    if faults:
        raise InputErrors(source=source, faults=faults)
    return tank_file


def _beside(folder: Path | None, tank_file: TankFile) -> TankFile:
    """Return the tank file with the files that it names found beside it."""
    if folder is None:
        return tank_file
    scan = tank_file.rock.scan
    if scan is not None:
        placed = scan.model_copy(update={"file": str(folder / scan.file)})
        rock = tank_file.rock.model_copy(update={"scan": placed})
        tank_file = tank_file.model_copy(update={"rock": rock})
    if tank_file.stock is None:
        return tank_file
    return tank_file.model_copy(update={"stock": str(folder / tank_file.stock)})


def _misfits(tank_file: TankFile, folder: Path | None) -> Iterator[InputError]:
    """Find what each part allows by itself but the parts together do not."""
    yield from _scan_has_a_folder(tank_file, folder)
    yield from _rock_fits_the_tank(tank_file)
    yield from _pieces_fit_the_tank(tank_file)
    yield from _sand_fits_the_tank(tank_file)
    yield from divider_faults(tank_file)
    yield from box_faults(tank_file)
    yield from station_faults(tank_file)
    yield from _one_currency(tank_file)
    yield from _residents_came_before_the_start(tank_file)


def _scan_has_a_folder(tank_file: TankFile, folder: Path | None) -> Iterator[InputError]:
    scan = tank_file.rock.scan
    if scan and folder is None:
        limit = "a scan lies beside a tank file, and this one was given as text"
        yield fault(scan.file, limit, "Save the tank file beside the scan, and give its path.", "rock.scan")


def _rock_fits_the_tank(tank_file: TankFile) -> Iterator[InputError]:
    mass_kg, gross_l = tank_file.rock.mass_kg, tank_file.tank.gross_l
    if mass_kg and gross_l and mass_kg / ROCK_KG_PER_L > MOST_ROCK_SHARE * gross_l:
        most_kg = ROCK_KG_PER_L * MOST_ROCK_SHARE * gross_l
        limit = f"a tank of {gross_l:.0f} L takes {most_kg:.0f} kg of rock at the very most"
        yield fault(f"{mass_kg:g} kg", limit, "Check the mass and the tank's sizes.", "rock.mass")


def _pieces_fit_the_tank(tank_file: TankFile) -> Iterator[InputError]:
    tank = tank_file.tank
    for number, piece in enumerate(tank_file.rock.pieces, start=1):
        reaches = (
            ("x", piece.x_cm, tank.inner_length_cm),
            ("y", piece.y_cm, tank.inner_width_cm),
            ("height", (piece.base_cm or 0.0) + piece.height_cm, tank.water_cm),
        )
        for key, reach_cm, room_cm in reaches:
            if room_cm is not None and reach_cm > room_cm:
                limit = f"the tank ends at {room_cm:g} cm"
                remedy = "Move the piece inside the tank."
                yield fault(f"{reach_cm:g} cm", limit, remedy, f"rock.pieces[{number}].{key}")


def _stones_stand(tank_file: TankFile) -> Iterator[InputError]:
    """Find listed stones that could not stand as they are placed."""
    if not (tank_file.rock.pieces or tank_file.rock.scan):
        return
    from slackwater.service.tank_of import box_in_rock, standing_faults, told_glass

    try:
        glass = told_glass(tank_file.tank, [])
        yield from standing_faults(tank_file, glass)
        yield from box_in_rock(tank_file, glass)
    except InputError as error:
        where = f"rock.{error.field}" if error.field else "rock"
        yield fault(error.given, error.limit, error.remedy, where)


def _sand_fits_the_tank(tank_file: TankFile) -> Iterator[InputError]:
    depth_cm, height_cm = tank_file.sand.depth_cm, tank_file.tank.water_cm
    if depth_cm and height_cm and depth_cm >= height_cm:
        limit = f"the water is {height_cm:g} cm high"
        yield fault(f"{depth_cm:g} cm", limit, "Check the depth and its unit.", "sand.depth")


def _one_currency(tank_file: TankFile) -> Iterator[InputError]:
    """Prices are added up and never converted; a bare number goes with any currency."""
    prices = [wish.price for wish in tank_file.wishes] + [tank_file.limits.budget]
    currencies = sorted({price.currency for price in prices if price and price.currency})
    if len(currencies) > 1:
        remedy = "Write all prices and the budget in one currency."
        yield fault(" and ".join(currencies), "nothing is converted here", remedy, "the currency")


def _residents_came_before_the_start(tank_file: TankFile) -> Iterator[InputError]:
    start = tank_file.limits.start
    for number, resident in enumerate(tank_file.company, start=1):
        if start and resident.since and resident.since > start:
            limit = f"the plan starts on {start} with everyone of the company there"
            remedy = "Check the two days, or move the animal to the wishes."
            yield fault(resident.since.isoformat(), limit, remedy, f"company[{number}].since")
