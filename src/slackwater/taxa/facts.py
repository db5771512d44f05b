"""The table of facts: what is known of a taxon, inherited family -> genus -> species.

A shop's house notes lie over the shipped table; which of the two is in use is told by a context,
so that nothing else has to know.
"""

from __future__ import annotations

import csv
import functools
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from importlib import resources
from typing import NamedTuple

from slackwater.errors import DataTableError, MissingFactError, UnknownTaxonError
from slackwater.sources import KINDS, Kind
from slackwater.taxa.house import HouseNote, HouseNotes
from slackwater.taxa.house_check import refuse

ROOT = "Vertebrata"

_RANK = {str(kind): rank for rank, kind in enumerate(KINDS)}
_SHIPPED_KINDS = frozenset(_RANK) - {str(Kind.HOUSE)}


@dataclass(frozen=True)
class Trait:
    """One column of knowledge: its type, unit, range and allowed words."""

    name: str
    type: str
    unit: str
    minimum: float | None
    maximum: float | None
    meaning: str

    @property
    def words(self) -> tuple[str, ...]:
        """The allowed words of a `word` trait, in the order of the table."""
        listed = self.meaning.rsplit(": ", 1)[-1]
        return tuple(part.split("(")[0].strip() for part in listed.split("|"))


class Fact(NamedTuple):
    """One row of `facts.csv`, or of the house notes."""

    taxon: str
    trait: str
    value: str
    low: str
    high: str
    kind: str
    source: str
    locator: str
    note: str


@dataclass(frozen=True)
class Known:
    """The best fact for a question, and the rank it was inherited from."""

    fact: Fact
    asked: str

    @property
    def inherited(self) -> bool:
        """Whether the value is that of the genus, family or root rather than its own."""
        return self.fact.taxon != self.asked

    def says_who(self) -> str:
        """Return kind, source and rank in a few words."""
        rank = f", from {self.fact.taxon}" if self.inherited else ""
        if self.fact.kind == Kind.HOUSE:
            return f"house note ({self.fact.locator}){rank}"
        return f"{self.fact.kind} [{self.fact.source}]{rank}"


