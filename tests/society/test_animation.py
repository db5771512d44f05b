"""A judged company walks where it lives."""

from dataclasses import replace

import numpy as np
import pytest
from tests.society.build import CLOWN, GRAMMA, YELLOW_TANG, judged, party, tank

from slackwater.errors import InputError
from slackwater.society.animation import ANIMATION, scene_of, track_of
from slackwater.society.company import Place, Situation
from slackwater.society.walkers import Outing, walk


def company() -> Situation:
    parties = (party(YELLOW_TANG, 10.0), party(CLOWN, 5.0, count=2), party(GRAMMA, 6.0, day=30.0))
    return tank(*parties)


def test_a_judged_company_walks() -> None:
    verdict = judged(company())
    scene = scene_of(verdict, 60.0)
    found = track_of(verdict, 60.0, Outing(hours=0.25))
    assert len(scene.walkers) == 4
    assert found.track_cm is not None
    assert found.track_cm.shape == (900, 4, 3)
    assert scene.glass.contains(found.track_cm.reshape(-1, 3)).all()
    assert "not the judgement" in ANIMATION


def test_a_walker_stands_where_its_party_lives() -> None:
    verdict = judged(company())
    walker = scene_of(verdict, 60.0).walkers[0]
    use = verdict.spans[-1].stages[0].use[:, 0]
    points = verdict.fields[0].ground.cells.points_cm
    assert walker.home_cm == pytest.approx(use @ points, rel=1e-5)


def test_who_is_not_yet_there_does_not_walk() -> None:
    verdict = judged(company())
    assert len(scene_of(verdict, 10.0).walkers) == 3
    assert len(scene_of(verdict, 999.0).walkers) == 4


def test_a_divider_keeps_walkers_apart() -> None:
    left = replace(party(YELLOW_TANG, 10.0), side="left")
    right = replace(party(GRAMMA, 6.0), side="right")
    found = track_of(judged(replace(tank(left, right), divider_cm=30.0)), 10.0, Outing(hours=0.5))
    assert found.track_cm is not None
    assert found.track_cm[:, 0, 0].max() <= 30.0 <= found.track_cm[:, 1, 0].min()
    assert found.attacks.sum() == 0


def test_an_empty_tank_has_nothing_to_animate() -> None:
    away = replace(party(GRAMMA, 6.0), place=Place.SUMP)
    with pytest.raises(InputError, match="nobody is in the tank"):
        scene_of(judged(tank(away)), 10.0)


def test_the_chases_of_the_day_are_kept_in_turn() -> None:
    found = track_of(judged(company()), 60.0, Outing(hours=12.0, every_s=10.0))
    counted = np.zeros_like(found.attacks)
    for _, attacker, victim in found.chases:
        counted[attacker, victim] += 1
    assert found.attacks.sum() > 0
    assert (counted == found.attacks).all()
    assert (np.diff(found.chases[:, 0]) >= 0).all()
    assert found.chases[:, 0].max() < found.outing.steps


def test_without_a_track_no_chase_is_kept() -> None:
    assert walk(scene_of(judged(company()), 60.0), Outing(hours=0.5)).chases.shape == (0, 3)


def test_a_walker_keeps_to_the_spread_of_its_partys_use() -> None:
    verdict = judged(company())
    stage, points = verdict.spans[-1].stages[0], verdict.fields[0].ground.cells.points_cm
    for column, walker in ((0, 0), (1, 1), (2, 3)):
        use = stage.use[:, column]
        assert use.sum() == pytest.approx(1.0, abs=1e-5)
        drawn = np.random.default_rng(1).choice(len(points), 40_000, p=use / use.sum())
        spread_cm = scene_of(verdict, 60.0).walkers[walker].spread_cm
        assert spread_cm == pytest.approx(np.maximum(points[drawn].std(axis=0), 2.0), rel=0.03)
