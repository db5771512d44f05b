"""Diets, appetites and nips beside gut contents and the guilds of the literature.

Order of trust: gut contents, the guild seen in guts, listed food items, the majority of experts.
Guilds predicted from relatives are left out: they mislead at the level of species.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping

from scripts.against_data.findings import Claim, Finding, judged
from scripts.against_data.reading import OpenData
from slackwater.taxa.facts import FactTable, Species

# Our kinds of food for a word of the sources; what may mean two counts for both.
IN_GUTS: Mapping[str, tuple[str, ...]] = {
    "Benthic_autotroph": ("algae",),
    "Coralline_algae": ("algae",),
    "Cyanobacteria": ("algae", "detritus"),
    "Detritus": ("detritus",),
    "Zooplankton": ("plankton",),
    "Phytoplankton": ("plankton",),
    "Medusozoa": ("plankton", "sessile"),
    **dict.fromkeys(("Anthozoa", "Porifera", "Tunicata", "Bryozoa", "Cirripedia"), ("sessile",)),
    **dict.fromkeys(("Decapoda", "Stomatopoda", "Peracarida", "Harpacticoida"), ("benthos",)),
    **dict.fromkeys(("Gastropoda", "Bivalvia", "Cephalopoda", "Polyplacophora"), ("benthos",)),
    **dict.fromkeys(("Annelida", "Sipuncula", "Nemertea", "Foraminifera"), ("benthos",)),
    **dict.fromkeys(("Echinoidea", "Ophiuroidea", "Asteroidea"), ("benthos",)),
    **dict.fromkeys(("Pycnogonida", "Arachnida"), ("benthos",)),
    "Actinopterygii": ("fish",),
}
OF_GUILD: Mapping[str, tuple[str, ...]] = {
    "herbivore_microvore_detritivore": ("algae", "detritus"),
    "herbivore_detritivore": ("algae", "detritus"),
    "planktivore": ("plankton",),
    "crustacivore": ("benthos",),
    "microinvertivore": ("benthos",),
    "macroinvertivore": ("benthos",),
    "invertivore": ("benthos", "sessile"),
    "corallivore": ("sessile",),
    "sessile_invertivore": ("sessile",),
    "piscivore": ("fish",),
    "omnivore": (),  # names no main food
}
OF_ITEM: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(("benthic algae/weeds", "green algae"), ("algae",)),
    **dict.fromkeys(("diatoms", "blue-green algae"), ("algae", "detritus")),
    **dict.fromkeys(("debris", "carcasses"), ("detritus",)),
    **dict.fromkeys(("other plank. invertebrates", "plank. crust.", "plank. copepods"), ("plankton",)),
    **dict.fromkeys(("phytoplankton", "dinoflagellates", "cladocerans"), ("plankton",)),
    **dict.fromkeys(("mysids", "euphausiids", "fish eggs/larvae"), ("plankton",)),
    "jellyfish/hydroids": ("plankton", "sessile"),
    **dict.fromkeys(("ascidians", "hard corals", "sponges", "cnidarians"), ("sessile",)),
    **dict.fromkeys(("other benth. invertebrates", "benth. crust.", "benth. copepods"), ("benthos",)),
    **dict.fromkeys(("crabs", "shrimps/prawns", "lobsters", "stomatopods"), ("benthos",)),
    **dict.fromkeys(("amphipods", "isopods", "ostracods", "insects"), ("benthos",)),
    **dict.fromkeys(("mollusks", "gastropods", "bivalves", "chitons"), ("benthos",)),
    **dict.fromkeys(("squids/cuttlefish", "octopi"), ("benthos",)),
    **dict.fromkeys(("polychaetes", "worms", "non-annelids"), ("benthos",)),
    **dict.fromkeys(("echinoderms", "sea urchins", "sea cucumbers"), ("benthos",)),
    "sea stars/brittle stars": ("benthos",),
    **dict.fromkeys(("bony fish", "finfish"), ("fish",)),
    **dict.fromkeys(("turtles", "others"), ()),
}
MAIN_SHARE = 0.25  # [-] of our diet: from here on a food is one of the main ones
TELLING_SHARE = 0.20  # [-] of gut contents: from here on a trait must answer for it
TASTED_SHARE = 0.10  # [-] of our diet
SHRIMP_EATER_CM = 10.0  # below this adult length an ornamental shrimp is too big a bite
CORAL_NIPS = ("nips_sps", "nips_lps", "nips_soft", "nips_zoanthids")


def findings(facts: FactTable, data: OpenData) -> tuple[Finding, ...]:
    """Return the comparisons of main foods and of what guts say of appetite and nips."""
    guts = tuple(claim for name in facts.species_names for claim in _gut_claims(facts.species(name), data))
    return (
        Finding(
            "diet",
            "the sources' main food is at least a quarter of the diet",
            0.90,
            judged(facts, data, "diet", _diet),
        ),
        Finding("guts", "appetite for fish and nips answer for what guts held", 0.90, guts),
    )


def gut_shares(name: str, data: OpenData) -> dict[str, float]:
    """Return the shares of the groups found in the guts of a species, empty if none were opened."""
    parts = (part.split("=") for row in data.of(name, "gut_content_share") for part in row.value.split(";"))
    return {group: float(share) for group, share in parts}


def main_foods(name: str, data: OpenData) -> frozenset[str]:
    """Return our words for the main food that the most trusted source gives, empty if none does."""
    for foods in _by_trust(name, data):
        if foods:
            return frozenset(foods)
    return frozenset()


def _by_trust(name: str, data: OpenData) -> Iterator[Iterable[str]]:
    yield _largest(gut_shares(name, data))
    yield _placed(data.words(name, "trophic_guild_observed"), OF_GUILD)
    items = (item for row in data.of(name, "food_items") for item in row.value.split(";"))
    yield _placed(items, OF_ITEM)
    yield _placed(data.words(name, "trophic_guild_expert_majority"), OF_GUILD)


def _largest(guts: Mapping[str, float]) -> list[str]:
    sums: dict[str, float] = defaultdict(float)
    for group, share in guts.items():
        for food in IN_GUTS[group]:
            sums[food] += share
    return [food for food, share in sums.items() if share == max(sums.values())]


def _placed(words: Iterable[str], mapping: Mapping[str, tuple[str, ...]]) -> list[str]:
    return [food for word in words for food in mapping[word]]


def _diet(species: Species, data: OpenData) -> bool | None:
    foods = main_foods(species.name, data)
    return any(species.diet[food] >= MAIN_SHARE for food in foods) if foods else None


def _gut_claims(species: Species, data: OpenData) -> Iterator[Claim]:
    guts = gut_shares(species.name, data)
    if guts.get("Actinopterygii", 0.0) >= TELLING_SHARE:
        yield Claim(species.name, "appetite_fish", species.word("appetite_fish") != "none")
    if guts.get("Anthozoa", 0.0) + guts.get("Porifera", 0.0) >= TELLING_SHARE:
        yield Claim(species.name, "nips_corals", _tastes_sessile(species))
    if guts.get("Decapoda", 0.0) >= TELLING_SHARE and species.number("adult_length_cm") >= SHRIMP_EATER_CM:
        yield Claim(species.name, "nips_shrimps", species.word("nips_shrimps") != "no")


def _tastes_sessile(species: Species) -> bool:
    nips = any(species.word(trait) != "no" for trait in CORAL_NIPS)
    return nips or species.diet["sessile"] >= TASTED_SHARE
