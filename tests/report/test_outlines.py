from __future__ import annotations

import csv
import re
from importlib import resources

import pytest

from slackwater.report.outlines import OUTLINES, Body, Ink, extent_cm, side_view

FORMS = sorted(OUTLINES)


def test_every_form_word_of_the_traits_table_has_an_outline() -> None:
    table = (resources.files("slackwater.data") / "traits.csv").read_text(encoding="utf-8")
    meaning = next(row["meaning"] for row in csv.DictReader(table.splitlines()) if row["trait"] == "form")
    words = [word.strip() for word in meaning.split(":", 1)[1].split("|")]
    assert sorted(words) == FORMS


@pytest.mark.parametrize("form", FORMS)
def test_outline_has_the_length_it_is_given(form: str) -> None:
    body = Body(form, 20.0, 0.4)
    along = extent_cm(body)[1 if body.outline.upright else 0]
    assert along == pytest.approx(20.0, rel=0.02)


@pytest.mark.parametrize("form", FORMS)
def test_outline_is_one_path_and_an_eye(form: str) -> None:
    drawn = str(side_view(Body(form, 10.0, 0.3), Ink()))
    assert drawn.count("<path") == 1
    assert drawn.count("<circle") == 1


@pytest.mark.parametrize("form", FORMS)
def test_depth_follows_the_ratio(form: str) -> None:
    slim, deep = (extent_cm(Body(form, 10.0, ratio)) for ratio in (0.2, 0.4))
    across = 0 if OUTLINES[form].upright else 1
    assert deep[across] == pytest.approx(2 * slim[across])


def test_unknown_form_is_drawn_all_the_same() -> None:
    assert re.search("<path", str(side_view(Body("unheard of", 10.0, 0.3), Ink())))
