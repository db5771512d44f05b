"""A divider, sides, places and a box in a tank file, and what is wrong with them."""

from __future__ import annotations

import datetime as dt

import pytest

from slackwater.errors import InputErrors
from slackwater.service.planning import question_of
from slackwater.service.tankfile import json_schema, load
from slackwater.society.company import Place

DAY = dt.date(2027, 1, 1)


def text(divider: str = "", company: str = "", wishes: str = "{animal: royal gramma}", more: str = "") -> str:
    lines = [
        "slackwater: 1",
        "tank: {length: 120 cm, width: 50 cm, height: 50 cm}",
        divider and f"divider: {divider}",
        company and f"company: [{company}]",
        f"wishes: [{wishes}]",
        more,
    ]
    return "\n".join(line for line in lines if line) + "\n"


def faults(given: str) -> list[tuple[str, str]]:
    with pytest.raises(InputErrors) as caught:
        load(given)
    return [(fault.field, fault.limit) for fault in caught.value.faults]


def test_a_divider_with_everyone_on_a_side() -> None:
    file = load(
        text(
            "{at: 24 in, sheet: clear}",
            "{animal: six line, side: left}",
            "{animal: royal gramma, side: right}",
        )
    )
    asked = question_of(file, DAY, "tank")
    assert asked.divider_cm == pytest.approx(60.96)
    assert asked.divider_clear
    assert [w.side for w in (*asked.residents, *asked.wishes)] == ["left", "right"]
    assert asked.situation({}).divider_cm == asked.divider_cm
    assert asked.situation({}).parties[0].side == "left"


def test_a_bare_place_is_an_opaque_divider() -> None:
    file = load(text("60 cm", wishes="{animal: royal gramma, side: left}"))
    assert file.divider is not None
    assert (file.divider.at_cm, file.divider.sheet) == (60.0, "opaque")
    assert "Divider" in str(json_schema()["$defs"])


@pytest.mark.parametrize("at", ["5 cm", "115 cm"])
def test_a_divider_leaves_two_sides(at: str) -> None:
    wish = "{animal: royal gramma, side: left}"
    assert ("divider.at", "the tank is 120 cm long and each side needs 15 cm") in faults(
        text(at, wishes=wish)
    )


def test_a_side_needs_a_divider_and_a_divider_sides() -> None:
    assert faults(text(wishes="{animal: royal gramma, side: left}")) == [
        ("wishes[1].side", "there is no divider")
    ]
    assert faults(text("60 cm")) == [("wishes[1].side", "a divider stands in the tank")]


def test_a_divider_cuts_no_rock() -> None:
    rock = "rock: [{kind: slab, x: 55 cm, y: 25 cm, length: 30 cm, width: 10 cm, height: 10 cm}]"
    found = faults(text("60 cm", wishes="{animal: royal gramma, side: left}", more=rock))
    assert found == [("divider.at", "rock.pieces[1], the slab, stands there from 40 to 70 cm")]
    turned = rock.replace("height: 10 cm", "height: 10 cm, turn: 90")
    file = load(text("63 cm", wishes="{animal: royal gramma, side: left}", more=turned))
    assert file.divider is not None


def test_who_lives_in_the_sump_has_no_side() -> None:
    file = load(text("60 cm", "{animal: domino damsel, place: sump}", "{animal: royal gramma, side: left}"))
    asked = question_of(file, DAY, "tank")
    assert asked.residents[0].place is Place.SUMP
    assert asked.resident_parties()[0].place is Place.SUMP


def test_a_box_must_be_long_enough() -> None:
    box = "box: {length: 15 cm}"
    short = faults(text(wishes="{animal: royal gramma, length: 9 cm, box_days: 5}", more=box))
    assert short == [("wishes[1].box_days", "an animal of 9 cm needs 18 cm to turn and rest")]
    file = load(text(wishes="{animal: royal gramma, length: 6 cm, box_days: 5}", more=box))
    assert question_of(file, DAY, "tank").wishes[0].box_days == 5.0


def test_a_word_that_is_no_sheet() -> None:
    ((field, limit),) = faults(text("{at: 60 cm, sheet: foggy}", wishes="{animal: royal gramma, side: left}"))
    assert field == "divider.sheet"
    assert limit == "it is none of the words known here"
