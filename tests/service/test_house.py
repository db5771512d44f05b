"""Where house notes are found, and the answers that rest on them. All notes are invented."""

from __future__ import annotations

import dataclasses
import datetime as dt
from pathlib import Path

import pytest

from slackwater.errors import InputError
from slackwater.service.animals import sheet, who
from slackwater.service.checking import check
from slackwater.service.counter import Told
from slackwater.service.explaining import explain_pair
from slackwater.service.house import find_house_file, house_notes
from slackwater.service.planning import plan_file
from slackwater.settings import Settings
from slackwater.taxa.facts import load_facts, shipped_facts

TODAY = dt.date(2026, 11, 24)
TANK = Told(length_cm=120.0, residents=("six line",))

NOTES = """
slackwater: 1
facts:
  - {taxon: six line, trait: temper_own, value: raging, who: desk, why: two returns}
  - {taxon: six line, trait: intolerance, value: tyrant, who: desk, why: two returns}
  - {taxon: Zebrasoma flavescens, trait: temper_own, value: placid, who: desk, why: a calm one}
names:
  - {name: grape fish, animal: royal gramma, who: front counter, why: everybody says so}
"""
SIX_LINE = "House note: Pseudocheilinus hexataenia, intolerance taken as tyrant (desk: two returns)"
GRAPE = "House note: “grape fish” taken as Gramma loreto (front counter: everybody says so)"


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    path = tmp_path / "house.yaml"
    path.write_text(NOTES, encoding="utf-8")
    return path


def test_the_file_asked_for_is_taken_before_that_of_the_environment() -> None:
    told, named = Path("told.yaml"), Path("named.yaml")
    assert find_house_file(told, settings=Settings(named, None)) == told
    assert find_house_file(settings=Settings(named, None)) == named


def test_house_yaml_is_found_beside_the_tank_file_then_at_home(tmp_path: Path, notes: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    at_home = home / "house.yaml"
    at_home.write_text(NOTES, encoding="utf-8")
    settings = Settings(None, home)
    assert find_house_file(beside=tmp_path / "reef.yaml", settings=settings) == notes
    assert find_house_file(beside=home.parent / "other" / "reef.yaml", settings=settings) == at_home
    assert find_house_file(settings=settings) == at_home


def test_nothing_found_is_none(tmp_path: Path) -> None:
    assert find_house_file(beside=tmp_path / "reef.yaml", settings=Settings(None, tmp_path)) is None
    assert find_house_file(settings=Settings(None, None)) is None


def test_a_file_asked_for_must_be_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not to be found"), house_notes(tmp_path / "none.yaml"):
        pass


def test_notes_hold_within_the_context_only(notes: Path) -> None:
    with house_notes(notes):
        assert load_facts().species("Pseudocheilinus hexataenia").word("intolerance") == "tyrant"
    assert load_facts() is shipped_facts()


def test_no_file_changes_nothing() -> None:
    with house_notes(None):
        assert load_facts() is shipped_facts()


def test_a_check_names_the_notes_it_rests_on(notes: Path) -> None:
    plain = check("royal gramma", TANK)
    with house_notes(notes):
        answer = check("grape fish", TANK)
    assert {SIX_LINE, GRAPE} <= set(answer.house_notes)
    assert not any("Zebrasoma" in line for line in answer.house_notes)
    assert answer.worst.p > plain.worst.p
    assert plain.house_notes == ()


def test_notes_on_others_change_nothing(notes: Path) -> None:
    told = Told(length_cm=120.0, residents=("Nemateleotris magnifica",))
    plain = check("royal gramma", told)
    with house_notes(notes):
        assert check("royal gramma", told) == plain


def test_an_explanation_names_the_notes_it_rests_on(notes: Path) -> None:
    with house_notes(notes):
        answer = explain_pair("six line", "grape fish", Told(length_cm=120.0))
    assert {SIX_LINE, GRAPE} <= set(answer.house_notes)
    assert any("house note (desk)" in factor.says_who for factor in answer.there.factors)


def test_a_sheet_shows_both_values_with_who_and_why(notes: Path) -> None:
    with house_notes(notes):
        known = sheet("six line")
    row = next(row for row in known.rows if row.trait == "intolerance")
    assert (row.value, row.kind, row.locator, row.note) == ("tyrant", "house", "desk", "two returns")
    shipped = next(row for row in sheet("six line").rows if row.trait == "intolerance")
    assert any(other.startswith(f"{shipped.value}: {shipped.kind}") for other in row.others)
    assert not row.is_guess
    assert SIX_LINE in known.house_notes
    assert "house" in {source.key for source in known.sources}


def test_who_is_meant_names_the_note(notes: Path) -> None:
    with house_notes(notes):
        assert who("grape fish").house_notes == (GRAPE,)
        assert who("yellow tang").house_notes == ()


def test_a_plan_names_the_notes_it_rests_on(notes: Path) -> None:
    tank = """
slackwater: 1
tank: {length: 100 cm, width: 50 cm, height: 50 cm}
rock: none
wishes: [{animal: grape fish, length: 5 cm}]
"""
    plain = plan_file(tank.replace("grape fish", "royal gramma"), TODAY)
    with house_notes(notes):
        made = plan_file(tank, TODAY)
    assert GRAPE in made.uncertain
    assert not any(line.startswith("House note") for line in plain.uncertain)
    said = {field.name for field in dataclasses.fields(made)} - {"animals", "uncertain", "not_to_add"}
    assert all(getattr(made, name) == getattr(plain, name) for name in said)
