from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from slackwater.report.svg import node, number, smooth_path


def test_text_is_never_markup() -> None:
    hostile = '</text><script>alert("x")</script>&amp;'
    drawn = str(node("text", hostile, aria_label=hostile))
    element = ET.fromstring(drawn)  # noqa: S314 - our own writer's output
    assert element.text == hostile
    assert element.get("aria-label") == hostile
    assert not list(element)


def test_control_characters_are_dropped() -> None:
    assert ET.fromstring(str(node("text", "a\x00\x08b"))).text == "ab"  # noqa: S314 - as above


@pytest.mark.parametrize(
    ("value", "written"), [(1.0, "1"), (0.5, "0.5"), (-0.0001, "0"), (12.34567, "12.346"), (100.0, "100")]
)
def test_numbers_are_short(value: float, written: str) -> None:
    assert number(value) == written


def test_smooth_path_passes_through_its_points() -> None:
    points = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
    ends = re.findall(r"(-?[\d.]+) (-?[\d.]+)(?=[CZ])", smooth_path(points, frozenset({0})))
    assert [(float(x), float(y)) for x, y in ends] == [*points, points[0]]
