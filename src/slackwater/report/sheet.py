"""The plan sheet: two printed pages, three for a large company, A4 or letter, readable in black and white."""

from __future__ import annotations

import datetime as dt
import json
from importlib import resources
from typing import TYPE_CHECKING, Literal

from slackwater.errors import InputError
from slackwater.report.figures import tank_svg
from slackwater.report.frames import Paper
from slackwater.report.pagedata import page_data
from slackwater.report.pressure import pressure_svg
from slackwater.report.silhouettes import silhouettes
from slackwater.report.typesetting import Fit, pdf_bytes

if TYPE_CHECKING:
    from pathlib import Path

    from slackwater.plan.records import Plan

PaperName = Literal["a4", "us-letter"]

_PAPERS = ("a4", "us-letter")
_FIT = Fit(sizes_pt=(8.8, 8.4, 8.1, 7.9), pages=(2, 3))
_FIT_WITH_SITTER = Fit(_FIT.sizes_pt, tuple(pages + 1 for pages in _FIT.pages))
_HALF_PAGE = Paper(width_mm=87.0, height_mm=80.0, foot_mm=7.0)


def sheet_bytes(plan: Plan, paper: PaperName = "a4") -> bytes:
    """Return the plan sheet as a tagged PDF.

    Parameters
    ----------
    plan
        The plan; parts it lacks are left off the page.
    paper
        `a4` or `us-letter`.

    Returns
    -------
    bytes
        PDF/UA-1; the same plan gives the same bytes, dated by the day the plan was made.

    Raises
    ------
    InputError
        If the paper is neither.
    """
    if paper not in _PAPERS:
        raise InputError(
            field="paper", given=paper, limit="it must be a4 or us-letter", remedy="Choose one of the two."
        )
    made_at = dt.datetime.combine(plan.made_on, dt.time(), tzinfo=dt.UTC)
    data = json.dumps(page_data(plan, _HALF_PAGE) | {"paper": paper})
    return pdf_bytes(_files(plan), data, made_at, _FIT if plan.sitter is None else _FIT_WITH_SITTER)


def write_sheet(plan: Plan, path: Path, paper: PaperName = "a4") -> None:
    """Write the plan sheet to a file."""
    path.write_bytes(sheet_bytes(plan, paper))


def _files(plan: Plan) -> dict[str, bytes]:
    template = (resources.files("slackwater.report") / "sheet.typ").read_bytes()
    drawings = {"tank.svg": tank_svg(plan, _HALF_PAGE), "pressure.svg": pressure_svg(plan, _HALF_PAGE)}
    drawings |= {f"animal-{i}.svg": svg for i, svg in enumerate(silhouettes(plan), start=1)}
    return {"main.typ": template} | {name: svg.encode() for name, svg in drawings.items() if svg}
