"""`/tank/advice`: which stone helps most, sought while the page stays as it is."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse

from slackwater.errors import SlackwaterError
from slackwater.service.stone_advice import Advice, advise
from slackwater.service.tank_view import asked_of
from slackwater.web.clock import today
from slackwater.web.faults import as_plain, status_of
from slackwater.web.sent import block_sent
from slackwater.web.shell import shell_of
from slackwater.web.work import State, Work

router = APIRouter()


@router.post("/tank/advice")
async def begin(request: Request) -> Response:
    """Begin to seek; it takes a while and can be stopped."""
    shell, told = shell_of(request), await block_sent(request)
    asked = {"stones": told.get("stones", []), "things": told.get("things")}
    try:
        await shell.desk.look_up(asked_of, asked)
    except SlackwaterError as fault:
        return JSONResponse(as_plain(fault), status_of(fault))
    work = shell.works.start(advise, str(told.get("tank", "")), asked, today())
    return JSONResponse({"key": work.key}, 202)


@router.get("/tank/advice/{key}")
async def step(request: Request, key: str) -> Response:
    """Say how far the search has come, and what it found."""
    work = _work(request, key)
    told: dict[str, Any] = {"state": work.state, "step": work.step}
    if work.fault is not None:
        told["message"] = str(work.fault)
    if work.state is State.DONE and isinstance(work.result, Advice):
        told["advice"] = asdict(work.result)
    return JSONResponse(told)


@router.post("/tank/advice/{key}/stop")
async def stop(request: Request, key: str) -> Response:
    """Stop seeking."""
    work = _work(request, key)
    shell_of(request).works.stop(work)
    return JSONResponse({"state": work.state, "step": work.step})


def _work(request: Request, key: str) -> Work:
    try:
        return shell_of(request).works.get(key)
    except LookupError:
        raise HTTPException(404, "it is not kept any more") from None
