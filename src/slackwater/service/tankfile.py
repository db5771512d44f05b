"""The tank file: what a person writes about a tank, read, checked and turned into one record."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from slackwater.errors import InputError, InputErrors
from slackwater.service.faults import faults_of
from slackwater.service.plain_data import parse, read_text
from slackwater.service.tankfile_parts import (
    MOST_ENTRIES,
    SHORT_FORMS,
    Animals,
    Keeper,
    Keeping,
    Limits,
    Part,
    Quarantine,
    Resident,
    Rock,
    RockPiece,
    Sand,
    Tank,
    Water,
    Wish,
)
from slackwater.service.tankfile_values import Away, fault

__all__ = [
    "Animals",
    "Away",
    "Keeper",
    "Keeping",
    "Limits",
    "Quarantine",
    "Resident",
    "Rock",
    "RockPiece",
    "Sand",
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
        return _checked(parse(given, "the tank file"), "the tank file", nobody_ok=nobody_ok)
    path = Path(given)
    tank_file = _checked(parse(read_text(path), path.name), path.name, nobody_ok=nobody_ok)
    if tank_file.stock is None:
        return tank_file
    return tank_file.model_copy(update={"stock": str(path.parent / tank_file.stock)})


def json_schema() -> dict[str, object]:
    """Return the format of the tank file as a JSON Schema (draft 2020-12)."""
    schema = TankFile.model_json_schema()
    blocks = schema["$defs"]
    for name, forms in SHORT_FORMS.items():
        blocks[name] = {"title": name, "anyOf": [blocks[name], *forms]}
    dialect = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return dialect | schema | {"title": "Slackwater tank file"}


def _checked(data: object, source: str, *, nobody_ok: bool) -> TankFile:
    try:
        tank_file = TankFile.model_validate(data)
    except ValidationError as error:
        raise InputErrors(source=source, faults=faults_of(error, TankFile)) from None
    faults = list(_misfits(tank_file))
    if not (nobody_ok or tank_file.company or tank_file.wishes):
        faults.append(fault("empty", "a plan needs animals", "Add a company or wishes.", "wishes"))
    if faults:
        raise InputErrors(source=source, faults=faults)
    return tank_file


def _misfits(tank_file: TankFile) -> Iterator[InputError]:
    """Find what each part allows by itself but the parts together do not."""
    yield from _rock_fits_the_tank(tank_file)
    yield from _pieces_fit_the_tank(tank_file)
    yield from _sand_fits_the_tank(tank_file)
    yield from _one_currency(tank_file)
    yield from _residents_came_before_the_start(tank_file)


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
            ("x", piece.x_cm, tank.length_cm),
            ("y", piece.y_cm, tank.width_cm),
            ("height", piece.base_cm + piece.height_cm, tank.height_cm),
        )
        for key, reach_cm, room_cm in reaches:
            if room_cm is not None and reach_cm > room_cm:
                limit = f"the tank ends at {room_cm:g} cm"
                remedy = "Move the piece inside the tank."
                yield fault(f"{reach_cm:g} cm", limit, remedy, f"rock.pieces[{number}].{key}")


def _sand_fits_the_tank(tank_file: TankFile) -> Iterator[InputError]:
    depth_cm, height_cm = tank_file.sand.depth_cm, tank_file.tank.height_cm
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
