"""Quarantine: restarting clocks, who may share a bare tank, days without fish."""

from __future__ import annotations

import datetime as dt
import itertools
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.plan.tanks import Asker, wanted

from slackwater.errors import InputError
from slackwater.plan.quarantine import (
    apart_in_quarantine,
    clocks,
    fallow_days,
    judged_in_quarantine,
    quarantine_lines,
    restarted,
    small_glass,
)
from slackwater.plan.question import QuarantineRoom
from slackwater.rules import load_rules

RULES = load_rules()
FIRST = dt.date(2027, 1, 1)


def day(number: int) -> dt.date:
    return FIRST + dt.timedelta(days=number)


def test_an_arrival_among_others_restarts_the_clock() -> None:
    (clock,) = restarted([day(0), day(20)], 30)
    assert (clock.first, clock.until, clock.restarts) == (day(0), day(50), (day(20),))


def test_an_arrival_after_all_have_left_begins_a_batch() -> None:
    first, second = restarted([day(0), day(30)], 30)
    assert (first.until, second.first, second.restarts) == (day(30), day(30), ())


def test_tanks_that_share_nothing_keep_their_own_clocks() -> None:
    one, two = clocks([[day(0)], [day(10)]], 30)
    assert (one.tank, one.until, two.tank, two.until) == (1, day(30), 2, day(40))


@given(st.lists(st.integers(0, 200), min_size=1, max_size=12), st.integers(1, 90))
def test_nobody_leaves_before_its_days_are_over(numbers: list[int], days: int) -> None:
    found = restarted([day(n) for n in numbers], days)
    for number in numbers:
        (held,) = [c for c in found if c.first <= day(number) < c.until]
        assert held.until >= day(number + days)
    assert all(a.until <= b.first for a, b in itertools.pairwise(found))


@pytest.mark.parametrize("days", [0, -3, 1000])
def test_no_quarantine_lasts_so_long(days: int) -> None:
    with pytest.raises(InputError, match="days"):
        restarted([FIRST], days)


def test_rivals_are_kept_apart_between_bare_walls(ask: Asker) -> None:
    rivals = (wanted("Pseudocheilinus hexataenia", 6.0), wanted("Pseudochromis fridmani", 6.0))
    question = ask((), rivals, quarantine=QuarantineRoom(1, 30, 60.0))
    said = apart_in_quarantine(question, (0, 1), RULES)
    assert "60 L, bare" in said
    assert "divider" in said


def test_the_peaceful_may_share(ask: Asker) -> None:
    pair = (wanted("Nemateleotris magnifica", 5.0, count=2, sex="pair"),)
    assert apart_in_quarantine(ask((), pair, quarantine=QuarantineRoom(1, 30)), (0,), RULES) == ""


def test_a_single_animal_or_no_quarantine_is_not_judged(ask: Asker) -> None:
    one = (wanted("Pseudocheilinus hexataenia", 6.0),)
    assert judged_in_quarantine(ask((), one, quarantine=QuarantineRoom(1, 30)), (0,), RULES) is None
    assert judged_in_quarantine(ask((), (one[0], one[0])), (0, 1), RULES) is None


def test_it_is_judged_at_the_volume_told_without_rock(ask: Asker) -> None:
    two = (wanted("Centropyge argi", 5.0), wanted("Centropyge bispinosa", 6.0))
    verdict = judged_in_quarantine(ask((), two, quarantine=QuarantineRoom(1, 30, 100.0)), (0, 1), RULES)
    assert verdict is not None
    assert verdict.situation.glass.volume_l == pytest.approx(100.0)
    assert verdict.situation.rockworks[0].pieces == ()
    assert verdict.situation.horizon_days == 30.0


def test_sixty_litres_where_the_volume_is_not_told() -> None:
    assert small_glass(QuarantineRoom(1, 30)).volume_l == pytest.approx(60.0)


def test_days_without_fish_by_their_sources(ask: Asker) -> None:
    # 28 + 2 days; 72 + 2 + 2 days
    assert fallow_days() == (30, 76)
    text = " ".join(quarantine_lines(ask()))
    assert "30 days" in text
    assert "76" in text
    assert "[colorni1985]" in text
    assert "42 to 70" in text


def test_nothing_is_dosed(ask: Asker) -> None:
    text = " ".join(quarantine_lines(ask()))
    assert "veterinarian" in text
    assert not re.search(r"\d\s*(mg|ml|ppm)", text)


def test_a_tank_in_use_says_until_when(ask: Asker) -> None:
    room = QuarantineRoom(1, 30, clocks=clocks([[day(0), day(20)]], 30))
    told = " ".join(quarantine_lines(ask((), (wanted("Gramma loreto", 6.0),), quarantine=room)))
    assert "in use from 2027-01-01, begun anew on 2027-01-21; free on 2027-02-20" in told
