"""`/plan`: from a tank file to the whole plan; the work goes on in a process of its own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from importlib import resources
from typing import Literal
from urllib.parse import parse_qs

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, RedirectResponse

from slackwater.errors import InputError, InputErrors, SlackwaterError
from slackwater.report import calendar_bytes, plan_json, pressure_svg, sheet_bytes, tank_svg
from slackwater.service.plan_work import Made, plan_text, read_text_of
from slackwater.web.faults import status_of
from slackwater.web.shell import shell_of
from slackwater.web.work import State, Work

router = APIRouter()

Paper = Literal["a4", "us-letter"]
PATIENCE_S = 20.0

_FILES: dict[str, tuple[str, Callable[[Made, Paper], bytes]]] = {
    "plan.pdf": ("application/pdf", lambda made, paper: sheet_bytes(made.plan, paper)),
    "plan.ics": ("text/calendar; charset=utf-8", lambda made, _: calendar_bytes(made.plan)),
    "plan.json": ("application/json", lambda made, _: plan_json(made.plan, made.question).encode()),
}


@router.get("/plan")
async def empty(request: Request) -> Response:
    """Show where a tank file is written, pasted or dropped."""
    return _form(request, "", ())


@router.get("/plan/example")
async def example(request: Request) -> Response:
    """Show the same with an invented tank."""
    text = resources.files("slackwater.data").joinpath("demo.yaml").read_text(encoding="utf-8")
    return _form(request, text, ())


@router.post("/plan")
async def begin(request: Request) -> Response:
    """Begin to plan the tank file that was sent, or say what is wrong with it."""
    form = parse_qs((await request.body()).decode(), keep_blank_values=True)
    text, title = form.get("tank_file", [""])[0], form.get("title", [""])[0]
    try:
        await shell_of(request).desk.look_up(read_text_of, text)
    except SlackwaterError as fault:
        faults = fault.faults if isinstance(fault, InputErrors) else (fault,)
        return _form(request, text, faults, status_of(fault))
    work = start(request, text, title)
    return RedirectResponse(f"/plan/{work.key}", 303)


@router.get("/plan/{key}")
async def shown(request: Request, key: str) -> Response:
    """Show the plan; or how far it has come; or what went wrong, with the tank file to mend."""
    work = work_of(request, key)
    text = str(work.about)
    if work.state is State.FAILED and work.fault is not None:
        faults = work.fault.faults if isinstance(work.fault, InputErrors) else (work.fault,)
        return _form(request, text, faults, status_of(work.fault))
    if work.state is State.STOPPED:
        return _form(request, text, ())
    if work.state is not State.DONE:
        return shell_of(request).views.page(request, "planning.html", {"work": work}, script="planning.js")
    told = await shell_of(request).desk.look_up(_told, work.result)
    return shell_of(request).views.page(request, "plan.html", told | {"key": key, "tank_file": text})


@router.get("/plan/{key}/step")
async def step(request: Request, key: str, seen: str = "") -> Response:
    """Return how far a plan has come, as soon as it is further than what was seen."""
    work = work_of(request, key)
    if work.step == seen and not work.is_over:
        await work.next_change(PATIENCE_S)
    return JSONResponse({"state": work.state, "step": work.step, "over": work.is_over})


@router.post("/plan/{key}/stop")
async def stop(request: Request, key: str) -> Response:
    """Stop planning; the tank file comes back to its form."""
    shell_of(request).works.stop(work_of(request, key))
    return RedirectResponse(f"/plan/{key}", 303)


@router.get("/plan/{key}/{name}")
async def file(request: Request, key: str, name: str, paper: Paper = "a4") -> Response:
    """Return the sheet, the calendar or the record of a plan."""
    work = work_of(request, key)
    if name not in _FILES or work.state is not State.DONE:
        raise HTTPException(404)
    media_type, make = _FILES[name]
    content = await shell_of(request).desk.look_up(make, work.result, paper)
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=media_type, headers=headers)


def start(request: Request, text: str, title: str) -> Work:
    """Begin the work of planning a tank file that can be read."""
    today = dt.datetime.now().astimezone().date()
    return shell_of(request).works.start(plan_text, text, today, title[:80], about=text)


def work_of(request: Request, key: str) -> Work:
    """Return a plan that is being made or was made.

    Raises
    ------
    HTTPException
        With 404, if there is none by this key, or not any more.
    """
    try:
        return shell_of(request).works.get(key)
    except LookupError:
        raise HTTPException(404, "a plan is kept until the server ends, and the last forty only") from None


def _form(
    request: Request, text: str, faults: tuple[InputError | SlackwaterError, ...], status: int = 200
) -> Response:
    told = {"text": text, "faults": faults}
    return shell_of(request).views.page(request, "plan-form.html", told, status=status, script="plan-form.js")


def _told(made: Made) -> dict[str, object]:
    plan = made.plan
    return {
        "plan": plan,
        "names": {animal.key: animal.common_name for animal in plan.animals},
        "drawing": Markup(tank_svg(plan)),  # noqa: S704 - report.svg escapes all text it is given
        "pressure": Markup(pressure_svg(plan)) if plan.pressure else "",  # noqa: S704 - as above
    }
