"""Published effects of familiarity, size and rank, each beside its source."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from tests.reference.effects import Contest, closing_gap, colony, large, rates
from tests.society.build import CHROMIS, DOMINO, GRAMMA, HUMBUG, RULES, judged, party

from slackwater.society.attacks import settled

RATIOS = (0.70, 0.75, 0.80, 0.85, 0.90)


def test_a_settled_neighbour_draws_half_of_what_a_stranger_does() -> None:
    """Neighbours over floaters 0.41 in chases and 0.61 in interactions [parrotfish_data]; accepted 0.4 to
    0.6.
    """
    assert 0.4 <= float(settled(np.array(60.0), np.array(1.0), RULES)) <= 0.6


def test_half_of_the_calm_has_come_by_four_days() -> None:
    """Aggression towards a neighbour falls within 4 d [sogawa2016]."""
    start, early, late = (float(settled(np.array(day), np.array(1.0), RULES)) for day in (0.0, 4.0, 60.0))
    assert start - early >= 0.5 * (start - late)


def test_a_colony_is_linear_and_the_top_three_deal_most() -> None:
    """Eight captive bicolor damselfish: h 1, 2 % of chases upward, consistency 0.96, and 81 % dealt by the
    top three [myrberg1972]; accepted h from 0.9, upward 1 to 5 %, consistency from 0.9, 60 to 85 %.

    Their lengths are unknown: with ranks 15 % of length apart it is met.
    """
    shown = colony(0.15)
    assert shown.linear >= 0.9
    assert 0.01 <= shown.upward <= 0.05
    assert shown.consistent >= 0.9


@pytest.mark.xfail(strict=True, reason="missed: nearly equal fish chase back more than a twentieth")
def test_a_colony_of_near_equals_is_as_linear() -> None:
    """The same [myrberg1972] where ranks stand 7 % of length apart."""
    shown = colony(0.07)
    assert shown.upward <= 0.05
    assert shown.consistent >= 0.9


def test_the_larger_wins_the_surer_the_larger() -> None:
    """Neighbours in rank stand 1.26 apart, a spacing that implies no contest [buston2006]."""
    chances = [Contest(ratio).wins() for ratio in (0.8, 0.95, 1.0, 1.05, 1.15, 1.26)]
    assert all(a < b for a, b in pairwise(chances))
    assert Contest(1.0).wins() == pytest.approx(0.5)
    assert Contest(1.26).wins() >= 0.9


def test_aggression_rises_as_the_gap_in_size_closes() -> None:
    """Dominants attack the more the closer a subordinate is in size [ang2010], [wong2007].

    By a clear superior it rises up to 0.9 of its length; all attacks between the two go on rising.
    """
    assert all(a < b for a, b in pairwise(closing_gap(RATIOS)))
    both = [sum(Contest(1.0 / ratio).attacks()) for ratio in (*RATIOS, 0.95)]
    assert all(a < b for a, b in pairwise(both))


@pytest.mark.xfail(strict=True, reason="missed: beyond 0.9 the two begin to share the attacks")
def test_aggression_goes_on_rising_to_near_equality() -> None:
    """The same [ang2010] up to 0.95 of the dominant's length."""
    near, nearer = closing_gap((0.90, 0.95))
    assert near < nearer


def test_both_fight_most_at_equal_size_and_a_superior_chases_at_any() -> None:
    """Fights are commonest between equals [culumber2014]; one-sided chases need not be (yellowtail)
    [sakakura1998].
    """
    ratios = (0.7, 0.8, 0.9, 1.0)
    least = [min(Contest(ratio).attacks()) for ratio in ratios]
    assert all(a < b for a, b in pairwise(least))
    assert max(Contest(0.8).attacks()) > max(Contest(1.0).attacks())


@pytest.mark.parametrize("seed", range(6))
def test_a_dominant_never_makes_a_third_fish_attack_more(seed: int) -> None:
    """A superior in sight restrains (common practice [cp]; ranks four to seven of the captive colony chased
    each target at 0.4 of the rate of the top three [myrberg1972]).
    """
    rng = np.random.default_rng(seed)
    three = [
        party(name, float(rng.uniform(4.0, 8.0)), day=5.0 * n)
        for n, name in enumerate((GRAMMA, HUMBUG, CHROMIS))
    ]
    without = rates(judged(large(*three)), 60.0)
    beside = rates(judged(large(*three, party(DOMINO, 13, day=-100))), 60.0)
    assert np.all(beside[:3, :3].sum(axis=1) <= without.sum(axis=1) * (1.0 + 1e-9))
