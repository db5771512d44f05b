"""`/trust`: what was checked, against what, and what could not be; the document itself, as a page."""

from __future__ import annotations

import functools
import json
from importlib import resources

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from slackwater.report.trust_figures import Shades, families_figure, reliability_figure
from slackwater.web.prose import heading, prose
from slackwater.web.shell import shell_of
from slackwater.web.views import drawing

router = APIRouter()

_SHADES = Shades(ink="currentColor", fill="var(--hair)", thin="var(--rule)", paper="none")


@router.get("/trust")
async def trust(request: Request) -> Response:
    """Show how far the answers can be trusted."""
    return shell_of(request).views.page(request, "trust.html", _told())


@functools.cache
def _told() -> dict[str, str | Markup]:
    text = resources.files("slackwater.data").joinpath("trust.json").read_text(encoding="utf-8")
    kept = json.loads(text)
    figures = {
        "reliability": drawing(reliability_figure(kept["reliability"], _SHADES)),
        "families": drawing(families_figure(kept["families"], _SHADES)),
    }
    return {"head": heading(kept["page"]), "body": prose(kept["page"], figures)}
