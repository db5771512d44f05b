"""`diary`: a line an entry, lists, counts, CSV, the missing, and single keys."""

import json
import os
import pty
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from slackwater.cli import app

Run = Callable[..., Result]
RunJson = Callable[..., Any]


@pytest.fixture
def run_json(run: Run) -> RunJson:
    """Return a function that asks for an answer in JSON, and reads it."""
    return lambda *words: json.loads(run(*words, "--json").stdout)


@pytest.fixture(autouse=True)
def _reef(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "reef.yaml"
    text = "slackwater: 1\ncompany: [yellow tang, {animal: ocellaris, count: 2}, six line]\n"
    path.write_text(text, encoding="utf-8")
    run("tanks", "--add", str(path))


def test_a_line_is_an_entry(run: Run, run_json: RunJson) -> None:
    told = run("diary", "reef", "chase", "tang", "six", "3", "--minutes", "10", "--at", "2026-11-01 18:00")
    assert told.stdout == "1: yellow tang chases six line 3 times (10 min watched)\n"
    entry = run_json("diary", "reef", "ate", "six", "--note", "mysis", "--by", "bo")["entries"][0]
    assert (entry["number"], entry["by"], entry["kind"], entry["sentence"]) == (
        2,
        "bo",
        "eating",
        "six line eats",
    )
    listed = run("diary", "reef", "list").stdout
    assert "six line eats. mysis" in listed
    assert listed.index("eats") < listed.index("chases")


def test_lists_by_animal_and_kind(run: Run, run_json: RunJson) -> None:
    run("diary", "reef", "ate", "six")
    run("diary", "reef", "missing", "tang")
    assert [e["kind"] for e in run_json("diary", "reef", "list", "six")["entries"]] == ["eating"]
    assert [e["kind"] for e in run_json("diary", "reef", "list", "--kind", "missing")["entries"]] == [
        "missing"
    ]
    assert run_json("diary", "reef", "list", "--most", "1")["more"] is True
    assert "--most 2" in run("diary", "reef", "list", "--most", "1").stdout
    assert "it is no kind" in run("diary", "reef", "list", "--kind", "omen", code=2).stderr
    assert "nobody in this tank" in run("diary", "reef", "list", "kraken", code=2).stderr


def test_entries_are_corrected_and_taken_back(run: Run, run_json: RunJson) -> None:
    run("diary", "reef", "chase", "tang", "six")
    assert "[corrects entry 1]" in run("diary", "reef", "chase", "tang", "six", "2", "--correct", "1").stdout
    assert "[corrected]" in run("diary", "reef", "list").stdout
    run("diary", "reef", "--take-back", "1", "--note", "other tank")
    assert run_json("diary", "reef", "list")["entries"] == []
    assert "Nothing is written" in run("diary", "reef", "list").stdout


def test_counts_by_day(run: Run, run_json: RunJson) -> None:
    for count in ("3", "2"):
        run("diary", "reef", "chase", "tang", "six", count, "--minutes", "10", "--at", "2026-11-01 12:00")
    assert "yellow tang > six line: 5 chase" in run("diary", "reef", "days").stdout
    assert run_json("diary", "reef", "days")["days"][0]["watched_min"] == 20


def test_photographs_are_named(run: Run, run_json: RunJson, tmp_path: Path) -> None:
    picture = tmp_path / "fin.jpg"
    picture.write_bytes(b"a fin")
    run("diary", "reef", "mark", "six", "fin", "torn", "--photo", str(picture))
    assert "[1 photograph]" in run("diary", "reef", "list").stdout
    assert run_json("diary", "reef", "list")["entries"][0]["photographs"][0]["path"] == str(picture)
    picture.unlink()
    assert "[1 photograph, gone]" in run("diary", "reef", "list").stdout
    assert "no such file" in run("diary", "reef", "note", "--photo", "nowhere.jpg", code=2).stderr


def test_a_table_out_and_in(run: Run, run_json: RunJson, tmp_path: Path) -> None:
    path = tmp_path / "diary.csv"
    run("diary", "reef", "chase", "tang", "six", "3")
    assert "1 entry written" in run("diary", "reef", "write", str(path)).stdout
    assert "already" in run("diary", "reef", "write", str(path), code=2).stderr
    assert run_json("diary", "reef", "read", str(path)) == {"taken": 0, "already": 1, "left_out": []}
    broken = tmp_path / "broken.csv"
    broken.write_text(
        "at,kind,animal\nsoon,missing,six line\n2026-11-01T18:00Z,missing,six line\n", encoding="utf-8"
    )
    assert "line 2, at is soon" in run("diary", "reef", "read", str(broken), code=2).stderr
    told = run("diary", "reef", "read", str(broken), "--good-rows").stdout
    assert "1 entry taken." in told
    assert "Left out: 1" in told
    assert "one is needed" in run("diary", "reef", "read", code=2).stderr


def test_whose_absence_is_news_and_where_to_look(run: Run, run_json: RunJson) -> None:
    assert "Never seen by the diary: yellow tang" in " ".join(run("diary", "reef", "unseen").stdout.split())
    run("diary", "reef", "count", "4", "--at", "2026-01-01 18:00")
    assert "yellow tang: " in run("diary", "reef", "unseen").stdout
    assert run_json("diary", "reef", "unseen")["news"]
    told = run("diary", "reef", "search", "tang").stdout
    assert "Where to look, in this order" in told
    assert run_json("diary", "reef", "search", "tang")["label"] == "yellow tang"
    run("diary", "reef", "count", "4")
    assert "Nobody is unseen" in run("diary", "reef", "unseen").stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("chas", "tang", "six"), "Did you mean chase?"),
        (("chase", "kraken", "six"), "nobody in this tank"),
        (("ate", "tang", "--at", "noon"), "not a moment"),
        (("ate", "tang", "--at", "2999-01-01 10:00"), "computer's clock"),
        (("--take-back", "7"), "has 0 entries"),
    ],
)
def test_what_cannot_be_is_told(run: Run, words: tuple[str, ...], said: str) -> None:
    assert said in run("diary", "reef", *words, code=2).stderr


def test_single_keys_write_as_they_are_pressed() -> None:
    told = CliRunner().invoke(app, ["diary", "reef"], input="n14c 1b w 1c w a u ? q", prog_name="slackwater")
    assert told.exit_code == 0, told.output
    for line in ("1: yellow tang chases", "2: yellow tang bites", "The watch ends (1 in", "is taken back"):
        assert line in told.stdout
    told = CliRunner().invoke(app, ["diary", "reef"], input="w1c", prog_name="slackwater")
    assert "The watch ends (1 in" in told.stdout


def test_keys_are_read_singly_from_a_terminal() -> None:
    """A real terminal: keys typed faster than they are read, an arrow key, and q."""
    command = [sys.executable, "-c", "from slackwater.cli import main; main()", "diary", "reef"]
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        command, stdin=theirs, stdout=subprocess.PIPE, text=True, env=os.environ
    ) as program:
        os.close(theirs)
        assert program.stdout is not None
        while not program.stdout.readline().startswith("u takes"):
            pass
        for typed in (b"n14c1b1", b"\x1b[A", b"cq"):
            os.write(ours, typed)
            time.sleep(0.5)
        told = program.stdout.read()
        assert program.wait(20) == 0
    os.close(ours)
    assert "1: yellow tang chases six line" in told
    assert "2: yellow tang bites six line" in told
    assert "3: yellow tang chases six line" in told
    assert "stands for nothing" not in told
