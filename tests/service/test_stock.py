"""The shop's stock list: read, taken into plans, and marked."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.service.planning import question_of
from slackwater.service.stock import from_stock, in_other_ways, read_stock, stock_notes
from slackwater.service.tankfile import load

TODAY = dt.date(2026, 12, 1)
STOCK = """name, length, sex, price, count, since, eating
royal gramma, 5 cm,, 25 EUR, 4, 2026-11-01, yes
royal gramma, 7 cm,, 30 EUR, 2,, no
flame angel, 9 cm,, 90 EUR, 1,,
green chromis, 4 cm,, 8 EUR, 3,,
some unheard-of thing,,,,,,
"""
TANK = """
slackwater: 1
tank: {length: 150 cm, width: 60 cm, height: 60 cm}
company: [{animal: royal gramma, length: 8 cm}]
wishes:
  - royal gramma
  - {animal: flame angel, length: 6 cm, price: 70 EUR}
  - {animal: green chromis, count: 5}
  - firefish goby
stock: stock.csv
"""


@pytest.fixture
def tank(tmp_path: Path) -> Path:
    (tmp_path / "stock.csv").write_text(STOCK, encoding="utf-8")
    path = tmp_path / "reef.yaml"
    path.write_text(TANK, encoding="utf-8")
    return path


def test_wishes_take_size_and_price_from_stock_and_are_marked(tank: Path) -> None:
    question = question_of(load(tank), TODAY, "reef")
    gramma, angel, chromis, firefish = question.wishes
    assert (gramma.length_cm, gramma.price) == (5.0, "25 EUR")
    assert gramma.stock == "in stock: 5 cm, eats, since 2026-11-01"
    assert (angel.length_cm, angel.price) == (6.0, "70 EUR")
    assert angel.stock == "in stock: only at 9 cm"
    assert chromis.stock == "in stock: 3 of 5, 4 cm"
    assert firefish.stock == ""
    assert question.residents[0].stock == ""
    assert any(note.startswith("Not in stock") and "firefish" in note for note in question.notes)
    assert any("some unheard-of thing" in note for note in question.notes)


def test_two_wishes_do_not_take_the_same_animals(tank: Path) -> None:
    stock = read_stock(tank.parent / "stock.csv")
    question = question_of(load(tank), TODAY, "reef")
    chromis = question.wishes[2]
    first, second = from_stock([chromis, chromis], stock)
    assert first.stock.startswith("in stock")
    assert second.stock == chromis.stock
    assert stock_notes((), stock) == (
        "Lines of the stock list that name no one animal: some unheard-of thing.",
    )


def test_faults_of_the_list_are_told_together(tmp_path: Path) -> None:
    path = tmp_path / "stock.csv"
    path.write_text("name,length,count\nroyal gramma,five,1\nflame angel,6 cm,-2\n", encoding="utf-8")
    with pytest.raises(InputErrors) as told:
        read_stock(path)
    assert "rows[1].length" in str(told.value)
    assert "rows[2].count" in str(told.value)


@pytest.mark.parametrize("head", ["animal,length", "", "name,colour"])
def test_a_head_that_is_none_is_refused(tmp_path: Path, head: str) -> None:
    path = tmp_path / "stock.csv"
    path.write_text(f"{head}\n", encoding="utf-8")
    with pytest.raises(InputError, match="columns"):
        read_stock(path)


def test_a_missing_list_is_said(tmp_path: Path) -> None:
    path = tmp_path / "reef.yaml"
    path.write_text(TANK, encoding="utf-8")
    with pytest.raises(InputError, match="not to be found"):
        question_of(load(path), TODAY, "reef")


def test_the_plan_marks_what_is_in_stock(tank: Path) -> None:
    from slackwater.service.planning import plan_file

    plan = plan_file(tank, TODAY)
    notes = {line.common_name: line.notes for line in plan.animals if not line.resident}
    assert "in stock: only at 9 cm" in notes["flame dwarf angel"]


def test_a_choice_may_take_any_size_in_stock(tank: Path) -> None:
    question = question_of(load(tank), TODAY, "reef")
    whole, either = in_other_ways(question, load(tank))
    assert either == ((0, 1),)
    assert [w.length_cm for w in whole.wishes[:2]] == [5.0, 7.0]
    assert [w.price for w in whole.wishes[:2]] == ["25 EUR", "30 EUR"]
    assert len({w.key for w in whole.wishes}) == len(whole.wishes) == 5
    assert whole.wishes[2].length_cm == 6.0, "a length that was told stays the only one"


def test_without_a_stock_list_there_is_one_way() -> None:
    file = load("slackwater: 1\ntank: {length: 100 cm}\nwishes: [royal gramma]\n")
    question = question_of(file, TODAY, "reef")
    assert in_other_ways(question, file) == (question, ())
