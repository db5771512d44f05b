"""All species by family, and what is known of one in chapters."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from slackwater.service.animals import FactRow, SpeciesSheet, who
from slackwater.service.spoken import Choice, choices_of
from slackwater.taxa.facts import FactTable, load_facts
from slackwater.taxa.names import Verdict

MOST_FOUND = 12
REST = "Besides"

_CHAPTERS: Mapping[str, str] = {
    "Temper and company": "temper_own temper_genus temper_lookalike intolerance temper_note males_rival "
    "social_rule company_min company_note boldness breeding_guard bites bite_rate lookalike",
    "The tank it needs": "min_length_cm min_width_cm min_volume_l needs_sand_cm needs_cover needs_host "
    "burrows jumps temp_min_c temp_max_c salinity_min salinity_max hardiness captive_bred",
    "Size and growth": "max_length_cm adult_length_cm sale_length_cm growth_k_per_year maturity_months "
    "sex_change smaller_sex_ratio body_depth_ratio body_width_ratio tl_per_sl lw_a lw_b",
    "Food": "feeds_needed feeding_speed feeds_at feeding_time special_food first_foods thin_sign diet_algae "
    "diet_detritus diet_plankton diet_benthos diet_fish diet_sessile diet_parasites",
    "Whom it eats, and who eats it": "hunting appetite_fish gape_ratio prey_length_ratio guard sleeps weapon",
    "Corals and invertebrates": "nips_sps nips_lps nips_soft nips_zoanthids nips_clams nips_shrimps "
    "nips_snails nips_hermits nips_tube_worms",
    "Where it lives": "home_kind level structure_use home_area_m2 activity swim_style",
    "Looks": "form fins colours pattern juvenile_dress sex_dress",
    "People and the law": "venom hazard law vet_note",
}
_IN_SHORT = ("adult_length_cm", "min_length_cm", "social_rule", "temper_own", "feeds_needed", "jumps")


@dataclass(frozen=True)
class Chapter:
    """Values that are read together."""

    title: str
    rows: tuple[FactRow, ...]


@dataclass(frozen=True)
class Named:
    """A species by both its names."""

    scientific_name: str
    common_name: str


@dataclass(frozen=True)
class Family:
    """A family and its species that are described here."""

    name: str
    species: tuple[Named, ...]


@dataclass(frozen=True)
class Found:
    """Whom a search may mean; `one` is the scientific name where there is no doubt."""

    said: str
    words: str
    one: str = ""
    choices: tuple[Choice, ...] = ()


def chapters(sheet: SpeciesSheet) -> tuple[Chapter, ...]:
    """Return the values of a species by chapter; what belongs to none stands last."""
    placed = {trait: title for title, traits in _CHAPTERS.items() for trait in traits.split()}
    order = {trait: n for n, trait in enumerate(placed)}
    titles = [*_CHAPTERS, REST]
    rows = sorted(sheet.rows, key=lambda row: order.get(row.trait, len(order)))
    found: dict[str, list[FactRow]] = {title: [] for title in titles}
    for row in rows:
        found[placed.get(row.trait, REST)].append(row)
    return tuple(Chapter(title, tuple(rows)) for title, rows in found.items() if rows)


def in_short(sheet: SpeciesSheet) -> tuple[FactRow, ...]:
    """Return the few values that are asked for first."""
    known = {row.trait: row for row in reversed(sheet.rows)}
    return tuple(known[trait] for trait in _IN_SHORT if trait in known)


def families() -> tuple[Family, ...]:
    """Return all species that are described, by family, both in the order of the alphabet."""
    return _families(load_facts())


def find(said: str) -> Found:
    """Return whom a search may mean, with the mark that tells each from the others.

    Parameters
    ----------
    said
        A name as it is said, slips and all.
    """
    meaning = who(said)
    if meaning.verdict is Verdict.ONE:
        return Found(said, "", one=meaning.name)
    if meaning.verdict is Verdict.NOT_A_FISH:
        return Found(said, "That is no fish; only fish are described here.")
    choices = choices_of(meaning)[:MOST_FOUND]
    asks = "It may be any of these." if meaning.verdict is Verdict.ASK else "The nearest are these."
    return Found(said, asks if choices else "Nobody goes by this name, and nothing comes close.", "", choices)


@functools.lru_cache(maxsize=2)
def _families(facts: FactTable) -> tuple[Family, ...]:
    rows = sorted(_named(facts), key=lambda row: (row[0], row[1].common_name.lower()))
    return tuple(
        Family(name, tuple(row[1] for row in members))
        for name, members in groupby(rows, key=lambda row: row[0])
    )


def _named(facts: FactTable) -> Iterator[tuple[str, Named]]:
    for name in facts.species_names:
        species = facts.species(name)
        yield species.family, Named(name, species.common_name)
