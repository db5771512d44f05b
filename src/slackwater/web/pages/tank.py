"""`/tank`: the tank in two views, its stones to be moved, and the pressure on everyone while they are."""

from __future__ import annotations

import json
from importlib import resources
from typing import Any, TypeVar

from fastapi import APIRouter, Request, Response, WebSocket, WebSocketDisconnect

from slackwater.errors import InputError, SlackwaterError
from slackwater.plan.question import Wanted
from slackwater.service.counter_file import tank_file_of
from slackwater.service.day import asked_day, day_of
from slackwater.service.furnishing import things_of, usual_box_cm
from slackwater.service.rock_pieces import HANDLED, with_page
from slackwater.service.tank_view import Pressed, TankView, asked_of, open_view, pressed, sent_stones
from slackwater.service.tanks import open_tank
from slackwater.society.company import Place
from slackwater.web.clock import today
from slackwater.web.pages.counter import spoken_in
from slackwater.web.pictures import is_dressed_anew, ring, swimmer
from slackwater.web.sent import block_sent, form_sent
from slackwater.web.shell import Shell, shell_of

router = APIRouter()
P = TypeVar("P", list[Any], dict[str, Any])

MOST_DRAWN = 8
"""Animals of one kind that are drawn. [-]"""

_LENGTH_BYTES = 4


@router.get("/tank")
async def tank(request: Request) -> Response:
    """Show the tank that the address tells, as at the counter, or an invented one."""
    if not request.query_params:
        return await _shown(request, invented(), is_invented=True)
    text = await shell_of(request).desk.ask(tank_file_of, spoken_in(request), today())
    return await _shown(request, text)


@router.post("/tank")
async def given(request: Request) -> Response:
    """Show the tank of a file that was sent."""
    form = await form_sent(request)
    return await _shown(request, form.get("tank", ""))


@router.get("/tanks/{number}/rock")
async def rock(request: Request, number: int) -> Response:
    """Show the rock of a tank that is kept, to be saved as a revision."""
    shell = shell_of(request)
    told = await shell.desk.ask(_kept, shell, number)
    return shell.views.page(request, "tank.html", told, script="tank.js")


@router.post("/tank/file")
async def tank_file(request: Request) -> Response:
    """Return the tank file with the stones as they stand on the page, to be saved."""
    form = await form_sent(request)
    told = [form.get(name, "") for name in ("tank", "stones", "things")]
    made = await shell_of(request).desk.ask(_file_of, *told)
    headers = {"content-disposition": 'attachment; filename="tank.yaml"'}
    return Response(made, media_type="application/yaml; charset=utf-8", headers=headers)


@router.websocket("/tank/wire")
async def wire(socket: WebSocket) -> None:
    """Answer one question after another about one tank: its text first, then stones."""
    shell: Shell = socket.app.state.shell
    await socket.accept()
    try:
        view = await shell.desk.ask(open_view, await socket.receive_text(), today())
        while True:
            told = json.loads(await socket.receive_text())
            await socket.send_bytes(await shell.desk.ask(_answered, view, told))
    except (SlackwaterError, ValueError) as fault:
        await socket.close(1008, str(fault)[:120])
    except WebSocketDisconnect:
        return


@router.post("/tank/day")
async def day(request: Request) -> Response:
    """Return a day of walkers as a frame: a length, a JSON head, then positions in millimetres."""
    told = await block_sent(request)
    return Response(await shell_of(request).desk.ask(_day, told), media_type="application/octet-stream")


async def _shown(request: Request, text: str, *, is_invented: bool = False) -> Response:
    shell = shell_of(request)
    told = await shell.desk.once(("rock", text, today()), _told, text)
    shown = told | {"is_invented": is_invented, "kept": None}
    return shell.views.page(request, "tank.html", shown, script="tank.js")


def _kept(shell: Shell, number: int) -> dict[str, Any]:
    """Return what the page shows of a tank that is kept."""
    kept = open_tank(shell.cabinet.store, str(number))
    told = _told(kept.revision.text)
    saved = {"number": number, "revision": kept.revision.number, "change": kept.tank.change}
    return told | {"kept": kept, "boot": told["boot"] | saved, "is_invented": False}


def _file_of(text: str, stones: str, things: str) -> str:
    """Return a tank file with the stones and things that a page told, or as it was where it told none."""
    return with_page(text, _sent(stones, "the stones", list), _sent(things, "the things", dict))


