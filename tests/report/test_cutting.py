"""The cutting list of a divider: figures, scale and page."""

from __future__ import annotations

import datetime as dt
import io
import re

import pypdf
import pytest
from tests.plan.tanks import wanted

from slackwater.plan.sheet_design import SheetDesign, SheetSite, design, hole_places
from slackwater.report.cutting import (
    cutting_bytes,
    cutting_data,
    cutting_rows,
    pattern_svg,
    scale_of,
    template_svg,
)
from slackwater.rules import load_rules
from slackwater.tank.shapes import Glass, Shape

DAY = dt.date(2027, 1, 9)
HEADING = ("Divider for an invented tank", "60 cm from the left pane, opaque sheet")


def sheet(length_cm: float = 8.0) -> SheetDesign:
    glass = Glass(Shape.RECTANGULAR, 120.0, 50.0, 50.0)
    return design([wanted("Gramma loreto", length_cm)], SheetSite(glass, 5.0, 60.0, 1500.0), load_rules())


def circles(svg: str) -> list[tuple[float, float, float]]:
    found = re.findall(r'<circle cx="([\d.-]+)" cy="([\d.-]+)" r="([\d.]+)"', svg)
    return [(float(x), float(y), float(r)) for x, y, r in found]


def test_the_pattern_is_to_scale_with_every_hole() -> None:
    made = sheet()
    drawn, per_cm = circles(pattern_svg(made)), 10.0 / scale_of(made)
    assert len(drawn) == made.drilling.holes
    x, y = hole_places(made)[0]
    assert drawn[0] == pytest.approx(
        (x * per_cm, (made.height_cm - y) * per_cm, made.drilling.hole_cm * per_cm / 2)
    )


def test_of_very_many_holes_a_corner_is_drawn_and_the_number_told() -> None:
    made = sheet(3.5)
    assert made.drilling.holes > 3000
    svg = pattern_svg(made)
    assert 0 < len(circles(svg)) < made.drilling.holes
    assert f"and so on: {made.drilling.holes} holes" in svg


def test_the_template_is_full_size() -> None:
    made = sheet()
    svg = template_svg(made)
    assert 'width="72mm"' in svg
    drawn = circles(svg)
    assert {round(2 * r, 6) for _, _, r in drawn} == {10 * made.drilling.hole_cm}
    xs = sorted(x for x, y, _ in drawn if y == max(y for _, y, _ in drawn))
    assert xs[1] - xs[0] == pytest.approx(10 * made.drilling.pitch_cm)
    assert re.search(r'x1="6" y1="65" x2="56" y2="65"', svg)


def test_the_list_says_every_size_in_millimetres() -> None:
    made = sheet()
    rows = dict(cutting_rows(made))
    assert rows["sheet, acrylic"].startswith("494 x 550 x ")
    assert rows["holes"] == f"{made.drilling.holes} of {10 * made.drilling.hole_cm:.0f} mm"
    assert ("upright ribs" in rows) is bool(made.strength.ribs)


def test_one_page_with_all_its_words() -> None:
    made = sheet()
    page = cutting_bytes(made, HEADING, DAY)
    (only,) = pypdf.PdfReader(io.BytesIO(page)).pages
    text = only.extract_text()
    for words in ("Divider for an invented tank", "opaque sheet", "Full size", "not a builder"):
        assert words in text
    assert cutting_bytes(made, HEADING, DAY) == page


def test_letter_paper() -> None:
    assert cutting_data(sheet(), HEADING, "us-letter")["paper"] == "us-letter"
    (only,) = pypdf.PdfReader(io.BytesIO(cutting_bytes(sheet(), HEADING, DAY, "us-letter"))).pages
    assert float(only.mediabox.width) == pytest.approx(612.0)
