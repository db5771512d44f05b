"""Published effects of the order of arrival, each beside its source.

Most sources were read as abstracts. Where only a sign or an order was published, only that is
asserted. What is missed stands here too and must fail until the model meets it.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from tests.reference.effects import (
    EQUALS,
    HOUR,
    MOON_WRASSE,
    SUNSET_WRASSE,
    Contest,
    late_odds,
    lead,
    met,
    readmitted,
)
from tests.society.build import DOMINO, GRAMMA, HUMBUG, ORCHID, RULES, judged, party, tank

from slackwater.society.company import Deed, Event, Situation
from slackwater.society.residency import head_starts


@pytest.mark.parametrize(
    ("resident", "late"), [(DOMINO, HUMBUG), (MOON_WRASSE, SUNSET_WRASSE), (ORCHID, GRAMMA)]
)
def test_attacks_rise_with_the_head_start(resident: str, late: str) -> None:
    """Aggression rises with a lead of 1, 3 and 24 h [poulos_leads] and is higher at 5 d [geange2010]."""
    leads = (0.0, HOUR, 3.0 * HOUR, 24.0 * HOUR, 5.0)
    attacks = [met(tank(party(resident, 7), party(late, 7, day=day))) for day in leads]
    assert all(a < b for a, b in pairwise(attacks))


@pytest.mark.parametrize(("one", "other"), EQUALS)
def test_who_comes_second_is_the_victim(one: str, other: str) -> None:
    """First wins, whichever species it is [geange2009]."""
    for first, second in ((one, other), (other, one)):
        verdict = judged(tank(party(first, 7), party(second, 7, day=5)))
        chased = [lot.chases_per_h for lot in verdict.lots]
        fought = [lot.harm["fought"] for lot in verdict.lots]
        assert chased[1] > chased[0]
        assert fought[1] > fought[0]


@pytest.mark.xfail(strict=True, reason="missed: the step from chases to harm is steeper here")
def test_five_days_late_is_two_to_four_times_as_bad() -> None:
    """Survival 2.89 times as high when together as when five days late [geange2010], taken as odds of
    harm over 30 days; accepted 2 to 4.
    """
    assert all(2.0 <= odds <= 4.0 for odds in late_odds())


@pytest.mark.parametrize(("one", "other"), [*EQUALS, (MOON_WRASSE, SUNSET_WRASSE)])
def test_attacks_on_one_five_days_late_are_two_to_four_times_as_many(one: str, other: str) -> None:
    """The same ratio [geange2010] in the attacks themselves, which were seen to be more."""
    late, together = (met(tank(party(one, 7), party(other, 7, day=day))) for day in (5.0, 0.0))
    assert 2.0 <= late / together <= 4.0


@pytest.mark.parametrize(("one", "other"), [*EQUALS, (MOON_WRASSE, SUNSET_WRASSE)])
def test_order_counts_for_more_than_one_more_latecomer(one: str, other: str) -> None:
    """Sequence has the stronger effect than the number of late arrivals [geange2017]."""

    def chased(situation: Situation) -> float:
        lots = judged(situation).lots
        return max(x.chases_per_h for x in lots if x.animal.species.name == other)

    base = chased(tank(party(one, 7), party(other, 7, day=5)))
    swapped = chased(tank(party(other, 7), party(one, 7, day=5)))
    more = chased(tank(party(one, 7), party(other, 7, day=5, count=2)))
    assert abs(swapped - base) > abs(more - base)


def test_an_equal_resident_wins_and_six_per_cent_of_length_makes_it_even() -> None:
    """Same-size residents dominate; intruders 6 % longer draw even [rhodes1998]; accepted 4 to 8 %."""
    assert Contest(1.0, start=1.0).wins() > 0.5
    assert Contest(1.0 / 1.04, start=1.0).wins() > 0.5 > Contest(1.0 / 1.08, start=1.0).wins()


@pytest.mark.parametrize("longer", [1.2, 1.25, 1.3])
def test_a_much_longer_intruder_beats_a_resident_of_three_days(longer: float) -> None:
    """A lead of 20 to 30 % in length overrides three days of residence [wazlavek]."""
    assert Contest(longer, start=-lead(3.0)).wins() >= 0.8


def test_most_of_a_head_start_has_come_by_48_hours() -> None:
    """Effects of residents are strongest within 48 h and then persist to day 50 [almany2004]."""
    assert lead(2.0) >= 0.7 * lead(50.0)
    assert lead(50.0) > lead(5.0) > lead(2.0)


def test_all_at_once_or_moved_rock_leave_no_owner() -> None:
    """Follows from a head start that grows from nothing [geange2009]; rescaping is common practice [cp]."""
    together = tank(party(GRAMMA), party(ORCHID))
    assert not head_starts(together, 30.0, RULES).any()
    owner = party(GRAMMA), party(ORCHID, day=30)
    moved = tank(*owner, events=(Event(60.0, Deed.RESCAPE),))
    assert head_starts(moved, 61.0, RULES)[0, 1] < 0.3 * head_starts(tank(*owner), 61.0, RULES)[0, 1]


def test_who_comes_back_is_let_in_sooner_than_a_stranger() -> None:
    """Of the familiar 100 % were re-admitted, of strangers 18 % [coker2013]; ratio of attacks <= 0.4.

    On the day of return of one that had come together with the other.
    """
    assert max(readmitted(0.0)) <= 0.4


@pytest.mark.xfail(strict=True, reason="missed: about half of what a stranger draws")
def test_who_came_later_and_comes_back_is_let_in_sooner_too() -> None:
    """The same [coker2013] for one that had come after the other."""
    assert max(readmitted(60.0)) <= 0.4
