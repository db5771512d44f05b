"""Who could leave, who could come, and how many: a running company, changed by one thing."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path

from slackwater.errors import InputError
from slackwater.plan.also import Also, also
from slackwater.plan.many import HowMany, how_many
from slackwater.plan.question import Question
from slackwater.plan.taking_out import TakingOut, taking_out
from slackwater.service.counter import Told, usual_glass
from slackwater.service.planning import question_of, read_question
from slackwater.service.tankfile import load

Tick = Callable[[str], None]


def without_file(source: Path | str, today: dt.date, tick: Tick = lambda _: None) -> TakingOut:
    """Return how the company of a tank file would fare without each animal in turn.

    Parameters
    ----------
    source
        The file's path, or its text; its wishes count only where nobody lives there yet.
    today
        The day on which it is asked.
    tick
        Called with the name of each step of the work.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return taking_out(_read(source, today, tick), tick=tick)


def also_file(source: Path | str, today: dt.date, tick: Tick = lambda _: None) -> Also:
    """Return what else could live in the tank of a tank file, its wishes there already.

    Parameters
    ----------
    source, today, tick
        As for :func:`without_file`.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return also(_read(source, today, tick), tick=tick)


def also_told(told: Told, today: dt.date, tick: Tick = lambda _: None) -> Also:
    """Return what can live with those who were told of, in a tank told in three facts.

    Parameters
    ----------
    told
        The tank and who lives there.
    today, tick
        As for :func:`without_file`.

    Raises
    ------
    InputError, InputErrors
        If a fact cannot be, or a name is not understood.
    """
    return also(_question(told, (), today), tick=tick)


def many_told(animal: str, told: Told, today: dt.date, tick: Tick = lambda _: None) -> HowMany:
    """Return how many of a kind do well together, in a tank told in three facts.

    Parameters
    ----------
    animal
        The kind, in the customer's words, with length and sex if told.
    told
        The tank and who lives there.
    today, tick
        As for :func:`without_file`.

    Raises
    ------
    InputError, InputErrors
        If a fact cannot be, or a name is not understood.
    """
    question = _question(told, (animal,), today)
    return how_many(question, question.wishes[0], tick=tick)


def _read(source: Path | str, today: dt.date, tick: Tick) -> Question:
    tick("reading the tank file")
    return read_question(source, today)


def _question(told: Told, wishes: tuple[str, ...], today: dt.date) -> Question:
    """Return a question in the words of a tank file; what was not told is assumed there."""
    if told.length_cm is None and told.volume_l is None:
        raise InputError(
            field="the tank",
            given="nothing",
            limit="how long it is decides who can live there",
            remedy="Give --length 120cm or --volume 240L.",
        )
    since = None if told.since_days is None else today - dt.timedelta(days=round(told.since_days))
    resident = {"since": since.isoformat()} if since else {}
    file = {
        "slackwater": 1,
        "tank": _sides(told),
        "rock": {"layout": told.rock} if told.rock else {},
        "keeping": {"feeds_per_day": told.feeds_per_day},
        "company": [{"animal": name, **resident} for name in told.residents],
        "wishes": [{"animal": name} for name in wishes],
    }
    return question_of(load(json.dumps(file), nobody_ok=True), today, "tank")


def _sides(told: Told) -> dict[str, str]:
    """Return the tank's sizes as a tank file has them, of usual make where not told."""
    if told.length_cm is None:
        return {"volume": f"{told.volume_l} L"}
    glass = usual_glass(told.length_cm, told.volume_l)
    sides = {"length": glass.length_cm, "width": glass.width_cm, "height": glass.height_cm}
    return {name: f"{side} cm" for name, side in sides.items()}
