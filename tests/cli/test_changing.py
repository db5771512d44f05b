"""`whatif`, `replan` and `afterwards` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from slackwater.cli import show

Run = Callable[..., Result]

TANK = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 45 cm, lid: true}
rock: moderate
company:
  - {animal: six line, length: 7 cm, since: 2026-01-10}
  - {animal: royal gramma, length: 5 cm, since: 2026-01-20}
wishes:
  - {animal: yellow coris}
"""


@pytest.fixture
def tank(tmp_path: Path) -> Path:
    path = tmp_path / "tank.yaml"
    path.write_text(TANK, encoding="utf-8")
    return path


@pytest.mark.slow
def test_whatif_shows_ways_and_what_is_given_up(run: Run, tank: Path) -> None:
    told = run("whatif", str(tank), "--most", "2").stdout
    assert "Not as it stands" in told
    assert "\nWay 1: about" in told
    assert "Given up:" in told
    assert "Worst off is then" in told


def test_a_stopped_whatif_ends_well_with_a_note(
    run: Run, tank: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told_of = iter(["first", "second"])

    def step(_bar: show.Bar, _count: int = 1, label: str = "") -> None:
        if label and next(told_of) == "second":
            raise KeyboardInterrupt

    monkeypatch.setattr(show.Bar, "step", step)
    told = run("whatif", str(tank)).stdout
    assert "Stopped after 1 try" in told
    assert "Nearest:" in told


@pytest.mark.slow
def test_replan_shows_both_plans_and_writes_the_new_one(run: Run, tank: Path, tmp_path: Path) -> None:
    run("plan", str(tank), "-o", str(tmp_path / "out"))
    happened = tmp_path / "happened.yaml"
    happened.write_text("delay: 2 weeks\n", encoding="utf-8")
    plan = str(tmp_path / "out" / "plan.json")
    told = run("replan", plan, str(happened), "-o", str(tmp_path / "anew")).stdout
    for title in ("What changed, and why", "Before and now", "Written"):
        assert f"\n{title}\n" in told
    assert (tmp_path / "anew" / "beside.json").is_file()


def test_afterwards_says_it_fairly(run: Run, tank: Path) -> None:
    told = run("afterwards", str(tank), "--died", "royal gramma", "--on", "2026-02-10").stdout
    assert "We are sorry about the royal gramma" in told
    assert "veterinarian" in told


def test_afterwards_as_json(run_json: Callable[..., Any], tank: Path) -> None:
    told = run_json("afterwards", str(tank), "--died", "royal gramma", "--on", "2026-02-10", "--json")
    assert told["on"] == "2026-02-10"
    assert told["otherwise"][0]["lever"] == "order"


def test_a_day_that_is_none_is_refused(run: Run, tank: Path) -> None:
    run("afterwards", str(tank), "--died", "royal gramma", "--on", "yesterday", code=2)


@pytest.mark.slow
def test_a_way_is_taken_and_shown_beside_the_list_as_it_stood(run: Run, tank: Path, tmp_path: Path) -> None:
    told = run("whatif", str(tank), "--take", "1", "-o", str(tmp_path / "way")).stdout
    for title in ("What is changed", "Before and now", "Written"):
        assert f"\n{title}\n" in told
    assert (tmp_path / "way" / "beside.json").is_file()
    refused = run("whatif", str(tank), "--take", "9", "-o", str(tmp_path / "no"), code=2).output
    assert "the way to take" in " ".join(refused.split())
