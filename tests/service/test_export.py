"""The facts as a table for others. All house notes are invented."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from slackwater.errors import InputError, UnknownTaxonError
from slackwater.service.animals import sheet
from slackwater.service.export import OWN_COLUMNS, TERMS, export, export_file
from slackwater.taxa.facts import load_facts, shipped_facts, using
from slackwater.taxa.house import HouseFact, HouseNotes

Row = dict[str, str]


def exported(said: str | None) -> list[Row]:
    out = io.StringIO()
    written = export(said, out)
    rows = list(csv.DictReader(out.getvalue().splitlines(), strict=True))
    assert written.rows == len(rows)
    return rows


def taken(rows: list[Row], trait: str) -> list[tuple[str, str]]:
    return [(row["measurementValue"], row["in_use"]) for row in rows if row["measurementType"] == trait]


def test_one_value_a_row_under_the_terms_of_the_standard() -> None:
    rows = exported("royal gramma")
    assert tuple(rows[0]) == (*TERMS, *OWN_COLUMNS)
    assert {(row["scientificName"], row["taxonRank"], row["family"]) for row in rows} == {
        ("Gramma loreto", "species", "Grammatidae")
    }
    assert {(row["genus"], row["specificEpithet"], row["vernacularName"]) for row in rows} == {
        ("Gramma", "loreto", "royal gramma")
    }


def test_the_values_are_those_of_the_sheet() -> None:
    used = {row["measurementType"]: row for row in exported("Gramma loreto") if row["in_use"] == "yes"}
    for row in sheet("Gramma loreto").rows:
        if row.trait == "lookalike":
            continue
        told = used.pop(row.trait)
        value = float(told["measurementValue"]) if isinstance(row.value, float) else told["measurementValue"]
        assert (value, told["measurementUnit"]) == (row.value, row.unit)
        assert (told["kind"], told["source"], told["said_of"]) == (row.kind, row.source, row.rank)
        assert told["is_guess"] == ("yes" if row.is_guess else "no")
    assert set(used) <= {"mark", "lookalike"}


def test_every_row_says_what_it_rests_on() -> None:
    assert all(row["measurementMethod"] and row["measurementDeterminedBy"] for row in exported("yellow tang"))


def test_what_a_house_note_overrules_stands_beside_it() -> None:
    notes = HouseNotes(
        (
            HouseFact("Gramma loreto", "adult_length_cm", "9", "desk", "measured"),
            HouseFact("Grammatidae", "tl_per_sl", "1.3", "desk", "measured"),
        )
    )
    shipped = taken(exported("Gramma loreto"), "adult_length_cm")[0][0]
    ratio = taken(exported("Gramma loreto"), "tl_per_sl")[0][0]
    with using(shipped_facts().overlaid(notes)):
        rows = exported("Gramma loreto")
    assert taken(rows, "adult_length_cm") == [("9", "yes"), (shipped, "no")]
    assert taken(rows, "tl_per_sl") == [("1.3", "yes"), (ratio, "no")]
    (note,) = (row for row in rows if row["measurementType"] == "adult_length_cm" and row["in_use"] == "yes")
    assert (note["measurementMethod"], note["measurementDeterminedBy"]) == ("house note", "desk")
    assert note["measurementRemarks"] == "measured"


def test_a_default_of_the_family_is_not_told_beside_a_value_of_the_species() -> None:
    rows = exported("Gramma loreto")
    for trait in {row["measurementType"] for row in rows} - {"lookalike"}:
        assert len({row["said_of"] for row in rows if row["measurementType"] == trait}) == 1


@pytest.mark.slow
def test_all_species(tmp_path: Path) -> None:
    path = tmp_path / "out" / "facts.csv"
    written = export_file(None, path)
    assert written.species == len(load_facts().species_names)
    with path.open(encoding="utf-8", newline="") as file:
        names = {row["scientificName"] for row in csv.DictReader(file)}
    assert names == set(load_facts().species_names)
    assert [other.name for other in path.parent.iterdir()] == ["facts.csv"]


def test_a_failed_export_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(UnknownTaxonError):
        export_file("qqqzzz", tmp_path / "facts.csv")
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(InputError, match="folder"):
        export_file("royal gramma", tmp_path)
