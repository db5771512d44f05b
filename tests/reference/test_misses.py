"""The judged cases sat in full: the score that the trust page states, and every miss with its reason."""

from __future__ import annotations

import json
from typing import Any

import pytest
from scripts.make_trust import CASES, FOLDER, MISSES, explained, missed

from slackwater.service import scoring, sitting

CATEGORIES = {"wrong fact", "missing mechanism", "experts could differ"}

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def answers() -> tuple[scoring.Answer, ...]:
    return sitting.sit(sitting.cases_of([CASES], sitting.Confidence.HIGH), jobs=2).answers


@pytest.fixture(scope="module")
def stated() -> dict[str, Any]:
    text = (FOLDER / "trust.json").read_text(encoding="utf-8")
    return dict(json.loads(text)["as_fitted"]["high"])


def test_every_miss_has_a_reason_and_no_reason_stands_for_a_right_answer(
    answers: tuple[scoring.Answer, ...],
) -> None:
    assert {(a.case, a.kind, a.asked) for a in missed(answers)} == set(explained())


def test_every_reason_is_a_sentence_of_a_category() -> None:
    rows = list(explained().values())
    assert len(rows) == len(MISSES.read_text(encoding="utf-8").splitlines()) - 1
    assert {row["category"] for row in rows} <= CATEGORIES
    assert all(len(row["reason"].split()) >= 5 and row["reason"].endswith(".") for row in rows)


def test_the_score_is_that_of_the_trust_page(
    answers: tuple[scoring.Answer, ...], stated: dict[str, Any]
) -> None:
    told = scoring.score(answers)
    for part in ("outcomes", "comparisons", "direction", "peaceful_called_settled", "serious_recalled"):
        assert told[part]["share"] == pytest.approx(stated[part]["share"]), part


def test_high_confidence_cases_are_judged_as_keepers_do(answers: tuple[scoring.Answer, ...]) -> None:
    told = scoring.score(answers)
    assert told["outcomes"]["share"] >= 0.92
    assert told["comparisons"]["share"] >= 0.95
    assert told["direction"]["share"] >= 0.97
    assert told["peaceful_called_settled"]["share"] >= 0.95
    assert told["serious_recalled"]["share"] >= 0.90
    assert told["none_called_serious"]["share"] <= 0.03
    assert told["brier"] <= 0.08
