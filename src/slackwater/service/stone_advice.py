"""Advice on the stones of a page: the single steps that help most, each ready to be taken."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from slackwater.plan.outlook import hazards
from slackwater.plan.question import Question
from slackwater.plan.stones import StonesAsked, seek_stones
from slackwater.service.stones import CAUTIONS, laid_row
from slackwater.service.tank_view import Asked, TankView, asked_of, open_view, sent_stones
from slackwater.tank.rock import arranged

Tick = Callable[[str], None]

MOST_OFFERED = 4


@dataclass(frozen=True)
class Offer:
    """One step: what to do, how the worst-off fares then, and the stones as they would lie.

    `p` is the chance of harm of the worst-off animal [0 to 1]; `people` how many lift.
    """

    do: str
    said: str
    p: float
    people: int
    stones: tuple[dict[str, object], ...]


@dataclass(frozen=True)
class Advice:
    """How the worst-off fares as the stones lie, the steps that better it, and what to mind."""

    now: str
    p: float
    offers: tuple[Offer, ...]
    cautions: tuple[str, ...]


def advise(text: str, told: object, today: dt.date, *, tick: Tick) -> Advice:
    """Return which single stone to move or add, from the stones as a page has them.

    Parameters
    ----------
    text
        The tank file.
    told
        What the page asks: its stones, and what stands beside them.
    today
        The day on which it is asked.
    tick
        Called with a word on how far the search has come.

    Raises
    ------
    InputError, InputErrors
        If the file or the stones cannot be used.
    """
    view, asked = open_view(f"{text}\n", today), asked_of(told)
    question = _with_stones(view, asked)
    found = seek_stones(question, StonesAsked(most_steps=1, anew=False), view.rules, tick)
    better = [laid for laid in found.singles if laid.p < found.before.p]
    rows = [(laid, laid_row(laid, found, view.rules)) for laid in better[:MOST_OFFERED]]
    return Advice(
        now=_opened(laid_row(found.before, found, view.rules).sentence.replace(" is then ", " is now ", 1)),
        p=found.before.p,
        offers=tuple(
            Offer(
                do=_opened(row.steps[0].do),
                said=_opened(row.sentence),
                p=row.p,
                people=max(step.people for step in row.steps),
                stones=_sent(asked, sent_stones(laid.stones)),
            )
            for laid, row in rows
            if row.steps
        ),
        cautions=(*CAUTIONS, *hazards(question)),
    )


def _opened(sentence: str) -> str:
    return f"{sentence[:1].upper()}{sentence[1:]}"


def _with_stones(view: TankView, asked: Asked) -> Question:
    glass, sand_cm = view.question.glass, view.question.rockworks[0].sand_cm
    rock = arranged([told.stone() for told in asked.stones], glass, sand_cm)
    return replace(
        view.with_things(asked.things, rock).question,
        rockworks=(rock,),
        rock_word="as listed",
        rock_told=True,
    )


def _sent(asked: Asked, laid: Sequence[dict[str, object]]) -> tuple[dict[str, object], ...]:
    """Return stones with the numbers by which the page knows them; an added one has the next."""
    numbers = [told.id for told in asked.stones]
    added = range(max(numbers, default=0) + 1, max(numbers, default=0) + 1 + len(laid))
    return tuple(stone | {"id": number} for stone, number in zip(laid, [*numbers, *added], strict=False))
