"""What house notes must hold to: known animals and traits, allowed words, numbers within limits."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from slackwater.errors import InputError, InputErrors, shown
from slackwater.taxa.colour import named_colours
from slackwater.taxa.house import LOOKALIKE, HouseAnimal, HouseFact, HouseName, HouseNote, HouseNotes

if TYPE_CHECKING:
    from slackwater.taxa.facts import FactTable, Trait

LONGEST_TEXT = 300
WHOSE = "the list of house notes"

_SCIENTIFIC = re.compile(r"[A-Z][a-z]+( [x×])?( [a-z][a-z-]+)+( [x×]( [a-z][a-z-]+)+)?")
_RISING = (
    ("temp_min_c", "temp_max_c"),
    ("salinity_min", "salinity_max"),
    ("sale_length_cm", "adult_length_cm"),
)


def refuse(notes: HouseNotes, table: FactTable) -> None:
    """Refuse notes that cannot be.

    Raises
    ------
    InputErrors
        With all faults, each with its place: `facts[2].value`.
    """
    checked = _Checked(notes, table)
    faults = [*checked.faults()] or [*checked.falling()]
    if faults:
        raise InputErrors(source=WHOSE, faults=faults)


@dataclass(frozen=True)
class _Checked:
    """Notes beside the table that they shall lie over."""

    notes: HouseNotes
    table: FactTable

    def faults(self) -> Iterator[InputError]:
        """Find what is wrong with each note by itself, and notes that stand twice."""
        own = {animal.scientific_name for animal in self.notes.animals}
        species = {*self.table.species_names, *own}
        taxa = {*self.table.taxa, *own}
        for number, fact in enumerate(self.notes.facts, start=1):
            yield from self._of_fact(_Place(f"facts[{number}]"), fact, taxa, species)
        for number, name in enumerate(self.notes.names, start=1):
            yield from _of_name(_Place(f"names[{number}]"), name, species)
        for number, animal in enumerate(self.notes.animals, start=1):
            yield from self._of_animal(_Place(f"animals[{number}]"), animal)
            for fact in animal.facts:
                place = _Place(f"animals[{number}].facts", fact.trait)
                yield from self._of_fact(place, fact, taxa, species)
        yield from self._twice()

    def falling(self) -> Iterator[InputError]:
        """Find lower ends above upper ends, be the other end the shop's or the table's."""
        told = {(fact.taxon, fact.trait): fact.value for fact in self.notes.every_fact}
        for low, high in _RISING:
            for taxon in dict.fromkeys(taxon for taxon, trait in told if trait in {low, high}):
                least, most = (self._value(taxon, trait, told) for trait in (low, high))
                if least > most:
                    limit = f"{high} is {most:g}, and the one cannot be above the other"
                    remedy = "Mend one of the two, or write a note on both."
                    yield _fault(f"{taxon}, {low}", f"{least:g}", limit, remedy)

    def _value(self, taxon: str, trait: str, told: dict[tuple[str, str], str]) -> float:
        if (taxon, trait) in told:
            return float(told[taxon, trait])
        new = {a.scientific_name: a.family for a in self.notes.animals if not self.table.family_of(a.genus)}
        known = self.table.find(new.get(taxon, taxon), trait)
        return float(known.fact.value) if known else math.nan

    def _of_fact(
        self, place: _Place, fact: HouseFact, taxa: set[str], species: set[str]
    ) -> Iterator[InputError]:
        yield from _of_reason(place, fact)
        if fact.taxon not in taxa:
            yield _unknown(place.of("taxon"), fact.taxon, "species, genus or family", taxa)
        trait = self.table.traits.get(fact.trait)
        if trait is None or trait.type == "taxon":
            yield _unknown(place.of("trait"), fact.trait, "trait", self.table.traits)
        elif problem := _problem(trait, fact.value, species):
            limit, remedy = problem
            yield _fault(place.of("value"), fact.value, limit, remedy)

    def _of_animal(self, place: _Place, animal: HouseAnimal) -> Iterator[InputError]:
        yield from _of_reason(place, animal)
        if not _SCIENTIFIC.fullmatch(animal.scientific_name):
            remedy = "Write genus and species, as in Gramma loreto."
            yield _fault(place.of("animal"), animal.scientific_name, "it is no scientific name", remedy)
            return
        known, told = self.table.family_of(animal.genus), animal.family
        if known and told not in {"", known}:
            limit = f"{animal.genus} belongs to the {known} in the species table"
            yield _fault(place.of("family"), told, limit, "Leave the family out, or check the genus.")
        families = {self.table.family_of(taxon) for taxon in self.table.taxa} - {""}
        if not known and told not in families:
            yield _unknown(place.of("family"), told, "family", families)

    def _twice(self) -> Iterator[InputError]:
        seen: set[tuple[str, ...]] = set()
        for fact in self.notes.every_fact:
            key = (fact.taxon, fact.trait, fact.value if fact.trait == LOOKALIKE else "")
            if key in seen:
                limit = "there are two notes on it"
                yield _fault(f"{fact.trait} of {fact.taxon}", fact.value, limit, "Keep one of the two.")
            seen.add(key)


@dataclass(frozen=True)
class _Place:
    """Where a note stands; one line of an animal's facts has its trait for a key."""

    entry: str
    trait: str = ""

    def of(self, key: str) -> str:
        """Return the place of one of its parts."""
        return f"{self.entry}.{self.trait or key}"


