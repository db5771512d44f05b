"""`schema` and `warm` in the terminal, and how things are shown."""

from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import Result

from slackwater import kernels, kernels_draws, kernels_rock, kernels_tank, kernels_walk
from slackwater.cli import show

Run = Callable[..., Result]
Json = Callable[..., Any]


@pytest.mark.parametrize("words", [(), ("--json",)])
def test_schema(run_json: Json, words: tuple[str, ...]) -> None:
    assert run_json("schema", *words)["title"] == "Slackwater tank file"


def test_warm(run: Run, run_json: Json, monkeypatch: pytest.MonkeyPatch) -> None:
    for loops in (kernels, kernels_draws, kernels_rock, kernels_tank, kernels_walk):
        monkeypatch.setattr(loops, "warm", lambda: None)
    assert run("warm").stdout.startswith("Ready after")
    assert run_json("warm", "--json")["seconds"] >= 0.0


def test_quick_work_shows_no_bar(capsys: pytest.CaptureFixture[str]) -> None:
    with show.bar("work", 3) as shown:
        shown.step(3)
    assert capsys.readouterr().err == ""


def test_long_work_shows_a_bar(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(show, "_PATIENCE_S", -1.0)
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    with show.bar("work", 3) as shown:
        shown.step(1, "first part")
        shown.step(2)
    assert "first part" in capsys.readouterr().err


def test_the_bar_goes_when_the_work_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(show, "_PATIENCE_S", -1.0)
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    bars: list[show.Bar] = []

    def fail() -> None:
        with show.bar("work") as shown:
            bars.append(shown)
            shown.step()
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    assert bars[0]._shown is not None
    assert not bars[0]._shown[0].live.is_started
