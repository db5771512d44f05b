"""The table of facts: what is known of a taxon, inherited family -> genus -> species."""

from __future__ import annotations

import csv
import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from importlib import resources

from slackwater.errors import DataTableError, MissingFactError, UnknownTaxonError
from slackwater.sources import KINDS

ROOT = "Vertebrata"


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


@dataclass(frozen=True)
class Fact:
    """One row of `facts.csv`."""

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
        return f"{self.fact.kind} [{self.fact.source}]{rank}"


class FactTable:
    """Facts by taxon and trait; a missing fact is never a silent None."""

    def __init__(self, facts: Iterable[Fact], traits: Mapping[str, Trait]) -> None:
        self.traits = dict(traits)
        self._by: dict[tuple[str, str], list[Fact]] = {}
        for fact in facts:
            self._by.setdefault((fact.taxon, fact.trait), []).append(fact)
        for rows in self._by.values():
            rows.sort(key=lambda fact: KINDS.index(fact.kind))
        self._family = {t: rows[0].value for (t, name), rows in self._by.items() if name == "family"}
        self._species = sorted({t for t, _ in self._by if " " in t})

    @property
    def species_names(self) -> tuple[str, ...]:
        """All species with rows of their own."""
        return tuple(self._species)

    @property
    def taxa(self) -> tuple[str, ...]:
        """All taxa with rows of their own, of any rank."""
        return tuple(sorted({t for t, _ in self._by}))

    def family_of(self, taxon: str) -> str:
        """Return the family of a genus or species, empty if its genus is not in the table."""
        return self._family.get(taxon.split(" ", maxsplit=1)[0], "")

    def lineage(self, taxon: str) -> tuple[str, ...]:
        """Return the ranks to ask, nearest first: species, genus, family, root."""
        genus = taxon.split(" ", maxsplit=1)[0]
        family = self._family.get(genus)
        ranks = [taxon, genus, family, ROOT] if " " in taxon else [taxon, family, ROOT]
        return tuple(dict.fromkeys(rank for rank in ranks if rank))

    def rows(self, taxon: str, trait: str) -> tuple[Fact, ...]:
        """Return all rows that speak of a trait, best kind first within the nearest rank."""
        return tuple(f for rank in self.lineage(taxon) for f in self._by.get((rank, trait), ()))

    def find(self, taxon: str, trait: str) -> Known | None:
        """Return the best fact, or None where no rank says anything."""
        rows = self.rows(taxon, trait)
        return Known(rows[0], taxon) if rows else None

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

    @functools.cache  # noqa: B019 - one table lives as long as the program
    def species(self, name: str) -> Species:
        """Return a species by its scientific name.

        Raises
        ------
        UnknownTaxonError
            If the table has no row for it.
        """
        if name not in self._species:
            near = [s for s in self._species if s.split(" ")[0] == name.split(" ", maxsplit=1)[0]]
            raise UnknownTaxonError(name=name, nearest=near[:5])
        return Species(name, self)


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
        return frozenset(f.value for f in self._table.rows(self.name, "lookalike"))

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
def load_facts() -> FactTable:
    """Return the table of facts shipped with the package.

    Raises
    ------
    DataTableError
        If a row names an unknown trait or kind.
    """
    traits = load_traits()
    facts = []
    for row in _rows("facts.csv"):
        if row["trait"] not in traits or row["kind"] not in KINDS:
            raise DataTableError(file="facts.csv", row=row["taxon"], column="trait", problem=row["trait"])
        facts.append(Fact(**row))
    return FactTable(facts, traits)
