"""The file of house notes: read as people write it, all faults at once. All notes are invented."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.service.house_file import json_schema, load_table
from slackwater.taxa.facts import FactTable, load_facts, shipped_facts

HOW_TO = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "house-notes.md"
REASON = "who: desk, why: seen"


def table_of(text: str, folder: Path) -> FactTable:
    path = folder / "house.yaml"
    path.write_text(f"slackwater: 1\n{text}", encoding="utf-8")
    return load_table(path)


def fact(taxon: str, trait: str, value: str, more: str = "") -> str:
    return f"facts: [{{taxon: {taxon}, trait: {trait}, value: {value}, {REASON}{more}}}]"


def faults(text: str, folder: Path) -> dict[str, str]:
    """Return all faults of a file by their places."""
    with pytest.raises(InputErrors) as caught:
        table_of(text, folder)
    assert caught.value.source == "house.yaml"
    return {fault.field: str(fault) for fault in caught.value.faults}


def test_the_example_of_the_manual_can_be_read(tmp_path: Path) -> None:
    (text,) = re.findall(r"```yaml\n(.+?)```", HOW_TO.read_text(encoding="utf-8"), flags=re.DOTALL)
    path = tmp_path / "house.yaml"
    path.write_text(text, encoding="utf-8")
    table = load_table(path)
    assert table.species("Pseudocheilinus hexataenia").word("temper_own") == "fierce"
    assert table.house.facts[0].on == dt.date(2026, 11, 3)
    assert table.species("Gramma exemplaris").text("mark") == "a blue tail, no eye line"
    assert load_facts() is shipped_facts()


@pytest.mark.parametrize(
    ("trait", "value", "read"),
    [
        ("adult_length_cm", "3 in", "7.62"),
        ("adult_length_cm", "8", "8"),
        ("adult_length_cm", "7.5 cm", "7.5"),
        ("min_volume_l", "20 gal", "75.70823568"),
        ("temp_max_c", "82 F", "27.77777778"),
        ("feeds_needed", "2", "2"),
        ("needs_sand_cm", "0", "0"),
        ("temper_own", "Fierce", "fierce"),
        ("home_kind", "rock face", "rock_face"),
        ("males_rival", "no", "no"),
        ("mark", '"  a blue\n    tail "', "a blue tail"),
        ("lookalike", "royal dottyback", "Pictichromis paccagnellorum"),
    ],
)
def test_values_are_read_as_people_write_them(trait: str, value: str, read: str, tmp_path: Path) -> None:
    table = table_of(fact("royal gramma", trait, value), tmp_path)
    assert table.rows("Gramma loreto", trait)[0].value == read


def test_a_taxon_of_any_rank_and_any_name(tmp_path: Path) -> None:
    for said, meant in (("Labridae", "Labridae"), ("Gramma", "Gramma"), ("royal grama", "Gramma loreto")):
        assert table_of(fact(said, "temper_own", "mild"), tmp_path).house.facts[0].taxon == meant


def test_a_new_animal_is_never_taken_for_one_of_a_like_name(tmp_path: Path) -> None:
    text = f"animals: [{{animal: Gramma loretto, {REASON}}}]\n" + fact("Gramma loretto", "temper_own", "mild")
    table = table_of(text, tmp_path)
    assert table.house.facts[0].taxon == "Gramma loretto"
    assert "Gramma loretto" in table.species_names


def test_all_faults_are_told_together(tmp_path: Path) -> None:
    text = f"""
facts:
  - {{taxon: flame, trait: temper_own, value: mild, {REASON}}}
  - {{taxon: qqqzzz, trait: temper_own, value: mild, {REASON}}}
  - {{taxon: Gramma loreto, trait: adult_length_cm, value: 9 m, {REASON}}}
  - {{taxon: Gramma loreto, trait: temper, value: mild, {REASON}}}
names:
  - {{name: grape, animal: cleaner shrimp, {REASON}}}
animals:
  - {{animal: Novus exemplaris, {REASON}, facts: {{adult_length_cm: long}}}}
"""
    told = faults(text, tmp_path)
    assert set(told) == {
        "facts[1].taxon",
        "facts[2].taxon",
        "facts[3].value",
        "facts[4].trait",
        "names[1].animal",
        "animals[1].family",
        "animals[1].facts.adult_length_cm",
    }
    assert "Centropyge loricula" in told["facts[1].taxon"]
    assert "between 1 and 400 cm" in told["facts[3].value"]


def test_names_that_may_be_several_animals_are_told_alone_too(tmp_path: Path) -> None:
    assert set(faults(fact("flame", "temper_own", "mild"), tmp_path)) == {"facts[1].taxon"}


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("facts: [{taxon: Gramma, trait: temper_own, value: mild, why: seen}]", "facts[1].who"),
        (f"facts: [{{taxon: Gramma, trait: temper_own, value: [mild], {REASON}}}]", "facts[1].value"),
        (f"facts: [{{taxon: Gramma, trait: temper_own, value: true, {REASON}}}]", "facts[1].value"),
        (fact("Gramma", "temper_own", "mild", ", on: yesterday"), "facts[1].on"),
        (fact("Gramma", "temper_own", "mild", ", by: me"), "facts[1].by"),
        ("fact: []", "fact"),
        (f"animals: [{{animal: Gramma nova, {REASON}, facts: [mild]}}]", "animals[1].facts"),
    ],
)
def test_a_fault_of_form_has_its_place(text: str, place: str, tmp_path: Path) -> None:
    assert set(faults(text, tmp_path)) == {place}


@pytest.mark.parametrize("text", ["facts: [&a [*a]]", "facts: !!python/object:os.system x", "facts: [\n"])
def test_a_strange_file_is_refused(text: str, tmp_path: Path) -> None:
    with pytest.raises((InputError, InputErrors)):
        table_of(text, tmp_path)


def test_json_will_do(tmp_path: Path) -> None:
    path = tmp_path / "house.json"
    path.write_text(
        '{"slackwater": 1, "facts": [{"taxon": "Gramma loreto", "trait": "adult_length_cm", "value": 7.25, '
        '"who": "desk", "why": "measured"}]}',
        encoding="utf-8",
    )
    assert load_table(path).species("Gramma loreto").number("adult_length_cm") == 7.25


def test_an_empty_file_of_notes_is_the_shipped_table(tmp_path: Path) -> None:
    table = table_of("", tmp_path)
    assert table.species_names == shipped_facts().species_names
    assert sorted(map(tuple, table)) == sorted(map(tuple, shipped_facts()))


def test_the_schema_lists_the_traits() -> None:
    schema = json_schema()
    assert schema["title"] == "Slackwater house notes"
    blocks = schema["$defs"]
    assert isinstance(blocks, dict)
    assert {"temper_own", "adult_length_cm"} <= set(blocks["FactNote"]["properties"]["trait"]["enum"])
    assert "family" not in blocks["AnimalNote"]["properties"]["facts"]["propertyNames"]["enum"]
    assert set(blocks["FactNote"]["required"]) == {"taxon", "trait", "value", "who", "why"}
