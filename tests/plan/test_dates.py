"""Dates: quarantine slots, spacing, absences, a mature tank."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise

from tests.plan.tanks import Asker, wanted

from slackwater.plan.dates import schedule
from slackwater.plan.quarantine import clocks
from slackwater.plan.question import QuarantineRoom
from slackwater.rules import load_rules

FIRST = dt.date(2027, 1, 9)


def test_without_quarantine_releases_are_spaced(ask: Asker) -> None:
    wishes = (wanted("Gramma loreto", 6.0), wanted("Salarias fasciatus", 9.0), wanted("Centropyge argi", 6.0))
    slots = schedule(ask((), wishes), ((0,), (1,), (2,)), load_rules())
    assert slots[0].release == FIRST
    assert all((b.release - a.release).days >= 21 for a, b in pairwise(slots))


def test_one_quarantine_tank_holds_one_batch_at_a_time(ask: Asker) -> None:
    wishes = (wanted("Gramma loreto", 6.0), wanted("Salarias fasciatus", 9.0))
    question = ask((), wishes, quarantine=QuarantineRoom(1, 30))
    first, second = schedule(question, ((0,), (1,)), load_rules())
    assert first.quarantine_from == FIRST
    assert first.release == FIRST + dt.timedelta(days=30)
    assert second.quarantine_from is not None
    assert second.quarantine_from > first.release


def test_two_quarantine_tanks_shorten_the_wait(ask: Asker) -> None:
    wishes = (wanted("Gramma loreto", 6.0), wanted("Salarias fasciatus", 9.0))
    one = schedule(ask((), wishes, quarantine=QuarantineRoom(1, 30)), ((0,), (1,)), load_rules())
    two = schedule(ask((), wishes, quarantine=QuarantineRoom(2, 30)), ((0,), (1,)), load_rules())
    assert two[1].release < one[1].release


def test_nothing_new_comes_into_an_absence_or_shortly_before_it(ask: Asker) -> None:
    away = (dt.date(2027, 1, 15), dt.date(2027, 2, 1))
    question = ask((), (wanted("Gramma loreto", 6.0),), away=(away,))
    (slot,) = schedule(question, ((0,),), load_rules())
    assert slot.release > away[1]
    quarantined = ask((), question.wishes, away=(away,), quarantine=QuarantineRoom(1, 30))
    (slot,) = schedule(quarantined, ((0,),), load_rules())
    assert slot.quarantine_from is not None
    assert slot.quarantine_from > away[1]


def test_an_eater_of_live_pods_waits_for_a_mature_tank(ask: Asker) -> None:
    question = ask((), (wanted("Synchiropus splendidus", 6.0),), running_since=dt.date(2026, 12, 1))
    (slot,) = schedule(question, ((0,),), load_rules())
    assert slot.release >= dt.date(2026, 12, 1) + dt.timedelta(days=180)
    assert "rich in live food" in slot.why


def test_rivals_on_one_day_share_a_slot(ask: Asker) -> None:
    wishes = (wanted("Zebrasoma flavescens", 9.0), wanted("Ctenochaetus strigosus", 9.0))
    (slot,) = schedule(ask((), wishes), ((0, 1),), load_rules())
    assert slot.items == (0, 1)


def test_a_quarantine_in_use_is_waited_for(ask: Asker) -> None:
    question = ask((), (wanted("Gramma loreto", 6.0),))
    came = [question.start - dt.timedelta(days=20), question.start - dt.timedelta(days=5)]
    room = QuarantineRoom(1, 30, clocks=clocks([came], 30))
    (slot,) = schedule(replace(question, quarantine=room), ((0,),), load_rules())
    assert slot.quarantine_from == came[-1] + dt.timedelta(days=30)


def test_the_other_quarantine_tank_is_taken_meanwhile(ask: Asker) -> None:
    question = ask((), (wanted("Gramma loreto", 6.0),))
    room = QuarantineRoom(2, 30, clocks=clocks([[question.start], []], 30))
    (slot,) = schedule(replace(question, quarantine=room), ((0,),), load_rules())
    assert slot.quarantine_from == question.start
