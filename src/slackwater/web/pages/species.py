"""`/species`: who is described, and what is known of each, every value with who says so."""

from __future__ import annotations

from pathlib import Path

from fastapi import APIRouter, Request, Response
from starlette.responses import RedirectResponse

from slackwater.errors import InputError
from slackwater.service.animals import sheet
from slackwater.service.house import find_house_file
from slackwater.service.overruling import Overruled, overrule
from slackwater.service.species_pages import chapters, families, find, in_short
from slackwater.settings import HOUSE_FILE
from slackwater.web.clock import today
from slackwater.web.pictures import fish
from slackwater.web.sent import form_sent
from slackwater.web.shell import Shell, shell_of

router = APIRouter()

_LONGEST_NAME = 200


@router.get("/species")
async def index(request: Request, said: str = "", family: str = "") -> Response:
    """Show the search and the families, or the species of one; a search without doubt leads to its page."""
    shell = shell_of(request)
    found = await shell.desk.look_up(find, said[:_LONGEST_NAME]) if said.strip() else None
    if found is not None and found.one:
        return RedirectResponse(path_of(found.one), 303)
    known = await shell.desk.look_up(families)
    chosen = next((one for one in known if one.name == family), None)
    told = {"said": said, "found": found, "families": known, "family": chosen}
    return shell.views.page(request, "species.html", told, script="species.js")


@router.get("/species/find")
async def search(request: Request, said: str = "") -> Response:
    """Return whom a search may mean, for the page that is open."""
    shell = shell_of(request)
    found = await shell.desk.look_up(find, said[:_LONGEST_NAME]) if said.strip() else None
    return shell.views.part("parts/found.html", {"found": found})


@router.get("/species/{name}")
async def species(request: Request, name: str) -> Response:
    """Show what is known of one species."""
    shell = shell_of(request)
    told = await shell.desk.look_up(_told, name)
    return shell.views.page(request, "one-species.html", told | {"who": shell.cabinet.settings.who})


@router.post("/species/{name}/overrule")
async def overruled(request: Request, name: str) -> Response:
    """Write the shop's word on one fact into its house notes; it holds with the next answer."""
    shell, form = shell_of(request), await form_sent(request)
    said = Overruled(
        taxon=name.replace("_", " "),
        trait=form.get("trait", ""),
        value=form.get("value", ""),
        who=form.get("who", ""),
        why=form.get("why", ""),
    )
    path = await shell.desk.look_up(_house_file, shell)
    await shell.desk.look_up(overrule, path, said, today())
    shell.desk.house = shell.works.house = path
    return RedirectResponse(f"/species/{name}", 303)


def _house_file(shell: Shell) -> Path:
    """Return the file of house notes to write into: the one in use, or a new one in the user's folder."""
    settings = shell.cabinet.settings
    found = shell.desk.house or find_house_file(settings=settings)
    if found is None and settings.folder is None:
        raise InputError(
            field="the house notes",
            given="nowhere",
            limit="there is no folder of your own to keep them in",
            remedy="Start the pages with --house FILE.",
        )
    return found or (settings.folder or Path()) / HOUSE_FILE


def path_of(scientific_name: str) -> str:
    """Return the address of a species."""
    return f"/species/{scientific_name.replace(' ', '_')}"


def _told(name: str) -> dict[str, object]:
    known = sheet(name.replace("_", " "))
    pictures = {
        "picture": fish(known.scientific_name, f"{known.common_name.capitalize()}, grown"),
        "young": fish(known.scientific_name, f"{known.common_name.capitalize()}, as sold", young=True),
    }
    return {"known": known, "chapters": chapters(known), "short": in_short(known)} | pictures
