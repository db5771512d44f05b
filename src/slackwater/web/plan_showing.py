"""What every page of a plan shows, kept or not, and its files."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Literal

from markupsafe import Markup

from slackwater.errors import InputError
from slackwater.plan.records import Plan
from slackwater.report import calendar_bytes, pressure_svg, sheet_bytes, tank_svg
from slackwater.report.growthfilm import film_svg
from slackwater.service.tank_plans import Move, PlanAsked, dates_then
from slackwater.web.strip_figure import absences, strip_figure

Paper = Literal["a4", "us-letter"]

MOST_WEEKS = 104

FILES: Mapping[str, tuple[str, Callable[[Plan, Paper], bytes]]] = {
    "plan.pdf": ("application/pdf", sheet_bytes),
    "plan.ics": ("text/calendar; charset=utf-8", lambda plan, _: calendar_bytes(plan)),
}
"""The files made of a plan alone, with their types; its record needs the tank file besides."""


def plan_told(plan: Plan, question: Mapping[str, object], base: str) -> dict[str, object]:
    """Return what the template of a plan shows.

    Parameters
    ----------
    plan
        The plan.
    question
        The tank file that it answers, as plain values; empty where it was not kept.
    base
        The address below which its files lie and moves are asked.
    """
    can_move = bool(question) and bool(plan.releases)
    return {
        "plan": plan,
        "base": base,
        "names": {animal.key: animal.common_name for animal in plan.animals},
        "drawing": Markup(tank_svg(plan)),  # noqa: S704 - report.svg escapes all text it is given
        "pressure": Markup(pressure_svg(plan)) if plan.pressure else "",  # noqa: S704 - as above
        "film": Markup(film_svg(plan.growth, plan.tank, plan.title)) if plan.growth else "",  # noqa: S704 - as above
        "strip": strip_figure(plan, absences(question), can_move=can_move) if plan.releases else "",
        "can_move": can_move,
        "most_weeks": MOST_WEEKS,
        "said": (),
        "beside": (),
    }


def move_of(plan: Plan, form: Mapping[str, str]) -> Move:
    """Return the move that a form asks: a release by its keys, and by how many weeks.

    Raises
    ------
    InputError
        If the weeks are no number, or the plan has no such release.
    """
    keys, told = tuple(form.get("keys", "").split()), form.get("weeks", "").strip()
    release = next((one for one in plan.releases if one.keys == keys), None)
    if not told.isdigit() or not 1 <= int(told) <= MOST_WEEKS:
        limit = f"a release is put off by 1 to {MOST_WEEKS} weeks"
        raise InputError(field="weeks", given=told or "empty", limit=limit, remedy="Write a whole number.")
    if release is None:
        limit = "the plan has none like it"
        raise InputError(
            field="the release", given=" ".join(keys) or "none", limit=limit, remedy="Load the page anew."
        )
    return Move(keys, release.date + dt.timedelta(weeks=int(told)))


def dates_told(asked: PlanAsked, today: dt.date) -> dict[str, str]:
    """Return the day of every release if one is put off, by its keys, as a page reads it."""
    return {" ".join(keys): day.isoformat() for keys, day in dates_then(asked, today).items()}
