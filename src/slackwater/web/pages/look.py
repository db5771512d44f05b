"""`/look`: every part of the design in all its states, for those who build pages and for the tests."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from slackwater.web.pictures import fish
from slackwater.web.shell import shell_of

router = APIRouter()

_DRAWN = ("Gramma loreto", "Zebrasoma flavescens", "Pseudocheilinus hexataenia", "Gymnothorax favagineus")


@dataclass(frozen=True)
class _Drawn:
    """A drawing beside its name."""

    name: str
    picture: Markup


@router.get("/look")
async def look(request: Request) -> Response:
    """Show the parts that pages are made of."""
    shell = shell_of(request)
    drawn = await shell.desk.look_up(_pictures)
    return shell.views.page(request, "look.html", {"drawn": drawn}, script="look.js")


def _pictures() -> list[_Drawn]:
    return [_Drawn(name, fish(name)) for name in _DRAWN]
