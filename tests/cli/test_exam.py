"""`exam` in the terminal."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from typer.testing import Result

from slackwater.service import sitting

Run = Callable[..., Result]

CASE = {
    "id": "alone",
    "family": "basslets",
    "lever": "community",
    "system": {"shape": "box", "length_cm": 120, "width_cm": 50, "height_cm": 50, "rock": "moderate"},
    "keeping": {"moon": "full"},
    "animals": [{"species": "Gramma loreto", "length_cm": 5, "day": 0, "count": 1}],
    "horizon_days": 365,
    "expect": [{"kind": "community", "value": "peaceful"}],
    "why": "one alone",
    "confidence": "high",
}


@pytest.fixture
def cases(tmp_path: Path) -> Path:
    path = tmp_path / "cases.yaml"
    stranger = CASE | {"id": "stranger", "animals": [CASE["animals"][0] | {"species": "Nomen nescio"}]}  # type: ignore[index]
    path.write_text(yaml.safe_dump([CASE, stranger]), encoding="utf-8")
    return path


def test_the_score_is_told(run: Run, cases: Path) -> None:
    told = run("exam", str(cases)).stdout
    assert "Outcomes: 1 of 1 right (100.0 %)" in told
    assert "commonest word" in told
    for title in ("By kind", "By lever", "By family", "Not modelled", "Not judged"):
        assert f"\n{title}\n" in told
    assert "keeping.moon" in told
    assert "stranger" in told


def test_every_answer_is_told_when_asked(run: Run, cases: Path) -> None:
    told = run("exam", str(cases), "--verbose").stdout
    assert "alone" in told
    assert "worst off" in " ".join(told.split())


def test_json_into_a_file(run: Run, cases: Path, tmp_path: Path) -> None:
    out = tmp_path / "new" / "exam.json"
    run("exam", str(cases), "--json", str(out))
    told = json.loads(out.read_text(encoding="utf-8"))
    assert set(told) >= {
        "outcomes",
        "comparisons",
        "direction",
        "peaceful_called_settled",
        "brier",
        "not_modelled",
        "cases",
    }
    assert told["cases"][0]["expected"] == "peaceful"


def test_json_in_the_terminal(run: Run, cases: Path) -> None:
    told: dict[str, Any] = json.loads(run("exam", str(cases), "--json", "-").stdout)
    assert told["cases"][0]["id"] == "alone"


def test_a_file_that_cannot_be_written_ends_with_6(run: Run, cases: Path, tmp_path: Path) -> None:
    (tmp_path / "wall").write_text("", encoding="utf-8")
    told = run("exam", str(cases), "--json", str(tmp_path / "wall" / "exam.json"), code=6)
    assert "cannot be used" in told.stderr


def test_without_a_checkout_a_file_is_asked_for(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sitting, "open_cases", lambda: None)
    assert "Give a file of judged cases" in run("exam", code=2).stderr


def test_in_a_checkout_the_open_cases_are_put(run: Run, cases: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sitting, "open_cases", lambda: cases)
    assert "1 of 1 right" in run("exam").stdout
