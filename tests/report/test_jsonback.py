"""A plan written as plain values and read back says the same."""

from __future__ import annotations

import json

import pytest

from slackwater.plan.records import Plan
from slackwater.report import plan_from_dict, plan_json, plan_to_dict


@pytest.mark.parametrize("which", ["plan", "clashing"])
def test_a_plan_read_back_is_written_the_same(which: str, request: pytest.FixtureRequest) -> None:
    plan: Plan = request.getfixturevalue(which)
    plain = json.loads(plan_json(plan))
    back = plan_from_dict(plain)
    assert plan_to_dict(back) == plan_to_dict(plan)
    assert back.releases == plan.releases
    assert back.animals[0].comfort.word == plan.animals[0].comfort.word


def test_a_part_that_a_later_release_added_may_be_missing(plan: Plan) -> None:
    plain = plan_to_dict(plan)
    del plain["plan"]["milestones"]
    assert plan_from_dict(plain).milestones == ()


@pytest.mark.parametrize("plain", [{}, {"plan": {}}, {"plan": 3}, {"plan": {"title": "x"}}])
def test_what_is_no_plan_is_refused(plain: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="no values of a plan"):
        plan_from_dict(plain)