class FactTable:
    """Facts by taxon and trait; a missing fact is never a silent None.

    Parameters
    ----------
    facts
        Rows of nine texts in the order of `Fact`.
    traits
        The traits by name.
    house
        The house notes whose rows are among the facts.
    base
        The table they lie over.
    """

    def __init__(
        self,
        facts: Iterable[Sequence[str]],
        traits: Mapping[str, Trait],
        house: HouseNotes | None = None,
        base: FactTable | None = None,
    ) -> None:
        self.traits = dict(traits)
        self.house = house or HouseNotes()
        self.base = base
        self._listed: defaultdict[str, list[Sequence[str]]] = defaultdict(list)
        for row in facts:
            self._listed[row[0]].append(row)
        self._ranked: dict[str, Mapping[str, tuple[Fact, ...]]] = {}
        self._animals = {animal.scientific_name: animal for animal in self.house.animals}
        self._names = frozenset(name for name in self._listed if " " in name) | self._animals.keys()
        self._species: dict[str, Species] = {}
        self._notes: dict[Sequence[str], HouseNote] = {note.row: note for note in self.house.facts}
        for animal in self.house.animals:
            self._notes |= dict.fromkeys((fact.row for fact in animal.facts), animal)
        self._read: set[tuple[str, HouseNote]] = set()

    def __iter__(self) -> Iterator[Sequence[str]]:
        """Iterate over all rows, those of one taxon together."""
        return (row for rows in self._listed.values() for row in rows)

    @functools.cached_property
    def species_names(self) -> tuple[str, ...]:
        """All species with rows of their own, and those that the house notes add."""
        return tuple(sorted(self._names))

    @property
    def taxa(self) -> tuple[str, ...]:
        """All taxa with rows of their own, of any rank."""
        return tuple(sorted(self._listed))

    def family_of(self, taxon: str) -> str:
        """Return the family of a genus or species, empty if its genus is not in the table."""
        rows = self._told(taxon.split(" ", maxsplit=1)[0]).get("family")
        return rows[0].value if rows else ""

    def lineage(self, taxon: str) -> tuple[str, ...]:
        """Return the ranks to ask, nearest first: species, genus, family, root."""
        genus, family = taxon.split(" ", maxsplit=1)[0], self.family_of(taxon)
        ranks = [taxon, genus, family, ROOT] if " " in taxon else [taxon, family, ROOT]
        return tuple(dict.fromkeys(rank for rank in ranks if rank))

    def rows(self, taxon: str, trait: str) -> tuple[Fact, ...]:
        """Return all rows that speak of a trait, best kind first within the nearest rank."""
        return tuple(f for rank in self.lineage(taxon) for f in self._told(rank).get(trait, ()))

    def find(self, taxon: str, trait: str) -> Known | None:
        """Return the best fact, or None where no rank says anything."""
        for rank in self.lineage(taxon):
            if rows := self._told(rank).get(trait):
                self.take_down(taxon, rows[0])
                return Known(rows[0], taxon)
        return None

    def need(self, taxon: str, trait: str) -> Known:
        """Return the best fact.

        Raises
        ------
        MissingFactError
            If no rank says anything.
        """
        known = self.find(taxon, trait)
        if known is None:
            raise MissingFactError(taxon=taxon, trait=trait, needed_by="the model")
        return known

    def species(self, name: str) -> Species:
        """Return a species by its scientific name.

        Raises
        ------
        UnknownTaxonError
            If the table has no row for it.
        """
        if name not in self._names:
            genus = name.split(" ", maxsplit=1)[0]
            near = [s for s in self.species_names if s.split(" ")[0] == genus]
            raise UnknownTaxonError(name=name, nearest=near[:5])
        if name in self._animals:
            self._read.add((name, self._animals[name]))
        return self._species.setdefault(name, Species(name, self))

    def overlaid(self, notes: HouseNotes) -> FactTable:
        """Return this table with a shop's house notes over it.

        Their rows are of the best kind, so they win over all that is said of the same taxon, and
        the rows they win over stay visible. An animal that the table has come to know keeps what
        the notes say of it.

        Raises
        ------
        InputErrors
            If a note cannot be: all faults at once.
        """
        refuse(notes, self)
        news = notes.news_to(self._names)
        return FactTable([*news.rows(self.family_of), *self], self.traits, news, self)

    def take_down(self, asked: str, fact: Fact) -> None:
        """Remember that an answer about a taxon rests on a fact, if that is a house note."""
        if note := self._notes.get(fact) if fact.kind == Kind.HOUSE else None:
            self._read.add((asked, note))

    def take_down_name(self, name: str, scientific_name: str) -> None:
        """Remember that an answer rests on what the house notes call an animal."""
        for note in self.house.names:
            if (note.name, note.scientific_name) == (name, scientific_name):
                self._read.add((scientific_name, note))

    def notes_behind(self, animals: Iterable[str]) -> tuple[HouseNote, ...]:
        """Return the house notes that were read for some species, sorted.

        That one species is taken for another's look-alike counts only where both are asked about.
        """
        asked = frozenset(animals)
        read = {note for name, note in tuple(self._read) if name in asked}
        return tuple(sorted((n for n in read if n.concerns(asked)), key=lambda note: note.sentence))

    def _told(self, taxon: str) -> Mapping[str, tuple[Fact, ...]]:
        """Return the rows of one taxon by trait, best kind first; ranked when first asked for."""
        if (known := self._ranked.get(taxon)) is not None:
            return known
        by: defaultdict[str, list[Fact]] = defaultdict(list)
        for row in self._listed.get(taxon, ()):
            by[row[1]].append(Fact._make(row))
        told = {trait: tuple(sorted(rows, key=_rank)) for trait, rows in by.items()}
        if told:
            self._ranked[taxon] = told
        return told


def _rank(fact: Fact) -> int:
    return _RANK[fact.kind]


