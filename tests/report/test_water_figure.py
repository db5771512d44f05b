"""The figure of a power cut: a number in every cell, one even hue, lettering that stays readable."""

from __future__ import annotations

import datetime as dt
import re
import xml.etree.ElementTree as ET

import pytest

from slackwater.plan.water_records import HourLine, WaterReport
from slackwater.report.colour import even_hue
from slackwater.report.water_figure import describe, water_svg
from slackwater.service.water import water_file

TANK = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm}
wishes: [yellow tang, royal gramma]
"""


@pytest.fixture(scope="module")
def report() -> WaterReport:
    return water_file(TANK, dt.date(2027, 1, 9))


def words(svg: str) -> list[str]:
    return [found.text or "" for found in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]  # noqa: S314


def numbers_of(line: HourLine) -> list[str]:
    oxygen = (line.hard_mg_l, line.aided_mg_l, line.easy_mg_l)
    return [f"{value:.1f}" for value in oxygen] + [f"{value:.0f}" for value in (line.cold_c, line.warm_c)]


def test_every_hour_has_its_number(report: WaterReport) -> None:
    shown = words(water_svg(report))
    for line in report.power.hours:
        assert f"{line.hour:g}" in shown
        assert set(numbers_of(line)) <= set(shown)


def test_cells_take_one_hue_no_darker_than_lettering_allows(report: WaterReport) -> None:
    allowed = {even_hue(0.6 * step / 1000.0) for step in range(1001)}
    fills = set(re.findall(r'fill="(#[0-9a-f]{6})" stroke="#ffffff"', water_svg(report)))
    assert len(fills) > 3
    assert fills <= allowed


def test_the_words_say_what_the_drawing_shows(report: WaterReport) -> None:
    assert describe(report) in water_svg(report)
    assert "4 mg/L after" in describe(report)
