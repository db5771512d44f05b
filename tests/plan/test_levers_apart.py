"""Living apart as a way to yes: a divider, the sump, and the smallest sets against all sets there are."""

from __future__ import annotations

import datetime as dt
import itertools
from dataclasses import replace

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan import levers
from slackwater.plan.aside import bears_the_sump
from slackwater.plan.changes import Change, Kind, done
from slackwater.plan.course import Course
from slackwater.plan.levers import Bench, Lever, Trouble, changes_on, possible_changes
from slackwater.plan.levers_apart import dividers, sumps
from slackwater.plan.question import Question
from slackwater.plan.rejudge import rejudged, with_best_order
from slackwater.plan.whatif import effort, ways_to_yes, works
from slackwater.rules import load_rules
from slackwater.society.company import Keeping, Place

LONG_AGO = dt.date(2026, 1, 1)
RULES = load_rules()

LEFT_RIGHT = {"left", "right"}


def bullied(ask: Asker, *, sump_l: float = 400.0, length_cm: float = 120.0) -> Question:
    """Return a royal dottyback that rules a tank into which a royal gramma is to come."""
    here = (resident("Pictichromis paccagnellorum", 7.0, LONG_AGO),)
    wishes = (wanted("Gramma loreto", 5.0, wish=9.0), wanted("Nemateleotris magnifica", 5.0, wish=3.0))
    return replace(ask(here, wishes, length_cm=length_cm), sump_l=sump_l)


def on(question: Question, lever: Lever) -> tuple[Change, ...]:
    keys = tuple(w.key for w in question.wishes)
    fixed = replace(question, course=Course(steps=tuple((key,) for key in keys)))
    chaser = frozenset({question.residents[0].key})
    return changes_on(Bench(fixed, Trouble(frozenset(keys), chaser), RULES), lever)


def test_a_sheet_parts_those_in_trouble_and_everyone_has_a_side(ask: Asker) -> None:
    question = bullied(ask)
    offered = on(question, dividers)
    assert {change.kind for change in offered} == {Kind.DIVIDER}
    for change in offered:
        parted = done(question, (change,))
        lines = (*parted.residents, *parted.wishes)
        assert {w.side for w in lines} == LEFT_RIGHT
        assert parted.divider_cm is not None
        assert f"{parted.divider_cm:.0f} cm from the left pane" in change.words
        named = [w.species.common_name for w in lines if w.side == "right"]
        assert all(name in change.words for name in named)
        assert change.effort == RULES["effort.divider"]


def test_no_sheet_where_one_stands_or_a_side_would_be_too_small_or_unfed(ask: Asker) -> None:
    question = bullied(ask)
    assert on(replace(question, divider_cm=60.0), dividers) == ()
    assert on(bullied(ask, length_cm=80.0), dividers) == (), "half of it is too short for a dottyback"
    at_one_end = Keeping(places_cm=((10.0, 20.0, 40.0),))
    assert on(replace(question, keeping=at_one_end), dividers) == ()


def test_a_tang_is_not_put_behind_a_sheet_in_half_a_tank(ask: Asker) -> None:
    question = ask(
        (resident("Zebrasoma flavescens", 14.0, LONG_AGO),), (wanted("Gramma loreto", 5.0),), length_cm=160.0
    )
    sides = {done(question, (change,)).residents[0].side for change in on(question, dividers)}
    assert sides == set(), "a tang that has 160 cm keeps them"


def test_the_sump_is_offered_where_there_is_one_with_room(ask: Asker) -> None:
    (change,) = on(bullied(ask), sumps)
    assert (change.kind, change.effort) == (Kind.SUMP, RULES["effort.sump"])
    moved = done(bullied(ask), (change,))
    assert moved.residents[0].place is Place.SUMP
    assert on(bullied(ask, sump_l=0.0), sumps) == ()
    assert on(bullied(ask, sump_l=40.0), sumps) == (), "half of 40 L is too little for a dottyback"
    assert not bears_the_sump(bullied(ask, sump_l=40.0), moved.residents[0], RULES)
    assert on(moved, sumps) == ()


def test_who_goes_to_the_sump_is_not_changed_otherwise(ask: Asker) -> None:
    (sump,) = on(bullied(ask), sumps)
    for kind in (Kind.REHOME, Kind.TIMEOUT, Kind.SIZE):
        other = replace(sump, kind=kind)
        assert not sump.goes_with(other)
        assert not other.goes_with(sump)
    assert all(sump.goes_with(change) for change in on(bullied(ask), dividers))


CHOSEN: dict[str, tuple[str, ...]] = {
    "apart": ("sumps", "dividers", "_departures"),
    "apart or gently": ("_boxes", "_rock_moved", "dividers", "sumps"),
}


@pytest.mark.slow
@pytest.mark.parametrize("chosen", CHOSEN.values(), ids=CHOSEN)
def test_no_set_is_cheaper_than_the_first_way(
    ask: Asker, monkeypatch: pytest.MonkeyPatch, chosen: tuple[str, ...]
) -> None:
    monkeypatch.setattr(levers, "LEVERS", tuple(getattr(levers, name) for name in chosen))
    question = with_best_order(bullied(ask), RULES)
    verdict = rejudged(question, RULES)
    changes = tuple(possible_changes(question, verdict, RULES))
    assert {Kind.SUMP, Kind.DIVIDER} & {change.kind for change in changes}
    every = [
        tried
        for size in (1, 2)
        for tried in itertools.combinations(changes, size)
        if all(a.goes_with(b) for a, b in itertools.combinations(tried, 2))
    ]
    working = [tried for tried in every if does_work(question, tried)]
    found = ways_to_yes(question, RULES)
    assert found.ways[0].effort == pytest.approx(min(effort(tried) for tried in working))
    for way in found.ways:
        assert does_work(question, way.changes)
        parts = [
            rest for size in range(len(way.changes)) for rest in itertools.combinations(way.changes, size)
        ]
        assert not any(does_work(question, rest) for rest in parts)


def does_work(question: Question, changes: tuple[Change, ...]) -> bool:
    changed = done(question, changes)
    return works(changed, rejudged(changed, RULES), RULES)
