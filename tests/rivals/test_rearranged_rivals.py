"""Many layouts judged at once against the judgement of each alone, which is plain numpy but for reach.

Both leave too little room out. The compiled loop works in float32 where the judgement of one
layout works in float64, hence the tolerance.
"""

import dataclasses

import numpy as np
import pytest
from tests.society.build import CLOWN, DOMINO, GRAMMA, RULES, YELLOW_TANG, fish

from slackwater import kernels
from slackwater.society.company import Deed, Event, Keeping, Party, Sex, Situation
from slackwater.society.judge import Settings, judge
from slackwater.society.rearranged import padded, rearranging
from slackwater.tank.rock import Rockwork, preset
from slackwater.tank.shapes import Glass, Shape

SETTINGS = Settings(fine=False, draws=6)
TANK = Glass(Shape.RECTANGULAR, 70.0, 40.0, 40.0)
BOW = Glass(Shape.BOW_FRONT, 70.0, 40.0, 40.0, bow_cm=8.0)


def company() -> tuple[Party, ...]:
    """Return a pair that guards a host, a bully, a group, a biter and late comers."""
    return (
        Party(fish(CLOWN), 7.0, -200.0, 2, Sex.PAIR),
        Party(fish(DOMINO), 9.0, -100.0),
        Party(fish("Chromis viridis"), 5.0, 20.0, 3),
        Party(fish(GRAMMA), 6.0, 60.0, box_days=5.0),
        Party(fish("Plagiotremus rhinorhynchos"), 8.0, 60.0),
        Party(fish(YELLOW_TANG), 10.0, 90.0),
    )


def situation(glass: Glass = TANK, sand_cm: float = 5.0) -> Situation:
    return Situation(
        glass,
        (preset("moderate", glass, sand_cm),),
        company(),
        Keeping(inverts=("anemone",)),
        events=(Event(60.0, Deed.RESCAPE),),
        horizon_days=365.0,
    )


def alone(one: Situation, rock: Rockwork) -> list[float]:
    verdict = judge(dataclasses.replace(one, rockworks=(rock,)), SETTINGS, RULES)
    return [*(float(verdict.community_draws(lot).mean()) for lot in verdict.lots), verdict.worst_p]


@pytest.mark.parametrize("glass", [TANK, BOW], ids=["rectangular", "bow-front"])
def test_every_layout_fares_as_if_judged_alone(glass: Glass) -> None:
    one = situation(glass)
    rocks = [preset(word, glass, 5.0, variant) for word in ("moderate", "bommies") for variant in (0, 2)]
    together = rearranging(one, RULES, SETTINGS).chances(padded([rock.rock_table for rock in rocks]))
    for row, rock in zip(together, rocks, strict=True):
        assert row == pytest.approx(alone(one, rock), rel=2e-3, abs=2e-5)


def test_a_divider_parts_them_here_too() -> None:
    sides = tuple(dataclasses.replace(p, side="left" if n % 2 else "right") for n, p in enumerate(company()))
    for clear in (False, True):
        one = dataclasses.replace(situation(), parties=sides, divider_cm=35.0, divider_clear=clear)
        found = rearranging(one, RULES, SETTINGS).chances([one.rockworks[0].rock_table])[0]
        assert found == pytest.approx(alone(one, one.rockworks[0]), rel=2e-3, abs=2e-5)


def test_a_tank_without_rock() -> None:
    one = dataclasses.replace(situation(), rockworks=(preset("none", TANK, 5.0),))
    found = rearranging(one, RULES, SETTINGS).chances([one.rockworks[0].rock_table])[0]
    assert found == pytest.approx(alone(one, one.rockworks[0]), rel=2e-3, abs=2e-5)


def test_pieces_far_outside_change_nothing_and_threads_neither() -> None:
    one = situation()
    ready = rearranging(one, RULES, SETTINGS)
    tables = [preset("moderate", TANK, 5.0, variant).rock_table for variant in (0, 1, 2)]
    longer = padded([*tables, np.vstack([tables[0], tables[0]])])[:3]
    assert ready.chances(longer) == pytest.approx(ready.chances(tables), abs=1e-12)
    many = ready.chances(tables)
    kernels.use_threads(1)
    try:
        assert np.array_equal(ready.chances(tables), many)
    finally:
        kernels.use_threads(64)
