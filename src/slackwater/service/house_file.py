"""The file of house notes: what a shop writes about animals, read and turned into notes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError, WithJsonSchema

from slackwater import units
from slackwater.errors import InputError, InputErrors, UnknownTaxonError
from slackwater.service.animals import meant
from slackwater.service.faults import faults_of
from slackwater.service.plain_data import parse, read_text
from slackwater.service.tankfile_base import Part
from slackwater.service.tankfile_values import Day, fault
from slackwater.taxa.facts import FactTable, Trait, load_traits, shipped_facts, using
from slackwater.taxa.house import LOOKALIKE, HouseAnimal, HouseFact, HouseName, HouseNotes

MOST_NOTES = 2000

_QUANTITIES = {"cm": units.length_cm, "L": units.volume_l, "C": units.temperature_c}


def _line(given: object) -> str:
    """Read words, or a number, as one line of text."""
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise fault(given, "it must be words or a number", "Write it on one line, in quotes if need be.")
    return " ".join(str(given).split())


Line = Annotated[str, BeforeValidator(_line), WithJsonSchema({"type": "string", "minLength": 1})]
Value = Annotated[str, BeforeValidator(_line), WithJsonSchema({"type": ["string", "number"]})]


class Note(Part):
    """What every note says of itself."""

    who: Line = Field(description="Who says so.")
    why: Line = Field(description="Why: what was seen, read or heard.")
    on: Day | None = Field(None, description="Day on which it was written down.")


class FactNote(Note):
    """A value of a species, genus or family."""

    taxon: Line = Field(description="Scientific name of a species, genus or family, or a trade name.")
    trait: Line = Field(description="The trait, as `slackwater species NAME --json` lists them.")
    value: Value = Field(description="A number with or without its unit, a word of the trait, or a text.")


class NameNote(Note):
    """What an animal is called here; it goes before all other names."""

    name: Line = Field(description="The word.")
    animal: Line = Field(description="Scientific name of the animal that is meant, or a trade name.")


class AnimalNote(Note):
    """A species that the program does not describe; what is left open is that of genus or family."""

    animal: Line = Field(description="Its scientific name.")
    family: Line = Field("", description="Its family, where the genus is new too.")
    facts: dict[str, Value] = Field(
        default_factory=dict, max_length=200, description="Its own values, by trait."
    )


class HouseFile(Part):
    """What a shop says of animals, with who and why."""

    slackwater: Literal[1] = Field(description="Version of this format.")
    facts: tuple[FactNote, ...] = Field((), max_length=MOST_NOTES, description="Values.")
    names: tuple[NameNote, ...] = Field((), max_length=MOST_NOTES, description="Names.")
    animals: tuple[AnimalNote, ...] = Field((), max_length=MOST_NOTES, description="Animals.")


def load_table(path: Path) -> FactTable:
    """Return the shipped table of facts with the house notes of a file over it.

    Raises
    ------
    InputError
        If the file cannot be read at all.
    InputErrors
        If it can, but something in it will not do; all faults at once.
    """
    try:
        file = HouseFile.model_validate(parse(read_text(path), path.name))
    except ValidationError as error:
        raise InputErrors(source=path.name, faults=faults_of(error, HouseFile)) from None
    shipped = shipped_facts()
    reading = _Reading(shipped)
    with using(shipped):
        notes = reading.notes(file)
    try:
        return shipped.overlaid(notes)
    except InputErrors as found:
        faults = [reading.unclear.get(fault.field, fault) for fault in found.faults]
        raise InputErrors(source=path.name, faults=faults) from None


def json_schema() -> dict[str, object]:
    """Return the format of the house notes as a JSON Schema (draft 2020-12)."""
    schema: dict[str, Any] = HouseFile.model_json_schema()
    traits = sorted(name for name, trait in load_traits().items() if trait.type != "taxon")
    blocks = schema["$defs"]
    blocks["FactNote"]["properties"]["trait"]["enum"] = traits
    blocks["AnimalNote"]["properties"]["facts"]["propertyNames"] = {"enum": traits}
    dialect = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return dialect | schema | {"title": "Slackwater house notes"}


class _Reading:
    """Turns the parts of a file into notes: trade names understood, quantities in the traits' units.

    `unclear` are the names that may mean several animals, by their places. They stay as they were
    written, which the check of the notes finds; here it says better why.
    """

    def __init__(self, table: FactTable) -> None:
        self.table = table
        self.unclear: dict[str, InputError] = {}
        self._known = set(table.taxa)

    def notes(self, file: HouseFile) -> HouseNotes:
        """Return the notes of a file."""
        self._known |= {animal.animal for animal in file.animals}
        return HouseNotes(
            facts=tuple(self._fact(n, one) for n, one in enumerate(file.facts, start=1)),
            names=tuple(self._name(n, one) for n, one in enumerate(file.names, start=1)),
            animals=tuple(self._animal(one) for one in file.animals),
        )

    def _fact(self, number: int, one: FactNote) -> HouseFact:
        taxon = self._meant(one.taxon, f"facts[{number}].taxon")
        value = self._value(one.trait, one.value)
        if one.trait == LOOKALIKE:
            value = self._meant(value, f"facts[{number}].value")
        return HouseFact(taxon, one.trait, value, one.who, one.why, one.on)

    def _name(self, number: int, one: NameNote) -> HouseName:
        animal = self._meant(one.animal, f"names[{number}].animal")
        return HouseName(one.name, animal, one.who, one.why, one.on)

    def _animal(self, one: AnimalNote) -> HouseAnimal:
        facts = tuple(
            HouseFact(one.animal, trait, self._value(trait, value), one.who, one.why, one.on)
            for trait, value in one.facts.items()
        )
        return HouseAnimal(one.animal, one.family, one.who, one.why, one.on, facts)

    def _meant(self, said: str, field: str) -> str:
        """Return the scientific name; an unknown one as it is, for the check to find."""
        if said in self._known:
            return said
        try:
            return meant(said, field).name
        except UnknownTaxonError:
            return said
        except InputError as unclear:
            self.unclear[field] = unclear
            return said

    def _value(self, trait: str, given: str) -> str:
        """Return a value in the trait's own unit or word; what cannot be read as it is."""
        known = self.table.traits.get(trait)
        if known is None:
            return given
        return _plain_number(known, given) if known.type == "number" else _word(known, given)


def _plain_number(trait: Trait, given: str) -> str:
    read = _QUANTITIES.get(trait.unit)
    if read is None:
        return given.replace(",", ".")
    try:
        return f"{read(given, ''):.10g}"
    except InputError:
        return given


def _word(trait: Trait, given: str) -> str:
    """Return the word of a trait, whatever its case, with blanks or underscores between its parts."""
    if trait.type != "word":
        return given
    words: Mapping[str, str] = {word.replace("_", " "): word for word in trait.words}
    return words.get(given.replace("_", " ").lower(), given)
