"""The one table from errors to what a page or the API answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from slackwater.errors import (
    DataTableError,
    InputError,
    InputErrors,
    MissingFactError,
    SlackwaterError,
    StaleEditError,
    StoreError,
    UnknownTaxonError,
    shown,
)
from slackwater.web.shell import shell_of

STATUS: Mapping[type[SlackwaterError], int] = {
    InputError: 422,
    InputErrors: 422,
    UnknownTaxonError: 404,
    MissingFactError: 409,
    StaleEditError: 409,
    StoreError: 503,
    DataTableError: 500,
    SlackwaterError: 400,
}
"""The status of each error, the nearest class first."""

_HTTP_WORDS = {
    404: ("no page of this program", "pages are named in the line at the top", "Begin at the counter."),
    405: ("asked for in a way that it does not answer", "it answers another", "Go back and try again."),
}


def status_of(fault: SlackwaterError) -> int:
    """Return the HTTP status of an error."""
    return next(STATUS[kind] for kind in type(fault).__mro__ if kind in STATUS)


def as_plain(fault: SlackwaterError) -> dict[str, Any]:
    """Return an error as the API tells it: its class, its sentence, and its parts."""
    faults = fault.faults if isinstance(fault, InputErrors) else (fault,)
    parts = [
        {"field": one.field, "given": one.given, "limit": one.limit, "remedy": one.remedy}
        for one in faults
        if isinstance(one, InputError)
    ]
    nearest = list(fault.nearest) if isinstance(fault, UnknownTaxonError) else []
    told: dict[str, Any] = {"error": type(fault).__name__, "message": str(fault)}
    return told | ({"faults": parts} if parts else {}) | ({"nearest": nearest} if nearest else {})


def add_to(app: FastAPI) -> None:
    """Make an app answer errors in sentences."""

    @app.exception_handler(SlackwaterError)
    async def _on_purpose(request: Request, fault: SlackwaterError) -> Response:
        return answer(request, fault, status_of(fault))

    @app.exception_handler(RequestValidationError)
    async def _misread(request: Request, fault: RequestValidationError) -> Response:
        found = [_input_error(row) for row in fault.errors()]
        return answer(request, InputErrors(source="what was sent", faults=found), 422)

    @app.exception_handler(HTTPException)
    async def _by_the_framework(request: Request, fault: HTTPException) -> Response:
        given, limit, remedy = _HTTP_WORDS.get(
            fault.status_code, ("not to be had", str(fault.detail), "Go back and try again.")
        )
        told = InputError(field=shown(request.url.path), given=given, limit=limit, remedy=remedy)
        return answer(request, told, fault.status_code)


def answer(request: Request, fault: SlackwaterError, status: int) -> Response:
    """Return an error as JSON below `/api`, else as a page."""
    if request.url.path.startswith("/api"):
        return JSONResponse(as_plain(fault), status)
    faults = fault.faults if isinstance(fault, InputErrors) else (fault,)
    told = {"faults": faults, "fault": fault}
    return shell_of(request).views.page(request, "fault.html", told, status=status)


def _input_error(row: Mapping[str, Any]) -> InputError:
    place = ".".join(str(step) for step in row["loc"] if step != "body")
    given = "missing" if row["type"] == "missing" else shown(row.get("input"))
    limit = f"{row['msg'][:1].lower()}{row['msg'][1:]}"
    return InputError(field=place or "the body", given=given, limit=limit, remedy="See /api for the form.")
