"""How much of the trade the table covers: species, names, individuals imported."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scripts.against_data.findings import Claim, Finding
from scripts.against_data.reading import Listed, OpenData, accepted
from slackwater.taxa.facts import FactTable
from slackwater.taxa.names import Verdict, understand

_NOTE = re.compile(r"\s*\([^)]*\)")
YEARS = ("2008", "2009", "2011")
LONGEST_LIST = 20
# What a fully described species says of itself rather than inherit.
OWN = (
    "common_name",
    "mark",
    "max_length_cm",
    "adult_length_cm",
    "body_depth_ratio",
    "activity",
    "diet_algae",
    "social_rule",
    "temper_own",
    "temper_genus",
    "intolerance",
    "hunting",
    "nips_sps",
    "nips_shrimps",
    "hardiness",
    "min_volume_l",
)


def findings(facts: FactTable, data: OpenData) -> tuple[Finding, ...]:
    """Return the comparisons of coverage."""
    return (
        Finding("core", "the core species are described fully", 1.0, tuple(_core(facts, data))),
        Finding("less_kept", "the species less often kept are named", 1.0, tuple(_less_kept(facts, data))),
        Finding("names", "a name comes to its species, or asks with it", 0.98, tuple(_names(data))),
        Finding(
            "top", "the most imported fishes of three years are described", 1.0, tuple(_top(facts, data))
        ),
        Finding("imports", "individuals of listed species imported are covered", 0.95, _imports(facts, data)),
    )


def ranks(data: OpenData, year: str) -> dict[int, str]:
    """Return the most imported species of a year by rank."""
    field = f"import_us_rank_{year}"
    found = {int(row.value): name for name in data.having(field) for row in data.of(name, field)}
    return {rank: name for rank, name in sorted(found.items()) if rank <= LONGEST_LIST}


def means(said: str, name: str) -> bool:
    """Return whether words come to a species, or ask with it among the candidates."""
    meaning = understand(said)
    if meaning.verdict is Verdict.ONE:
        return meaning.name == name
    return meaning.verdict is Verdict.ASK and name in {c.scientific_name for c in meaning.candidates}


def _core(facts: FactTable, data: OpenData) -> Iterator[Claim]:
    for name in (accepted(row.scientific_name) for row in data.listed if row.tier == "1"):
        yield Claim(name, "described", _described(facts, name) == "fully")


def _less_kept(facts: FactTable, data: OpenData) -> Iterator[Claim]:
    for name in (accepted(row.scientific_name) for row in data.listed if row.tier != "1"):
        yield Claim(name, "described", bool(_described(facts, name)))


def _described(facts: FactTable, name: str) -> str:
    if name not in facts.species_names:
        return ""
    known = facts.find(name, "described")
    if known and known.fact.value == "named":
        return "named"
    own = all(not facts.need(name, trait).inherited for trait in OWN)
    return "fully" if own else "in part"


def _names(data: OpenData) -> Iterator[Claim]:
    for row in data.listed:
        name = accepted(row.scientific_name)
        for said in _called(row):
            yield Claim(name, f"name: {said}", means(said, name))


def _called(row: Listed) -> tuple[str, ...]:
    """Return the names of a species without the notes in brackets that the list puts behind some."""
    return (row.scientific_name, *(_NOTE.sub("", name) for name in row.common_names))


def _top(facts: FactTable, data: OpenData) -> Iterator[Claim]:
    for year in YEARS:
        for name in ranks(data, year).values():
            yield Claim(name, f"imported in {year}", _described(facts, name) == "fully")


def _imports(facts: FactTable, data: OpenData) -> tuple[Claim, ...]:
    rows = [(accepted(row.scientific_name), row.imported) for row in data.listed if row.imported]
    return tuple(
        Claim(name, "imported individuals", bool(_described(facts, name)), weight) for name, weight in rows
    )
