"""A plan from the text of a tank file, as the pages ask for it: no file of this machine is read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from slackwater.errors import InputError
from slackwater.plan.records import Plan
from slackwater.service.planning import plan_file
from slackwater.service.tankfile import TankFile, load
from slackwater.service.tankfile_copy import Plain, plain_copy

USUAL_TITLE = "tank"


@dataclass(frozen=True)
class Made:
    """A plan, and the tank file that it answers as plain values."""

    plan: Plan
    question: Plain


def read_text_of(text: str) -> TankFile:
    """Return the tank file that a text is.

    Parameters
    ----------
    text
        YAML or JSON. A path is no tank file here: it would name a file of the server's machine.

    Raises
    ------
    InputError, InputErrors
        If the text cannot be used, or names a stock list.
    """
    tank_file = load(f"{text}\n")
    if tank_file.stock is not None:
        raise InputError(
            field="stock",
            given=tank_file.stock,
            limit="it names a file beside the tank file, and only its text was sent",
            remedy="Take the line out, or use `slackwater plan`, which reads the list.",
        )
    return tank_file


def plan_text(text: str, today: dt.date, title: str, *, tick: Callable[[str], None]) -> Made:
    """Return the plan for the text of a tank file.

    Parameters
    ----------
    text
        YAML or JSON.
    today
        The day on which the plan is made.
    title
        What to call the tank.
    tick
        Called with the name of each step of the work.

    Raises
    ------
    InputError, InputErrors
        If the text cannot be used; all faults at once.
    """
    tank_file = read_text_of(text)
    plan = plan_file(f"{text}\n", today, tick, title or USUAL_TITLE)
    return Made(plan, plain_copy(tank_file))
