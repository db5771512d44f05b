"""Sitting the exam: processes, records, and cases that cannot be judged."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from slackwater.errors import InputError
from slackwater.service import exam
from slackwater.service.sitting import Confidence, cases_of, open_cases, record, sit

SYSTEM = {"shape": "box", "length_cm": 120, "width_cm": 50, "height_cm": 50, "rock": "moderate"}


def case(name: str, species: str = "Gramma loreto", **more: object) -> dict[str, Any]:
    whole: dict[str, Any] = {
        "id": name,
        "family": "basslets",
        "lever": "community",
        "system": SYSTEM,
        "animals": [{"species": species, "length_cm": 5, "day": 0, "count": 1}],
        "horizon_days": 365,
        "expect": [{"kind": "community", "value": "peaceful"}],
        "why": "one alone",
        "confidence": "high",
    }
    return whole | more


def compared() -> dict[str, Any]:
    side = {"system": SYSTEM, "animals": [{"species": "Gramma loreto", "length_cm": 5, "day": 0}]}
    return case("pair") | {"base": side, "change": side, "about": "all", "expect": "same"}


def test_the_open_cases_ship_with_the_repository() -> None:
    path = open_cases()
    assert path is not None
    assert len(cases_of([path])) == 333


def test_confidence_chooses() -> None:
    path = open_cases()
    assert path is not None
    high, medium = cases_of([path], Confidence.HIGH), cases_of([path], Confidence.MEDIUM)
    assert len(high) + len(medium) == 333
    assert {c["confidence"] for c in medium} == {"medium"}


@pytest.mark.parametrize("text", ["a: b: c", "just words", "[1, 2]", "- {no: id}"])
def test_what_is_no_exam_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "x.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError):
        cases_of([tmp_path / "x.yaml"])


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not to be found"):
        cases_of([tmp_path / "nowhere.yaml"])


def test_no_case_left_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text(yaml.safe_dump([case("a")]), encoding="utf-8")
    with pytest.raises(InputError, match="none of confidence medium"):
        cases_of([tmp_path / "x.yaml"], Confidence.MEDIUM)


def test_the_record_has_every_part() -> None:
    told = record(sit([case("a"), compared()], jobs=1))
    assert set(told) >= {
        "outcomes",
        "comparisons",
        "peaceful_called_settled",
        "brier",
        "not_modelled",
        "cases",
    }
    assert [row["id"] for row in told["cases"]] == ["a", "pair"]
    assert set(told["cases"][0]) >= {"expected", "answer", "reason", "right", "p"}
    assert told["cases"][1]["answer"] == "same"


def test_what_cannot_be_judged_is_named_and_the_rest_go_on() -> None:
    cases = [case("stranger", "Nomen nescio"), case("torn", system={}), case("good")]
    told = record(sit(cases, jobs=1))
    assert [row["case"] for row in told["not_judged"]] == ["stranger", "torn"]
    assert "Nomen nescio" in told["not_judged"][0]["why"]
    assert told["outcomes"]["n"] == 1


def test_fields_that_are_not_modelled_are_named() -> None:
    told = record(sit([case("a", keeping={"moon": "full"})], jobs=1))
    assert "keeping.moon" in told["not_modelled"]


def test_every_case_is_ticked() -> None:
    ticks: list[int] = []
    sit([case(str(n)) for n in range(11)], jobs=1, tick=ticks.append)
    assert sum(ticks) == 11


@pytest.mark.slow
def test_the_answers_do_not_depend_on_the_number_of_processes() -> None:
    cases: list[exam.Case] = [case(str(n)) for n in range(10)]
    assert sit(cases, jobs=2) == sit(cases, jobs=1)
