"""Checks of the tables in `data`: words allowed, limits, sources, wholes, and neighbours compared."""

from __future__ import annotations

import csv
import math
import re
import statistics
from collections import Counter, defaultdict
from importlib import resources
from pathlib import Path

import pytest

from slackwater.rules import load_rules
from slackwater.society.nips import KINDS as NIPPED
from slackwater.sources import KINDS, load_sources
from slackwater.taxa.facts import Species, load_facts, load_traits

Row = dict[str, str]

ROOT = Path(__file__).parents[2]

DIET = ("algae", "detritus", "plankton", "benthos", "fish", "sessile", "parasites")
OWN = (
    "common_name",
    "max_length_cm",
    "adult_length_cm",
    "sale_length_cm",
    "body_depth_ratio",
    "level",
    "home_kind",
    "activity",
    *(f"diet_{kind}" for kind in DIET),
    "social_rule",
    "temper_own",
    "temper_genus",
    "temper_lookalike",
    "intolerance",
    "boldness",
    "jumps",
    "hunting",
    *NIPPED.values(),
    "hardiness",
)
# How far a species may lie from the median of its genus, as a ratio; wider asks for a second look.
WIDEST = {
    "max_length_cm": 5.0,
    "adult_length_cm": 4.0,
    "body_depth_ratio": 1.5,
    "body_width_ratio": 1.8,
    "tl_per_sl": 1.2,
    "lw_a": 3.0,
    "growth_k_per_year": 3.0,
}
WORDED_RULES = {
    "temper": "temper_own",
    "congener": "temper_genus",
    "lookalike": "temper_lookalike",
    "intolerance": "intolerance",
    "weapon": "weapon",
    "bold": "boldness",
    "appetite": "appetite_fish",
    "hunting": "hunting",
    "guard": "guard",
    "bite_rate": "bite_rate",
    "bitten_slow": "swim_style",
    "bitten_fins": "fins",
    "speed": "feeding_speed",
    "fragile": "hardiness",
    "jumps": "jumps",
    "male_rivalry": "males_rival",
}


def table(name: str) -> list[Row]:
    text = resources.files("slackwater.data").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines(), strict=True))


FACTS, NAMES, RULES, TRAITS = (table(f"{name}.csv") for name in ("facts", "names", "rules", "traits"))


NAMED_ONLY = {r["taxon"] for r in FACTS if r["trait"] == "described" and r["value"] == "named"}
UNLIKE = {"Hippocampus zosterae": "the dwarf seahorse: 2 cm in a genus of 14"}
OWN_OF_ALL = {
    "common_name",
    "mark",
    "max_length_cm",
    "adult_length_cm",
    "sale_length_cm",
    "body_depth_ratio",
    "level",
    "home_kind",
}


def every_species() -> list[Species]:
    facts = load_facts()
    return [facts.species(name) for name in facts.species_names]


def label(row: Row) -> str:
    return f"{row['taxon']} {row['trait']} {row['value']}"


@pytest.mark.parametrize("name", ["facts", "names", "rules", "traits", "sources"])
def test_every_row_is_whole_and_trimmed(name: str) -> None:
    for row in table(f"{name}.csv"):
        assert None not in row
        assert all(cell == (cell or " ").strip() for cell in row.values()), row


def test_every_fact_names_a_trait_a_kind_and_a_source() -> None:
    traits, sources = load_traits(), load_sources()
    for row in FACTS:
        assert row["trait"] in traits, label(row)
        assert row["kind"] in KINDS, label(row)
        assert row["source"] in sources, label(row)
        assert row["value"], label(row)


def test_what_is_called_measured_names_a_publication() -> None:
    for row in FACTS:
        published = row["source"] not in {"cp", "mem", "assumed", "own"}
        assert published or row["kind"] not in {"measured", "reviewed"}, label(row)
        assert (row["kind"] == "common-practice") == (row["source"] == "cp"), label(row)


def test_numbers_lie_within_the_limits_of_their_trait() -> None:
    traits = load_traits()
    for row in (r for r in FACTS if traits[r["trait"]].type == "number"):
        trait = traits[row["trait"]]
        for cell in (row["value"], row["low"], row["high"]):
            value = float(cell or row["value"])
            assert math.isfinite(value), label(row)
            assert trait.minimum is None or value >= trait.minimum, label(row)
            assert trait.maximum is None or value <= trait.maximum, label(row)


