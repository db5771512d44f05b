"""The watching card as one printed page, with room to write; readable in black and white."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from importlib import resources
from typing import Any

from slackwater.plan.watch_sheet import TIMES, WatchSheet
from slackwater.report.sheet import PaperName
from slackwater.report.typesetting import Fit, pdf_bytes
from slackwater.report.words import day, sentence

_FIT = Fit(sizes_pt=(10.0, 9.5, 9.0, 8.5, 8.0, 7.5), pages=(1, 2))


def watch_bytes(sheet: WatchSheet, made_on: dt.date, paper: PaperName = "a4") -> bytes:
    """Return the card as a tagged PDF.

    Parameters
    ----------
    sheet
        What stands on it.
    made_on
        The day by which the file is dated; the same card and day give the same bytes.
    paper
        `a4` or `us-letter`.
    """
    template = (resources.files("slackwater.report") / "watch.typ").read_bytes()
    made_at = dt.datetime.combine(made_on, dt.time(), tzinfo=dt.UTC)
    data = json.dumps(watch_data(sheet, made_on) | {"paper": paper})
    return pdf_bytes({"main.typ": template}, data, made_at, _FIT)


def watch_data(sheet: WatchSheet, made_on: dt.date) -> dict[str, Any]:
    """Return every text of the card by its place."""
    return {
        "title": sentence(sheet.title).rstrip("."),
        "tank": sheet.tank,
        "made_on": day(made_on),
        "now": [sentence(text) for text in sheet.now],
        "count": sheet.count,
        "steps_title": sentence(sheet.steps_title).rstrip("."),
        "steps": [dataclasses.asdict(step) for step in sheet.steps],
        "levels": [dataclasses.asdict(level) for level in sheet.levels],
        "dates": [day(date) for date in sheet.dates],
        "times": [*TIMES],
        "cautions": [sentence(text) for text in dict.fromkeys(sheet.cautions)],
    }
