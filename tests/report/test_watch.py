"""The watching card on paper."""

from __future__ import annotations

import datetime as dt
import io
from typing import Any

import pytest
from pypdf import PdfReader

from slackwater.plan.records import RunStep, WatchRow
from slackwater.plan.watch_sheet import TIMES, WatchSheet
from slackwater.report.sheet import PaperName
from slackwater.report.watch import watch_bytes, watch_data

DAY = dt.date(2027, 3, 4)
SHEET = WatchSheet(
    title="coral beauty and #flame *angel*",
    tank="an invented tank",
    steps_title="The evening",
    steps=(RunStep("20:00", "Let it go."),),
    levels=(WatchRow("leave", "0 to 2 short chases", "Do nothing."),),
    count="Count chases.",
    now=("Do now: wait.",),
    dates=tuple(DAY + dt.timedelta(days=n) for n in range(7)),
    cautions=("Spines.", "Spines."),
)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_one_tagged_page_with_room_to_write(paper: PaperName) -> None:
    pdf = PdfReader(io.BytesIO(watch_bytes(SHEET, DAY, paper)))
    text = pdf.pages[0].extract_text().replace("\N{NO-BREAK SPACE}", " ")
    assert len(pdf.pages) == 1
    root: Any = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert text.count(TIMES[1]) == len(SHEET.dates)
    assert all(f"{n} Mar 2027" in text for n in range(4, 11))
    assert "20:00" in text
    assert "veterinarian" in text


def test_words_are_text_and_never_markup() -> None:
    text = PdfReader(io.BytesIO(watch_bytes(SHEET, DAY))).pages[0].extract_text()
    assert "#flame *angel*" in text


def test_the_same_card_gives_the_same_bytes() -> None:
    assert watch_bytes(SHEET, DAY) == watch_bytes(SHEET, DAY)


def test_a_caution_stands_once() -> None:
    assert watch_data(SHEET, DAY)["cautions"] == ["Spines."]
