"""`/k/TOKEN`: what a keeper reads on the phone, and `/tanks/N/links`: who may."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request, Response
from starlette.responses import RedirectResponse

from slackwater.errors import InputError
from slackwater.service.links import links_of, make_link, opened, withdraw_link
from slackwater.service.tanks import open_tank
from slackwater.web.clock import now
from slackwater.web.sent import form_sent
from slackwater.web.shell import Shell, shell_of

router = APIRouter()

PRIVATE = {"cache-control": "no-store", "referrer-policy": "no-referrer", "x-robots-tag": "noindex"}
USUAL_DAYS = 90


@router.get("/k/{token}")
async def keeper(request: Request, token: str) -> Response:
    """Show what a link opens."""
    shell = shell_of(request)
    view = await shell.desk.ask(opened, shell.cabinet.store, token, now())
    told = {"view": view, "clock": now().tzinfo}
    answer = shell.views.page(request, "keeper.html", told, status=200 if view else 404)
    answer.headers.update(PRIVATE)
    return answer


@router.get("/tanks/{number}/links")
async def links(request: Request, number: int) -> Response:
    """Show the links of a tank."""
    shell = shell_of(request)
    return shell.views.page(request, "links.html", await shell.desk.ask(_told, shell, number))


@router.post("/tanks/{number}/links")
async def make(request: Request, number: int) -> Response:
    """Make a link, and show it this once."""
    shell, form = shell_of(request), await form_sent(request)
    token = await shell.desk.ask(_made, shell, number, dict(form))
    told = await shell.desk.ask(_told, shell, number)
    answer = shell.views.page(request, "links.html", told | {"token": token})
    answer.headers.update(PRIVATE)
    return answer


@router.post("/tanks/{number}/links/{link}/withdraw")
async def withdraw(request: Request, number: int, link: int) -> Response:
    """Withdraw a link."""
    shell = shell_of(request)
    by = shell.cabinet.by()
    await shell.desk.ask(withdraw_link, shell.cabinet.store, str(number), link, by)
    return RedirectResponse(f"/tanks/{number}/links", 303)


def _told(shell: Shell, number: int) -> dict[str, Any]:
    store = shell.cabinet.store
    kept = open_tank(store, str(number))
    made = links_of(store, str(number))
    return {"kept": kept, "links": made, "now": now(), "token": "", "days": USUAL_DAYS}


def _made(shell: Shell, number: int, form: dict[str, str]) -> str:
    said = form.get("days", "").strip()
    if not said.isdigit():
        raise InputError(
            field="days", given=said or "nothing", limit="it must be a whole number", remedy="Enter 90."
        )
    made = make_link(
        shell.cabinet.store, str(number), int(said), shell.cabinet.by(), shows_diary="diary" in form
    )
    return made.token
