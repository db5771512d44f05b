"""The years ahead: growth, maturity, limits, and the dates to be reminded of."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.question import Question
from slackwater.plan.years import LOOKS, MONTHS, ahead, growth, milestones, turns
from slackwater.rules import load_rules
from slackwater.society.growth import DAYS_PER_MONTH

RULES = load_rules()
LONG_AGO = dt.date(2025, 1, 1)


@pytest.fixture
def growing(ask: Asker) -> Question:
    return ask(
        (resident("Amphiprion ocellaris", 4.0, LONG_AGO, count=3),),
        (
            wanted("Zebrasoma flavescens", 6.0),
            wanted("Pterois volitans", 6.0),
            wanted("Chromis viridis", 5.0, count=5),
        ),
        length_cm=120.0,
    )


def test_three_looks_name_the_longest(growing: Question) -> None:
    looks = ahead(growing, RULES)
    assert tuple(look.months for look in looks) == LOOKS
    for look in looks:
        assert "red lionfish" in look.text


def test_each_turn_is_told_in_one_look_only(growing: Question) -> None:
    told = [look.text for look in ahead(growing, RULES)]
    for turn in turns(growing, RULES):
        assert sum(turn.said in text for text in told) == 1


def test_what_growth_brings(growing: Question) -> None:
    kinds = {(turn.kind, turn.key) for turn in turns(growing, RULES)}
    assert ("outgrown", "zebrasoma-flavescens") in kinds
    assert ("swallowing", "pterois-volitans") in kinds
    assert ("maturity", "here-amphiprion-ocellaris") in kinds


def test_growth_has_a_line_for_all_that_grow_alike(ask: Asker) -> None:
    pair = ask((resident("Amphiprion ocellaris", 7.0, LONG_AGO, count=2, sex="pair"),))
    female, male = growth(pair)
    assert (female.sex, male.sex) == ("female", "male")
    assert male.length_cm[0] < female.length_cm[0] == 7.0
    assert female.months == MONTHS
    assert len(female.length_cm) == len(female.mass_g) == len(MONTHS)
    shoal = growth(ask((), (wanted("Chromis viridis", 5.0, count=5),)))
    assert [line.count for line in shoal] == [5]


def test_reminders_come_a_month_ahead_and_count_from_the_release(growing: Question) -> None:
    early, late = milestones(growing, {}, RULES), milestones(growing, {"zebrasoma-flavescens": 100.0}, RULES)
    tang = next(m for m in early if (m.key, m.kind) == ("zebrasoma-flavescens", "outgrown"))
    later = next(m for m in late if (m.key, m.kind) == ("zebrasoma-flavescens", "outgrown"))
    assert later.date - tang.date == dt.timedelta(days=100)
    turn = next(t for t in turns(growing, RULES) if (t.key, t.kind) == (tang.key, tang.kind))
    due = growing.start + dt.timedelta(days=round(DAYS_PER_MONTH * turn.months))
    assert due - tang.date == dt.timedelta(days=30)
    assert "an estimate" in tang.text
    assert [m.date for m in early] == sorted(m.date for m in early)


def test_no_reminder_of_what_has_been(ask: Asker) -> None:
    adult = ask((resident("Amphiprion ocellaris", 9.0, LONG_AGO, count=2),))
    assert milestones(adult, {}, RULES) == ()
    assert any("is grown and may breed" in look.text for look in ahead(adult, RULES))


def test_reminders_tell_themselves_apart(growing: Question) -> None:
    found = milestones(growing, {}, RULES)
    assert len({(m.key, m.kind, m.other) for m in found}) == len(found)


def test_an_empty_tank_has_nothing_ahead(ask: Asker) -> None:
    assert [look.text for look in ahead(ask(), RULES)] == ["", "", ""]
    assert growth(ask()) == ()
    assert milestones(ask(), {}, RULES) == ()
