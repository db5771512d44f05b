"""A divider: two sides that live apart, and what a clear sheet lets through."""

import dataclasses

import numpy as np
import pytest
from tests.society.build import CLOWN, DOMINO, GRAMMA, QUICK, RULES, YELLOW_TANG, fish, glass, party, rock

from slackwater.society.company import Party, Place, Situation
from slackwater.society.judge import Judgement, judge
from slackwater.society.needs import lacking
from slackwater.society.space import room_of


def divided(*, clear: bool, at_cm: float = 50.0) -> Situation:
    bully = dataclasses.replace(party(DOMINO, 10.0), side="left")
    victim = dataclasses.replace(party(GRAMMA, 6.0, day=60.0), side="right")
    return Situation(
        glass(100.0), (rock("moderate", 100.0),), (bully, victim), divider_cm=at_cm, divider_clear=clear
    )


def together() -> Situation:
    situation = divided(clear=False)
    return dataclasses.replace(
        situation,
        divider_cm=None,
        parties=tuple(dataclasses.replace(p, side=None) for p in situation.parties),
    )


def harm(verdict: Judgement) -> float:
    return float(verdict.worst_of(GRAMMA).mean())


@pytest.fixture(scope="module")
def verdicts() -> dict[str, Judgement]:
    return {
        "opaque": judge(divided(clear=False), QUICK, RULES),
        "clear": judge(divided(clear=True), QUICK, RULES),
        "none": judge(together(), QUICK, RULES),
    }


def test_nobody_is_chased_through_an_opaque_sheet(verdicts: dict[str, Judgement]) -> None:
    assert float(verdicts["opaque"].harm_by(DOMINO, GRAMMA).max()) == 0.0
    stage = verdicts["opaque"].spans[-1].stages[0]
    assert float(stage.pressure.max()) == 0.0


def test_a_clear_sheet_lets_displays_through_and_little_harm(verdicts: dict[str, Judgement]) -> None:
    clear, none = verdicts["clear"], verdicts["none"]
    through = float(clear.harm_by(DOMINO, GRAMMA).mean())
    assert 0.0 < through < 0.05 * float(none.harm_by(DOMINO, GRAMMA).mean())
    assert float(clear.spans[-1].stages[0].pressure[:, 1].max()) > 0.0


def test_each_keeps_to_its_own_side(verdicts: dict[str, Judgement]) -> None:
    field = verdicts["opaque"].fields[0]
    left = field.ground.cells.points_cm[:, 0] < 50.0
    assert float(field.use[left, 0].sum()) == pytest.approx(1.0)
    assert float(field.use[left, 1].sum()) == pytest.approx(0.0, abs=1e-12)


def test_nobody_bites_through_a_sheet() -> None:
    biter = Party(fish("Plagiotremus rhinorhynchos"), 8.0, side="left")
    bitten = Party(fish(YELLOW_TANG), 12.0, side="right")
    tank = Situation(
        glass(100.0), (rock("moderate", 100.0),), (biter, bitten), divider_cm=50.0, divider_clear=True
    )
    verdict = judge(tank, QUICK, RULES)
    assert np.all(verdict.hazards.bitten == 0.0)


def test_company_behind_a_sheet_or_in_the_sump_is_no_company() -> None:
    shoal = party("Chromis viridis", 5.0, count=3)
    sides = (dataclasses.replace(shoal, side="left"), dataclasses.replace(shoal, side="right"))
    joined = Situation(glass(100.0), (rock("moderate", 100.0),), (shoal, shoal))
    parted = dataclasses.replace(joined, parties=sides, divider_cm=50.0)
    below = dataclasses.replace(joined, parties=(shoal, dataclasses.replace(shoal, place=Place.SUMP)))
    lacks = [lacking(s.animals[0], s)["company"] for s in (joined, parted, below)]
    assert lacks[0] < lacks[1]
    assert lacks[1] == lacks[2]


def test_the_room_of_a_short_side_is_as_long_as_it_is_wide() -> None:
    room = room_of(glass(100.0, 50.0, 40.0), 0.3)
    assert (room.length_cm, room.width_cm) == (50.0, 30.0)
    assert room.volume_l == pytest.approx(60.0)


def test_a_sheet_parts_sides_only(verdicts: dict[str, Judgement]) -> None:
    assert harm(verdicts["opaque"]) < harm(verdicts["none"])
    pair = Situation(glass(), (rock(),), (party(CLOWN), party(GRAMMA)))
    assert not pair.parts(*pair.parties)
