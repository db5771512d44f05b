from __future__ import annotations

import dataclasses
import itertools
import math
import re
import struct
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import numpy as np
import pytest

from slackwater.plan.records import Plan
from slackwater.report import pressure_svg, tank_png, tank_svg
from slackwater.report.colour import even_hue
from slackwater.report.frames import Paper, framed
from slackwater.report.labels import Box, label_places

SVG = "{http://www.w3.org/2000/svg}"


def elements(drawing: str, name: str) -> Iterator[ET.Element]:
    return ET.fromstring(drawing).iter(SVG + name)  # noqa: S314 - our own writer's output


def sizes(drawing: str) -> set[tuple[float, float]]:
    return {(float(r.get("width", 0)), float(r.get("height", 0))) for r in elements(drawing, "rect")}


def test_both_views_are_in_centimetres_of_the_tank(plan: Plan) -> None:
    assert {(150.0, 60.0), (150.0, 55.0)} <= sizes(tank_svg(plan))


def test_print_size_is_one_whole_number_scale(plan: Plan) -> None:
    root = ET.fromstring(tank_svg(plan, Paper(width_mm=90.0, height_mm=100.0)))  # noqa: S314 - as above
    _, _, width_cm, height_cm = (float(word) for word in root.get("viewBox", "").split())
    width_mm, height_mm = (float(root.get(side, "").removesuffix("mm")) for side in ("width", "height"))
    scale = width_cm * 10 / width_mm
    assert scale == pytest.approx(round(scale), rel=1e-3)
    assert height_cm * 10 / height_mm == pytest.approx(scale, rel=1e-3)
    assert width_mm <= 90.0
    assert height_mm <= 100.0


def test_an_animal_is_as_long_as_its_record_says(plan: Plan) -> None:
    tang = dataclasses.replace(plan.animals[-1], length_cm=10.0)
    alone = dataclasses.replace(plan, animals=(tang,))
    paths = [p for p in elements(tank_svg(alone), "path") if p.get("fill") == "#ffffff"]
    for path in paths:
        xs = [float(x) for x, _ in re.findall(r"(-?[\d.]+) (-?[\d.]+)(?=[CZ])", path.get("d", ""))]
        assert max(xs) - min(xs) == pytest.approx(10.0, rel=0.01)
    assert len(paths) == 2


def test_an_animal_stands_at_its_home(plan: Plan) -> None:
    frame = framed(plan.tank, Paper())
    assert frame.above.at((80.0, 34.0, 40.0)) == pytest.approx(
        (frame.above.left_cm + 80.0, frame.above.top_cm + 60.0 - 34.0)
    )
    assert frame.front.at((80.0, 34.0, 40.0)) == pytest.approx(
        (frame.front.left_cm + 80.0, frame.front.top_cm + 55.0 - 40.0)
    )


def test_every_animal_has_its_number_in_both_views(plan: Plan) -> None:
    words = [e.text for e in elements(tank_svg(plan), "text") if e.get("font-weight") == "600"]
    assert sorted(words, key=str) == sorted(
        [str(i) for i in range(1, 9)] * 2 + ["From above, front glass below", "From the front"]
    )


def test_nothing_leaves_the_glass(plan: Plan) -> None:
    corner = tuple(dataclasses.replace(a, homes_cm=((149.0, 59.0, 54.0),)) for a in plan.animals)
    drawing = tank_svg(dataclasses.replace(plan, animals=corner))
    frame = framed(plan.tank, Paper())
    for circle in elements(drawing, "circle"):
        assert float(circle.get("cx", 0)) <= frame.width_cm


def test_narrow_tanks_stand_side_by_side(plan: Plan) -> None:
    cube = dataclasses.replace(plan.tank, length_cm=45.0, width_cm=45.0, height_cm=45.0)
    frame = framed(cube, Paper(width_mm=87.0, height_mm=92.0))
    assert frame.front.left_cm > frame.above.left_cm + 45.0


