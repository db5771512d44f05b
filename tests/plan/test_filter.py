"""Releases spaced by the filter: load from masses, young or ripe, too large at once, and the dates."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.plan.course import Course
from slackwater.plan.dates import schedule
from slackwater.plan.feeding import activity
from slackwater.plan.filter import filter_needs, is_young, load_of, net_l, system_l
from slackwater.rules import load_rules
from slackwater.water.load import Ration, ammonia_load

RULES = load_rules()
GRAMMA = wanted("Gramma loreto", 6.0)
BIG = replace(wanted("Zebrasoma flavescens", 18.0, count=6), key="six-tangs")
LONG_AGO = dt.date(2025, 1, 1)


def test_the_load_is_that_of_the_masses_and_ways_of_life(ask: Asker) -> None:
    question = ask((), (wanted("Zebrasoma flavescens", 9.0, count=2),))
    (tangs,) = question.wishes
    fish = (tangs.species.mass_g(9.0), activity(tangs.species, RULES))
    expected = ammonia_load([fish, fish], Ration(2.0)).tan_mg_d
    assert load_of(question.wishes, question, RULES).tan_mg_d == pytest.approx(expected)
    assert filter_needs(question, ((0,),), RULES).added_mg_d == pytest.approx((expected,))


def test_a_filter_is_young_for_half_a_year_or_if_its_age_is_not_told(ask: Asker) -> None:
    assert is_young(ask(), RULES)
    assert is_young(ask(running_since=dt.date(2026, 8, 1)), RULES)
    assert not is_young(ask(running_since=LONG_AGO), RULES)


def test_a_few_small_fish_never_wait_for_the_filter(ask: Asker) -> None:
    question = ask((), (GRAMMA, wanted("Salarias fasciatus", 7.0)))
    needs = filter_needs(question, ((0,), (1,)), RULES)
    assert needs.too_large == ()
    assert needs.gap_days <= RULES["spacing_days"]
    assert needs.ripe_days <= needs.young_days


def test_a_large_group_is_too_much_for_a_young_filter_and_not_for_a_ripe_one(ask: Asker) -> None:
    young = filter_needs(ask((), (GRAMMA, BIG)), ((0,), (1,)), RULES)
    ripe = filter_needs(ask((), (GRAMMA, BIG), running_since=LONG_AGO), ((0,), (1,)), RULES)
    assert young.too_large == (2,)
    assert ripe.too_large == ()
    assert young.largest_mg_d < ripe.largest_mg_d


def test_too_large_is_said_and_not_refused(ask: Asker) -> None:
    first, second = schedule(ask((), (GRAMMA, BIG)), ((0,), (1,)), RULES)
    assert "too large" not in first.why
    assert second.why.endswith("too large at once for the filter: split it, or ripen the filter first")
    assert (second.release - first.release).days == RULES["filter_longest_days"]


def test_a_single_giant_cannot_be_split(ask: Asker) -> None:
    giant = replace(BIG, count=1, length_cm=60.0)
    (slot,) = schedule(ask((), (giant,)), ((0,),), RULES)
    assert "split" not in slot.why
    assert "ripen the filter first" in slot.why


def test_the_filter_spaces_releases_beyond_the_usual_weeks(ask: Asker) -> None:
    wishes = tuple(replace(BIG, key=f"tangs-{n}", count=1, length_cm=15.0) for n in range(3))
    question = replace(ask((), wishes), course=Course(spacing_days=1.0))
    steps = ((0,), (1,), (2,))
    needs = filter_needs(question, steps, RULES)
    slots = schedule(question, steps, RULES)
    assert needs.too_large == ()
    assert needs.gap_days > 1.0
    assert all((b.release - a.release).days == needs.gap_days for a, b in pairwise(slots))
    assert "for the filter" in slots[1].why
    assert "taken as young" in slots[1].why


def test_residents_leave_less_room_in_what_the_water_allows(ask: Asker) -> None:
    alone = filter_needs(ask((), (GRAMMA,)), ((0,),), RULES)
    beside = filter_needs(ask((resident("Zebrasoma flavescens", 15.0, LONG_AGO),), (GRAMMA,)), ((0,),), RULES)
    assert alone.present_mg_d == 0.0
    assert beside.present_mg_d > 0.0


def test_a_higher_ph_leaves_room_for_less(ask: Asker) -> None:
    usual = filter_needs(ask((), (GRAMMA,)), ((0,),), RULES)
    high = filter_needs(replace(ask((), (GRAMMA,)), ph=8.4), ((0,),), RULES)
    assert high.largest_mg_d < usual.largest_mg_d


def test_a_sump_adds_water(ask: Asker) -> None:
    question = replace(ask(), sump_l=100.0)
    assert system_l(question) == pytest.approx(net_l(question) + 100.0)


def test_nothing_released_asks_nothing(ask: Asker) -> None:
    needs = filter_needs(ask(), (), RULES)
    assert (needs.gap_days, needs.too_large, needs.added_mg_d) == (0.0, (), ())
