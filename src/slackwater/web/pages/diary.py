"""`/tanks/N/diary`: what is seen, written down in two taps, and what follows from it."""

from __future__ import annotations

import asyncio
import datetime as dt
from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.responses import JSONResponse

from slackwater.errors import SlackwaterError
from slackwater.service.diary import take_back
from slackwater.service.diary_page import DiaryPage, diary_page, write_entries
from slackwater.service.diary_sentences import sentence
from slackwater.service.tanks import open_tank
from slackwater.web.clock import now
from slackwater.web.desk import PATIENCE_S
from slackwater.web.faults import as_plain, status_of
from slackwater.web.sent import sent
from slackwater.web.settling_figure import settling_figure
from slackwater.web.shell import Shell, shell_of

router = APIRouter()

HOWS = (("display", "displays"), ("chase", "chases"), ("bite", "bites"), ("locked", "locked jaws"))
"""How one turns on another, mildest first, and how it is called on a button."""


@router.get("/tanks/{number}/diary")
async def diary(request: Request, number: int) -> Response:
    """Show the diary of one tank."""
    shell = shell_of(request)
    follows = asyncio.ensure_future(_follows(shell, number))
    patience_s = None if "wait" in request.query_params else PATIENCE_S
    done, _ = await asyncio.wait({follows}, timeout=patience_s)
    told = follows.result() if done else await shell.desk.look_up(_told, shell, number, now(), judges=False)
    return shell.views.page(request, "diary.html", told, script="diary.js")


@router.get("/tanks/{number}/diary/part")
async def part(request: Request, number: int) -> Response:
    """Return what follows from the diary, for the page that is open."""
    shell = shell_of(request)
    return shell.views.part("parts/diary.html", await _follows(shell, number))


@router.post("/tanks/{number}/diary")
async def write(request: Request, number: int) -> Response:
    """Write entries: all that was sent, or nothing."""
    shell, told = shell_of(request), await sent(request)
    try:
        saved = await shell.desk.ask(
            write_entries, shell.cabinet.store, str(number), told, shell.cabinet.by()
        )
    except SlackwaterError as fault:
        return JSONResponse(as_plain(fault), status_of(fault))
    entries = [{"number": entry.number, "sentence": sentence(entry.seen)} for entry in saved.entries]
    return JSONResponse({"entries": entries, "cautions": saved.cautions})


@router.post("/tanks/{number}/diary/{entry}/back")
async def back(request: Request, number: int, entry: int) -> Response:
    """Say that an entry does not hold."""
    shell = shell_of(request)
    try:
        await shell.desk.ask(take_back, shell.cabinet.store, str(number), entry, shell.cabinet.by())
    except SlackwaterError as fault:
        return JSONResponse(as_plain(fault), status_of(fault))
    return JSONResponse({"taken_back": entry})


async def _follows(shell: Shell, number: int) -> dict[str, Any]:
    """Return the diary and what follows from it, not worked out twice within a minute."""
    kept = await shell.desk.look_up(open_tank, shell.cabinet.store, str(number))
    minute = now().replace(second=0, microsecond=0)
    key = ("diary", number, kept.tank.change, minute)
    return await shell.desk.once(key, _told, shell, number, now(), judges=True)


def _told(shell: Shell, number: int, moment: dt.datetime, *, judges: bool) -> dict[str, Any]:
    kept = open_tank(shell.cabinet.store, str(number))
    found = diary_page(shell.cabinet.store, str(number), moment, judges=judges)
    boot = {"number": number, "change": kept.tank.change, "labels": found.labels, "pairs": found.pairs}
    return {
        "kept": kept,
        "diary": found,
        "figure": _figure(found, moment.date()),
        "hows": HOWS,
        "boot": boot,
        "clock": moment.tzinfo,
        "pending": not judges,
    }


def _figure(found: DiaryPage, today: dt.date) -> object:
    return settling_figure(found.watched, found.remedy.settling, today) if found.remedy else ""