def test_a_round_tank_is_drawn_round(plan: Plan) -> None:
    turns = np.radians(np.arange(0.0, 360.0, 2.0))
    ring = tuple(
        (30.0 + 30.0 * x, 30.0 + 30.0 * y) for x, y in zip(np.cos(turns), np.sin(turns), strict=True)
    )
    tank = dataclasses.replace(
        plan.tank, shape="cylinder", length_cm=60.0, width_cm=60.0, pieces=(), holes=(), outline_cm=ring
    )
    drawing = tank_svg(dataclasses.replace(plan, tank=tank, animals=()))
    frame = framed(tank, Paper())
    paths = [e.get("d", "") for e in elements(drawing, "path")]
    rings = [
        [tuple(map(float, p.split())) for p in d[1:-1].split(" L")] for d in paths if d.count("L") == 179
    ]
    assert rings
    middle = (frame.above.left_cm + 30.0, frame.above.top_cm + 30.0)
    assert all(math.dist(point, middle) == pytest.approx(30.0, abs=0.01) for ring in rings for point in ring)


def test_words_of_the_customer_stay_text(plan: Plan) -> None:
    hostile = dataclasses.replace(plan, title='</title><script>"&"</script>')
    drawing = tank_svg(hostile)
    assert not list(elements(drawing, "script"))
    assert next(elements(drawing, "title")).text == '</title><script>"&"</script>: the tank to scale'


def test_pressure_map_carries_numbers_and_both_views(plan: Plan) -> None:
    drawing = pressure_svg(plan)
    words = {e.text for e in elements(drawing, "text")}
    assert {"0.1", "0.2", "0.5", "1", "2"} <= words
    assert any(word.startswith("attacks per hour on ") for word in words if word)
    assert {(150.0, 60.0), (150.0, 55.0)} <= sizes(drawing)


def test_no_pressure_is_no_map(clashing: Plan) -> None:
    assert pressure_svg(clashing) == ""


@pytest.mark.parametrize("value", [0.0, math.nan, 1.0])
def test_flat_maps_are_drawn(plan: Plan, value: float) -> None:
    assert plan.pressure is not None
    flat = dataclasses.replace(plan.pressure, top=((value,) * 30,) * 12, front=((value,) * 30,) * 11)
    assert pressure_svg(dataclasses.replace(plan, pressure=flat)).startswith("<svg")


def test_the_hue_darkens_evenly() -> None:
    def luminance(colour: str) -> float:
        red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
        return float(0.2126 * red + 0.7152 * green + 0.0722 * blue)

    steps = [luminance(even_hue(i / 5)) for i in range(6)]
    falls = [a - b for a, b in itertools.pairwise(steps)]
    assert min(falls) > 0.05
    assert max(falls) < 2 * min(falls)


def test_labels_keep_clear_of_each_other() -> None:
    bodies = [Box((20.0 + i, 20.0), (3.0, 1.0)) for i in range(5)]
    places = label_places(bodies, bodies, Box((50.0, 25.0), (50.0, 25.0)), 2.0)
    for i, place in enumerate(places):
        assert all(math.dist(place, other) >= 4.0 for other in places[:i])


def test_png_has_the_print_size_at_144_to_the_inch(plan: Plan) -> None:
    width, height = struct.unpack(">II", tank_png(plan)[16:24])
    root = ET.fromstring(tank_svg(plan))  # noqa: S314 - as above
    printed = [float(root.get(side, "").removesuffix("mm")) * 144 / 25.4 for side in ("width", "height")]
    assert [width, height] == pytest.approx(printed, abs=1.5)


def test_drawings_are_the_same_twice(plan: Plan) -> None:
    assert (tank_svg(plan), pressure_svg(plan)) == (tank_svg(plan), pressure_svg(plan))
    assert tank_png(plan) == tank_png(plan)