class Species:
    """A species as the model asks for it: words and numbers, each with its fact behind it."""

    def __init__(self, name: str, table: FactTable) -> None:
        self.name = name
        self._table = table
        self._numbers: dict[str, float] = {}
        self._words: dict[str, str] = {}

    def __repr__(self) -> str:
        """Return the name, for debugging."""
        return f"Species({self.name!r})"

    @property
    def genus(self) -> str:
        """The genus."""
        return self.name.split(" ")[0]

    @property
    def family(self) -> str:
        """The family."""
        return self._table.lineage(self.name)[2]

    @property
    def common_name(self) -> str:
        """The usual English trade name."""
        return self.text("common_name") or self.name

    def known(self, trait: str) -> Known:
        """Return the fact behind a trait, for "says who?"."""
        return self._table.need(self.name, trait)

    def number(self, trait: str) -> float:
        """Return a numeric trait in the unit that `traits.csv` states."""
        if trait not in self._numbers:
            self._numbers[trait] = float(self.known(trait).fact.value)
        return self._numbers[trait]

    def word(self, trait: str) -> str:
        """Return a word trait."""
        if trait not in self._words:
            self._words[trait] = self.known(trait).fact.value
        return self._words[trait]

    def text(self, trait: str) -> str:
        """Return a free text, empty if there is none."""
        known = self._table.find(self.name, trait)
        return known.fact.value if known else ""

    @functools.cached_property
    def lookalikes(self) -> frozenset[str]:
        """The species named as its look-alikes."""
        rows = self._table.rows(self.name, "lookalike")
        for row in rows:
            self._table.take_down(self.name, row)
        return frozenset(row.value for row in rows)

    @functools.cached_property
    def diet(self) -> dict[str, float]:
        """Shares of its food by kind, summing to 1."""
        kinds = ("algae", "detritus", "plankton", "benthos", "fish", "sessile", "parasites")
        shares = {kind: self.number(f"diet_{kind}") for kind in kinds}
        total = sum(shares.values()) or 1.0
        return {kind: share / total for kind, share in shares.items()}

    def standard_length_cm(self, length_cm: float) -> float:
        """Return standard length from total length. [cm]"""
        return length_cm / self.number("tl_per_sl")

    def mass_g(self, length_cm: float) -> float:
        """Return body mass from total length. [g]"""
        return float(self.number("lw_a") * length_cm ** self.number("lw_b"))

    def body_depth_cm(self, length_cm: float) -> float:
        """Return the greatest body depth at a total length. [cm]"""
        return self.standard_length_cm(length_cm) * self.number("body_depth_ratio")


def _float(text: str) -> float | None:
    return float(text) if text else None


def _rows(name: str) -> list[dict[str, str]]:
    text = resources.files("slackwater.data").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@functools.cache
def load_traits() -> Mapping[str, Trait]:
    """Return the traits by name, as `traits.csv` defines them."""
    return {
        r["trait"]: Trait(
            r["trait"], r["type"], r["unit"], _float(r["minimum"]), _float(r["maximum"]), r["meaning"]
        )
        for r in _rows("traits.csv")
    }


@functools.cache
def shipped_facts() -> FactTable:
    """Return the table of facts shipped with the package.

    Raises
    ------
    DataTableError
        If a row is not whole, or names an unknown trait or kind.
    """
    traits = load_traits()
    text = resources.files("slackwater.data").joinpath(_FILE).read_text(encoding="utf-8")
    head, *rows = csv.reader(text.splitlines())
    if tuple(head) != Fact._fields:
        raise DataTableError(file=_FILE, row=0, column="taxon", problem=f"the heads are {', '.join(head)}")
    for row in rows:
        if len(row) != len(head) or row[1] not in traits or row[5] not in _SHIPPED_KINDS:
            raise DataTableError(file=_FILE, row=row[0], column="trait", problem=", ".join(row[1:6]))
    return FactTable(rows, traits)


def load_facts() -> FactTable:
    """Return the table of facts in use: the shipped one, unless a context says otherwise."""
    return _in_use.get() or shipped_facts()


@contextmanager
def using(table: FactTable) -> Iterator[None]:
    """Put a table in place of the shipped one for what is asked meanwhile; for `service` only."""
    before = _in_use.set(table)
    try:
        yield
    finally:
        _in_use.reset(before)


_FILE = "facts.csv"
_in_use: ContextVar[FactTable | None] = ContextVar("the facts in use", default=None)
