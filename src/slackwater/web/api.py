"""`/api`: the same service functions for programs, in JSON."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, FastAPI, Query, Request, Response
from starlette.exceptions import HTTPException

from slackwater.report.jsonfile import dumps, plan_json
from slackwater.service.animals import SpeciesSheet, sheet, who
from slackwater.service.check_records import CheckAnswer, JointAnswer
from slackwater.service.checking_together import check_wanted
from slackwater.service.plan_work import Made, read_text_of
from slackwater.service.spoken import Spoken, told_of, wanted_of
from slackwater.taxa.names import Meaning
from slackwater.web import api_tanks
from slackwater.web.api_tanks import as_json
from slackwater.web.pages.plan import start, work_of
from slackwater.web.shell import shell_of
from slackwater.web.work import State, Work

router = APIRouter(prefix="/api")

Said = Annotated[str, Query(max_length=200, description="A name as it is said, slips and all.")]


def add_to(app: FastAPI) -> None:
    """Add the endpoints."""
    app.include_router(router)
    app.include_router(api_tanks.router)


@router.post("/check", response_model=CheckAnswer | JointAnswer, tags=["counter"])
async def check_newcomer(request: Request, spoken: Spoken) -> Response:
    """Check who is wanted, one or several: whether, when, after whom and on what condition they can go in."""
    desk = shell_of(request).desk
    return as_json(await desk.ask(lambda: check_wanted(wanted_of(spoken), told_of(spoken))))


@router.get("/name", response_model=Meaning, tags=["animals"])
async def name(request: Request, said: Said) -> Response:
    """Say whom a customer means; where several may be meant, by which mark to tell them."""
    return as_json(await shell_of(request).desk.look_up(who, said))


@router.get("/species", response_model=SpeciesSheet, tags=["animals"])
async def species(request: Request, said: Said) -> Response:
    """Return what is known of a species, every value with its kind and source."""
    return as_json(await shell_of(request).desk.look_up(sheet, said))


@dataclass(frozen=True)
class PlanAsked:
    """A tank file to be planned: its text, YAML or JSON, and what to call the tank."""

    tank_file: str
    title: str = ""


@dataclass(frozen=True)
class PlanStep:
    """How far a plan has come; `state` is waiting, working, done, failed or stopped."""

    key: str
    state: State
    step: str


@router.post("/plans", status_code=202, response_model=PlanStep, tags=["plans"])
async def begin_plan(request: Request, asked: PlanAsked) -> Response:
    """Begin to plan a tank file; the work goes on while you ask how far it has come."""
    await shell_of(request).desk.look_up(read_text_of, asked.tank_file)
    return _step(start(request, asked.tank_file, asked.title), 202)


@router.get("/plans/{key}", response_model=PlanStep, tags=["plans"])
async def plan_step(request: Request, key: str) -> Response:
    """Say how far a plan has come, or why it could not be made."""
    work = work_of(request, key)
    if work.fault is not None:
        raise work.fault
    return _step(work)


@router.delete("/plans/{key}", response_model=PlanStep, tags=["plans"])
async def stop_plan(request: Request, key: str) -> Response:
    """Stop planning."""
    work = work_of(request, key)
    shell_of(request).works.stop(work)
    return _step(work)


@router.get("/plans/{key}/plan", tags=["plans"])
async def plan_record(request: Request, key: str) -> Response:
    """Return a plan that is done, as `slackwater plan --json` prints it."""
    work = work_of(request, key)
    if work.state is not State.DONE:
        raise HTTPException(404, "it is not done")
    made: Made = work.result
    text = await shell_of(request).desk.look_up(plan_json, made.plan, made.question)
    return Response(text, media_type="application/json")


def _step(work: Work, status: int = 200) -> Response:
    told = PlanStep(work.key, work.state, work.step)
    return Response(dumps(told), status, media_type="application/json")


@router.get("", include_in_schema=False)
async def overview(request: Request) -> Response:
    """Show the endpoints on a page of our own."""
    schema: dict[str, Any] = request.app.openapi()
    return shell_of(request).views.page(request, "api.html", {"schema": schema})
