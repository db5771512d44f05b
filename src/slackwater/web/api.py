"""`/api`: the same service functions for programs, in JSON."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, FastAPI, Query, Request, Response

from slackwater.report.jsonfile import dumps
from slackwater.service.animals import SpeciesSheet, sheet, who
from slackwater.service.check_records import CheckAnswer
from slackwater.service.checking import check
from slackwater.service.spoken import Spoken, told_of
from slackwater.taxa.names import Meaning
from slackwater.web.shell import shell_of

router = APIRouter(prefix="/api")

Said = Annotated[str, Query(max_length=200, description="A name as it is said, slips and all.")]


def add_to(app: FastAPI) -> None:
    """Add the endpoints."""
    app.include_router(router)


def as_json(value: object) -> Response:
    """Return any record as JSON: sorted keys, three significant digits, as the commands print it."""
    return Response(dumps(value), media_type="application/json")


@router.post("/check", response_model=CheckAnswer, tags=["counter"])
async def check_newcomer(request: Request, spoken: Spoken) -> Response:
    """Check one newcomer: whether, when, after whom and on what condition it can go in."""
    desk = shell_of(request).desk
    return as_json(await desk.ask(lambda: check(spoken.wanted, told_of(spoken))))


@router.get("/name", response_model=Meaning, tags=["animals"])
async def name(request: Request, said: Said) -> Response:
    """Say whom a customer means; where several may be meant, by which mark to tell them."""
    return as_json(await shell_of(request).desk.ask(who, said))


@router.get("/species", response_model=SpeciesSheet, tags=["animals"])
async def species(request: Request, said: Said) -> Response:
    """Return what is known of a species, every value with its kind and source."""
    return as_json(await shell_of(request).desk.ask(sheet, said))


@router.get("", include_in_schema=False)
async def overview(request: Request) -> Response:
    """Show the endpoints on a page of our own."""
    schema: dict[str, Any] = request.app.openapi()
    return shell_of(request).views.page(request, "api.html", {"schema": schema})
