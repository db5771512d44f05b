"""`/tanks/N/plan`: the plans of a kept tank, made, kept, moved, and the ways to yes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, RedirectResponse

from slackwater.errors import InputError, InputErrors, SlackwaterError
from slackwater.service.kept_plans import plan_rows
from slackwater.service.tank_plans import (
    PlanAsked,
    PlanMade,
    TankPlan,
    keep_made,
    make_asked,
    plan_record,
    tank_plan,
    ways_asked,
)
from slackwater.service.tanks import KeptTank, open_tank
from slackwater.service.whatif import WhatIfAnswer
from slackwater.web.clock import today
from slackwater.web.faults import status_of
from slackwater.web.pages.plan import PATIENCE_S, file_of
from slackwater.web.plan_showing import Paper, dates_told, move_of, plan_told
from slackwater.web.sent import form_sent
from slackwater.web.shell import Shell, shell_of
from slackwater.web.work import State, Work

router = APIRouter(prefix="/tanks/{number}")


@dataclass(frozen=True)
class TankWork:
    """What a piece of long work about a kept tank is for: the tank's number, and a plan's if it has one."""

    number: int
    base: int = 0


@router.get("/plan")
async def newest(request: Request, number: int) -> Response:
    """Show the newest plan of a tank and the list of all, or how to make the first."""
    shell = shell_of(request)
    told = await shell.desk.look_up(_told, shell, number, None)
    return shell.views.page(request, "tank-plan.html", told, script="strip.js")


@router.post("/plan")
async def make(request: Request, number: int) -> Response:
    """Begin to plan the tank as it is kept now."""
    shell = shell_of(request)
    kept = await shell.desk.look_up(open_tank, shell.cabinet.store, str(number))
    why = (await form_sent(request)).get("why", "").strip()
    asked = PlanAsked(kept.revision.text, kept.tank.name, kept.revision.number)
    return _begun(request, number, asked, why)


@router.get("/plan/{plan}")
async def one(request: Request, number: int, plan: int) -> Response:
    """Show one of the plans kept of a tank."""
    shell = shell_of(request)
    told = await shell.desk.look_up(_told, shell, number, plan)
    return shell.views.page(request, "tank-plan.html", told, script="strip.js")


@router.post("/plan/{plan}/move")
async def move(request: Request, number: int, plan: int) -> Response:
    """Begin to plan anew with one release put off; it is kept as one more plan."""
    asked, form = await _moved(request, number, plan)
    weeks = "a week" if form["weeks"] == "1" else f"{form['weeks']} weeks"
    return _begun(request, number, asked, f"plan {plan}, {_who(asked)} put off by {weeks}", plan)


@router.post("/plan/{plan}/dates")
async def dates(request: Request, number: int, plan: int) -> Response:
    """Return the day of every release if one is put off."""
    asked, _ = await _moved(request, number, plan)
    return JSONResponse(await shell_of(request).desk.look_up(dates_told, asked, today()))


@router.post("/plan/{plan}/ways")
async def ways(request: Request, number: int, plan: int) -> Response:
    """Begin to seek the ways to yes of a plan."""
    shell = shell_of(request)
    found = await shell.desk.look_up(_open, shell, number, plan)
    about = TankWork(number, plan)
    work = shell.works.start(ways_asked, found.question, found.plan.title, today(), about=about)
    return RedirectResponse(f"/tanks/{number}/making/{work.key}", 303)


@router.post("/making/{key}/take")
async def take(request: Request, number: int, key: str) -> Response:
    """Begin the plan of one of the ways that were found."""
    work, shell = _work(request, number, key), shell_of(request)
    if work.state is not State.DONE or not isinstance(work.result, WhatIfAnswer):
        raise HTTPException(404)
    told = (await form_sent(request)).get("way", "")
    if not told.isdigit() or not 1 <= int(told) <= len(work.result.ways):
        raise InputError(field="way", given=told, limit="there is none", remedy="Take one that is listed.")
    words = tuple(change.do for change in work.result.ways[int(told) - 1].changes)
    base = _about(work).base
    found = await shell.desk.look_up(_open, shell, number, base)
    asked = found.asked(found.plan.title, way=words)
    return _begun(request, number, asked, f"plan {base}, but {' and '.join(words)}", base)


@router.get("/plan/{plan}/{name}")
async def file(request: Request, number: int, plan: int, name: str, paper: Paper = "a4") -> Response:
    """Return the sheet, the calendar or the record of a kept plan."""
    shell = shell_of(request)
    record = partial(plan_record, shell.cabinet.store, str(number), plan)
    found = await shell.desk.look_up(tank_plan, shell.cabinet.store, str(number), plan)
    return await file_of(request, name, paper, found.plan, record)


@router.get("/making/{key}")
async def working(request: Request, number: int, key: str) -> Response:
    """Show how far a piece of work has come, go to the plan that it made, or show what it found."""
    work, shell = _work(request, number, key), shell_of(request)
    if work.state is State.DONE and isinstance(work.result, WhatIfAnswer):
        kept = await shell.desk.look_up(open_tank, shell.cabinet.store, str(number))
        told = {"kept": kept, "found": work.result, "key": key, "plan": _about(work).base}
        return shell.views.page(request, "ways.html", told)
    if work.state is State.DONE:
        return RedirectResponse(f"/tanks/{number}/plan/{work.result}", 303)
    if work.is_over:
        return await _broken_off(request, number, work)
    told = {"work": work, "base": f"/tanks/{number}/making/{key}"}
    return shell.views.page(request, "planning.html", told, script="planning.js")


@router.get("/making/{key}/step")
async def step(request: Request, number: int, key: str, seen: str = "") -> Response:
    """Return how far a piece of work has come, as soon as it is further than what was seen."""
    work = _work(request, number, key)
    if work.step == seen and not work.is_over:
        await work.next_change(PATIENCE_S)
    return JSONResponse({"state": work.state, "step": work.step, "over": work.is_over})


@router.post("/making/{key}/stop")
async def stop(request: Request, number: int, key: str) -> Response:
    """Stop a piece of work; nothing of it is kept."""
    shell_of(request).works.stop(_work(request, number, key))
    return RedirectResponse(f"/tanks/{number}/plan", 303)


async def _broken_off(request: Request, number: int, work: Work) -> Response:
    """Show the plans of the tank, and why there is no new one."""
    shell = shell_of(request)
    told = await shell.desk.look_up(_told, shell, number, _about(work).base or None)
    if work.fault is None:
        return RedirectResponse(f"/tanks/{number}/plan", 303)
    faults = work.fault.faults if isinstance(work.fault, InputErrors) else (work.fault,)
    told |= {"faults": faults}
    return shell.views.page(request, "tank-plan.html", told, status=status_of(work.fault), script="strip.js")


def _begun(request: Request, number: int, asked: PlanAsked, why: str, base: int = 0) -> Response:
    """Begin to make a plan that is kept as soon as it is made, whether or not a page waits for it."""
    shell = shell_of(request)

    async def keep(made: PlanMade) -> int:
        kept = await shell.desk.look_up(
            keep_made, shell.cabinet.store, str(number), made, shell.cabinet.by(why)
        )
        return kept.number

    work = shell.works.start(make_asked, asked, today(), about=TankWork(number, base), then=keep)
    return RedirectResponse(f"/tanks/{number}/making/{work.key}", 303)


async def _moved(request: Request, number: int, plan: int) -> tuple[PlanAsked, Mapping[str, str]]:
    shell, form = shell_of(request), await form_sent(request)
    found = await shell.desk.look_up(_open, shell, number, plan)
    return found.asked(found.plan.title, move=move_of(found.plan, form)), form


def _who(asked: PlanAsked) -> str:
    """Return who is put off, as the plan calls the release."""
    releases = asked.before.releases if asked.before else ()
    return next((one.title for one in releases if asked.move and one.keys == asked.move.keys), "a release")


def _open(shell: Shell, number: int, plan: int) -> TankPlan:
    """Return a kept plan that can be made anew."""
    found = tank_plan(shell.cabinet.store, str(number), plan)
    if not found.question:
        raise InputError(
            field="the plan",
            given=f"{plan}",
            limit="it was kept without the tank file that it answers",
            remedy="Make a new plan of the tank.",
        )
    return found


def _work(request: Request, number: int, key: str) -> Work:
    try:
        work = shell_of(request).works.get(key)
    except LookupError:
        work = None
    if work is None or not isinstance(work.about, TankWork) or work.about.number != number:
        raise HTTPException(404, "work is followed until the server ends; what it made is kept with its tank")
    return work


def _about(work: Work) -> TankWork:
    if not isinstance(work.about, TankWork):
        raise HTTPException(404)
    return work.about


def _told(shell: Shell, number: int, plan: int | None) -> dict[str, Any]:
    """Return what the page shows: the tank, its plans, and one of them, the newest unless one is named."""
    kept = open_tank(shell.cabinet.store, str(number))
    rows = plan_rows(shell.cabinet.store, str(number))
    told: dict[str, Any] = {"kept": kept, "rows": rows, "faults": (), "plan": None, "shown": None}
    chosen = plan if plan is not None else next((row.number for row in rows), None)
    if chosen is None:
        return told
    try:
        return told | _plan_told(shell, kept, chosen)
    except SlackwaterError as fault:
        if plan is not None:
            raise
        return told | {"faults": (fault,)}


def _plan_told(shell: Shell, kept: KeptTank, number: int) -> dict[str, Any]:
    found = tank_plan(shell.cabinet.store, str(kept.tank.id), number)
    question = json.loads(found.question) if found.question else {}
    shown = plan_told(found.plan, question, f"/tanks/{kept.tank.id}/plan/{number}")
    return shown | {"shown": found, "said": found.said, "beside": found.beside}
