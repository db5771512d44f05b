"""House notes: what a shop itself says of animals, with who and why.

They stand beside the shipped facts and names, win over them, and are named in every answer that
rests on them.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from itertools import chain

from slackwater.sources import Kind

SOURCE = "house"
LOOKALIKE = "lookalike"

_LABELS = {"common_name", "mark"}
_FEW = 6
_UNITS = {"cm": "cm", "l": "L", "c": "C", "m2": "m2"}
_UNIT_ENDING = re.compile(f"_({'|'.join(_UNITS)})$")


@dataclass(frozen=True)
class HouseFact:
    """A value of a species, genus or family.

    `value` is a number in the trait's unit, one of its words, or a text; `who` says it and `why`,
    `on` which day. Look-alikes go both ways, so one note is enough.
    """

    taxon: str
    trait: str
    value: str
    who: str
    why: str
    on: dt.date | None = None

    @property
    def row(self) -> tuple[str, ...]:
        """The note as a row of the table of facts."""
        return _row(self.taxon, self.trait, self.value, self)

    @property
    def sentence(self) -> str:
        """What an answer says that rests on this note."""
        what, value = _in_words(self)
        return f"House note: {self.taxon}, {what} taken as {value} {_reason(self)}"

    def concerns(self, animals: Collection[str]) -> bool:
        """Say whether the note can count for some species: a look-alike only where both are there."""
        return self.trait != LOOKALIKE or self.value in animals


@dataclass(frozen=True)
class HouseName:
    """What a shop or its customers call an animal; it goes before all shipped names."""

    name: str
    scientific_name: str
    who: str
    why: str
    on: dt.date | None = None

    @property
    def sentence(self) -> str:
        """What an answer says that rests on this note."""
        return f"House note: “{self.name}” taken as {self.scientific_name} {_reason(self)}"

    def concerns(self, animals: Collection[str]) -> bool:
        """Say whether the note can count for some species."""
        return self.scientific_name in animals


@dataclass(frozen=True)
class HouseAnimal:
    """A species that the shipped table does not describe.

    What its own `facts` leave open is that of its genus or family; who and why of theirs are those
    of the animal. `family` may be empty where the table knows the genus.
    """

    scientific_name: str
    family: str
    who: str
    why: str
    on: dt.date | None = None
    facts: tuple[HouseFact, ...] = ()

    @property
    def genus(self) -> str:
        """The genus."""
        return self.scientific_name.split(" ", maxsplit=1)[0]

    @property
    def sentence(self) -> str:
        """What an answer says that rests on this note, with the values where they are few."""
        told = [" ".join(_in_words(fact)) for fact in self.facts if fact.trait not in _LABELS]
        several = f"with {len(told)} values of its own"
        values = f"with {', '.join(told)}" if len(told) <= _FEW else several
        described = f"{self.scientific_name} described by the house"
        return f"House note: {described} {f'{values} ' if told else ''}{_reason(self)}"

    def concerns(self, animals: Collection[str]) -> bool:
        """Say whether the note can count for some species."""
        return self.scientific_name in animals


HouseNote = HouseFact | HouseName | HouseAnimal


@dataclass(frozen=True)
class HouseNotes:
    """All that a shop says, in the order in which it was written down."""

    facts: tuple[HouseFact, ...] = ()
    names: tuple[HouseName, ...] = ()
    animals: tuple[HouseAnimal, ...] = ()

    @property
    def every_fact(self) -> tuple[HouseFact, ...]:
        """The facts, and those of the animals it describes."""
        return (*self.facts, *chain.from_iterable(animal.facts for animal in self.animals))

    def news_to(self, species: Collection[str]) -> HouseNotes:
        """Return the notes for a table that knows some species: of those, only the facts are left."""
        known = [animal for animal in self.animals if animal.scientific_name in species]
        facts = chain(self.facts, *(animal.facts for animal in known))
        return HouseNotes(tuple(facts), self.names, tuple(a for a in self.animals if a not in known))

    def rows(self, family_of: Callable[[str], str]) -> Iterator[tuple[str, ...]]:
        """Yield the notes as rows of the table of facts, with the family of each new genus."""
        yield from (fact.row for fact in self.every_fact)
        for animal in self.animals:
            if not family_of(animal.genus):
                yield _row(animal.genus, "family", animal.family, animal)


def _row(taxon: str, trait: str, value: str, note: HouseNote) -> tuple[str, ...]:
    said_by = f"{note.who}, {note.on}" if note.on else note.who
    return (taxon, trait, value, "", "", str(Kind.HOUSE), SOURCE, said_by, note.why)


def _in_words(fact: HouseFact) -> tuple[str, str]:
    """Return trait and value as they are spoken of: `adult length`, `6 cm`."""
    unit = _UNIT_ENDING.search(fact.trait)
    what = _UNIT_ENDING.sub("", fact.trait).replace("_", " ")
    return what, f"{fact.value} {_UNITS[unit[1]]}" if unit else fact.value.replace("_", " ")


def _reason(note: HouseNote) -> str:
    return f"({note.who}: {note.why.rstrip('.')})"
