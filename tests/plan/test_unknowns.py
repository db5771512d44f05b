"""What each assumption costs, and the one question to ask."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.question import Question
from slackwater.plan.records import Assumption
from slackwater.plan.sequence import coarse
from slackwater.plan.unknowns import doubts, what_is_unknown
from slackwater.rules import load_rules

LONG_AGO = dt.date(2026, 1, 1)


def _vague(ask: Asker) -> Question:
    """Return a question of which little was told."""
    old = replace(resident("Pseudocheilinus hexataenia", 6.0, LONG_AGO), length_told=False)
    question = ask((old,), (wanted("Gramma loreto", 5.0),), length_cm=80.0)
    assumed = tuple(Assumption(what, "", "") for what in ("tank length", "rock", "lid", "feeds", "lengths"))
    return replace(question, assumptions=assumed, length_told=False, rock_told=False)


def test_every_unknown_has_its_cost(ask: Asker) -> None:
    question = _vague(ask)
    asked = what_is_unknown(question, {"gramma-loreto": 1.0}, load_rules())
    assert set(asked.costs) == {"tank length", "rock", "lid", "feeds", "lengths"}
    assert "64 cm" in asked.costs["tank length"]
    assert all(cost.startswith(("in a tank", "with")) for cost in asked.costs.values())


def test_the_question_is_that_of_the_answer_that_moves_most(ask: Asker) -> None:
    question, days, rules = _vague(ask), {"gramma-loreto": 1.0}, load_rules()
    base = coarse(question, days, rules)
    moved = {d.ask: coarse(d.other, days, rules) for d in doubts(question)}
    shift = {ask: (v.mood is not base.mood, abs(v.worst_p - base.worst_p)) for ask, v in moved.items()}
    asked = what_is_unknown(question, days, rules).question
    assert asked.startswith(max(shift, key=lambda ask: shift[ask]))


def test_what_was_told_is_no_doubt(ask: Asker) -> None:
    question = ask((), (wanted("Gramma loreto", 5.0),))
    one_rock = replace(question, rockworks=question.rockworks[:1])
    asked = what_is_unknown(one_rock, {"gramma-loreto": 1.0}, load_rules())
    assert asked.question == ""
    assert asked.costs == {}
