"""`/look`: every part of the design in all its states, for those who build pages and for the tests."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response

from slackwater.web.shell import shell_of

router = APIRouter()


@router.get("/look")
async def look(request: Request) -> Response:
    """Show the parts that pages are made of."""
    return shell_of(request).views.page(request, "look.html", script="look.js")
