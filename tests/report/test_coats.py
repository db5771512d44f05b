"""Coats drawn upon outlines, and the tints they are drawn in."""

from __future__ import annotations

import re

import pytest

from slackwater.report.coats import dressed
from slackwater.report.colour import muted
from slackwater.report.outlines import OUTLINES, Body, span_at
from slackwater.taxa.coat import Coat, Mark
from slackwater.taxa.colour import lab_of_srgb, named_colours

SHAPES = ("bars", "stripes", "spots", "blotches", "mottled", "net", "mask", "two_tone", "plain", "rear",
          "front", "head", "tail", "back", "belly", "throat")  # fmt: skip


def lab_of_page(colour: str) -> tuple[float, float, float]:
    return lab_of_srgb(*(int(colour[i : i + 2], 16) for i in (1, 3, 5)))


@pytest.mark.parametrize("name", sorted(named_colours()))
def test_a_tint_is_duller_than_its_colour_and_neither_ink_nor_paper(name: str) -> None:
    light, a, b = lab_of_page(muted(name))
    _, true_a, true_b = named_colours()[name]
    assert a * a + b * b <= true_a**2 + true_b**2 + 1.0
    assert 25.0 < light < 90.0


def test_the_tints_keep_the_order_of_lightness() -> None:
    by_colour = sorted(("black", "grey", "white"), key=lambda name: lab_of_page(muted(name))[0])
    assert by_colour == ["black", "grey", "white"]


@pytest.mark.parametrize("form", sorted(OUTLINES))
@pytest.mark.parametrize("above", [False, True])
def test_every_mark_is_drawn_upon_every_form(form: str, *, above: bool) -> None:
    coat = Coat("yellow", tuple(Mark(shape, "black", rim="white") for shape in SHAPES))
    text = str(dressed("n1", Body(form, 1.0, 0.4), coat, above=above))
    inked = text.count(f'stroke="{muted("black")}"')
    assert inked == len(SHAPES) - (2 if above else 0)  # belly and throat are not seen from above
    assert text.count(f'stroke="{muted("white")}"') == inked
    assert "style=" not in text
    assert 'clip-path="url(#n1c)"' in text


def test_the_numbers_of_bars_are_those_told() -> None:
    text = str(
        dressed("n", Body("disc", 10.0, 0.5), Coat("silver", (Mark("bars", "black", count=5),)), above=False)
    )
    bars = re.search(rf'd="([^"]*)" stroke="{muted("black")}"', text)
    assert bars is not None
    assert bars[1].count("M") == 5


@pytest.mark.parametrize("form", sorted(OUTLINES))
def test_a_body_has_a_span_all_along(form: str) -> None:
    for along in (0.0, 0.2, 0.5, 0.8, 1.0):
        low, high = span_at(Body(form, 1.0, 0.4), along, above=False)
        assert low < high
