"""How facts are compared with open data, on a few invented rows."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from scripts.against_data import bodies, coverage, food, habits
from scripts.against_data.findings import Claim, Finding
from scripts.against_data.reading import Listed, OpenData, Row, accepted, read

from slackwater.taxa.facts import load_facts, load_traits

TANG, IDOL = "Zebrasoma flavescens", "Zanclus cornutus"
FACTS = load_facts()


def rows(name: str, field: str, *values: str, unit: str = "") -> list[Row]:
    return [Row(name, field, value, unit, f"invented{n}") for n, value in enumerate(values)]


def verdict(found: tuple[Finding, ...], key: str) -> dict[str, bool]:
    (finding,) = (f for f in found if f.key == key)
    return {claim.taxon: claim.agrees for claim in finding.claims}


def test_a_standard_length_is_turned_into_a_total_length() -> None:
    ours_cm = FACTS.species(TANG).number("max_length_cm")
    per_sl = rows(TANG, "tl_per_sl", "1.5")
    short = OpenData([*rows(TANG, "length_max", f"{ours_cm / 1.5}", unit="cm SL"), *per_sl], ())
    assert verdict(bodies.findings(FACTS, short), "length") == {TANG: True}
    untold = OpenData([*rows(TANG, "length_max", f"{ours_cm / 1.5}", unit="cm TL"), *per_sl], ())
    assert verdict(bodies.findings(FACTS, untold), "length") == {TANG: False}


def test_one_odd_source_does_not_move_the_median() -> None:
    ours = FACTS.species(TANG).number("body_depth_ratio")
    data = OpenData(rows(TANG, "body_depth_ratio", f"{ours}", f"{ours}", f"{ours * 9}"), ())
    assert verdict(bodies.findings(FACTS, data), "depth") == {TANG: True}


def test_guts_are_trusted_before_guilds_items_and_experts() -> None:
    experts = rows(TANG, "trophic_guild_expert_majority", "planktivore")
    assert food.main_foods(TANG, OpenData(experts, ())) == {"plankton"}
    items = rows(TANG, "food_items", "hard corals;crabs")
    assert food.main_foods(TANG, OpenData([*experts, *items], ())) == {"sessile", "benthos"}
    guild = rows(TANG, "trophic_guild_observed", "piscivore")
    assert food.main_foods(TANG, OpenData([*experts, *items, *guild], ())) == {"fish"}
    guts = rows(TANG, "gut_content_share", "Benthic_autotroph=0.6;Decapoda=0.4")
    assert food.main_foods(TANG, OpenData([*experts, *items, *guild, *guts], ())) == {"algae"}


def test_groups_of_one_food_add_up_in_the_guts() -> None:
    guts = rows(TANG, "gut_content_share", "Benthic_autotroph=0.4;Decapoda=0.3;Annelida=0.3")
    assert food.main_foods(TANG, OpenData(guts, ())) == {"benthos"}


def test_omnivore_names_no_main_food() -> None:
    data = OpenData(rows(TANG, "trophic_guild_expert_majority", "omnivore"), ())
    assert verdict(food.findings(FACTS, data), "diet") == {}


def test_foods_are_words_of_our_diet() -> None:
    kinds = {trait.removeprefix("diet_") for trait in load_traits() if trait.startswith("diet_")}
    for mapping in (food.IN_GUTS, food.OF_GUILD, food.OF_ITEM):
        assert {kind for foods in mapping.values() for kind in foods} <= kinds


def test_guts_full_of_fish_ask_for_an_appetite() -> None:
    lion = "Pterois volitans"
    guts = [row for name in (lion, TANG) for row in rows(name, "gut_content_share", "Actinopterygii=0.2")]
    found = verdict(food.findings(FACTS, OpenData(guts, ())), "guts")
    assert found == {lion: True, TANG: False}


def test_guts_with_sponges_ask_for_nips_or_a_taste_for_them() -> None:
    data = OpenData(rows(IDOL, "gut_content_share", "Porifera=0.5;Benthic_autotroph=0.5"), ())
    assert verdict(food.findings(FACTS, data), "guts") == {IDOL: True}


def test_dusk_agrees_with_night_and_with_both() -> None:
    hunter = next(s for s in FACTS.species_names if FACTS.species(s).word("activity") == "dusk")
    for word, agrees in {"night": True, "both": True, "day": False}.items():
        data = OpenData(rows(hunter, "activity", word), ())
        assert verdict(habits.findings(FACTS, data), "activity") == {hunter: agrees}


def test_sources_that_tie_leave_either_word_right() -> None:
    tied = OpenData(rows(TANG, "activity", "day", "night"), ())
    assert verdict(habits.findings(FACTS, tied), "activity") == {TANG: True}
    outvoted = OpenData(rows(TANG, "activity", "day", "night", "night"), ())
    assert verdict(habits.findings(FACTS, outvoted), "activity") == {TANG: False}


def test_names_in_brackets_are_notes() -> None:
    listed = [Listed(TANG, "1", ("yellow tang (Hawaii)",), 12)]
    found = coverage.findings(FACTS, OpenData((), listed))
    assert {claim.trait for claim in found[2].claims} == {f"name: {TANG}", "name: yellow tang"}
    assert all(finding.holds for finding in found if finding.key in {"core", "names", "imports"})


def test_a_species_that_is_missing_is_not_covered() -> None:
    listed = [Listed("Nemo inventus", "1", (), 3), Listed(TANG, "2", (), 1)]
    found = {finding.key: finding for finding in coverage.findings(FACTS, OpenData((), listed))}
    assert found["core"].share == 0.0
    assert found["less_kept"].share == 1.0
    assert found["imports"].share == pytest.approx(1 / 4)


def test_a_share_counts_by_weight_and_nothing_compared_holds_nothing() -> None:
    claims = (Claim("a", "t", agrees=True, weight=3.0), Claim("b", "t", agrees=False))
    found = Finding("k", "words", 0.7, claims)
    assert found.share == 0.75
    assert found.holds
    assert found.against == (("b", "t"),)
    assert not Finding("k", "words", 0.7, ()).holds


def test_another_name_of_a_genus_in_flux_is_understood() -> None:
    assert accepted("Premnas biaculeatus") == "Amphiprion biaculeatus"
    assert accepted("Nemo inventus") == "Nemo inventus"


def test_a_folder_is_read(tmp_path: Path) -> None:
    head = ["scientific_name", "field", "value", "unit", "source_id"]
    _write(tmp_path / "species_facts_open.csv", head, [TANG, "activity", "day", "", "invented"])
    _write(tmp_path / "species_facts_check_only.csv", head, [TANG, "length_max", "20", "cm TL", "invented"])
    listed = ["scientific_name", "tier", "common_names", "nz_import_2015_2019"]
    _write(tmp_path / "species_list.csv", listed, [TANG, "1", "yellow tang; lau'ipala", ""])
    data = read(tmp_path)
    assert data.having("length_max") == (TANG,)
    assert data.words(TANG, "activity") == ("day",)
    assert data.listed == (Listed(TANG, "1", ("yellow tang", "lau'ipala"), 0),)


def _write(file: Path, *lines: list[str]) -> None:
    with file.open("w", encoding="utf-8", newline="") as opened:
        csv.writer(opened).writerows(lines)
