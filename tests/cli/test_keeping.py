"""`tanks`, `keepers`, `looks`, `backup`, `restore`: what is kept, from the terminal."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from slackwater.cli import app

Run = Callable[..., Result]
RunJson = Callable[..., Any]
REEF = """slackwater: 1
tank: {length: 120 cm}
company: [yellow tang, {animal: ocellaris, count: 2}, six line]
"""


@pytest.fixture
def run_json(run: Run) -> RunJson:
    """Return a function that asks for an answer in JSON, and reads it."""
    return lambda *words: json.loads(run(*words, "--json").stdout)


@pytest.fixture
def reef(tmp_path: Path, run: Run) -> Path:
    """Keep a tank called reef, and return its file."""
    path = tmp_path / "reef.yaml"
    path.write_text(REEF, encoding="utf-8")
    run("tanks", "--add", str(path), "--keeper", "reef club")
    return path


def test_nothing_is_kept_at_first(run: Run) -> None:
    assert "tanks --add" in run("tanks").stdout
    assert "No keeper is kept yet." in run("keepers").stdout
    assert "Nothing is due." in run("looks").stdout


def test_a_tank_is_kept_listed_and_shown(run: Run, run_json: RunJson, reef: Path) -> None:
    assert "reef  reef club" in run("tanks").stdout
    told = run("tanks", "reef").stdout
    assert "revision 1, saved by ada" in told
    assert "yellow tang, ocellaris 1, ocellaris 2, six line" in told
    assert run("tanks", "reef", "--text").stdout == reef.read_text(encoding="utf-8")
    assert run_json("tanks")["tanks"][0]["name"] == "reef"
    assert run_json("tanks", "reef")["labels"][0] == "yellow tang"


def test_a_change_is_a_revision_and_a_stale_one_is_refused(run: Run, run_json: RunJson, reef: Path) -> None:
    reef.write_text(REEF.replace("120", "150"), encoding="utf-8")
    run("tanks", "reef", "--save", str(reef), "--from", "1", "--by", "bo", "--why", "measured again")
    reef.write_text(REEF.replace("length: 120 cm", "length: 120 cm, lid: true"), encoding="utf-8")
    told = run("tanks", "reef", "--save", str(reef), "--from", "1", code=5)
    assert "bo changed it at" in told.stderr
    assert "tank.length: 120 cm to 150 cm" in told.stderr
    run("tanks", "reef", "--save", str(reef), "--from", "1", "--merge")
    assert run_json("tanks", "reef")["revision"]["content"]["tank"] == {"length": "150 cm", "lid": True}
    rows = run("tanks", "reef", "--revisions").stdout
    assert "measured again" in rows
    assert "tank.length: 120 cm to 150" in " ".join(rows.split())
    assert "120 cm" in run("tanks", "reef", "--text", "--revision", "1").stdout
    assert len(run_json("tanks", "reef", "--revisions")["revisions"]) == 3


def test_a_change_needs_the_revision_that_was_edited(run: Run, reef: Path) -> None:
    assert "--from is missing" in run("tanks", "reef", "--save", str(reef), code=2).stderr


@pytest.mark.usefixtures("reef")
def test_deleting_is_confirmed(run: Run) -> None:
    assert "Say --yes" in run("tanks", "reef", "--delete", code=2).stderr
    assert "reef is deleted." in run("tanks", "reef", "--delete", "--yes").stdout
    assert "no tank goes by that name" in run("tanks", "reef", code=2).stderr


@pytest.mark.usefixtures("reef")
def test_a_keepers_data_are_handed_over_and_deleted(run: Run, run_json: RunJson, tmp_path: Path) -> None:
    run("keepers", "reef club", "--contact", "club@example.org", "--note", "prefers letters")
    run("keepers", "Bo", "--tank", "reef")
    assert [k["tanks"] for k in run_json("keepers")["keepers"]] == [["reef"], []]
    run("keepers", "reef club", "--tank", "reef")
    run("diary", "reef", "chase", "tang", "six", "--note", "=cmd()")
    run("looks", "reef", "--due", "2027-01-14 18:00", "--ask", "Does it eat?")
    folder = tmp_path / "ines"
    assert "1 tank and 1 entry written" in run("keepers", "reef club", "--export", str(folder)).stdout
    whole = json.loads((folder / "keeper.json").read_text(encoding="utf-8"))
    assert whole["keeper"]["contact"] == "club@example.org"
    assert whole["tanks"][0]["revisions"][0]["text"] == REEF
    assert whole["tanks"][0]["diary"][0]["seen"]["chases"] == [{"who": "yellow tang", "whom": "six line"}]
    assert whole["tanks"][0]["looks"][0]["asks"] == "Does it eat?"
    assert "'=cmd()" in (folder / "1-reef-diary.csv").read_text(encoding="utf-8")
    assert "already" in run("keepers", "reef club", "--export", str(folder), code=2).stderr
    run("backup", str(tmp_path / "copy.db"))
    run("restore", str(tmp_path / "copy.db"), "--replace")
    assert "not confirmed" in run("keepers", "reef club", "--delete", code=2).stderr
    told = run("keepers", "reef club", "--delete", "--yes").stdout
    assert "before-restore" in told
    assert [k["keeper"]["name"] for k in run_json("keepers")["keepers"]] == ["Bo"]
    assert run_json("tanks")["tanks"] == []
    kept = tmp_path / "nothing" / "slackwater" / "slackwater.db"
    assert b"club@example.org" not in kept.read_bytes()
    assert "Known: Bo." in run("keepers", "reef club", "--delete", "--yes", code=2).stderr


@pytest.mark.usefixtures("reef")
def test_looks_are_made_due_listed_and_answered(run: Run, run_json: RunJson) -> None:
    words = ("--ask", "Does it eat?", "--about", "six", "--forecast", "it settles", "--chance", "0.8")
    run("looks", "reef", "--due", "2026-01-14 18:00", *words)
    told = run("looks").stdout
    assert "Does it eat? (six line)" in told
    assert "reef club" in told
    run("looks", "reef", "--done", "1", "--outcome", "visit", "--happened", "--note", "fat")
    assert "Nothing is due." in run("looks").stdout
    assert "visit; as forecast. fat" in run("looks", "reef").stdout
    assert run_json("looks", "reef")["looks"][0]["result"]["happened"] is True
    assert "no such look" in run("looks", "reef", "--done", "9", code=2).stderr
    assert (
        "between 0 and 1" in run("looks", "reef", "--due", "2027-01-14 18:00", "--chance", "2", code=2).stderr
    )
    assert "ten years" in run("looks", "reef", "--due", "2999-01-14 18:00", code=2).stderr


@pytest.mark.usefixtures("reef")
def test_backup_and_restore(run: Run, run_json: RunJson, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    assert "holds 1 tank and 0 entries, and is whole" in " ".join(run("backup", str(copy)).stdout.split())
    assert "already" in run("backup", str(copy), code=6).stderr
    assert run_json("backup", str(copy), "--replace")["rows"]["tank"] == 1
    run("diary", "reef", "ate", "tang")
    assert "Say --replace" in run("restore", str(copy), code=6).stderr
    assert "lies in" in run("restore", str(copy), "--replace").stdout
    assert run_json("diary", "reef", "list")["entries"] == []


def test_a_store_that_cannot_be_used_is_told(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    letter = tmp_path / "letter"
    letter.write_text("Dear keeper, " * 100, encoding="utf-8")
    monkeypatch.setenv("SLACKWATER_STORE", str(letter))
    assert "no store of this program" in run("tanks", code=6).stderr


@pytest.mark.usefixtures("reef")
def test_the_commands_answer_without_a_terminal_of_their_own() -> None:
    told = CliRunner().invoke(app, ["diary", "reef"], input="n14c q", prog_name="slackwater")
    assert told.exit_code == 0
    assert "1: yellow tang chases six line (in passing)" in told.stdout
