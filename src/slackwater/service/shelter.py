"""Sight and shelter of a tank: lanes, views, holes, homes, and what its stones weigh."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.question import Question
from slackwater.plan.records import Assumption
from slackwater.plan.shelter import shelter_card
from slackwater.plan.shelter_records import ShelterCard
from slackwater.rules import load_rules
from slackwater.service.planning import read_question
from slackwater.society.judge import Settings, judge

SAYS_WHO = (
    "Sight by geometry. Widths of entrances, breaks in the view and holes for each fish: common practice. "
    "Sharing of holes and the holes of rock known by a word alone: assumed. Lifting: [waters1993], from "
    "memory. These figures explain the rock; the verdict does not count holes."
)

_DAYS_APART = 14.0


@dataclass(frozen=True)
class ShelterAnswer:
    """The figures of one tank, and what they rest on."""

    title: str
    sentence: str
    card: ShelterCard
    assumptions: tuple[Assumption, ...]
    says_who: str


def shelter_file(source: Path | str, today: dt.date, title: str | None = None) -> ShelterAnswer:
    """Return the sight and shelter figures for the company and the wishes of a tank file.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.

    Notes
    -----
    Wishes are taken to come a fortnight apart, in the order of the file.
    """
    return shelter_of(read_question(source, today, title))


def shelter_of(question: Question) -> ShelterAnswer:
    """Return the sight and shelter figures for a question."""
    days = {wanted.key: _DAYS_APART * n for n, wanted in enumerate(question.wishes)}
    verdict = judge(question.situation(days, layouts=1), Settings.search(), load_rules())
    card = shelter_card(question, verdict)
    return ShelterAnswer(
        title=question.title,
        sentence=" ".join(card.lines),
        card=card,
        assumptions=tuple(a for a in question.assumptions if a.what in {"rock", "sand", "tank length"}),
        says_who=SAYS_WHO,
    )
