"""Judging again with one thing changed: the one function behind what-if, replanning and looking back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from slackwater.plan.question import Question
from slackwater.plan.sequence import best_sequence, fixed_steps, spaced
from slackwater.rules import Rules
from slackwater.society.judge import Judgement, Settings, judge

_SKETCH = Settings(fine=False, draws=16)

Edit = Callable[[Question], Question]
"""Something changed in a question."""


def as_it_is(question: Question) -> Question:
    """Return the question itself: the change that changes nothing."""
    return question


def with_best_order(question: Question, rules: Rules) -> Question:
    """Return the question with its best order of release fixed, unless one is fixed already."""
    if question.course.steps:
        return question
    steps = best_sequence(question, rules).steps
    named = tuple(tuple(question.wishes[i].key for i in step) for step in steps)
    return replace(question, course=replace(question.course, steps=named))


def days_of(question: Question, rules: Rules) -> dict[str, float]:
    """Return the days of release by key: those known, else the fixed order at its spacing. [d]"""
    gap = question.course.spacing_days or rules["spacing_days"]
    here = {w.key for w in question.wishes}
    known = {key: day for key, day in question.course.days if key in here}
    return spaced(question, fixed_steps(question), gap) | known


def rejudged(
    question: Question,
    rules: Rules,
    edit: Edit = as_it_is,
    *,
    sketch: bool = False,
    horizon_days: float | None = None,
) -> Judgement:
    """Return the judgement of a question with something changed, at search resolution.

    Parameters
    ----------
    question
        The question, its order fixed.
    rules
        The coefficients.
    edit
        What to change first; nothing if left out.
    sketch
        One layout of the rock in place of all and fewer draws, for a quick look.
    horizon_days
        Days over which to judge; a year after the last release if left out. [d]
    """
    changed = edit(question)
    layouts, settings = (1, _SKETCH) if sketch else (None, Settings.search())
    situation = changed.situation(days_of(changed, rules), layouts=layouts)
    if horizon_days is not None:
        situation = replace(situation, horizon_days=horizon_days)
    return judge(situation, settings, rules)
