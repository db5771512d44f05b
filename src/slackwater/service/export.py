"""The facts as a table for others: one value a row, under the terms of Darwin Core where it has one.

Darwin Core is a standard of Biodiversity Information Standards (TDWG); its terms of taxa and of
measurements or facts are used here. What it has no term for stands in columns of our own, after
them.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from slackwater.errors import InputError
from slackwater.service.animals import meant
from slackwater.sources import Kind, load_sources
from slackwater.taxa.facts import Fact, FactTable, Species, load_facts
from slackwater.taxa.house import LOOKALIKE

TERMS = (
    "scientificName",
    "vernacularName",
    "taxonRank",
    "family",
    "genus",
    "specificEpithet",
    "measurementType",
    "measurementValue",
    "measurementUnit",
    "measurementMethod",
    "measurementDeterminedBy",
    "measurementRemarks",
)
OWN_COLUMNS = ("low", "high", "kind", "source", "locator", "said_of", "is_guess", "in_use")

_NOT_EXPORTED = {"family", "common_name"}
_GUESSED = {Kind.ESTIMATED, Kind.FROM_MEMORY}


@dataclass(frozen=True)
class Exported:
    """What was written: how many species and how many rows."""

    species: int
    rows: int


def export(said: str | None, out: TextIO) -> Exported:
    """Write all values of a species, or of all species, as CSV.

    Parameters
    ----------
    said
        A scientific or trade name; None for all species.
    out
        Where to write, opened without translation of line ends.

    Raises
    ------
    InputError
        If several animals go by the name.
    UnknownTaxonError
        If none does.

    Notes
    -----
    Each value that the program takes stands with `in_use` yes, and beside it the values of the
    same rank that were passed over; where a house note overrules the table, those of the table.
    """
    facts = load_facts()
    names = facts.species_names if said is None else (meant(said, "the species").name,)
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow((*TERMS, *OWN_COLUMNS))
    count = 0
    for name in names:
        for row in _rows(facts, facts.species(name)):
            writer.writerow(row)
            count += 1
    return Exported(len(names), count)


def export_file(said: str | None, path: Path) -> Exported:
    """Write the same into a file, which is whole or not there.

    Raises
    ------
    InputError
        If several animals go by the name, or the file would stand in a folder's place.
    UnknownTaxonError
        If no animal goes by the name.
    """
    if path.is_dir():
        raise InputError(
            field="--export",
            given=str(path),
            limit="it is a folder",
            remedy="Give the name of a file, for example facts.csv.",
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.part")
    try:
        with part.open("w", encoding="utf-8", newline="") as out:
            written = export(said, out)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return written


def _rows(facts: FactTable, species: Species) -> Iterator[tuple[str, ...]]:
    genus, _, epithet = species.name.partition(" ")
    taxon = (species.name, species.common_name, "species", species.family, genus, epithet)
    for trait in facts.traits.values():
        if trait.name in _NOT_EXPORTED:
            continue
        unit = "" if trait.unit == "-" else trait.unit
        for number, fact in enumerate(_worth_telling(facts, species.name, trait.name)):
            own = _own(fact, species.name, in_use=number == 0 or trait.name == LOOKALIKE)
            yield (*taxon, trait.name, fact.value, unit, *_said(fact), *own)


def _worth_telling(facts: FactTable, name: str, trait: str) -> Iterator[Fact]:
    """Yield the values of the nearest rank that speaks; of the next too while all are house notes.

    Look-alikes are those of all ranks together.
    """
    rows = facts.rows(name, trait)
    if trait == LOOKALIKE:
        yield from rows
        return
    last = next((fact.taxon for fact in rows if fact.kind != Kind.HOUSE), "")
    ranks = list(dict.fromkeys(fact.taxon for fact in rows))
    told = ranks[: ranks.index(last) + 1] if last else ranks
    yield from (fact for fact in rows if fact.taxon in told)


def _said(fact: Fact) -> Iterable[str]:
    """Return method, by whom, and remarks."""
    if fact.kind == Kind.HOUSE:
        return ("house note", fact.locator, fact.note)
    source = load_sources()[fact.source]
    return (f"{fact.kind}: {source}", source.authors, fact.note)


def _own(fact: Fact, name: str, *, in_use: bool) -> Iterable[str]:
    is_guess = fact.taxon != name or fact.kind in _GUESSED
    yes = {True: "yes", False: "no"}
    return (
        fact.low,
        fact.high,
        fact.kind,
        fact.source,
        fact.locator,
        fact.taxon,
        yes[is_guess],
        yes[in_use],
    )