def _of_reason(place: _Place, note: HouseNote) -> Iterator[InputError]:
    """Check who and why; an animal's facts have those of the animal."""
    if place.trait:
        return
    for key, told in (("who", note.who), ("why", note.why)):
        if problem := _text_problem(told):
            yield _fault(place.of(key), told, *problem)


def _of_name(place: _Place, name: HouseName, species: set[str]) -> Iterator[InputError]:
    yield from _of_reason(place, name)
    others = {known.lower() for known in species - {name.scientific_name}}
    if not any(letter.isalpha() for letter in name.name) or _text_problem(name.name):
        yield _fault(place.of("name"), name.name, "it is no word", "Write it as the customer says it.")
    elif name.name.lower() in others:
        limit = "it is the scientific name of another animal"
        yield _fault(place.of("name"), name.name, limit, "Choose another word.")
    if name.scientific_name not in species:
        yield _unknown(place.of("animal"), name.scientific_name, "species", species)


def _problem(trait: Trait, value: str, species: set[str]) -> tuple[str, str] | None:
    """Return why a value cannot be that of a trait and what to do, or None."""
    if trait.type == "number":
        return _number_problem(trait, value)
    if trait.type == "word":
        if value in trait.words:
            return None
        listed = ", ".join(trait.words)
        return "it is none of the words of this trait", f"Write one of: {listed}."
    if trait.name == LOOKALIKE and value not in species:
        return "no species has this name", "Write the scientific name of the look-alike."
    if trait.name == "colours":
        return _colours_problem(value)
    return _text_problem(value)


def _number_problem(trait: Trait, value: str) -> tuple[str, str] | None:
    unit = "" if trait.unit == "-" else f" {trait.unit}"
    try:
        number = float(value)
    except ValueError:
        return "it must be a number", f"Write a number{f' in{unit}' if unit else ''}."
    low = -math.inf if trait.minimum is None else trait.minimum
    high = math.inf if trait.maximum is None else trait.maximum
    if low <= number <= high and math.isfinite(number):
        return None
    return f"it must lie between {low:g} and {high:g}{unit}", "Check the number and its unit."


def _colours_problem(value: str) -> tuple[str, str] | None:
    form = re.compile(r"[a-z_ ]+:(0?\.\d+|[01](\.0*)?)")
    parts = [part.strip() for part in value.split(";")]
    names = [part.partition(":")[0].strip() for part in parts]
    if all(form.fullmatch(part) for part in parts) and set(names) <= named_colours().keys():
        return None
    remedy = f"Write yellow:0.9;white:0.1, with colours from: {', '.join(named_colours())}."
    return "it is no list of known colours with their shares", remedy


def _text_problem(text: str) -> tuple[str, str] | None:
    if not text.strip():
        return "it must not be empty", "Write a few words."
    if len(text) > LONGEST_TEXT or not text.isprintable():
        return f"it must be one line of {LONGEST_TEXT} letters at most", "Say it more shortly."
    return None


def _unknown(field: str, given: str, what: str, known: Iterable[str]) -> InputError:
    near = difflib.get_close_matches(given, list(known), n=3)
    remedy = f"Did you mean {' or '.join(near)}?" if near else "Look it up with: slackwater name."
    if what == "trait":
        remedy = f"Did you mean {near[0]}?" if near else "slackwater species NAME --json lists the traits."
    return _fault(field, given, f"no {what} of the species table has this name", remedy)


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
