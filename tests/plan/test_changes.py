"""Single changes, and what of the course of events they fix."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan import changes as make
from slackwater.plan.changes import Change, Kind, done
from slackwater.plan.course import Course, DeedOn, NotBefore
from slackwater.plan.dates import schedule
from slackwater.plan.question import Question
from slackwater.plan.rejudge import as_it_is, days_of, rejudged, with_best_order
from slackwater.plan.sequence import best_sequence, fixed_steps
from slackwater.rules import load_rules
from slackwater.society.company import Deed, Event, Sex
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import load_facts

LONG_AGO = dt.date(2026, 1, 1)
GRAMMA, WRASSE, SIX_LINE = "Gramma loreto", "Halichoeres chrysus", "Pseudocheilinus hexataenia"
KEYS = ("gramma-loreto", "halichoeres-chrysus")


def change(kind: Kind, whom: str = "", effort: float = 1.0) -> Change:
    return Change(kind, whom, "do it", "something", effort, as_it_is)


@pytest.fixture
def question(ask: Asker) -> Question:
    here = (resident(SIX_LINE, 7.0, LONG_AGO),)
    return ask(here, (wanted(GRAMMA, 6.0), wanted(WRASSE, 6.0)), length_cm=90.0)


def test_nothing_is_changed_twice() -> None:
    assert not change(Kind.SIZE, "a").goes_with(change(Kind.SIZE, "a"))
    assert change(Kind.SIZE, "a").goes_with(change(Kind.SIZE, "b"))
    assert change(Kind.SIZE, "a").goes_with(change(Kind.BOX, "a"))
    assert not change(Kind.FEEDS).goes_with(change(Kind.FEEDS))
    assert change(Kind.FEEDS).goes_with(change(Kind.STATIONS))


@pytest.mark.parametrize("gone", [Kind.LEAVE_OUT, Kind.REHOME, Kind.SWAP])
def test_nobody_who_is_gone_is_changed(gone: Kind) -> None:
    assert not change(gone, "a").goes_with(change(Kind.SIZE, "a"))
    assert not change(Kind.NUMBER, "a").goes_with(change(gone, "a"))
    assert change(gone, "a").goes_with(change(Kind.SIZE, "b"))


def test_a_swapped_animal_may_still_be_boxed() -> None:
    assert change(Kind.SWAP, "a").goes_with(change(Kind.BOX, "a"))
    assert not change(Kind.LEAVE_OUT, "a").goes_with(change(Kind.SWAP, "a"))


def test_a_line_is_changed_and_the_rest_stays(question: Question) -> None:
    changed = make.line("gramma-loreto", length_cm=8.0, count=2, sex=Sex.PAIR)(question)
    first, second = changed.wishes
    assert (first.length_cm, first.count, first.sex) == (8.0, 2, Sex.PAIR)
    assert (second, changed.residents) == (question.wishes[1], question.residents)


def test_a_swap_takes_the_place_and_its_size(question: Question) -> None:
    other = load_facts().species("Pseudochromis fridmani")
    changed = make.swap("gramma-loreto", other)(question)
    assert changed.wishes[0].key == "gramma-loreto"
    assert changed.wishes[0].species is other
    assert changed.wishes[0].length_cm == other.number("sale_length_cm")


def test_whoever_is_out_is_gone(question: Question) -> None:
    assert [w.key for w in make.out("gramma-loreto")(question).wishes] == ["halichoeres-chrysus"]
    assert make.out("here-pseudocheilinus-hexataenia")(question).residents == ()


def test_a_longer_tank_keeps_its_rock_word(question: Question) -> None:
    longer = make.longer_tank(140.0)(question)
    assert longer.glass.length_cm == 140.0
    assert [r.word for r in longer.rockworks] == ["moderate"] * 3


def test_a_longer_cube_is_no_cube(question: Question) -> None:
    cube = replace(question, glass=Glass(Shape.CUBE, 60.0, 60.0, 60.0))
    assert make.longer_tank(90.0)(cube).glass.shape is Shape.RECTANGULAR


def test_listed_rock_stays_where_it_stands(question: Question) -> None:
    listed = replace(question, rock_word="as listed")
    assert make.longer_tank(140.0)(listed).rockworks == listed.rockworks


def test_rock_is_arranged_anew_with_the_same_mass(question: Question) -> None:
    changed = make.rock("two islands", same_mass=True)(question)
    assert changed.rock_word == "two islands"
    assert changed.rockworks[0].mass_kg == pytest.approx(question.rockworks[0].mass_kg, rel=1e-3)
    more = make.rock("dense", same_mass=False)(question)
    assert more.rockworks[0].mass_kg > 1.3 * question.rockworks[0].mass_kg


def test_a_resident_is_out_of_sight_from_the_first_release_to_the_last(question: Question) -> None:
    changed = make.timeout(SIX_LINE, *KEYS)(question)
    situation = changed.situation({"gramma-loreto": 1.0, "halichoeres-chrysus": 22.0})
    assert situation.events == (
        Event(1.0, Deed.TAKE_OUT, SIX_LINE, 21.0 + make.TIMEOUT_DAYS),
        Event(1.0, Deed.RESCAPE),
    )


def test_what_is_done_for_a_wish_left_out_is_not_done(question: Question) -> None:
    changed = done(question, (_moved("gramma-loreto"), _left_out("gramma-loreto")))
    assert changed.situation({"halichoeres-chrysus": 1.0}).events == ()


def _moved(key: str) -> Change:
    return Change(Kind.ROCK_MOVED, key, "", "", 1.0, make.rock_moved(key))


def _left_out(key: str) -> Change:
    return Change(Kind.LEAVE_OUT, key, "", "", 1.0, make.out(key))


def test_feeds_and_places_are_changed_each_alone(question: Question) -> None:
    both = make.fed(stations=2)(make.fed(feeds_per_day=3.0)(question))
    assert (both.keeping.feeds_per_day, both.keeping.stations) == (3.0, 2)
    bare = replace(question, keeping=replace(question.keeping, lid=False))
    assert make.covered(bare).keeping.lid


def test_a_fixed_order_is_kept_and_the_rest_comes_last(question: Question) -> None:
    fixed = make.order((("halichoeres-chrysus",),))(question)
    assert fixed_steps(fixed) == ((1,), (0,))
    sequence = best_sequence(fixed, load_rules())
    assert sequence.steps == ((1,), (0,))
    assert sequence.proof == "The order was given; no other was sought."


def test_the_spacing_is_that_of_the_course(question: Question) -> None:
    fixed = make.spacing(42.0)(make.order((("gramma-loreto",), ("halichoeres-chrysus",)))(question))
    assert days_of(fixed, load_rules()) == {"gramma-loreto": 1.0, "halichoeres-chrysus": 43.0}
    first, second = schedule(fixed, ((0,), (1,)), load_rules())
    assert (second.release - first.release).days == 42


def test_known_days_go_before_the_spacing(question: Question) -> None:
    fixed = replace(question, course=Course(days=(("gramma-loreto", 5.0),)))
    assert days_of(fixed, load_rules())["gramma-loreto"] == 5.0


def test_no_release_before_its_first_day(question: Question) -> None:
    day = dt.date(2027, 3, 3)
    limits = (NotBefore("gramma-loreto", day, "as promised"), NotBefore("gramma-loreto", LONG_AGO, "no"))
    fixed = replace(question, course=Course(not_before=limits))
    first, second = schedule(fixed, ((0,), (1,)), load_rules())
    assert (first.release, first.why) == (day, "as promised")
    assert second.release > day


def test_the_best_order_is_fixed_once(question: Question) -> None:
    fixed = with_best_order(question, load_rules())
    assert sorted(key for step in fixed.course.steps for key in step) == sorted(KEYS)
    assert with_best_order(fixed, load_rules()) is fixed


def test_judging_again_without_a_change_is_judging(question: Question) -> None:
    rules = load_rules()
    fixed = with_best_order(question, rules)
    again = rejudged(fixed, rules)
    assert again.worst_p == rejudged(fixed, rules, as_it_is).worst_p
    assert rejudged(fixed, rules, horizon_days=120.0).situation.horizon_days == 120.0
    assert len(rejudged(fixed, rules, sketch=True).fields) == 1


def test_a_deed_without_an_end_lasts_its_days() -> None:
    deed = DeedOn("a", Deed.TAKE_OUT, SIX_LINE, 14.0)
    assert deed.event({"a": 3.0}) == Event(3.0, Deed.TAKE_OUT, SIX_LINE, 14.0)
