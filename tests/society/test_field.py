"""The field of a company: homes in order of arrival, encounters, pressure, sight."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.society.build import CHROMIS, DOMINO, GRAMMA, HUMBUG, RULES, animal, fish, glass, party, tank

from slackwater.society.attacks import constants
from slackwater.society.company import Situation
from slackwater.society.field import Rungs, Stage, edge_for, party_rates, settle_company, stage_of


def stage(situation: Situation, here: list[bool]) -> Stage:
    fixed = constants(situation, RULES)
    field = settle_company(situation, situation.rockworks[0], fixed, RULES, 10.0)
    rate = party_rates(situation, fixed, 0.0, RULES)
    return stage_of(field, rate, np.array(here), RULES)


RIVALS = tank(party(DOMINO, 7), party(HUMBUG, 6, day=10))


def test_cells_are_fine_for_answers_and_coarser_in_large_tanks() -> None:
    assert edge_for(RIVALS, fine=True) == 5.0
    assert edge_for(RIVALS, fine=False) == 10.0
    # 6000 cells of 6 m3: each a litre, a cube of 10 cm.
    large = replace(RIVALS, glass=glass(300.0, 200.0, 100.0))
    assert edge_for(large, fine=True) == pytest.approx(10.0)


def test_rungs_mix_in_proportion() -> None:
    rungs = Rungs(np.array([[1]]), np.array([[0.25]]))
    by_rung = np.array([0.0, 4.0, 8.0, 0.0, 0.0]).reshape(5, 1, 1)
    assert rungs.mix(by_rung)[0, 0] == pytest.approx(5.0)


def test_rungs_of_pairs_follow_the_attackers_length() -> None:
    leaders = (animal(DOMINO, 4), animal(DOMINO, 12))
    rungs = Rungs.of(leaders, RULES)
    reach = rungs.lower + rungs.share
    assert reach[1, 0] > reach[0, 1]


def test_rates_of_a_party_are_those_of_all_its_members_on_one() -> None:
    situation = tank(party(DOMINO, 7, count=3), party(HUMBUG, 7))
    fixed = constants(situation, RULES)
    whole = party_rates(situation, fixed, 0.0, RULES)
    single = tank(party(DOMINO, 7), party(HUMBUG, 7))
    one = party_rates(single, constants(single, RULES), 0.0, RULES)
    assert whole[0, 1] == pytest.approx(3.0 * one[0, 1] * fixed.hunger / constants(single, RULES).hunger)
    assert whole[1, 0] == pytest.approx(one[1, 0] * fixed.hunger / constants(single, RULES).hunger)


def test_a_stage_is_made_of_shares() -> None:
    both = stage(RIVALS, [True, True])
    assert both.use.sum(axis=0) == pytest.approx([1.0, 1.0])
    for part in (both.meet, both.exposed, both.sees, both.near_home, both.use):
        assert part.min() >= 0.0
        assert part.max() <= 1.0 + 1e-6
    assert both.pressure.min() >= 0.0


def test_without_an_attacker_there_is_no_pressure() -> None:
    alone = stage(RIVALS, [False, True])
    assert alone.pressure[:, 1].max() == 0.0
    assert alone.exposed[1] == 0.0
    assert stage(RIVALS, [True, True]).exposed[1] > 0.0


def test_a_victim_steps_back_from_pressure() -> None:
    calm, pressed = stage(RIVALS, [False, True]), stage(RIVALS, [True, True])
    felt = pressed.pressure[:, 1]
    assert felt @ pressed.use[:, 1] < felt @ calm.use[:, 1]


def test_a_divider_parts_those_on_its_two_sides() -> None:
    sides = tuple(replace(p, side=side) for p, side in zip(RIVALS.parties, ("left", "right"), strict=True))
    parted = stage(replace(RIVALS.with_parties(sides), divider_cm=30.0), [True, True])
    assert parted.meet[0, 1] == parted.meet[1, 0] == 0.0
    assert parted.sees[0, 1] == 0.0
    assert parted.meet[0, 0] > 0.0


def test_rock_hides_and_length_parts() -> None:
    def meeting(length_cm: float, rocks: str) -> float:
        pair = tank(party(GRAMMA, 6), party(HUMBUG, 6), length_cm=length_cm, rocks=rocks)
        return float(stage(pair, [True, True]).meet[0, 1])

    assert meeting(60.0, "none") > meeting(60.0, "dense")
    assert meeting(60.0, "none") > meeting(120.0, "none") > meeting(240.0, "none")


def test_a_shoal_is_one_party_with_one_use() -> None:
    shoal = stage(tank(party(CHROMIS, 4, count=6), party(HUMBUG, 6)), [True, True])
    assert shoal.meet.shape == (2, 2)
    assert fish(CHROMIS).word("level") in {"middle", "top", "all"}


def test_what_one_feels_is_its_pressure_at_a_rate_of_one() -> None:
    fixed = constants(RIVALS, RULES)
    field = settle_company(RIVALS, RIVALS.rockworks[0], fixed, RULES, 10.0)
    assert 0.0 < field.rungs.share[0, 1] < 1.0
    for i, j in ((0, 1), (1, 0)):
        alone = field.pressure_on(j, np.eye(2)[i])
        assert field.felt(i, j) == pytest.approx(alone, rel=1e-5)
        assert field.felt(i, j).max() > 0.0
