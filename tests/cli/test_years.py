"""`feed` and `ahead` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

Run = Callable[..., Result]

FILE = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm}
keeping: {feeds_per_day: 1, stations: 1}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 7 cm}
wishes:
  - {animal: yellow tang}
  - {animal: Synchiropus splendidus, count: 2}
limits: {start: 2027-01-09}
"""


@pytest.fixture
def reef(tmp_path: Path) -> Path:
    path = tmp_path / "reef.yaml"
    path.write_text(FILE, encoding="utf-8")
    return path


def test_feed_says_how_often_how_much_and_who_is_slowest(run: Run, reef: Path) -> None:
    told = run("feed", str(reef)).stdout
    assert told.startswith("Feed ")
    for title in ("Who gets how much", "Feeding card", "Rests on"):
        assert f"\n{title}\n" in told
    assert "\nWritten\n" not in told
    assert "mandarin" in told


def test_ahead_says_lengths_limits_and_dates(run: Run, reef: Path) -> None:
    told = run("ahead", str(reef)).stdout
    for title in ("Length in cm", "What it brings", "Dates to be reminded of", "Rests on"):
        assert f"\n{title}\n" in told
    assert "In 5 years" in told


@pytest.mark.parametrize("command", ["feed", "ahead"])
def test_a_drawing_is_written_when_asked_for(run: Run, reef: Path, command: str) -> None:
    told = run(command, str(reef), "-o", str(reef.parent / "out")).stdout
    assert "\nWritten\n" in told
    assert (reef.parent / "out" / f"{command}.svg").read_text(encoding="utf-8").startswith("<svg")


def test_as_json(run_json: Callable[..., Any], reef: Path) -> None:
    fed, years = run_json("feed", str(reef), "--json"), run_json("ahead", str(reef), "--json")
    assert fed["card"]["rows"][0]["foods_g_d"]
    assert fed["feeds_per_day"] == 1.0
    assert years["growth"][0]["length_cm"][0] == 7.0
    assert years["looks"][2]["months"] == 60
