"""`/trust`: what was checked, against what, and what could not be; the document itself, as a page."""

from __future__ import annotations

import functools
import json
from dataclasses import dataclass
from importlib import resources

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.exceptions import HTTPException

from slackwater.report.trust_figures import Shades, families_figure, reliability_figure
from slackwater.web.prose import blocks_of, heading, prose
from slackwater.web.shell import shell_of
from slackwater.web.views import drawing

router = APIRouter()

MOST_ROWS = 16
"""A longer table has a page of its own. [-]"""

_SHADES = Shades(ink="currentColor", fill="var(--hair)", thin="var(--rule)", paper="none")


@router.get("/trust")
async def trust(request: Request) -> Response:
    """Show how far the answers can be trusted; long tables have pages of their own."""
    document = _document()
    told = {"head": document.head, "body": Markup("\n").join(document.parts)}
    return shell_of(request).views.page(request, "trust.html", told)


@router.get("/trust/rows/{number}")
async def rows(request: Request, number: int) -> Response:
    """Show one of the long tables."""
    tables = _document().tables
    if not 0 <= number < len(tables):
        raise HTTPException(404)
    title, block = tables[number]
    return shell_of(request).views.page(request, "trust.html", {"head": title, "body": prose(block)})


@dataclass(frozen=True)
class _Document:
    """The document in parts, its long tables apart, each under the heading it stands below."""

    head: str
    parts: tuple[Markup, ...]
    tables: tuple[tuple[str, str], ...]


@functools.cache
def _document() -> _Document:
    text = resources.files("slackwater.data").joinpath("trust.json").read_text(encoding="utf-8")
    kept = json.loads(text)
    figures = {
        "reliability": drawing(reliability_figure(kept["reliability"], _SHADES)),
        "families": drawing(families_figure(kept["families"], _SHADES)),
    }
    title = ""
    parts: list[Markup] = []
    tables: list[tuple[str, str]] = []
    for block in blocks_of(kept["page"]):
        title = block.lstrip("# ") if block.startswith("#") else title
        count = block.count("\n") - 1
        if block.startswith("|") and count > MOST_ROWS:
            parts.append(_ROWS.format(len(tables), count))
            tables.append((title, block))
        else:
            parts.append(prose(block, figures))
    return _Document(heading(kept["page"]), tuple(parts), tuple(tables))


_ROWS = Markup('<p><a class="button" href="/trust/rows/{}">All {} rows</a></p>')