def test_low_and_high_enclose_the_value() -> None:
    for row in FACTS:
        if row["low"] or row["high"]:
            assert float(row["low"] or row["value"]) <= float(row["value"]), label(row)
            assert float(row["value"]) <= float(row["high"] or row["value"]), label(row)


def test_words_are_those_of_their_trait() -> None:
    traits = load_traits()
    for row in (r for r in FACTS if traits[r["trait"]].type == "word"):
        assert row["value"] in traits[row["trait"]].words, label(row)


def test_no_fact_stands_twice_under_one_kind() -> None:
    keys = Counter(
        (r["taxon"], r["trait"], r["kind"], r["value"] if r["trait"] == "lookalike" else "") for r in FACTS
    )
    assert [key for key, count in keys.items() if count > 1] == []


def test_no_source_is_one_whose_licence_forbids_it() -> None:
    keys = {r["source"] for r in (*FACTS, *RULES)} | set(load_sources())
    assert [key for key in keys if key.endswith(("_nc", "_unk", "_gpl"))] == []


def test_only_ranks_that_some_species_inherits_from_have_rows() -> None:
    facts = load_facts()
    asked = {rank for name in facts.species_names for rank in facts.lineage(name)}
    assert sorted(set(facts.taxa) - asked) == []


def test_every_genus_has_a_family() -> None:
    families = {r["taxon"] for r in FACTS if r["trait"] == "family"}
    assert {name.partition(" ")[0] for name in load_facts().species_names} <= families
    assert all(" " not in genus for genus in families)


@pytest.mark.parametrize("trait", OWN)
def test_every_species_has_its_own_value(trait: str) -> None:
    own = {r["taxon"] for r in FACTS if r["trait"] == trait}
    fully = set(load_facts().species_names) - (NAMED_ONLY if trait not in OWN_OF_ALL else set())
    assert sorted(fully - own) == []


def test_every_trait_that_the_code_asks_for_is_at_least_inherited() -> None:
    facts, traits = load_facts(), load_traits()
    code = "".join(file.read_text("utf-8") for file in (ROOT / "src").rglob("*.py"))
    asked = set(re.findall(r"\.(?:number|word)\(\s*\"([a-z_]+)\"\s*\)", code)) & set(traits)
    assert len(asked) > 30
    missing = [(s, t) for s in facts.species_names for t in sorted(asked) if facts.find(s, t) is None]
    assert missing == []


def test_a_diet_sums_to_one() -> None:
    for species in every_species():
        total = sum(species.number(f"diet_{kind}") for kind in DIET)
        assert total == pytest.approx(1.0, abs=0.011), species.name


def test_sizes_rise_from_sale_to_adult_to_greatest() -> None:
    for species in every_species():
        sale, adult, most = (
            species.number(trait) for trait in ("sale_length_cm", "adult_length_cm", "max_length_cm")
        )
        assert sale <= adult <= most, species.name


def test_lows_lie_below_highs() -> None:
    for species in every_species():
        assert species.number("temp_min_c") < species.number("temp_max_c"), species.name
        assert species.number("salinity_min") < species.number("salinity_max"), species.name


def test_adults_weigh_what_a_fish_of_that_length_can() -> None:
    # Condition 100 g/cm3: about 2 in an ordinary fish, under 0.1 in a pipefish or ribbon eel, over 5 in
    # a boxfish.
    for species in every_species():
        length_cm = species.number("adult_length_cm")
        condition = 100.0 * species.mass_g(length_cm) / length_cm**3
        assert 0.01 < condition < 8.0, species.name


def test_hunters_and_biters_are_complete() -> None:
    for species in every_species():
        hunts = species.word("hunting") != "none"
        assert hunts == (species.word("appetite_fish") != "none"), species.name
        assert not hunts or species.number("gape_ratio") > 0.0, species.name
        bites = species.word("bites") != "none"
        assert bites == (species.word("bite_rate") != "none"), species.name


def test_look_alikes_are_known_and_symmetric() -> None:
    facts = load_facts()
    pairs = {(r["taxon"], r["value"]) for r in FACTS if r["trait"] == "lookalike"}
    assert sorted(b for _, b in pairs if b not in facts.species_names) == []
    assert sorted((a, b) for a, b in pairs if (b, a) not in pairs) == []


