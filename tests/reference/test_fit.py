"""The stored fit belongs to the cases, facts and coefficients that stand here, and scores as it says."""

from __future__ import annotations

import csv
import json
from importlib import resources
from typing import Any

import pytest
from scripts.fit_rules import DATA, ROOT, coefficients, fingerprint

from slackwater.rules import load_rules

CASES = ROOT / "tests/cases/open.yaml"


@pytest.fixture(scope="module")
def stored() -> dict[str, Any]:
    text = resources.files("slackwater.data").joinpath("fit.json").read_text(encoding="utf-8")
    return dict(json.loads(text))


def test_the_fit_is_that_of_the_present_inputs(stored: dict[str, Any]) -> None:
    assert stored["fingerprint"] == fingerprint(CASES), "inputs changed: run make fit"


def test_the_rules_hold_the_fitted_values() -> None:
    rows = csv.DictReader((DATA / "fit.csv").read_text(encoding="utf-8").splitlines())
    rules = load_rules()
    for row in rows:
        assert rules[row["rule"]] == pytest.approx(float(row["fitted"])), row["rule"]


def test_at_most_twenty_five_coefficients_are_fitted() -> None:
    assert 0 < len(coefficients()) <= 25


def test_cross_validation_keeps_what_was_promised(stored: dict[str, Any]) -> None:
    high, medium = stored["cross_validated"]["high"], stored["cross_validated"]["medium"]
    assert high["outcomes"]["share"] >= 0.89  # the aim is 0.92: see docs/can-you-trust-it.md
    assert high["comparisons"]["share"] >= 0.95
    assert high["peaceful_called_settled"]["share"] >= 0.95
    assert high["direction"]["share"] >= 0.97
    assert high["serious_recalled"]["share"] >= 0.90
    assert high["none_called_serious"]["share"] <= 0.03
    assert high["brier"] <= 0.08
    assert medium["mild_and_uneasy"]["share"] >= 0.60
    assert medium["within_one_step"]["share"] >= 0.90
