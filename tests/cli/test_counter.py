"""`check` and `explain` in the terminal."""

from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import Result

Run = Callable[..., Result]
Json = Callable[..., Any]

CHECK = (
    "check",
    "royal gramma",
    "--length",
    "120cm",
    "--with",
    "pair of ocellaris 6cm",
    "--with",
    "six line",
)


def test_check_answers_with_day_order_and_condition(run: Run) -> None:
    told = " ".join(run(*CHECK).stdout.split())
    assert told.startswith(("Yes", "Not this one"))
    assert "after ocellaris clownfish and sixline wrasse" in told
    assert "Worst off" in told
    assert "Assumed" in told
    assert "Come back if" in told


def test_check_as_json(run_json: Json) -> None:
    told = run_json(*CHECK, "--json")
    assert told["scientific_name"] == "Gramma loreto"
    assert told["decision"] in {"yes", "yes, if", "not this one"}
    assert set(told) >= {"sentence", "worst", "animals", "assumptions", "question", "conditions", "tried"}
    assert [fare["is_newcomer"] for fare in told["animals"]] == [True, False, False]
    assert set(told["worst"]) >= {"p", "word", "by", "outcome", "sentence"}


def test_check_says_the_same_twice(run: Run) -> None:
    assert run(*CHECK, "--json").stdout == run(*CHECK, "--json").stdout


def test_check_with_nothing_but_a_name(run: Run) -> None:
    assert "100 cm long" in run("check", "royal gramma").stdout


def test_check_in_inches_and_gallons(run_json: Json) -> None:
    told = run_json("check", "royal gramma", "--length", "48in", "--volume", "75 gal", "--json")
    assert not {"length", "width and height"} & {row["what"] for row in told["assumptions"]}


def test_no_line_ends_in_blanks(run: Run) -> None:
    assert all(line == line.rstrip() for line in run(*CHECK).stdout.splitlines())


@pytest.mark.parametrize("words", [(), ("--with", "pair of ocellaris", "--rock", "wall", "--since", "0")])
def test_explain_names_every_factor(run: Run, words: tuple[str, ...]) -> None:
    told = run("explain", "six line", "royal gramma", "--length", "90cm", *words).stdout
    for factor in ("temper", "recognition", "contest", "head start", "familiarity", "encounter"):
        assert factor in told
    assert "says who" in told
    assert "The other way" in told


def test_explain_as_json(run_json: Json) -> None:
    told = run_json("explain", "six line", "royal gramma", "--json")
    assert told["there"]["attacker"] == "Pseudocheilinus hexataenia"
    assert told["back"]["attacker"] == "Gramma loreto"
    assert len(told["there"]["factors"]) == 9
    assert all(row["says_who"] for row in told["there"]["factors"])


def test_those_at_ease_stand_in_one_line_and_nothing_is_told_twice(run: Run) -> None:
    words = ["check", "royal gramma", "--length", "150cm"]
    for animal in ("ocellaris", "lawnmower blenny", "green chromis", "yellow watchman goby"):
        words += ["--with", animal]
    told = " ".join(run(*words).stdout.split())
    assert told.count("At ease:") == 1
    assert told.count("lue-green chromis is") == 1
    assert told.count("Lengths:") <= 1


def test_check_takes_several_in_arguments_or_in_one(run_json: Json, run: Run) -> None:
    apart = run_json("check", "royal gramma", "2 firefish goby", "--length", "150cm", "--json")
    told = run_json("check", "royal gramma and 2 firefish goby", "--length", "150cm", "--json")
    assert apart == told
    assert [one["common_name"] for one in told["newcomers"]] == ["royal gramma", "firefish"]
    shown = " ".join(run("check", "royal gramma", "2 firefish goby", "--length", "150cm").stdout.split())
    assert "Each of them" in shown
    assert told["newcomers"][1]["sentence"] in shown
