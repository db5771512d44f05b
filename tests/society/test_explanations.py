"""Twenty explanations from the judged cases, read against the factor values."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from slackwater.service.exam import read_cases, situation_of, species_of
from slackwater.society.explain import Explanation, explain
from slackwater.society.judge import Settings, judge

CASES = {c["id"]: c for c in read_cases([Path(__file__).parents[1] / "cases/open.yaml"])}


def _harmful(case: dict[str, Any]) -> dict[str, Any] | None:
    return next(
        (e for e in case.get("expect") or () if isinstance(e, dict) and e.get("level") == "serious"), None
    )


TWENTY = [cid for cid, case in CASES.items() if "animals" in case and _harmful(dict(case))][:20]


@pytest.fixture(scope="module", params=TWENTY)
def told(request: pytest.FixtureRequest) -> Explanation:
    case = dict(CASES[request.param])
    asked = _harmful(case)
    assert asked is not None
    verdict = judge(situation_of(case, float(case["horizon_days"])), Settings(fine=False, draws=16))
    by, to = species_of(asked["by"]).name, species_of(asked["to"]).name
    animals = verdict.situation.animals
    attacker = next(a for a in animals if a.species.name == by)
    victim = next(a for a in animals if a.species.name == to and a.index != attacker.index)
    return explain(verdict, attacker, victim)


def test_there_are_twenty() -> None:
    assert len(TWENTY) == 20


def test_the_factors_multiply_to_the_product_and_the_rate_is_no_more(told: Explanation) -> None:
    assert told.product == pytest.approx(math.prod(f.value for f in told.factors))
    assert 0.0 <= told.rate <= told.product * 1.0001


def test_the_trouble_named_is_the_factor_that_weighs_most(told: Explanation) -> None:
    heaviest = max(told.factors[1:], key=lambda f: f.weight)
    groups = {
        "E": "escape",
        "R": "ownership",
        "F": "ownership",
        "Q": "means",
        "S": "recognition",
        "C": "recognition",
        "H": "resource",
        "B": "resource",
    }
    assert told.trouble == groups[heaviest.symbol]
    assert told.trouble in told.sentence


def test_the_three_strongest_come_first_and_are_above_usual(told: Explanation) -> None:
    weights = [f.weight for f in told.strongest]
    assert weights == sorted(weights, reverse=True)
    assert len(weights) <= 3
    assert all(w > 1.0 for w in weights)


def test_every_factor_says_who(told: Explanation) -> None:
    for factor in told.factors:
        assert factor.words
        assert factor.says_who