@pytest.mark.parametrize("trait", WIDEST)
def test_neighbours_within_a_genus_are_alike(trait: str) -> None:
    genera: dict[str, list[Species]] = defaultdict(list)
    for species in every_species():
        genera[species.genus].append(species)
    for members in genera.values():
        middle = statistics.median(s.number(trait) for s in members)
        for species in (s for s in members if s.name not in UNLIKE):
            ratio = species.number(trait) / middle
            assert 1.0 / WIDEST[trait] <= ratio <= WIDEST[trait], (species.name, ratio)


def test_every_source_cited_in_the_code_resolves() -> None:
    files = [*(ROOT / "src").rglob("*.py"), *(ROOT / "tests/reference").glob("*effects*")]
    cited = {
        key
        for file in files
        for key in re.findall(r"\[([a-z]+(?:_[a-z]+)*(?:19|20)\d\d[a-z]?)\]", file.read_text("utf-8"))
    }
    assert len(cited) > 15
    assert sorted(cited - set(load_sources())) == []


def test_traits_are_plain() -> None:
    assert {r["type"] for r in TRAITS} == {"number", "word", "text", "taxon"}
    assert len({r["trait"] for r in TRAITS}) == len(TRAITS)
    for row in TRAITS:
        assert re.fullmatch(r"[a-z][a-z0-9_]*", row["trait"])
        assert bool(row["unit"]) == (row["type"] == "number"), row["trait"]
        assert row["meaning"], row["trait"]
        if row["minimum"] and row["maximum"]:
            assert float(row["minimum"]) < float(row["maximum"]), row["trait"]


def test_every_trait_is_used() -> None:
    assert {r["trait"] for r in TRAITS} == {r["trait"] for r in FACTS}


def test_rules_are_plain_and_sourced() -> None:
    sources = load_sources()
    assert len({r["rule"] for r in RULES}) == len(RULES)
    for row in RULES:
        assert re.fullmatch(r"[a-z0-9_]+(\.[a-z_]+)?", row["rule"])
        assert math.isfinite(float(row["value"])), row["rule"]
        assert row["unit"], row["rule"]
        assert row["meaning"], row["rule"]
        assert row["kind"] in KINDS, row["rule"]
        assert row["source"] in sources, row["rule"]


@pytest.mark.parametrize("prefix", WORDED_RULES)
def test_every_word_of_a_trait_has_its_rule(prefix: str) -> None:
    assert set(load_rules().words(prefix)) == set(load_traits()[WORDED_RULES[prefix]].words)


@pytest.mark.parametrize(
    "prefix", ["temper", "intolerance", "congener", "lookalike", "bold", "appetite", "jumps", "fragile"]
)
def test_rules_rise_with_the_ladder_of_words(prefix: str) -> None:
    rules = load_rules().words(prefix)
    ladder = load_traits()[WORDED_RULES[prefix]].words
    steps = [rules[word] for word in ladder]
    assert steps in (sorted(steps), sorted(steps, reverse=True))
    assert len(set(steps)) == len(steps)


def test_names_are_plain() -> None:
    kinds = {"trade", "slip", "ask", "synonym", "misapplied", "not a fish"}
    assert {r["kind"] for r in NAMES} <= kinds
    assert [key for key, count in Counter(tuple(r.values()) for r in NAMES).items() if count > 1] == []
    for row in NAMES:
        assert row["name"], row
        assert row["name"] == row["name"].lower(), row
        assert bool(row["scientific_name"]) == (row["kind"] != "not a fish"), row
        assert not row["scientific_name"] or re.fullmatch(r"[A-Z][a-z]+ [a-z-]+", row["scientific_name"]), row


def test_a_name_for_two_animals_asks_or_is_marked_misapplied() -> None:
    sure: dict[str, set[str]] = defaultdict(set)
    for row in NAMES:
        if row["kind"] in {"trade", "slip", "synonym"}:
            sure[row["name"]].add(row["scientific_name"])
    assert {name: found for name, found in sure.items() if len(found) > 1} == {}


def test_every_species_has_a_trade_name() -> None:
    named = {r["scientific_name"] for r in NAMES if r["kind"] in {"trade", "ask"}}
    assert sorted(set(load_facts().species_names) - named) == []
