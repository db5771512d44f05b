"""The water of a tank file: its report, its figure and the card on the cabinet."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING

from slackwater.rules import load_rules
from slackwater.service.planning import question_of, title_of
from slackwater.service.tankfile import load
from slackwater.service.written import write_whole

if TYPE_CHECKING:
    from slackwater.plan.question import Question
    from slackwater.plan.water_records import CabinetCard, WaterReport
    from slackwater.plan.water_report import DoseTest


def water_file(
    source: Path | str, today: dt.date, dose: DoseTest | None = None, room_c: float | None = None
) -> WaterReport:
    """Return what is known and assumed of the water of a tank file.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    dose
        A dose test of the filter, if there was one.
    room_c
        Temperature of the room in a power cut, if told. [C]

    Raises
    ------
    InputError, InputErrors
        If the file or a value cannot be used.
    """
    from slackwater.plan.water_report import water_report

    return water_report(question_in(source, today), load_rules(), dose, room_c)


def question_in(source: Path | str, today: dt.date) -> Question:
    """Return the question that a tank file puts, wishes or none."""
    return question_of(load(source, nobody_ok=True), today, title_of(source))


def write_water_figure(report: WaterReport, path: Path) -> Path:
    """Write oxygen and warmth by hour as SVG, and return where."""
    from slackwater.report.water_figure import water_svg

    return write_whole(path, water_svg(report))


def card_of(source: Path | str, today: dt.date, room_c: float | None = None) -> CabinetCard:
    """Return the card on the cabinet for a tank file; room and errors are those of `water_file`."""
    from slackwater.plan.emergency import cabinet_card

    return cabinet_card(question_in(source, today), load_rules(), room_c)


def write_card(card: CabinetCard, made_on: dt.date, path: Path) -> Path:
    """Write the card as a PDF, and return where."""
    from slackwater.report.card import card_bytes

    return write_whole(path, card_bytes(card, made_on))
