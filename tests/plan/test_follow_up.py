"""Calls back: when, about whom, and what to ask of this very animal."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.plan.diaries import Diary

from slackwater.plan.follow_up import Call, LetGo, due_calls, due_trials, next_call
from slackwater.rules import load_rules
from slackwater.society.diary import Chases, Eating, RemedyBegun, RemedyEnded, Result, Watch
from slackwater.taxa.facts import load_facts

RULES = load_rules()
TODAY = dt.date(2027, 3, 8)


def let_go(name: str, days: int) -> LetGo:
    species = load_facts().species(name)
    return LetGo(species.common_name, species, TODAY - dt.timedelta(days=days))


@pytest.mark.parametrize(
    ("days", "call"),
    [
        (0, None),
        (1, Call.ARRIVED),
        (4, Call.EATS),
        (13, Call.EATS),
        (14, Call.RANK),
        (59, Call.RANK),
        (60, Call.SIZE),
        (105, Call.SIZE),
        (106, None),
        (365, Call.MATURITY),
        (500, None),
    ],
)
def test_each_call_has_its_day(days: int, call: Call | None) -> None:
    due = due_calls([let_go("Zebrasoma flavescens", days)], (), TODAY, (), RULES)
    assert [d.call for d in due] == ([call] if call else [])


def test_a_call_that_was_made_is_not_due_and_an_earlier_one_is_spared() -> None:
    tang = let_go("Zebrasoma flavescens", 15)
    assert due_calls([tang], (), TODAY, {(tang.label, Call.RANK)}, RULES) == ()
    left = due_calls([tang], (), TODAY, {(tang.label, Call.ARRIVED)}, RULES)
    assert [d.call for d in left] == [Call.RANK]


def test_the_longest_overdue_comes_first() -> None:
    due = due_calls([let_go("Zebrasoma flavescens", 5), let_go("Gramma loreto", 30)], (), TODAY, (), RULES)
    assert [(d.label, d.overdue_days) for d in due] == [("royal gramma", 16), ("yellow tang", 1)]


def test_what_is_asked_is_about_this_animal() -> None:
    wrasse = due_calls([let_go("Macropharyngodon meleagris", 1)], (), TODAY, (), RULES)[0]
    assert any("lie in the sand" in text for text in wrasse.ask)
    gramma = due_calls([let_go("Gramma loreto", 1)], (), TODAY, (), RULES)[0]
    assert not any("sand" in text for text in gramma.ask)
    tang = due_calls([let_go("Zebrasoma flavescens", 60)], (), TODAY, (), RULES)[0]
    adult_cm = load_facts().species("Zebrasoma flavescens").number("adult_length_cm")
    assert f"{adult_cm:.0f} cm" in tang.ask[0]


def test_what_the_diary_knows_is_not_asked_blindly() -> None:
    tang = let_go("Zebrasoma flavescens", 5)
    diary = Diary().saw(2.0, Eating("yellow tang", ate=True, food="greens"))
    assert "it ate on 2027-03-06" in due_calls([tang], diary.entries, TODAY, (), RULES)[0].known
    older = let_go("Zebrasoma flavescens", 20)
    seen = Diary().saw(3.0, Watch(10.0, (Chases("kole tang", "yellow tang", 4),)))
    assert "chased by kole tang" in due_calls([older], seen.entries, TODAY, (), RULES)[0].known


def test_the_next_call_lies_ahead_until_all_are_past() -> None:
    tang = let_go("Zebrasoma flavescens", 5)
    assert next_call(tang, TODAY, RULES) == (Call.RANK, tang.on + dt.timedelta(days=14))
    assert next_call(let_go("Zebrasoma flavescens", 400), TODAY, RULES) is None


def test_a_trial_that_has_run_out_asks_for_its_result_and_then_no_more() -> None:
    diary = Diary().saw(6.0, RemedyBegun("rescape", ("coral beauty", "flame angel")))
    (due,) = due_trials(diary.entries, TODAY, RULES)
    assert (due.rung, due.overdue_days) == ("rescape", 1)
    assert due.ask.startswith("Moving the rock for coral beauty and flame angel")
    assert due_trials(diary.saw(0.5, RemedyEnded(due.begun, Result.WORKED)).entries, TODAY, RULES) == ()


def test_a_trial_goes_by_the_days_that_were_written_down() -> None:
    diary = Diary().saw(6.0, RemedyBegun("timeout", ("coral beauty",), "", 10.0))
    assert due_trials(diary.entries, TODAY, RULES) == ()
    assert len(due_trials(diary.entries, TODAY + dt.timedelta(days=5), RULES)) == 1
