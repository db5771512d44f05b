"""`choose`, `without`, `also` and `many` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from slackwater.cli import show

Run = Callable[..., Result]
RunJson = Callable[..., Any]

TANK = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
keeping: {feeds_per_day: 3}
wishes:
  - {animal: flame angel, wish: 9, price: 90 EUR}
  - {animal: coral beauty, wish: 7, price: 40 EUR}
  - {animal: royal gramma, wish: 7, price: 25 EUR}
  - {animal: firefish goby, wish: 8}
  - {animal: volitans lionfish, wish: 2}
limits: {budget: 150 EUR}
"""


@pytest.fixture
def tank(tmp_path: Path) -> str:
    path = tmp_path / "reef.yaml"
    path.write_text(TANK, encoding="utf-8")
    return str(path)


def test_choices_clashes_and_proof_are_shown(run: Run, tank: str) -> None:
    told = " ".join(run("choose", tank).stdout.split())
    for part in ("Not all 5 wishes together", "Choice 1", "Choice 2", "What clashes", "Says who", "How sure"):
        assert part in told
    assert "flame dwarf angel + coral beauty" in told
    assert "without a price for firefish" in told


def test_choices_as_json(run_json: RunJson, tank: str) -> None:
    told = run_json("choose", tank, "--most", "1", "--json")
    assert len(told["offers"]) == 1
    assert told["proven"] is True
    assert {"count", "sex", "length_cm", "price", "word"} <= told["offers"][0]["animals"][0].keys()
    assert told["clashes"][0]["sources"]


def test_who_to_take_out(run: Run, run_json: RunJson, tank: str) -> None:
    assert "Without each in turn" in run("without", tank).stdout
    assert len(run_json("without", tank, "--json")["removals"]) == 5


def test_what_else_could_live_here(run: Run, run_json: RunJson) -> None:
    words = ("also", "--with", "pair of ocellaris", "--length", "100cm")
    told = run(*words).stdout
    assert "Would fit next" in told
    assert "would break it" in told
    assert run_json(*words, "--json")["fits"]


def test_a_file_and_options_exclude_each_other(run: Run, tank: str) -> None:
    assert "one way or the other" in " ".join(run("also", tank, "--length", "100cm", code=2).output.split())
    assert "Give --length" in " ".join(run("also", code=2).output.split())


def test_how_many(run: Run, run_json: RunJson) -> None:
    told = run("many", "flame angel", "--volume", "300L", "--since", "30", "--with", "ocellaris").stdout
    assert "By number" in told
    assert [
        size["count"] for size in run_json("many", "flame angel", "--length", "120cm", "--json")["sizes"]
    ] == list(range(1, 13))


def test_a_stopped_choice_shows_the_best_so_far(run: Run, tank: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def step(_bar: show.Bar, _count: int = 1, label: str = "") -> None:
        if label.startswith("another company"):
            raise KeyboardInterrupt

    monkeypatch.setattr(show.Bar, "step", step)
    told = " ".join(run("choose", tank).stdout.split())
    assert "Stopped: the best so far keeps" in told
    assert "Choice 1" in told
    assert "Choice 2" not in told


def test_a_lower_comfort_keeps_more(run_json: RunJson, tank: str) -> None:
    kept = [
        len(run_json("choose", tank, "--most", "1", "--comfort", word, "--json")["offers"][0]["animals"])
        for word in ("at ease", "jostled", "pressed")
    ]
    assert kept == sorted(kept)
