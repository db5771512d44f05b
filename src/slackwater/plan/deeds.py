"""What is done to a tank on the day of a release, in words."""

from __future__ import annotations

from collections.abc import Sequence

from slackwater.plan.course import DeedOn
from slackwater.plan.question import Question
from slackwater.society.company import Deed


def deeds_of(question: Question, items: Sequence[int]) -> tuple[str, ...]:
    """Return what is done on the day on which some wishes are let go.

    Parameters
    ----------
    question
        With its course of events.
    items
        Numbers of the wishes.
    """
    keys = {question.wishes[item].key for item in items}
    said = [_words(deed, question) for deed in question.course.deeds if deed.key in keys]
    return tuple(dict.fromkeys(said))


def _words(deed: DeedOn, question: Question) -> str:
    if deed.do is Deed.RESCAPE:
        return "move the rock that evening, before they are let go"
    names = {w.key: w.species.common_name for w in question.wishes}
    everyone = (*question.residents, *question.wishes)
    who = next((w.species.common_name for w in everyone if w.species.name == deed.species), deed.species)
    last = names.get(deed.until or deed.key, "the release")
    return f"take {who} out of sight before it, until {deed.days:.0f} days after {last} is let go"
