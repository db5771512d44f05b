"""What would make it work: minimal, different, the same every time, and stoppable."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.changes import Kind, done
from slackwater.plan.clash import bearable
from slackwater.plan.question import Question
from slackwater.plan.rejudge import rejudged
from slackwater.plan.whatif import Left, Tick, WhatIf, effort, expected, ways_to_yes, works
from slackwater.rules import load_rules

LONG_AGO = dt.date(2026, 1, 1)
RULES = load_rules()


def troubled(ask: Asker) -> Question:
    here = (resident("Pseudocheilinus hexataenia", 7.0, LONG_AGO),)
    wishes = (wanted("Gramma loreto", 5.0, wish=9.0), wanted("Halichoeres chrysus", 6.0))
    return ask(here, wishes, length_cm=90.0)


@pytest.fixture(scope="module")
def searched() -> dict[str, WhatIf]:
    return {}


@pytest.fixture
def found(ask: Asker, searched: dict[str, WhatIf]) -> WhatIf:
    if "troubled" not in searched:
        searched["troubled"] = ways_to_yes(troubled(ask), RULES)
    return searched["troubled"]


@pytest.mark.slow
def test_every_way_works_in_all_layouts(found: WhatIf) -> None:
    assert not bearable(found.verdict, RULES)
    assert len(found.ways) == 3
    for way in found.ways:
        changed = done(found.question, way.changes)
        assert bearable(rejudged(changed, RULES), RULES)
        assert len(way.verdict.fields) == 3


@pytest.mark.slow
def test_no_part_of_a_way_can_be_left_out(found: WhatIf) -> None:
    for way in found.ways:
        for size in range(1, len(way.changes)):
            for rest in itertools.combinations(way.changes, size):
                assert not bearable(rejudged(done(found.question, rest), RULES), RULES)


@pytest.mark.slow
def test_ways_differ_in_kind_and_rise_in_effort(found: WhatIf) -> None:
    assert [w.effort for w in found.ways] == sorted(w.effort for w in found.ways)
    assert len({w.kinds for w in found.ways}) == len(found.ways)
    for way in found.ways:
        assert way.effort == effort(way.changes)
        assert all(change.words and change.gives_up for change in way.changes)


@pytest.mark.slow
def test_the_same_question_has_the_same_ways(found: WhatIf, ask: Asker) -> None:
    again = ways_to_yes(troubled(ask), RULES)
    assert [way.changes for way in again.ways] == [way.changes for way in found.ways]
    assert again.tried == found.tried


def test_what_works_needs_nothing(ask: Asker) -> None:
    found = ways_to_yes(ask((), (wanted("Gramma loreto", 6.0),)), RULES)
    assert bearable(found.verdict, RULES)
    assert (found.ways, found.nearest, found.tried, found.is_whole) == ((), None, 0, True)


def stop_after(count: int) -> Tick:
    left = itertools.count(1)

    def tick(_: str) -> None:
        if next(left) > count:
            raise KeyboardInterrupt

    return tick


def test_a_search_that_is_stopped_keeps_the_best_so_far(ask: Asker) -> None:
    found = ways_to_yes(troubled(ask), RULES, stop_after(1))
    assert not found.is_whole
    assert found.ways == ()
    assert found.nearest is not None
    assert found.tried == 1
    none = ways_to_yes(troubled(ask), RULES, stop_after(0))
    assert none.nearest is None


@pytest.mark.slow
def test_a_predator_is_left_out_or_swapped(ask: Asker) -> None:
    wishes = (wanted("Gramma loreto", 5.0, wish=9.0), wanted("Pterois volitans", 12.0, wish=2.0))
    found = ways_to_yes(ask((), wishes), RULES)
    assert found.ways
    gone = {change.whom for change in found.ways[0].changes}
    assert gone == {"pterois-volitans"}


def test_what_changes_do_together_is_expected_from_what_each_does() -> None:
    def left(**burdens: float) -> Left:
        return Left(burdens, frozenset())

    before = left(a=0.75, b=0.1)
    assert expected(before, [left(a=0.5, b=0.1)]) == pytest.approx(0.5)
    assert expected(before, [left(a=0.5, b=0.1), left(a=0.5, b=0.1)]) == pytest.approx(1.0 - 0.5**0.5)
    assert expected(before, [left(a=0.0, b=0.1), left(a=0.75, b=0.6)]) == pytest.approx(0.6)
    assert expected(before, [left(b=0.1)]) == pytest.approx(0.1), "who is gone bears nothing"


def test_a_wish_without_room_from_the_first_day_needs_a_change(ask: Asker) -> None:
    found = ways_to_yes(ask((), (wanted("Zebrasoma flavescens", 8.0),), length_cm=60.0), RULES)
    assert bearable(found.verdict, RULES), "nobody chases it"
    assert found.ways
    assert Kind.LEAVE_OUT in {kind for way in found.ways for kind in way.kinds}
    assert all(works(done(found.question, way.changes), way.verdict, RULES) for way in found.ways)
