"""The quick look at hundreds of kinds gives what one by one would give."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from tests.plan.tanks import Asker, resident

from slackwater.plan.question import Question
from slackwater.plan.screen import beside_residents, newcomer, screen
from slackwater.rules import load_rules
from slackwater.society.encounters import encounters, reach
from slackwater.society.field import edge_for, ground_of
from slackwater.society.recognition import LADDER_CM
from slackwater.society.use import home_radius_cm, settle, usable
from slackwater.taxa.facts import load_facts

LONG_AGO = dt.date(2026, 1, 1)
KINDS = ("Gramma loreto", "Zebrasoma flavescens", "Salarias fasciatus", "Chromis viridis")


@pytest.fixture
def question(ask: Asker) -> Question:
    return ask(
        (
            resident("Amphiprion ocellaris", 7.0, LONG_AGO),
            resident("Pseudocheilinus hexataenia", 6.0, LONG_AGO),
        )
    )


def test_a_product_is_the_encounter_of_one_at_one_home(question: Question) -> None:
    rules, facts = load_rules(), load_facts()
    situation = question.situation({}, layouts=1)
    ground = ground_of(situation.glass, situation.rockworks[0], edge_for(situation, fine=True))
    guests = [newcomer(facts.species(name)) for name in KINDS]
    beside = beside_residents(situation, ground, guests, rules)
    for n, guest in enumerate(guests):
        home = int(beside.sites[len(beside.sites) // 2])
        near = np.exp(-ground.distance2[:, home] / (2.0 * home_radius_cm(guest, rules) ** 2))
        use = usable(guest, ground, situation, rules) * near
        both = [use / use.sum(), *(settle(a, ground, situation, rules)[0] for a in situation.animals)]
        stacked = np.stack(both, axis=1).astype(np.float32)
        one_by_one = encounters(reach(ground.cells, stacked, LADDER_CM), stacked)[:, 1:, 0]
        found = beside.by_rung[n, len(beside.sites) // 2]
        assert found == pytest.approx(one_by_one, rel=0.06, abs=1e-5)


def test_a_lionfish_eats_and_a_tang_minds_its_own_look_alike(question: Question) -> None:
    facts = load_facts()
    kinds = [facts.species(name) for name in ("Pterois volitans", "Gramma loreto", "Amphiprion clarkii")]
    seen = screen(question, kinds, load_rules())
    assert seen.eats.tolist() == [True, False, False]
    assert seen.worst[2] > seen.worst[1]
    assert seen.share.sum(axis=1) == pytest.approx(1.0)


def test_an_empty_tank_harms_nobody(ask: Asker) -> None:
    seen = screen(ask(), [load_facts().species("Gramma loreto")], load_rules())
    assert seen.worst.tolist() == [0.0]
