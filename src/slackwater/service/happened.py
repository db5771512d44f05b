"""What happened since a plan was made: the small file that `replan` reads."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from slackwater.errors import InputErrors
from slackwater.service.faults import faults_of
from slackwater.service.plain_data import parse, read_text
from slackwater.service.tankfile_base import MOST_ENTRIES, Part
from slackwater.service.tankfile_parts import MOST_OF_ONE_KIND, AnimalName
from slackwater.service.tankfile_values import AnimalCm, Day, Days


class ReleasedRow(Part):
    """Animals that were let go."""

    animal: AnimalName = Field(description="The animal, by any name that the plan knows it by.")
    on: Day = Field(description="Day of release.")
    length_cm: AnimalCm | None = Field(None, description="Length on that day, if not as planned.")
    count: int | None = Field(None, ge=1, le=MOST_OF_ONE_KIND, description="How many, if not as planned.")


class DiedRow(Part):
    """Animals that died, in the tank or before."""

    animal: AnimalName = Field(description="The animal.")
    on: Day = Field(description="Day of its death.")
    count: int = Field(1, ge=1, le=MOST_OF_ONE_KIND, description="How many.")


class InsteadRow(Part):
    """Another animal in the place of one still to come."""

    animal: AnimalName = Field(description="The animal that was planned.")
    take: AnimalName = Field(description="The animal that comes in its place.")
    length_cm: AnimalCm | None = Field(None, description="Its length.")
    count: int | None = Field(None, ge=1, le=MOST_OF_ONE_KIND, description="How many.")


class SizeRow(Part):
    """An animal still to come that is larger or smaller, or of another number, than planned."""

    animal: AnimalName = Field(description="The animal.")
    length_cm: AnimalCm = Field(description="Its length.")
    count: int | None = Field(None, ge=1, le=MOST_OF_ONE_KIND, description="How many.")


class HappenedFile(Part):
    """What happened since a plan was made."""

    slackwater: Literal[1] = Field(1, description="Version of this format.")
    today: Day | None = Field(None, description="Day on which the plan is made anew; today if left out.")
    delay: Days = Field(0.0, description="By how much all that is still to come is put off.")
    released: tuple[ReleasedRow, ...] = Field((), max_length=MOST_ENTRIES, description="Who was let go.")
    died: tuple[DiedRow, ...] = Field((), max_length=MOST_ENTRIES, description="Who died.")
    instead: tuple[InsteadRow, ...] = Field((), max_length=MOST_ENTRIES, description="Who comes instead.")
    sizes: tuple[SizeRow, ...] = Field((), max_length=MOST_ENTRIES, description="Who is of another size.")


def load_happened(given: Path | str) -> HappenedFile:
    """Return what happened, from a file's path or from its text.

    Raises
    ------
    InputError
        If the file cannot be read at all.
    InputErrors
        If something in it will not do; all faults at once.
    """
    is_text = isinstance(given, str) and ("\n" in given or given.lstrip().startswith("{"))
    name = "what happened" if is_text else Path(given).name
    text = str(given) if is_text else read_text(Path(given))
    try:
        return HappenedFile.model_validate(parse(text, name) or {})
    except ValidationError as error:
        raise InputErrors(source=name, faults=faults_of(error, HappenedFile)) from None
