"""A tank of large and boisterous animals, judged by the same model: common practice, no source."""

from __future__ import annotations

import dataclasses

import pytest
from tests.society.build import DOMINO, QUICK, RULES, fish

from slackwater.society.company import Keeping, Party, Place, Situation
from slackwater.society.harm import Mood
from slackwater.society.judge import Judgement, judge
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape

HALL = Glass(Shape.RECTANGULAR, 300.0, 90.0, 80.0)
EMPEROR, TRIGGER, PUFFER = "Pomacanthus imperator", "Odonus niger", "Diodon holocanthus"
EEL, LIONFISH, CHROMIS = "Echidna nebulosa", "Pterois volitans", "Chromis viridis"


def judged(*parties: Party, glass: Glass = HALL) -> Judgement:
    rock = preset("moderate", glass, 5.0)
    return judge(Situation(glass, (rock,), parties, Keeping(), horizon_days=365.0), QUICK, RULES)


def large_company() -> tuple[Party, ...]:
    lengths = {EMPEROR: 22.0, TRIGGER: 18.0, PUFFER: 20.0, EEL: 45.0, LIONFISH: 24.0}
    return tuple(Party(fish(name), length, 30.0 * n) for n, (name, length) in enumerate(lengths.items()))


@pytest.fixture(scope="module")
def hall() -> Judgement:
    return judged(*large_company())


def test_large_animals_of_different_kinds_live_together_in_a_large_tank(hall: Judgement) -> None:
    assert hall.mood is not Mood.IN_TROUBLE
    assert not hall.any_eaten


def test_a_small_fish_among_them_is_eaten() -> None:
    with_prey = judged(*large_company(), Party(fish(CHROMIS), 4.0, 150.0, 5))
    assert with_prey.mood is Mood.IN_TROUBLE
    assert with_prey.eaten[LIONFISH, CHROMIS] > 0.5


def test_the_same_company_in_a_common_tank_is_worse_off(hall: Judgement) -> None:
    common = judged(*large_company(), glass=Glass(Shape.RECTANGULAR, 120.0, 50.0, 50.0))
    assert max(lot.p for lot in common.lots) > max(lot.p for lot in hall.lots)


def test_a_boisterous_damsel_is_quieter_below_a_larger_fish() -> None:
    bully, victim = Party(fish(DOMINO), 9.0, 0.0), Party(fish("Chrysiptera parasema"), 6.0, 30.0)
    alone = judged(bully, victim, glass=Glass(Shape.RECTANGULAR, 180.0, 60.0, 60.0))
    above = judged(
        bully, victim, Party(fish(TRIGGER), 20.0, 30.0), glass=Glass(Shape.RECTANGULAR, 180.0, 60.0, 60.0)
    )
    name = "Chrysiptera parasema"
    assert float(above.harm_by(DOMINO, name).mean()) < float(alone.harm_by(DOMINO, name).mean())


def test_a_bully_in_the_sump_harms_nobody_above() -> None:
    bully, victim = Party(fish(DOMINO), 9.0, 0.0), Party(fish("Gramma loreto"), 6.0, 30.0)
    below = judged(dataclasses.replace(bully, place=Place.SUMP), victim)
    assert float(below.harm_by(DOMINO, "Gramma loreto").max()) == 0.0
