"""`/plan`: from a tank file to the whole plan; the work goes on in a process of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import resources

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, RedirectResponse

from slackwater.errors import InputError, InputErrors, SlackwaterError
from slackwater.plan.records import Plan
from slackwater.report import plan_json
from slackwater.service.plan_work import Made, plan_text, read_text_of
from slackwater.service.tank_plans import PlanAsked, PlanMade, beside_rows, make_asked
from slackwater.web.clock import today
from slackwater.web.faults import status_of
from slackwater.web.plan_showing import FILES, Paper, dates_told, move_of, plan_told
from slackwater.web.sent import form_sent
from slackwater.web.shell import shell_of
from slackwater.web.work import State, Work

router = APIRouter()

PATIENCE_S = 20.0

AnyMade = Made | PlanMade


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
    form = await form_sent(request)
    text, title = form.get("tank_file", ""), form.get("title", "")
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
        told: dict[str, object] = {"work": work, "base": f"/plan/{key}"}
        return shell_of(request).views.page(request, "planning.html", told, script="planning.js")
    told = await shell_of(request).desk.look_up(_told, work.result, f"/plan/{key}")
    return shell_of(request).views.page(request, "plan.html", told | {"tank_file": text}, script="strip.js")


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


@router.post("/plan/{key}/move")
async def move(request: Request, key: str) -> Response:
    """Begin to plan anew with one release put off."""
    work, form = done_work(request, key), await form_sent(request)
    asked = _moved(work, form)
    new = shell_of(request).works.start(make_asked, asked, today(), about=work.about)
    return RedirectResponse(f"/plan/{new.key}", 303)


@router.post("/plan/{key}/dates")
async def dates(request: Request, key: str) -> Response:
    """Return the day of every release if one is put off."""
    work, form = done_work(request, key), await form_sent(request)
    found = await shell_of(request).desk.look_up(dates_told, _moved(work, form), today())
    return JSONResponse(found)


@router.get("/plan/{key}/{name}")
async def file(request: Request, key: str, name: str, paper: Paper = "a4") -> Response:
    """Return the sheet, the calendar or the record of a plan."""
    work = done_work(request, key)
    return await file_of(request, name, paper, work.result.plan, _record(work.result))


async def file_of(
    request: Request, name: str, paper: Paper, plan: Plan, record: Callable[[], str]
) -> Response:
    """Return one file of a plan: the sheet, the calendar, or the record."""
    desk = shell_of(request).desk
    if name == "plan.json":
        media_type, content = "application/json", (await desk.look_up(record)).encode()
    elif name in FILES:
        media_type, make = FILES[name]
        content = await desk.look_up(make, plan, paper)
    else:
        raise HTTPException(404)
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=media_type, headers=headers)


def start(request: Request, text: str, title: str) -> Work:
    """Begin the work of planning a tank file that can be read."""
    return shell_of(request).works.start(plan_text, text, today(), title[:80], about=text)


def work_of(request: Request, key: str) -> Work:
    """Return a plan that is being made or was made.

    Raises
    ------
    HTTPException
        With 404, if there is none by this key, or not any more.
    """
    try:
        work = shell_of(request).works.get(key)
    except LookupError:
        work = None
    if work is None or not isinstance(work.about, str):
        raise HTTPException(404, "a plan is kept until the server ends, and the last forty only")
    return work


def _form(
    request: Request, text: str, faults: tuple[InputError | SlackwaterError, ...], status: int = 200
) -> Response:
    told = {"text": text, "faults": faults}
    return shell_of(request).views.page(request, "plan-form.html", told, status=status, script="plan-form.js")


def done_work(request: Request, key: str) -> Work:
    """Return a plan that was made.

    Raises
    ------
    HTTPException
        With 404, if there is none by this key, or it is not done.
    """
    work = work_of(request, key)
    if work.state is not State.DONE:
        raise HTTPException(404)
    return work


def _moved(work: Work, form: Mapping[str, str]) -> PlanAsked:
    made: AnyMade = work.result
    return PlanAsked(str(work.about), made.plan.title, 0, before=made.plan, move=move_of(made.plan, form))


def _record(made: AnyMade) -> Callable[[], str]:
    return lambda: plan_json(made.plan, made.question)


def _told(made: AnyMade, base: str) -> dict[str, object]:
    told = plan_told(made.plan, made.question, base)
    if isinstance(made, PlanMade):
        told |= {"said": made.said, "beside": beside_rows(made.beside)}
    return told
