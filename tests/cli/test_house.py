"""House notes and export in the terminal. All notes are invented."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.report.sample import sample_plan
from typer.testing import Result

from slackwater.service import planning, tankfile_copy
from slackwater.taxa.facts import load_facts

Run = Callable[..., Result]
Json = Callable[..., Any]

NOTES = """
slackwater: 1
facts:
  - {taxon: six line, trait: temper_own, value: raging, who: desk, why: two returns, on: 2026-11-03}
names:
  - {name: grape fish, animal: royal gramma, who: front counter, why: everybody says so}
"""
GRAPE = "House note: “grape fish” taken as Gramma loreto (front counter: everybody says so)"


@pytest.fixture
def notes(tmp_path: Path) -> str:
    path = tmp_path / "house.yaml"
    path.write_text(NOTES, encoding="utf-8")
    return str(path)


def plain(told: Result) -> str:
    """Return what was printed, without its line breaks."""
    return " ".join(told.stdout.split())


def test_species_shows_both_values(run: Run, notes: str) -> None:
    told = run("species", "six line", "--house", notes).stdout
    assert "raging" in told
    assert "house note (desk," in told
    assert "in place of" in told
    lines = " ".join(told.partition("\nHouse notes\n")[2].split())
    assert "temper own taken as raging (desk: two returns)" in lines


def test_name_tells_the_note(run: Run, run_json: Json, notes: str) -> None:
    assert GRAPE in plain(run("name", "grape fish", "--house", notes))
    assert run_json("name", "grape fish", "--house", notes, "--json")["house_notes"] == [GRAPE]
    assert run_json("name", "royal gramma", "--json")["house_notes"] == []


def test_check_and_explain_tell_the_notes(run: Run, notes: str) -> None:
    tank = ("--length", "120cm", "--house", notes)
    checked = plain(run("check", "grape fish", "--with", "six line", *tank))
    assert GRAPE in checked.partition("Keep in mind")[2]
    explained = plain(run("explain", "six line", "grape fish", *tank))
    assert GRAPE in explained.partition("Assumed")[2]


def test_the_environment_names_the_notes(run: Run, notes: str, monkeypatch: pytest.MonkeyPatch) -> None:
    run("species", "grape fish", code=3)
    monkeypatch.setenv("SLACKWATER_HOUSE", notes)
    assert run("species", "grape fish").stdout.startswith("Gramma loreto")


def test_plan_finds_the_notes_beside_the_tank_file(
    run: Run, notes: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[int] = []

    def plan_file(*_: object) -> object:
        seen.append(len(load_facts().house.names))
        return sample_plan()

    monkeypatch.setattr(planning, "plan_file", plan_file)
    monkeypatch.setattr(planning, "write_plan", lambda *_: ())
    monkeypatch.setattr(tankfile_copy, "copy_of", lambda _file: {})
    run("plan", str(tmp_path / "reef.yaml"))
    Path(notes).unlink()
    run("plan", str(tmp_path / "reef.yaml"))
    run("plan", str(tmp_path / "reef.yaml"), "--house", notes, code=2)
    assert seen == [1, 0]


def test_faults_of_the_notes_end_with_2(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "house.yaml"
    path.write_text(NOTES.replace("raging", "cross"), encoding="utf-8")
    told = run("name", "royal gramma", "--house", str(path), code=2)
    assert "house.yaml has 1 fault" in told.stderr
    assert "facts[1].value is cross" in told.stderr


def test_the_schema_of_the_notes(run_json: Json) -> None:
    assert run_json("schema", "--house")["title"] == "Slackwater house notes"


def test_export_writes_a_file_and_says_so(run: Run, run_json: Json, tmp_path: Path) -> None:
    path = tmp_path / "gramma.csv"
    told = plain(run("species", "royal gramma", "--export", str(path)))
    assert told.startswith("Written:")
    assert told.endswith("of 1 species.")
    assert path.read_text(encoding="utf-8").startswith("scientificName,vernacularName,")
    assert run_json("species", "royal gramma", "--export", str(path), "--json")["species"] == 1


def test_export_to_the_terminal(run: Run, notes: str) -> None:
    told = run("species", "grape fish", "--export", "-", "--house", notes).stdout
    assert told.splitlines()[1].startswith("Gramma loreto,royal gramma,species,Grammatidae,")


@pytest.mark.slow
def test_export_of_all(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "all.csv"
    told = plain(run("species", "--all", "--export", str(path)))
    assert f"of {len(load_facts().species_names)} species." in told


@pytest.mark.parametrize("words", [(), ("--all",), ("royal gramma", "--all", "--export", "x.csv")])
def test_one_name_or_all_with_export(run: Run, words: tuple[str, ...]) -> None:
    assert "it is one name, or --all" in run("species", *words, code=2).stderr
