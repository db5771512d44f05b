"""Likeness of colours."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from scripts.make_colour_likeness import OUT, rows

from slackwater.errors import DataTableError
from slackwater.taxa.colour import alike, areas, colour_likeness, lab_of_srgb


def test_white_and_black_lie_at_the_ends() -> None:
    assert lab_of_srgb(255, 255, 255) == pytest.approx((100.0, 0.0, 0.0), abs=0.02)
    assert lab_of_srgb(0, 0, 0) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_the_stored_table_is_that_of_the_script() -> None:
    stored = [tuple(row) for row in csv.reader(Path(OUT).read_text().splitlines())][1:]
    assert stored == rows()


def test_the_same_dress_is_alike_and_opposites_are_not() -> None:
    yellow, mixed, black = areas("yellow:1"), areas("yellow:0.8;white:0.2"), areas("black:1")
    assert colour_likeness(yellow, yellow) == pytest.approx(1.0)
    assert colour_likeness(yellow, mixed) == colour_likeness(mixed, yellow)
    assert colour_likeness(yellow, mixed) > 0.9
    assert colour_likeness(yellow, black) < 0.3
    assert colour_likeness({}, yellow) == 0.0


def test_likeness_of_named_colours_is_symmetric_and_at_most_one() -> None:
    for (a, b), value in alike().items():
        assert alike()[b, a] == value
        assert 0.0 < value <= 1.0


def test_an_unnamed_colour_is_a_fault_of_the_table() -> None:
    with pytest.raises(DataTableError, match="mauve"):
        areas("mauve:1")
