"""`/tanks`: tanks that are kept, the company of each, and what others change meanwhile."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Mapping, Sequence
from dataclasses import astuple
from typing import Any

from fastapi import APIRouter, Request, Response, WebSocket, WebSocketDisconnect
from starlette.responses import JSONResponse, RedirectResponse

from slackwater.errors import InputError, SlackwaterError, shown
from slackwater.service.company_table import COLUMNS, CompanyRow, company_rows, with_company
from slackwater.service.rock_pieces import with_page
from slackwater.service.tank_view import open_view
from slackwater.service.tanks import (
    KeptTank,
    add_tank,
    changes_since,
    list_tanks,
    merge_revision,
    open_tank,
    revisions,
)
from slackwater.service.troubles import figures, troubles, why
from slackwater.web.clock import today
from slackwater.web.desk import PATIENCE_S
from slackwater.web.faults import as_plain, status_of
from slackwater.web.graph import trouble_graph
from slackwater.web.pages.tank import invented
from slackwater.web.sent import block_sent, form_sent, list_in, number_in, rows_in
from slackwater.web.shell import Shell, shell_of

router = APIRouter()

_NO_FAULTS: tuple[SlackwaterError, ...] = ()

LOOK_S = 0.4
"""How often an open page is told what others wrote. [s]"""


@router.get("/tanks")
async def listed(request: Request) -> Response:
    """Show all tanks that are kept."""
    shell = shell_of(request)
    told = await shell.desk.ask(_listed, shell)
    return shell.views.page(request, "tanks.html", told, script="tanks.js")


@router.post("/tanks")
async def keep(request: Request) -> Response:
    """Keep one more tank, and go to it."""
    shell, form = shell_of(request), await form_sent(request)
    kept = await shell.desk.ask(_keep, shell, form)
    return RedirectResponse(f"/tanks/{kept.tank.id}", 303)


@router.get("/tanks/{number}")
async def company(request: Request, number: int) -> Response:
    """Show the company of one tank."""
    shell = shell_of(request)
    kept = await shell.desk.look_up(open_tank, shell.cabinet.store, str(number))
    return await _company_page(request, kept.revision.text, kept)


@router.get("/company")
async def unkept(request: Request) -> Response:
    """Show a company that is not kept yet: an invented one, to begin from."""
    return await _company_page(request, invented(), None)


@router.post("/tanks/{number}")
async def save(request: Request, number: int) -> Response:
    """Save a changed company or rockwork as one more revision; what others changed meanwhile is kept too."""
    shell, told = shell_of(request), await block_sent(request)
    try:
        kept = await shell.desk.ask(_save, shell, number, told)
    except SlackwaterError as fault:
        return JSONResponse(as_plain(fault), status_of(fault))
    return JSONResponse(await shell.desk.look_up(_saved_told, kept))


@router.get("/tanks/{number}/revisions")
async def history(request: Request, number: int) -> Response:
    """Show who changed what, and when."""
    shell = shell_of(request)
    told = await shell.desk.ask(_history, shell, number)
    return shell.views.page(request, "revisions.html", told)


@router.post("/company/text")
async def text(request: Request) -> Response:
    """Return the tank file that a written company makes."""
    told = await block_sent(request)
    try:
        made = await shell_of(request).desk.ask(_text_of, told)
    except SlackwaterError as fault:
        return JSONResponse(as_plain(fault), status_of(fault))
    return JSONResponse({"text": made})


@router.post("/company/judged")
async def judged(request: Request) -> Response:
    """Return how a company that is being written would fare, as part of a page."""
    shell, told = shell_of(request), await block_sent(request)
    try:
        found = await _troubles(shell, await shell.desk.look_up(_text_of, told))
    except SlackwaterError as fault:
        return shell.views.part("parts/faults.html", {"faults": getattr(fault, "faults", (fault,))}, 422)
    return shell.views.part("parts/troubles.html", {"found": found})


@router.post("/company/why")
async def explained(request: Request) -> Response:
    """Return why one animal troubles another, factor by factor, as part of a page."""
    shell, told = shell_of(request), await block_sent(request)
    found = await shell.desk.ask(_why, told)
    return shell.views.part("parts/why.html", found)


@router.websocket("/tanks/{number}/live")
async def live(socket: WebSocket, number: int) -> None:
    """Tell an open page what others write about its tank, within a second."""
    shell: Shell = socket.app.state.shell
    await socket.accept()
    try:
        seen = int(await socket.receive_text())
        ended = asyncio.ensure_future(socket.receive())
        while not ended.done():
            found = await shell.desk.ask(changes_since, shell.cabinet.store, str(number), seen)
            if found.until > seen:
                seen = found.until
                await socket.send_text(json.dumps(_news(found)))
            await asyncio.wait({ended}, timeout=LOOK_S)
    except (WebSocketDisconnect, SlackwaterError, ValueError):
        return


def _listed(shell: Shell) -> dict[str, Any]:
    return {"tanks": list_tanks(shell.cabinet.store), "text": ""}


def _keep(shell: Shell, form: Mapping[str, str]) -> KeptTank:
    text = form.get("tank", "").strip()
    if not text:
        raise InputError(
            field="the tank file",
            given="empty",
            limit="a tank is kept by its file",
            remedy="Drop a file, or write one: slackwater: 1, tank: {length: 120 cm}.",
        )
    name, keeper = form.get("name", "").strip(), form.get("keeper", "").strip()
    return add_tank(shell.cabinet.store, name, text, shell.cabinet.by("kept from the pages"), keeper)


async def _company_page(request: Request, text: str, kept: KeptTank | None) -> Response:
    """Show a company; if judging it takes long, its place, which the page then asks for."""
    shell = shell_of(request)
    judged = asyncio.ensure_future(_troubles(shell, text))
    judged.add_done_callback(asyncio.Future.exception)
    patience_s = None if "wait" in request.query_params else PATIENCE_S
    told = await shell.desk.look_up(_company, text, kept)
    done, _ = await asyncio.wait({judged}, timeout=patience_s)
    told |= {"found": None, "faults": _NO_FAULTS, "pending": not done}
    try:
        told["found"] = judged.result() if done else None
    except SlackwaterError as fault:
        told["faults"] = getattr(fault, "faults", (fault,))
    return shell.views.page(request, "company.html", told, script="company.js")


async def _troubles(shell: Shell, text: str) -> dict[str, Any] | None:
    day = today()
    return await shell.desk.once(("troubles", text, day), _troubles_told, text)


def _company(text: str, kept: KeptTank | None) -> dict[str, Any]:
    boot = {
        "tank": text,
        "number": kept.tank.id if kept else 0,
        "revision": kept.revision.number if kept else 0,
        "change": kept.tank.change if kept else 0,
        "columns": COLUMNS,
    }
    return {"kept": kept, "rows": company_rows(text) or (CompanyRow(),), "boot": boot}


def _save(shell: Shell, number: int, told: Mapping[str, Any]) -> KeptTank:
    text = _text_of(told)
    by = shell.cabinet.by(str(told.get("why", "")))
    return merge_revision(shell.cabinet.store, str(number), text, number_in(told, "revision"), by)


def _saved_told(kept: KeptTank) -> dict[str, Any]:
    text = kept.revision.text
    rows = [list(astuple(row)) for row in company_rows(text)]
    return {"revision": kept.revision.number, "text": text, "rows": rows}


def _text_of(told: Mapping[str, Any]) -> str:
    """Return the tank file that a page means: its text, with all that the page shows of it as it is there."""
    text = with_page(str(told.get("tank", "")), list_in(told, "stones"), told.get("things"))
    return with_company(text, _rows_of(rows_in(told, "rows"))) if "rows" in told else text


def _rows_of(rows: Sequence[Sequence[str]]) -> list[CompanyRow]:
    return [CompanyRow(*row[: len(COLUMNS)]) for row in rows]


def _troubles_told(text: str) -> dict[str, Any] | None:
    """Return the company as a page shows it; None where nobody is in it."""
    view = open_view(text, today())
    if not view.company:
        return None
    found = troubles(view)
    keys = [wanted.key for wanted in view.company]
    names = {one.key: one.name for one in found.fares}
    return {
        "troubles": found,
        "graph": trouble_graph(found),
        "columns": [(key, names[key]) for key in keys],
        "figures": list(zip(keys, figures(found, keys), strict=True)),
        "names": names,
    }


def _why(told: Mapping[str, Any]) -> dict[str, Any]:
    view = open_view(_text_of(told), today())
    keys = [str(told.get(which, "")) for which in ("attacker", "victim")]
    species = {wanted.key: wanted.species for wanted in view.company}
    for which, key in zip(("attacker", "victim"), keys, strict=True):
        if key not in species:
            limit = f"those who live there go by: {', '.join(species) or 'nobody'}"
            raise InputError(field=which, given=shown(key), limit=limit, remedy="Reload the page.")
    attacker, victim = (species[key] for key in keys)
    return {"told": why(view, *keys), "attacker": attacker, "victim": victim}


def _history(shell: Shell, number: int) -> dict[str, Any]:
    kept = open_tank(shell.cabinet.store, str(number))
    return {"kept": kept, "revisions": revisions(shell.cabinet.store, str(number))}


def _news(found: Any) -> dict[str, Any]:  # noqa: ANN401 - the record of changes of the store
    last = found.revisions[-1] if found.revisions else None
    return {
        "change": found.until,
        "revision": last.number if last else None,
        "by": last.signed.by if last else "",
        "text": last.text if last else "",
        "entries": len(found.entries),
    }
