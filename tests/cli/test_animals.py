"""`species` and `name` in the terminal."""

from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import Result

Run = Callable[..., Result]
Json = Callable[..., Any]


def test_species_shows_values_and_who_says_so(run: Run) -> None:
    told = run("species", "royal gramma").stdout
    assert told.startswith("Gramma loreto, royal gramma (Grammatidae)")
    assert "~ marks a guess" in told
    assert "common-practice [cp]" in told
    assert "\nSources\n" in told


def test_species_as_json(run_json: Json) -> None:
    told = run_json("species", "Gramma loreto", "--json")
    assert told["scientific_name"] == "Gramma loreto"
    assert {"trait", "value", "unit", "kind", "source", "rank", "is_guess"} <= set(told["rows"][0])


@pytest.mark.parametrize(
    ("said", "verdict"),
    [("yelow tang", "one"), ("flame", "ask"), ("qqqzzz", "unknown"), ("cleaner shrimp", "not a fish")],
)
def test_name_as_json(run_json: Json, said: str, verdict: str) -> None:
    told = run_json("name", said, "--json")
    assert told["verdict"] == verdict
    assert told["said"] == said
    assert all(set(c) == {"scientific_name", "score", "mark"} for c in told["candidates"])


def test_name_asks_back_by_marks(run: Run) -> None:
    told = run("name", "flame").stdout
    assert told.startswith("Ask back")
    assert "Neocirrhites armatus" in told
    assert "scarlet" in told


@pytest.mark.parametrize(
    ("said", "sentence"),
    [("yelow tang", "One animal"), ("qqqzzz", "Nobody"), ("cleaner shrimp", "no fish")],
)
def test_name_in_a_sentence(run: Run, said: str, sentence: str) -> None:
    assert sentence in run("name", said).stdout


def test_name_repeats_count_and_length(run: Run) -> None:
    assert "count 2, length 6 cm" in run("name", "2 ocellaris 6cm").stdout
