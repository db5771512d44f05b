"""The stones of a page written into a tank file."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
import yaml

from slackwater.errors import InputErrors
from slackwater.service.rock_pieces import with_rock
from slackwater.service.tank_view import open_view, sent_stones
from slackwater.service.tanks import content_of

TODAY = dt.date(2027, 1, 10)
HEAD = "slackwater: 1\ntank: {length: 120 cm, width: 50 cm, height: 50 cm}\nwishes: [royal gramma]\n"
LISTED = HEAD + (
    "rock:\n  - {x: 30 cm, y: 25 cm, length: 30 cm, width: 20 cm, height: 20 cm, mass: 9 kg, holes: [4 cm]}\n"
    "  - {kind: slab, x: 30 cm, y: 25 cm, length: 24 cm, width: 15 cm, height: 4 cm}\n"
)


def stones_in(text: str) -> list[dict[str, Any]]:
    return sent_stones(open_view(f"{text}\n", TODAY).stones)


def pieces_of(text: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = yaml.safe_load(text)["rock"]["pieces"]
    return found


def test_stones_left_alone_leave_the_file_as_it_was() -> None:
    assert content_of(with_rock(LISTED, stones_in(LISTED))) == content_of(LISTED)


def test_a_moved_stone_keeps_its_mass_and_holes() -> None:
    stones = stones_in(LISTED)
    stones[0] |= {"x": 80.0}
    first, second = pieces_of(with_rock(LISTED, stones))
    assert first["x"] == "80 cm"
    assert first["mass"] == "9 kg"
    assert first["holes"] == [{"width": "4 cm"}]
    assert "base" not in second


def test_a_stone_dragged_off_its_support_is_let_down() -> None:
    stones = stones_in(LISTED)
    assert float(stones[1]["base"]) > 10.0
    stones[1] |= {"x": 90.0}
    text = with_rock(LISTED, stones)
    assert pieces_of(text)[1]["base"] == "0 cm"
    assert float(stones_in(text)[1]["base"]) == 0.0


@pytest.mark.parametrize("word", ["sparse", "moderate", "dense", "wall", "two islands", "bommies"])
@pytest.mark.parametrize("size", ["{length: 60 cm}", "{length: 240 cm}", "{shape: cube, length: 60 cm}"])
def test_the_rock_that_a_word_stands_for_can_be_kept_as_stones(word: str, size: str) -> None:
    text = f"slackwater: 1\ntank: {size}\nrock: {{layout: {word}, mass: 30 kg}}\nwishes: [royal gramma]\n"
    stones = stones_in(text)
    made = with_rock(text, stones)
    assert len(pieces_of(made)) == len(stones)
    assert yaml.safe_load(made)["rock"]["mass"] == "30 kg"
    for was, now in zip(stones, stones_in(made), strict=True):
        assert {key: was[key] for key in ("x", "y", "length", "turn")} == {
            key: now[key] for key in ("x", "y", "length", "turn")
        }


def test_a_stone_taken_out_takes_the_mass_of_all_with_it() -> None:
    text = LISTED.replace("rock:\n", "rock:\n  mass: 20 kg\n  pieces:\n")
    assert "mass" in yaml.safe_load(with_rock(text, stones_in(text)))["rock"]
    assert "mass" not in yaml.safe_load(with_rock(text, stones_in(text)[:1]))["rock"]
    assert yaml.safe_load(with_rock(text, []))["rock"] == "none"


def test_what_is_no_stone_is_refused() -> None:
    with pytest.raises(InputErrors):
        with_rock(LISTED, [{"id": 1}])


def test_a_stone_through_the_glass_is_refused_when_the_file_is_read() -> None:
    stones = stones_in(LISTED)
    stones[0] |= {"x": 2.0}
    with pytest.raises(InputErrors, match="through the glass"):
        content_of(with_rock(LISTED, stones))
