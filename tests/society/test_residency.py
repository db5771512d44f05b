"""Head starts: who owns the place, and what takes ownership away."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.society.build import CHROMIS, DOMINO, GRAMMA, HUMBUG, RULES, party, tank

from slackwater.society.company import Deed, Event, Party, Place
from slackwater.society.residency import (
    Claim,
    change_days,
    claims,
    head_start,
    head_starts,
    known_since,
    present,
)

FIXED = RULES.replaced({"head_start_days": 1.0, "box_relief": 0.5, "box_days": 3.0})
RESCAPE = Event(60.0, Deed.RESCAPE)


def lead(days: float, box_days: float = 0.0) -> float:
    return head_start((Claim(1.0, 0.0),), (Claim(1.0, days),), box_days, FIXED)


def both(late_day: float) -> tuple[Party, Party]:
    return party(HUMBUG, 5), party(DOMINO, 5, day=late_day)


def test_a_lead_of_a_day_is_two_thirds_of_a_full_one() -> None:
    assert lead(1.0) == pytest.approx(1.0 - math.exp(-1.0))
    assert lead(0.0) == lead(-5.0) == 0.0


def test_only_the_first_has_a_head_start() -> None:
    start = head_starts(tank(*both(10.0)), 20.0, RULES)
    assert start[0, 1] > 0.9
    assert start[1, 0] == 0.0
    assert np.all(np.diag(start) == 0.0)


def test_days_in_a_box_take_part_of_it_away() -> None:
    expected = lead(5.0) * (1.0 - 0.5 * (1.0 - math.exp(-1.0)))
    assert lead(5.0, box_days=3.0) == pytest.approx(expected)
    assert lead(5.0) > lead(5.0, 1.0) > lead(5.0, 7.0) > 0.5 * lead(5.0)


def test_shares_of_claims_sum_to_one_whatever_happens() -> None:
    events = (RESCAPE, Event(80.0, Deed.TAKE_OUT, HUMBUG, 14.0), Event(100.0, Deed.RESCAPE))
    animal = tank(*both(10.0), events=events).animals[0]
    for day in (0.0, 60.0, 94.0, 120.0):
        held = claims(animal, tank(*both(10.0), events=events), day, RULES)
        assert sum(c.share for c in held) == pytest.approx(1.0)


def test_a_rescape_wipes_owners_of_rock_and_spares_roamers() -> None:
    situation = tank(party(GRAMMA), party(CHROMIS, 5), party(DOMINO, 5, day=30.0), events=(RESCAPE,))
    before, after = (head_starts(situation, day, RULES) for day in (40.0, 61.0))
    lost = 1.0 - after[:, 2] / before[:, 2].clip(1e-9)
    assert lost[0] > lost[1] >= 0.0
    assert lost[0] > 0.5


def test_what_happens_later_does_not_count_yet() -> None:
    calm, moved = tank(*both(30.0)), tank(*both(30.0), events=(RESCAPE,))
    assert np.array_equal(head_starts(calm, 59.0, RULES), head_starts(moved, 59.0, RULES))


def test_two_weeks_away_wipe_most_of_a_claim_and_a_day_little() -> None:
    def left(days: float) -> float:
        event = Event(60.0, Deed.TAKE_OUT, HUMBUG, days)
        situation = tank(*both(10.0), events=(event,))
        return float(head_starts(situation, 60.0 + days, RULES)[0, 1])

    assert left(1.0) > 2.0 * left(14.0)
    assert left(14.0) < 0.2


def test_they_know_each_other_since_the_later_release() -> None:
    assert known_since(tank(*both(12.0)), 20.0)[0, 1] == 12.0


def test_whole_days_are_as_good_as_fractions() -> None:
    whole = tank(party(HUMBUG, 5, day=0), party(DOMINO, 5, day=12))
    assert np.array_equal(known_since(whole, 20.0), known_since(tank(*both(12.0)), 20.0))


def test_a_rescape_makes_strangers_of_all() -> None:
    situation = tank(*both(10.0), events=(RESCAPE,))
    assert known_since(situation, 59.0)[0, 1] == 10.0
    assert known_since(situation, 61.0)[0, 1] == 60.0


@pytest.mark.parametrize(("days", "met"), [(3.0, 10.0), (14.0, 74.0)])
def test_only_a_long_absence_makes_strangers(days: float, met: float) -> None:
    situation = tank(*both(10.0), events=(Event(60.0, Deed.TAKE_OUT, HUMBUG, days),))
    since = known_since(situation, 80.0)
    assert since[0, 1] == since[1, 0] == met


def test_present_from_release_and_not_while_out() -> None:
    situation = tank(*both(10.0), events=(Event(60.0, Deed.TAKE_OUT, HUMBUG, 5.0),))
    first, late = situation.animals
    assert [present(first, situation, day) for day in (0.0, 60.0, 64.9, 65.0)] == [
        True,
        False,
        False,
        True,
    ]
    assert not present(late, situation, 9.9)
    assert present(late, situation, 62.0)


def test_who_lives_in_the_sump_is_not_in_the_tank() -> None:
    situation = tank(replace(party(HUMBUG, 5), place=Place.SUMP))
    assert not present(situation.animals[0], situation, 5.0)


def test_change_days_list_releases_and_both_ends_of_events_once() -> None:
    events = (RESCAPE, Event(60.0, Deed.TAKE_OUT, HUMBUG, 5.0), Event(999.0, Deed.RESCAPE))
    assert change_days(tank(*both(10.0), events=events)) == (0.0, 10.0, 60.0, 65.0)
