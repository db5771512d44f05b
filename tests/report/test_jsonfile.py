from __future__ import annotations

import json
import math

import pytest

from slackwater.plan.records import Plan
from slackwater.report import dumps, plan_json, plan_to_dict
from slackwater.report.jsonfile import three_digits


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0.123456, 0.123),
        (123456.0, 123000.0),
        (-0.0, 0.0),
        (1e-9 / 3, 3.33e-10),
        (math.nan, None),
        (math.inf, None),
    ],
)
def test_three_significant_digits(value: float, written: float | None) -> None:
    assert three_digits(value) == written


def test_plan_comes_back_as_plain_values(plan: Plan) -> None:
    back = json.loads(plan_json(plan))
    assert back == plan_to_dict(plan)
    assert back["slackwater"] == 1
    assert back["plan"]["made_on"] == "2027-01-09"
    assert back["plan"]["animals"][0]["scientific_name"] == "Amphiprion ocellaris"
    assert back["plan"]["pressure"]["top"][6][6] is None


def test_keys_are_sorted_and_bytes_stable(plan: Plan) -> None:
    text = plan_json(plan)
    assert text == plan_json(plan)
    assert text == dumps(json.loads(text))
    assert text.endswith("}\n")


def test_text_stays_readable() -> None:
    assert dumps({"b": "Größe", "a": (1, 2.0)}) == '{\n  "a": [\n    1,\n    2.0\n  ],\n  "b": "Größe"\n}\n'
