"""What is said at the counter while it is being typed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.service.check_records import JointAnswer
from slackwater.service.checking import check
from slackwater.service.counter import Told
from slackwater.service.counter_file import tank_file_of
from slackwater.service.plan_work import read_text_of
from slackwater.service.spoken import Reply, Spoken, reply, tank_told, told_of, wanted_of
from slackwater.service.tankfile import load

ASKED = Spoken(tank="120 cm", living=("six line", "", "2 ocellaris 6 cm"), wanted="royal gramma")
TODAY = dt.date(2027, 1, 10)


@pytest.mark.parametrize(
    ("said", "length_cm", "volume_l"),
    [
        ("120 cm", 120.0, None),
        ("4 ft", 121.92, None),
        ("120", 120.0, None),
        ("240 L", None, 240.0),
        ("120 cm, 240 L", 120.0, 240.0),
        ("240 litres and 120 cm", 120.0, 240.0),
        ("120x50x40", 120.0, 240.0),
        ("1.2 m x 50 cm x 40 cm", 120.0, 240.0),
        ("48 x 24 x 24 in", 121.92, pytest.approx(453.1, abs=0.1)),  # 48 * 24 * 24 * 2.54^3 / 1000
    ],
)
def test_a_tank_in_a_few_words(said: str, length_cm: float | None, volume_l: float | None) -> None:
    assert tank_told(said) == (length_cm, volume_l)


@pytest.mark.parametrize("said", ["long", "5 kg", "120 x 50", "120 cm, big"])
def test_what_is_no_tank_is_refused(said: str) -> None:
    with pytest.raises(InputError, match=r"Write 120 cm"):
        tank_told(said)


def test_nothing_told_asks_for_a_newcomer() -> None:
    assert reply(Spoken()) == Reply((), (), missing="Who is wanted?")


def test_what_is_heard_is_said_of_each_entry_that_is_not_empty() -> None:
    heard = reply(replace(ASKED, wanted="")).heard
    assert [(one.field, one.said, one.words) for one in heard] == [
        ("living 0", "six line", "sixline wrasse, Pseudocheilinus hexataenia"),
        ("living 1", "2 ocellaris 6 cm", "2 ocellaris clownfish, Amphiprion ocellaris, 6 cm"),
    ]


def test_a_name_of_several_is_asked_back_and_what_to_write_instead_means_one() -> None:
    told = reply(replace(ASKED, living=("pair of chromis 5cm",)))
    assert told.answer is None
    assert told.missing.startswith("Which animal is")
    choices = told.heard[0].choices
    assert len(choices) > 1
    for choice in choices:
        again = reply(replace(ASKED, living=(choice.instead,), wanted="")).heard[0]
        assert again.verdict == "one"
        assert choice.scientific_name in again.words
        assert "pair" in again.words
        assert "5 cm" in again.words


def test_a_coral_is_told_apart() -> None:
    told = reply(replace(ASKED, wanted="torch coral"))
    assert "no fish" in told.heard[-1].words
    assert told.heard[-1].choices == ()


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"tank": "1 cm"}, "length"),
        ({"tank": "long"}, "the tank"),
        ({"rock": "marble"}, "rock"),
        ({"feeds": "often"}, "feeds"),
        ({"feeds": "99"}, "feeds"),
        ({"since": "soon"}, "since"),
        ({"wanted": "royal gramma 900 cm"}, "the newcomer"),
        ({"living": ("ocellaris 900 cm",)}, "resident 1"),
    ],
)
def test_a_fact_that_cannot_be_is_said_with_its_field(changed: dict[str, Any], field: str) -> None:
    told = reply(replace(ASKED, **changed))
    assert told.answer is None
    assert [fault.field for fault in told.faults] == [field]


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(InputErrors) as found:
        told_of(replace(ASKED, tank="long", rock="marble", since="soon"))
    assert [fault.field for fault in found.value.faults] == ["the tank", "rock", "since"]


def test_every_tap_can_be_told_and_takes_its_doubt_away() -> None:
    told = reply(ASKED)
    tried = 0
    for taken in told.taken:
        for tap in taken.taps:
            if not tap.value:
                continue
            field, _, number = tap.field.partition(" ")
            lines = list(ASKED.lines)
            if field == "living":
                lines[int(number)] = tap.value
            changed: dict[str, Any] = {"living": tuple(lines)} if field == "living" else {field: tap.value}
            again = reply(replace(ASKED, **changed), weighs=False)
            assert again.answer is not None, tap
            assert taken.what not in {row.what for row in again.taken}
            tried += 1
    assert tried > 15


def test_without_weighing_the_answer_is_the_same_and_costs_are_left_out() -> None:
    told = Told(length_cm=120.0, residents=("six line",))
    weighed, quick = check("royal gramma", told), check("royal gramma", told, weighs=False)
    assert quick.sentence == weighed.sentence
    assert quick.animals == weighed.animals
    assert [row.what for row in quick.assumptions] == [row.what for row in weighed.assumptions]
    assert {row.cost for row in quick.assumptions} == {""}
    assert any(row.cost for row in weighed.assumptions)
    assert quick.question == ""


def test_a_lid_that_was_told_is_no_doubt() -> None:
    what = {row.what for row in reply(replace(ASKED, cover="lid"), weighs=False).taken}
    assert "lid" not in what
    assert "rock" in what


def test_the_tank_file_says_what_was_told() -> None:
    spoken = replace(ASKED, rock="dense", feeds="3", since="6 weeks", cover="open", tank="120 cm, 240 L")
    file = load(tank_file_of(spoken, TODAY))
    assert (file.tank.length_cm, file.tank.volume_l, file.tank.lid) == (120.0, 240.0, False)
    assert (file.rock.layout, file.keeping.feeds_per_day) == ("dense", 3.0)
    assert [row.since for row in file.company] == [dt.date(2026, 11, 29)] * 2
    assert [row.length_cm for row in file.company] == [None, 6.0]
    assert [row.animal for row in file.wishes] == ["Gramma loreto"]


def test_a_pair_stays_one_in_the_tank_file() -> None:
    file = load(tank_file_of(Spoken(tank="120 cm", living=("pair of ocellaris",)), TODAY))
    assert [(row.animal, row.count, row.sex) for row in file.company] == [("Amphiprion ocellaris", 2, "pair")]


@pytest.mark.parametrize("text", ["demo.yaml", "/etc/hostname", "~/tank.yaml"])
def test_a_path_is_never_read(text: str) -> None:
    with pytest.raises((InputError, InputErrors)) as found:
        read_text_of(text)
    assert "to be found" not in str(found.value)


SEVERAL = Spoken(tank="150 cm", living=("2 ocellaris 6 cm",), wanted="royal gramma, 2 chromis\na six line")


def test_a_name_of_several_among_several_is_asked_back_for_itself() -> None:
    told = reply(SEVERAL)
    assert told.answer is None
    unclear = next(one for one in told.heard if one.verdict == "ask")
    assert (unclear.field, unclear.said) == ("wanted 0", "2 chromis")
    assert all(choice.instead.startswith("royal gramma, 2 ") for choice in unclear.choices)
    instead = f"{unclear.choices[0].instead}\na six line"
    assert reply(replace(SEVERAL, wanted=instead), weighs=False).answer is not None


def test_several_are_answered_together_and_become_wishes() -> None:
    told = reply(replace(SEVERAL, wanted="royal gramma and a six line"), weighs=False)
    assert isinstance(told.answer, JointAnswer)
    assert [one.field for one in told.heard] == ["living 0", "wanted 0", "wanted 0"]
    file = load(
        tank_file_of(replace(SEVERAL, wanted="royal gramma\n2 firefish goby 5 cm and a six line"), TODAY)
    )
    assert [(row.animal, row.count, row.length_cm) for row in file.wishes] == [
        ("Gramma loreto", 1, None),
        ("Nemateleotris magnifica", 2, 5.0),
        ("Pseudocheilinus hexataenia", 1, None),
    ]


def test_more_than_the_counter_judges_at_once_is_said() -> None:
    told = reply(replace(SEVERAL, wanted=", ".join(["royal gramma"] * 9)))
    assert [fault.field for fault in told.faults] == ["who is wanted"]
    with pytest.raises(InputErrors, match="up to 8 at once"):
        wanted_of(replace(SEVERAL, wanted=", ".join(["royal gramma"] * 9)))
