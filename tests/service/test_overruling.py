"""A shop's word on a fact: added to its notes, which stay as they were."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from slackwater.errors import InputError, InputErrors
from slackwater.service.house import house_notes
from slackwater.service.overruling import Overruled, overrule
from slackwater.taxa.facts import load_facts

TODAY = dt.date(2026, 11, 25)
SAID = Overruled("Gramma loreto", "adult_length_cm", "7", "livestock desk", "measured in the show tank")
WRITTEN = """# Our own notes; this line stays.
slackwater: 1
facts:
    # the worst one we ever had
    - {taxon: Pseudocheilinus hexataenia, trait: temper_own, value: fierce, who: desk, why: returns}
names:
  - {name: grape fish, animal: royal gramma, who: front counter, why: everybody says so}
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "own" / "house.yaml"


def adult_cm(path: Path) -> float:
    with house_notes(path):
        return load_facts().species("Gramma loreto").number("adult_length_cm")


def test_a_file_is_made_where_there_is_none(path: Path) -> None:
    overrule(path, SAID, TODAY)
    assert adult_cm(path) == 7.0
    assert yaml.safe_load(path.read_text(encoding="utf-8"))["facts"][0]["who"] == "livestock desk"


def test_what_stands_in_the_file_stays(path: Path) -> None:
    path.parent.mkdir()
    path.write_text(WRITTEN, encoding="utf-8")
    overrule(path, SAID, TODAY)
    text = path.read_text(encoding="utf-8")
    assert set(WRITTEN.splitlines()) <= set(text.splitlines())
    assert adult_cm(path) == 7.0


def test_a_second_note_joins_the_first(path: Path) -> None:
    overrule(path, SAID, TODAY)
    overrule(path, replace(SAID, trait="boldness", value="bold"), TODAY)
    assert len(yaml.safe_load(path.read_text(encoding="utf-8"))["facts"]) == 2


@pytest.mark.parametrize(
    "said",
    [
        replace(SAID, value="minus three"),
        replace(SAID, value="4000"),
        replace(SAID, trait="colour of mind"),
        replace(SAID, taxon="Nobody known"),
        replace(SAID, why=""),
    ],
)
def test_what_cannot_be_changes_nothing(path: Path, said: Overruled) -> None:
    path.parent.mkdir()
    path.write_text(WRITTEN, encoding="utf-8")
    with pytest.raises((InputError, InputErrors)):
        overrule(path, said, TODAY)
    assert path.read_text(encoding="utf-8") == WRITTEN
    assert list(path.parent.iterdir()) == [path]
