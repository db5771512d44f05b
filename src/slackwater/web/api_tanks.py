"""`/api/tanks`: kept tanks, their diaries and what follows from them, for programs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Request, Response

from slackwater.report.jsonfile import dumps
from slackwater.service.diary import page, written_entries
from slackwater.service.diary_page import EntriesTold, write_entries
from slackwater.service.diary_sentences import plain_entry
from slackwater.service.kept_plans import plan_rows
from slackwater.service.kept_quarrels import rank_tank, remedy_tank
from slackwater.service.remedy import Asked
from slackwater.service.tank_view import open_view
from slackwater.service.tanks import KeptTank, add_tank, list_tanks, merge_revision, open_tank, revisions
from slackwater.service.troubles import troubles
from slackwater.web.clock import now, today
from slackwater.web.shell import Shell, shell_of

router = APIRouter(prefix="/api")

Number = Annotated[int, Path(ge=1, description="The tank's number.")]


@dataclass(frozen=True)
class TankAsked:
    """A tank to be kept: its name, its tank file as text, and whose it is."""

    name: str
    tank_file: str
    keeper: str = ""


@dataclass(frozen=True)
class EditAsked:
    """A changed tank file, the revision that was edited, and why."""

    tank_file: str
    revision: int
    why: str = ""


@dataclass(frozen=True)
class CompanyAsked:
    """A tank file whose company is to be judged as it would settle."""

    tank_file: str


def as_json(value: object, status: int = 200) -> Response:
    """Return any record as JSON: sorted keys, three significant digits, as the commands print it."""
    return Response(dumps(value), status, media_type="application/json")


@router.get("/tanks", tags=["tanks"])
async def tanks(request: Request) -> Response:
    """List the tanks that are kept."""
    shell = shell_of(request)
    return as_json(await shell.desk.ask(list_tanks, shell.cabinet.store))


@router.post("/tanks", status_code=201, tags=["tanks"])
async def keep(request: Request, asked: TankAsked) -> Response:
    """Keep one more tank."""
    shell = shell_of(request)
    by = shell.cabinet.by("kept by a program")
    made = await shell.desk.ask(add_tank, shell.cabinet.store, asked.name, asked.tank_file, by, asked.keeper)
    return as_json(_told(made), 201)


@router.get("/tanks/{number}", tags=["tanks"])
async def tank(request: Request, number: Number) -> Response:
    """Return a tank as it was last saved."""
    shell = shell_of(request)
    return as_json(_told(await shell.desk.ask(open_tank, shell.cabinet.store, str(number))))


@router.put("/tanks/{number}", tags=["tanks"])
async def save(request: Request, number: Number, asked: EditAsked) -> Response:
    """Save a changed tank file beside what others changed meanwhile; 409 where both changed one place."""
    shell = shell_of(request)
    by = shell.cabinet.by(asked.why)
    saved = await shell.desk.ask(
        merge_revision, shell.cabinet.store, str(number), asked.tank_file, asked.revision, by
    )
    return as_json(_told(saved))


@router.get("/tanks/{number}/revisions", tags=["tanks"])
async def history(request: Request, number: Number) -> Response:
    """Say who changed what, newest first."""
    shell = shell_of(request)
    return as_json(await shell.desk.ask(revisions, shell.cabinet.store, str(number)))


@router.get("/tanks/{number}/plans", tags=["tanks"])
async def plans(request: Request, number: Number) -> Response:
    """List the plans kept with a tank, and what of that which they rest on has changed."""
    shell = shell_of(request)
    return as_json(await shell.desk.ask(plan_rows, shell.cabinet.store, str(number)))


@router.get("/tanks/{number}/diary", tags=["diary"])
async def diary(
    request: Request, number: Number, size: Annotated[int, Query(ge=1, le=1000)] = 50
) -> Response:
    """Return the last entries of a diary that hold, newest first."""
    shell = shell_of(request)
    found = await shell.desk.ask(page, shell.cabinet.store, str(number), None, size)
    return as_json([plain_entry(entry) for entry in found.entries])


@router.get("/tanks/{number}/diary/all", tags=["diary"])
async def written(request: Request, number: Number) -> Response:
    """Return all that was ever written, corrections and what they correct, oldest first."""
    shell = shell_of(request)
    found = await shell.desk.ask(written_entries, shell.cabinet.store, str(number))
    return as_json([plain_entry(entry) for entry in found])


@router.post("/tanks/{number}/diary", status_code=201, tags=["diary"])
async def write(request: Request, number: Number, told: EntriesTold) -> Response:
    """Write entries: all of them, or none."""
    shell = shell_of(request)
    by = shell.cabinet.by()
    saved = await shell.desk.ask(
        write_entries, shell.cabinet.store, str(number), told.model_dump(mode="json"), by
    )
    entries = [plain_entry(entry) for entry in saved.entries]
    return as_json({"entries": entries, "cautions": saved.cautions}, 201)


@router.get("/tanks/{number}/rank", tags=["diary"])
async def rank(request: Request, number: Number) -> Response:
    """Return who leads whom by the diary, and how surely."""
    shell = shell_of(request)
    return as_json(await shell.desk.ask(rank_tank, shell.cabinet.store, str(number), now().tzinfo or dt.UTC))


@router.get("/tanks/{number}/remedy", tags=["diary"])
async def remedy(request: Request, number: Number) -> Response:
    """Return what may stop the quarrel that the diary tells of, mildest first."""
    shell = shell_of(request)
    return as_json(await shell.desk.ask(_remedy, shell, number))


@router.post("/company", tags=["tanks"])
async def company(request: Request, asked: CompanyAsked) -> Response:
    """Judge a company as it would settle: how everyone fares, and who troubles whom."""
    return as_json(await shell_of(request).desk.ask(_troubles, asked.tank_file))


def _troubles(text: str) -> object:
    return troubles(open_view(f"{text}\n", today()))


def _remedy(shell: Shell, number: int) -> object:
    moment = now()
    return remedy_tank(shell.cabinet.store, str(number), Asked(moment, zone=moment.tzinfo or dt.UTC)).answer


def _told(kept: KeptTank) -> dict[str, Any]:
    signed = kept.revision.signed
    return {
        "number": kept.tank.id,
        "name": kept.tank.name,
        "keeper": kept.tank.keeper,
        "revision": kept.revision.number,
        "saved_at": signed.at.isoformat(),
        "saved_by": signed.by,
        "why": kept.revision.why,
        "tank_file": kept.revision.text,
        "labels": kept.labels,
    }
