"""A changed question as a tank file: read back it is the same, and its plan is made anew like any."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.service.test_whatif import OWNED as WRASSE

from slackwater.plan import changes as make
from slackwater.plan.changes import Change, Kind, done
from slackwater.plan.course import Course, DeedOn
from slackwater.plan.levers import LEVERS, Bench, Trouble, changes_on
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import with_best_order
from slackwater.rules import load_rules
from slackwater.service.planning import question_of
from slackwater.service.replanning import read_plan, replan_files, write_replan
from slackwater.service.tankfile import load
from slackwater.service.way_file import course_from, plain_course, still_to_do, written
from slackwater.service.way_taken import WayTaken, take_way, write_way
from slackwater.service.whatif import whatif_file
from slackwater.society.company import Deed
from slackwater.taxa.facts import load_facts

TODAY = dt.date(2026, 11, 24)
RULES = load_rules()

OWNED = """
slackwater: 1
tank: {length: 52 in, width: 50 cm, height: 50 cm, lid: false, sump: 400 L}
rock: {layout: two islands, mass: 25 kg}
keeping: {feeds_per_day: 2, stations: 1}
company:
  - {animal: Pictichromis paccagnellorum, length: 7 cm, since: 2026-01-10, seen: {chases: 9, minutes: 30}}
  - {animal: ocellaris, count: 2, sex: pair, since: 2026-05-10}
wishes:
  - {animal: royal gramma, wish: 9, price: 30 EUR}
  - {animal: Nemateleotris magnifica, count: 2, wish: 6}
limits: {start: 2026-12-05, budget: 200 EUR}
"""


def everything_tried(question: Question) -> Bench:
    company = frozenset(w.key for w in (*question.residents, *question.wishes))
    return Bench(question, Trouble(company, company), RULES)


def swapped(question: Question) -> Change:
    other, wish = load_facts().species("Assessor macneilli"), question.wishes[0]
    return Change(Kind.SWAP, wish.key, "take another", wish.said, 1.0, make.swap(wish.key, other))


def same(line: Wanted) -> Wanted:
    """Return a line without what a file writes otherwise: its key, and whether its length was told."""
    return replace(line, key="", length_told=True)


@pytest.mark.parametrize("shape", ["length: 52 in", "measured: outside, length: 52 in"])
def test_every_single_change_is_read_back_as_it_was_made(shape: str) -> None:
    tank_file = load(OWNED.replace("length: 52 in", shape))
    question = with_best_order(question_of(tank_file, TODAY, "an invented tank"), RULES)
    kinds = set()
    for change in (*changes_on(everything_tried(question), *LEVERS), swapped(question)):
        after = done(question, (change,))
        now = written(tank_file, question, after).question
        kinds.add(change.kind)
        for field in (
            "glass",
            "rockworks",
            "keeping",
            "divider_cm",
            "divider_clear",
            "start",
            "sump_l",
            "away",
        ):
            assert getattr(now, field) == getattr(after, field), (change.words, field)
        assert [same(w) for w in now.residents] == [same(w) for w in after.residents], change.words
        assert [same(w) for w in now.wishes] == [same(w) for w in after.wishes], change.words
        assert len(now.course.deeds) == len(after.course.deeds)
        assert now.course.spacing_days == after.course.spacing_days
    assert kinds >= set(Kind) - {Kind.ORDER, Kind.SEX, Kind.NUMBER}


def test_a_course_is_read_back_from_plain_values() -> None:
    away = DeedOn("one", Deed.TAKE_OUT, "Gramma loreto", 14.0, until="two")
    course = Course(spacing_days=42.0, deeds=(away, DeedOn("one", Deed.RESCAPE)))
    plain: dict[str, Any] = json.loads(json.dumps(plain_course(course)))
    assert course_from(plain) == course
    assert plain_course(Course()) == {}
    assert course_from({}) == Course()


def test_what_is_done_is_done_and_what_lasts_goes_on() -> None:
    away = DeedOn("one", Deed.TAKE_OUT, "Gramma loreto", 14.0, until="three")
    course = Course(deeds=(away, DeedOn("one", Deed.RESCAPE), DeedOn("two", Deed.RESCAPE)))
    here = {"Gramma loreto"}
    left = still_to_do(course, {"two": "b", "three": "c"}, ("two", "three"), here)
    assert left.deeds == (replace(away, key="b", until="c"), DeedOn("b", Deed.RESCAPE))
    last_gone = still_to_do(course, {"two": "b"}, ("two",), here)
    assert last_gone.deeds[0] == replace(away, key="b", until="b")
    assert still_to_do(course, {"two": "b"}, ("two",), set()).deeds == (DeedOn("b", Deed.RESCAPE),)
    assert still_to_do(course, {}, (), here).deeds == ()


@pytest.fixture(scope="module")
def timeout() -> WayTaken:
    """Return the plan of a way that keeps a resident out of sight or moves the rock."""
    for number, way in enumerate(whatif_file(WRASSE, TODAY, most=10).ways, start=1):
        if any(change.kind in {"timeout", "rock moved"} for change in way.changes):
            return take_way(WRASSE, TODAY, number, most=10)
    pytest.fail("no way has a deed")


@pytest.mark.slow
def test_the_plan_of_a_way_is_made_anew_with_its_deeds(timeout: WayTaken, tmp_path: Path) -> None:
    old = write_way(timeout, tmp_path / "way")[2]
    assert read_plan(old).course.deeds
    made = replan_files(old, "{delay: 2 weeks}", TODAY)
    deeds = [deed for release in timeout.plan.releases for deed in release.deeds]
    assert [deed for release in made.found.plan.releases for deed in release.deeds] == deeds
    assert {row.changed for row in made.found.beside if row.before and row.before.date} == {"14 days later"}
    again = write_replan(made, tmp_path / "anew")[2]
    assert read_plan(again).course == read_plan(old).course


@pytest.mark.slow
def test_each_animal_fares_in_the_plan_of_a_way_as_the_way_was_judged(timeout: WayTaken) -> None:
    assert all(line.comfort.word in {"at ease", "jostled", "pressed"} for line in timeout.plan.animals)
    assert not timeout.plan.left_out
