"""`/`: at the counter."""

from __future__ import annotations

import asyncio
import datetime as dt
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from markupsafe import Markup, escape

from slackwater.service.check_records import CheckAnswer, Decision, JointAnswer
from slackwater.service.counter_file import tank_file_of
from slackwater.service.joint_words import NONE_OF_THESE
from slackwater.service.spoken import Reply, Spoken, reply
from slackwater.tank.rock import RockWord
from slackwater.web.desk import PATIENCE_S
from slackwater.web.pictures import fish
from slackwater.web.shell import shell_of

router = APIRouter()

_FACTS = ("tank", "wanted", "rock", "feeds", "since", "cover")


@router.get("/")
async def counter(request: Request) -> Response:
    """Show the counter, with the answer to whatever the address tells, or its place if that takes long."""
    spoken = spoken_in(request)
    waits = "wait" in request.query_params
    asked = asyncio.ensure_future(_asked(request, spoken, weighs=waits))
    patience_s = None if waits else PATIENCE_S
    done, _ = await asyncio.wait({asked}, timeout=patience_s)
    told = dict(asked.result() if done else _PENDING)
    told |= {"spoken": spoken, "rocks": [word.value for word in RockWord]}
    return shell_of(request).views.page(request, "counter.html", told, script="counter.js")


@router.get("/counter")
async def answer(request: Request) -> Response:
    """Return the answer alone, for the page that is open; what was assumed is weighed afterwards."""
    told = await _asked(request, spoken_in(request), weighs=False)
    return shell_of(request).views.part("parts/answer.html", told)


@router.get("/counter/granted")
async def granted(request: Request) -> Response:
    """Return what was taken for granted, with what each may cost."""
    told = await _asked(request, spoken_in(request), weighs=True)
    return shell_of(request).views.part("parts/granted.html", told)


@router.get("/counter/tank.yaml")
async def tank_file(request: Request) -> Response:
    """Return what was told as a tank file."""
    today = dt.datetime.now().astimezone().date()
    text = await shell_of(request).desk.look_up(tank_file_of, spoken_in(request), today)
    headers = {"content-disposition": 'attachment; filename="tank.yaml"'}
    return Response(text, media_type="application/yaml", headers=headers)


async def _asked(request: Request, spoken: Spoken, *, weighs: bool) -> dict[str, object]:
    today = dt.datetime.now().astimezone().date()
    key = (spoken, today, weighs)
    return await shell_of(request).desk.once(key, _told, spoken, today, weighs=weighs)


def spoken_in(request: Request) -> Spoken:
    """Return what the address of a page tells."""
    told = {name: "\n".join(request.query_params.getlist(name)) for name in _FACTS}
    return Spoken(living=tuple(request.query_params.getlist("living")), **told)


def _told(spoken: Spoken, today: dt.date, *, weighs: bool) -> dict[str, object]:
    """Return the reply to what was told, and what its page shows besides."""
    said = reply(spoken, weighs=weighs)
    animals = said.answer.animals if said.answer else ()
    return {
        "reply": said,
        "lead": _lead,
        "fish": {one.scientific_name: fish(one.scientific_name) for one in animals},
        "tank_file": tank_file_of(spoken, today) if said.answer else "",
        "query": _query(spoken),
        "pending": False,
        "weighed": weighs,
    }


def _query(spoken: Spoken) -> str:
    facts = [(name, getattr(spoken, name)) for name in _FACTS if name != "wanted"]
    lines = [("wanted", line) for line in spoken.wanted_lines]
    lines += [("living", line) for line in spoken.lines]
    return urlencode([pair for pair in (*facts, *lines) if pair[1]])


def _lead(answer: CheckAnswer | JointAnswer) -> Markup:
    """Return the answer with its first words set large."""
    is_none = isinstance(answer, JointAnswer) and answer.decision is Decision.NOT_THIS_ONE
    first = NONE_OF_THESE if is_none else answer.decision.value.capitalize()
    return Markup("<strong>{}</strong>{}").format(first, escape(answer.sentence.removeprefix(first)))


_PENDING = {
    "reply": Reply((), ()),
    "lead": _lead,
    "fish": {},
    "tank_file": "",
    "query": "",
    "pending": True,
    "weighed": False,
}