def _sent(told: str, name: str, kind: type[P]) -> P | None:
    """Return what a form holds as JSON, None where it is empty."""
    if not told:
        return None
    try:
        found = json.loads(told)
    except ValueError:
        found = None
    if isinstance(found, kind):
        return found
    raise InputError(
        field=name,
        given="nothing that can be read",
        limit=f"the page sends them as a {kind.__name__}",
        remedy="Load the page anew and try again.",
    )


def _told(text: str) -> dict[str, Any]:
    """Return what the page shows of a tank file."""
    view = open_view(text, today())
    glass = view.question.glass
    size = {"length": glass.length_cm, "width": glass.width_cm, "height": glass.height_cm}
    boot: dict[str, Any] = {"tank": text, "glass": size, "stones": sent_stones(view.stones), "number": 0}
    boot["things"] = things_of(view.question).model_dump()
    animals = [_animal(view, wanted, n) for n, wanted in enumerate(view.company, start=1)]
    boot["boxed"] = [[one["key"], one["number"]] for one in animals if one["box_days"]]
    boot["box_size"] = usual_box_cm(view.question, view.rules)
    return {
        "boot": boot,
        "glass": glass,
        "sand_cm": view.question.rockworks[0].sand_cm,
        "ring": ring(glass.outline, glass.width_cm),
        "animals": animals,
        "rock_word": view.question.rock_word,
        "forms": HANDLED,
    }


def _animal(view: TankView, wanted: Wanted, number: int) -> dict[str, Any]:
    species = wanted.species
    grown_cm = next(p.length_cm for p in view.grown.parties if p.key == wanted.key)
    return {
        "key": wanted.key,
        "number": number,
        "name": species.common_name,
        "science": species.name,
        "count": wanted.count,
        "drawn": range(min(wanted.count, MOST_DRAWN)),
        "length_cm": wanted.length_cm,
        "grown_cm": grown_cm,
        "resident": wanted.resident,
        "in_tank": wanted.place is Place.TANK,
        "box_days": wanted.box_days,
        "today": swimmer(f"n{number}", species, wanted.length_cm, wanted.length_cm),
        "grown": swimmer(f"g{number}", species, wanted.length_cm, grown_cm)
        if is_dressed_anew(species, wanted.length_cm, grown_cm)
        else None,
    }


def _answered(view: TankView, told: object) -> bytes:
    """Return the answer to one question as a frame: a length, a JSON head, then the shades of both views."""
    asked = asked_of(told)
    found = pressed(view, asked)
    return _framed(_head(found, asked.number), found.above.tobytes(), found.front.tobytes())


def _head(found: Pressed, number: int) -> dict[str, Any]:
    return {
        "number": number,
        "ms": round(found.took_ms, 1),
        "edge": found.edge_cm,
        "above": found.above.shape[::-1],
        "front": found.front.shape[::-1],
        "contours": found.contours,
        "stations": round(found.stations, 2),
        "boxed": [[key, round(per_h, 4)] for key, per_h in found.boxed],
        "holes": [[round(value, 1) for value in hole] for hole in found.holes],
        "rows": [
            {
                "key": row.key,
                "per_h": round(row.per_h, 4),
                "quiet": round(row.quiet, 4),
                "homes": [[round(v, 1) for v in home] for home in row.homes_cm],
            }
            for row in found.rows
        ],
    }


def _day(told: object) -> bytes:
    asked = asked_day(told)
    found = day_of(open_view(asked.tank, today()), asked.stones, asked.size, asked.seed, asked.things)
    head = {
        "keys": found.keys,
        "hours": found.hours,
        "every": found.every_s,
        "moments": len(found.track_mm),
        "chases": found.chases.tolist(),
        "said": found.said,
    }
    return _framed(head, found.track_mm.astype("<u2").tobytes())


def _framed(head: dict[str, Any], *parts: bytes) -> bytes:
    """Return a length, a JSON head padded so that what follows is aligned, and the parts."""
    told = json.dumps(head, separators=(",", ":")).encode()
    told += b" " * (-len(told) % _LENGTH_BYTES)
    return b"".join((len(told).to_bytes(_LENGTH_BYTES), told, *parts))


def invented() -> str:
    """Return the text of the demonstration's tank file."""
    return (resources.files("slackwater.data") / "demo.yaml").read_text(encoding="utf-8")
