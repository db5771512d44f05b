"""`rank` and `remedy` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.service.test_remedy import TALLY, TANK
from typer.testing import Result

Run = Callable[..., Result]
PAST = TALLY.replace("2027-03", "2026-03")


@pytest.fixture
def files(tmp_path: Path) -> tuple[str, str]:
    tank, tally = tmp_path / "reef.yaml", tmp_path / "tally.csv"
    tank.write_text(TANK, encoding="utf-8")
    tally.write_text(TALLY, encoding="utf-8")
    return str(tank), str(tally)


def test_rank_tells_the_order_and_what_it_rests_on(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "tally.csv"
    path.write_text(PAST, encoding="utf-8")
    told = run("rank", str(path)).stdout
    assert "coral beauty ranks first" in told
    assert "fewer than six animals" in told
    assert "Says" not in told
    assert "[david1987]" in told


def test_rank_as_json(run_json: Callable[..., Any], tmp_path: Path) -> None:
    path = tmp_path / "tally.csv"
    path.write_text(PAST, encoding="utf-8")
    told = run_json("rank", str(path), "--json")
    assert told["chases"] == 27
    assert told["pairs"] == [{"who": "coral beauty", "whom": "flame angel", "count": 27}]


def test_remedy_tells_what_to_do_first(run: Run, files: tuple[str, str]) -> None:
    told = run("remedy", *files, "--on", "2027-03-04").stdout
    assert told.startswith("Coral beauty chases flame angel.")
    assert "Do now:" in told
    assert "Begin here:" in told
    assert "Whom to move, if one must go" in told
    assert "veterinarian" in told


def test_remedy_writes_its_papers(run: Run, files: tuple[str, str], tmp_path: Path) -> None:
    out = tmp_path / "out"
    told = run("remedy", *files, "--on", "2027-03-04", "-o", str(out)).stdout
    assert "watch.pdf" in told
    assert sorted(path.name for path in out.iterdir()) == ["message.txt", "record.txt", "watch.pdf"]


def test_remedy_as_json(run_json: Callable[..., Any], files: tuple[str, str]) -> None:
    told = run_json("remedy", *files, "--on", "2027-03-04", "--whom", "flame angel", "--json")
    assert told["whom"] == "flame angel"
    assert len(told["rungs"]) == 12


def test_faults_are_sentences(run: Run, files: tuple[str, str], tmp_path: Path) -> None:
    assert "--on is soon" in run("remedy", *files, "--on", "soon", code=2).stderr
    assert "future" in run("remedy", *files, "--on", "2027-03-01", code=2).stderr
    assert "not to be found" in run("rank", str(tmp_path / "none.csv"), code=2).stderr
    assert "a whale" in run("remedy", *files, "--on", "2027-03-04", "--who", "a whale", code=2).stderr
