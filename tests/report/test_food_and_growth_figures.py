"""The bars of the food and the film of growth."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from tests.report.sample import sample_tank

from slackwater.plan.records import FedRow, FeedingCard, GrowthLine
from slackwater.report.foodfigure import BAR, food_description, food_svg
from slackwater.report.growthfilm import FRAMES, film_description, film_svg, length_at, when


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 - our own text


SVG = "{http://www.w3.org/2000/svg}"


def row(name: str, missed: float, count: int = 1) -> FedRow:
    return FedRow(name, name, count, 10.0, {"mysids": 1.0}, missed, 0.3, 3, "")


def card(*rows: FedRow) -> FeedingCard:
    return FeedingCard(2.0, 1, (), ((10.0, 10.0, 40.0),), rows)


def line(name: str, lengths: tuple[float, ...], *, count: int = 1, sex: str = "unknown") -> GrowthLine:
    return GrowthLine(
        name, name, name, sex, count, "oval", 0.5, FRAMES, lengths, lengths, lengths,
        tuple(x**3 for x in lengths),
    )  # fmt: skip


LINES = (line("tang", (6.0, 9.0, 14.0, 18.0)), line("chromis", (4.0, 5.0, 6.0, 7.0), count=5))


def test_a_bar_for_each_row_in_one_hue_with_its_figure() -> None:
    drawn = parsed(food_svg(card(row("tang", 0.0), row("seahorse", 0.25, 2)), "a tank"))
    bars = [r for r in drawn.iter(f"{SVG}rect") if r.get("fill") != "none"]
    assert {bar.get("fill") for bar in bars} == {BAR}
    full, short = (float(bar.get("width", "0")) for bar in bars)
    assert short == pytest.approx(0.75 * full, abs=0.01)
    words = [text.text for text in drawn.iter(f"{SVG}text")]
    assert {"100 %", "75 %", "2 seahorse"} <= set(words)


def test_the_bars_in_words() -> None:
    assert food_description(card(row("tang", 0.0), row("seahorse", 0.25))) == "tang 100 %; seahorse 75 %."


def test_four_frames_to_one_scale_with_every_body_inside_the_glass() -> None:
    tank = sample_tank()
    drawn = parsed(film_svg(LINES, tank, "a tank"))
    frames = [g for g in drawn if g.tag == f"{SVG}g"]
    assert len(frames) == len(FRAMES) == 4
    for frame in frames:
        bodies = [g.get("transform", "") for g in frame if g.tag == f"{SVG}g"]
        assert len(bodies) == 6
        for moved in bodies:
            x, y = (float(v) for v in moved.removeprefix("translate(").removesuffix(")").split())
            assert 0.0 < x < tank.length_cm
            assert 0.0 < y < tank.height_cm - tank.sand_cm


def test_too_many_for_the_height_still_stand_inside() -> None:
    tank = sample_tank()
    drawn = parsed(film_svg([line(f"tang {n}", (30.0,) * 4) for n in range(30)], tank, "crowd"))
    frame = next(g for g in drawn if g.tag == f"{SVG}g")
    heights = [float((g.get("transform") or "").split()[1][:-1]) for g in frame if g.tag == f"{SVG}g"]
    assert len(heights) == 30
    assert all(0.0 <= y <= tank.height_cm for y in heights)


def test_every_frame_lists_lengths_and_masses() -> None:
    words = [t.text for t in parsed(film_svg(LINES, sample_tank(), "x")).iter(f"{SVG}text")]
    assert "tang: 6 cm, 216 g" in words
    assert "5 chromis: 7 cm, 343 g" in words
    for months in FRAMES:
        assert when(months) in words


def test_the_film_in_words_and_the_sexes_of_a_pair() -> None:
    assert film_description(LINES).startswith("Today: tang 6 cm, chromis 4 cm; In 6 months: tang 9 cm")
    assert length_at(LINES[0], 60) == 18.0
    assert "clown, male: 4 cm" in film_svg([line("clown", (4.0,) * 4, sex="male")], sample_tank(), "x")
