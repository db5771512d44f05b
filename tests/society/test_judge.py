"""The judgement: who fares how, who troubles whom, and the mood of the tank."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.society.build import (
    CHROMIS,
    CLOWN,
    DOMINO,
    FIREFISH,
    GRAMMA,
    GROUPER,
    HUMBUG,
    ORCHID,
    QUICK,
    RULES,
    judged,
    party,
    tank,
)

from slackwater.society.company import Deed, Event, Keeping, Place, Sex
from slackwater.society.harm import OUTCOMES, Ease, Mood
from slackwater.society.judge import Judgement, Lot, Settings, central_rates, first_day, judge

RIVALS = judged(tank(party(ORCHID, 7), party(GRAMMA, 6, day=30)))


def lot(verdict: Judgement, name: str) -> Lot:
    return max((x for x in verdict.lots if x.animal.species.name == name), key=lambda x: x.p)


def test_one_lot_an_animal_with_every_outcome() -> None:
    assert [x.animal.index for x in RIVALS.lots] == [0, 1]
    for each in RIVALS.lots:
        assert set(each.harm) == set(OUTCOMES)
        assert 0.0 <= each.p <= 1.0
        assert all(0.0 <= p <= each.p + 1e-9 for p in each.harm.values())
        assert each.draws.shape == (QUICK.draws,)
        assert each.p == pytest.approx(each.draws.mean())


def test_the_lot_is_the_union_of_its_outcomes() -> None:
    each = lot(RIVALS, GRAMMA)
    kept = np.prod([1.0 - p for p in each.harm.values()])
    assert each.p == pytest.approx(1.0 - kept, abs=0.05)


def test_the_newcomer_bears_more_and_from_its_rival_alone() -> None:
    first, late = lot(RIVALS, ORCHID), lot(RIVALS, GRAMMA)
    assert late.harm["fought"] > first.harm["fought"]
    assert late.chases_per_h > first.chases_per_h
    assert late.by[ORCHID] > 0.0
    assert late.by[GRAMMA] == 0.0


def test_windows_begin_at_or_after_release() -> None:
    for each in RIVALS.lots:
        assert each.window.start >= each.animal.party.day
        assert each.window.end <= RIVALS.situation.horizon_days


def test_harm_by_is_the_harm_of_one_on_another() -> None:
    harm = RIVALS.harm_by(ORCHID, GRAMMA)
    assert harm.mean() >= lot(RIVALS, GRAMMA).by[ORCHID] - 1e-9
    assert RIVALS.harm_by(CHROMIS, GRAMMA).tolist() == [0.0]


def test_an_animal_alone_with_all_it_needs_is_at_ease() -> None:
    verdict = judged(tank(party(GRAMMA)))
    assert verdict.ease(verdict.lots[0]) is Ease.AT_EASE
    assert verdict.mood is Mood.SETTLED
    assert verdict.worst_p < 1e-6


def test_a_fish_in_a_groupers_tank_is_eaten_and_the_tank_in_trouble() -> None:
    verdict = judged(tank(party(GROUPER, 25), party(CHROMIS, 4, count=2), length_cm=150.0))
    assert verdict.eaten[GROUPER, CHROMIS] > 0.9
    assert verdict.any_eaten
    assert verdict.mood is Mood.IN_TROUBLE
    assert lot(verdict, CHROMIS).harm["eaten"] > 0.9
    assert lot(verdict, GROUPER).harm["eaten"] == 0.0


def test_cramped_quarters_do_not_change_the_mood() -> None:
    verdict = judged(tank(party(GROUPER, 30)))
    assert lot(verdict, GROUPER).harm["cramped"] > 0.3
    assert verdict.worst_p < 0.1
    assert verdict.worst_of(GROUPER).mean() > verdict.worst_of(GROUPER, community=True).mean()


def test_without_a_lid_jumpers_jump() -> None:
    closed = judged(tank(party(FIREFISH)))
    open_top = judged(tank(party(FIREFISH), keeping=Keeping(lid=False)))
    assert lot(closed, FIREFISH).harm["jumped"] == 0.0
    # Chance over 90 days at a constant hazard.
    hazard = RULES.words("jumps")[open_top.lots[0].animal.species.word("jumps")]
    assert lot(open_top, FIREFISH).harm["jumped"] == pytest.approx(1.0 - np.exp(-90.0 * hazard))


def test_a_divider_ends_the_fight() -> None:
    sides = replace(party(ORCHID, 7), side="left"), replace(party(GRAMMA, 6, day=30), side="right")
    verdict = judged(replace(tank(*sides), divider_cm=30.0))
    assert all(x.harm["fought"] == 0.0 for x in verdict.lots)


def test_who_is_in_the_sump_harms_nobody() -> None:
    verdict = judged(tank(replace(party(GROUPER, 25), place=Place.SUMP), party(CHROMIS, 4)))
    assert verdict.eaten.get((GROUPER, CHROMIS), 0.0) == 0.0
    assert lot(verdict, CHROMIS).chases_per_h == 0.0


def test_taking_the_bully_out_relieves_its_victim() -> None:
    both = party(DOMINO, 7), party(HUMBUG, 5, day=10)
    out = Event(20.0, Deed.TAKE_OUT, DOMINO, 160.0)
    left, relieved = (judged(tank(*both, events=e)) for e in ((), (out,)))
    assert lot(relieved, HUMBUG).chases_per_h < lot(left, HUMBUG).chases_per_h


def test_a_settled_pair_leaves_itself_in_peace() -> None:
    verdict = judged(tank(party(CLOWN, 7, count=2, sex=Sex.PAIR)))
    assert verdict.mood is Mood.SETTLED


def test_spans_cover_the_plan_without_gaps() -> None:
    spans = RIVALS.spans
    assert (spans[0].start, spans[-1].end) == (0.0, 180.0)
    assert all(a.end == b.start for a, b in pairwise(spans))
    assert [s.here.tolist() for s in spans] == [[True, False], [True, True]]


def test_an_event_that_changes_nobody_changes_no_field() -> None:
    absent = Event(60.0, Deed.TAKE_OUT, CHROMIS, 5.0)
    verdict = judged(tank(party(GRAMMA), events=(absent,)))
    assert [s.start for s in verdict.spans] == [0.0, 60.0, 65.0]
    assert verdict.spans[0].stages is verdict.spans[2].stages


def test_residents_are_judged_from_the_start_of_the_plan() -> None:
    situation = tank(party(ORCHID, 7, day=-100.0), party(GRAMMA, 6, day=30))
    assert first_day(situation) == 0.0
    assert judged(situation).spans[0].start == 0.0


def test_central_rates_are_zero_towards_oneself_and_the_absent() -> None:
    parts = central_rates(RIVALS, RIVALS.spans[0], 5.0)
    assert not parts["rate"].any()
    later = central_rates(RIVALS, RIVALS.spans[1], 40.0)
    assert np.all(np.diag(later["rate"]) == 0.0)
    assert later["rate"][0, 1] > 0.0


def test_layouts_add_their_draws() -> None:
    situation = RIVALS.situation
    two = judged(replace(situation, rockworks=situation.rockworks * 2))
    assert two.lots[1].draws.shape == (2 * QUICK.draws,)
    assert two.lots[1].p == pytest.approx(RIVALS.lots[1].p)


def test_the_settings_of_a_search_are_coarser() -> None:
    assert not Settings.search().fine
    assert Settings.search().draws < Settings().draws


@pytest.mark.slow
def test_fine_and_coarse_cells_agree() -> None:
    fine = judge(RIVALS.situation, replace(QUICK, fine=True), RULES)
    for one, other in zip(fine.lots, RIVALS.lots, strict=True):
        assert one.p == pytest.approx(other.p, abs=0.06)


def test_a_tank_in_which_nobody_lives_is_settled() -> None:
    empty = judge(tank(), QUICK, RULES)
    assert (empty.lots, empty.worst_p, empty.any_eaten, empty.mood) == ((), 0.0, False, Mood.SETTLED)
