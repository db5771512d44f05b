"""Moves of stones that could be made, and the search for the one that helps most."""

from __future__ import annotations

import dataclasses
import datetime as dt
import math

import numpy as np
import pytest
from tests.plan.tanks import resident, wanted

from slackwater.plan import stones as seeking
from slackwater.plan.question import Question
from slackwater.plan.stone_moves import (
    Act,
    Bed,
    Step,
    Try,
    additions,
    corner_moves,
    moves,
    put,
    spots,
    stands,
    stones_of,
    usual_stones,
    with_step,
)
from slackwater.plan.stones import (
    Laid,
    StonesAsked,
    StonesFound,
    favourite_stone,
    seek_stones,
    table_of,
)
from slackwater.rules import load_rules
from slackwater.society.company import Keeping
from slackwater.society.judge import Settings, judge
from slackwater.tank.rock import arranged, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.tank.stone import Form, Opening, Stone
from slackwater.tank.weights import stone_weight

RULES = load_rules()
TANK = Glass(Shape.RECTANGULAR, 80.0, 45.0, 40.0)
LONG_AGO = dt.date(2026, 1, 1)
FOOT = Stone(Form.BOULDER, 18.0, 24.0, 0.0, (20.0, 18.0, 14.0), openings=(Opening(8.0),))
LOOSE = Stone(Form.BOULDER, 60.0, 24.0, 0.0, (12.0, 12.0, 10.0))
TOP = Stone(Form.SLAB, 18.0, 24.0, 14.0, (16.0, 14.0, 4.0))


def question(*stones: Stone) -> Question:
    rock = arranged(stones or (FOOT, LOOSE), TANK, 4.0)
    return Question(
        title="an invented tank",
        made_on=dt.date(2027, 1, 1),
        start=dt.date(2027, 1, 9),
        glass=TANK,
        rockworks=(rock,),
        rock_word="as listed",
        keeping=Keeping(),
        residents=(resident("Chrysiptera cyanea", 6.0, LONG_AGO),),
        wishes=(wanted("Gramma loreto", 5.0),),
        quarantine=None,
    )


def bed(*stones: Stone) -> Bed:
    return Bed.of(stones or (FOOT, LOOSE), TANK, 4.0)


# --- moves ---


def test_a_stone_that_carries_another_is_not_moved() -> None:
    piled = bed(FOOT, LOOSE, TOP)
    assert [piled.is_free(n) for n in range(3)] == [False, True, True]
    assert {one.number for one in moves(piled)} == {1, 2}


def test_glued_heavy_and_living_things_stay() -> None:
    glued = dataclasses.replace(LOOSE, is_fixed=True)
    heavy = dataclasses.replace(LOOSE, mass_kg=60.0)
    anemone = dataclasses.replace(LOOSE, form=Form.ANEMONE)
    for stone in (glued, heavy, anemone):
        assert not bed(FOOT, stone).is_free(1)


def test_a_moved_stone_keeps_off_the_glass_and_under_water() -> None:
    here = bed()
    gap = RULES["rock_gap_cm"]
    for one in moves(here):
        step = one.step(here, RULES)
        if step is None or step.after is None:
            continue
        reach = math.hypot(*step.after.size_cm[:2]) / 2.0
        assert step.after.y_cm - min(step.after.size_cm[:2]) / 2.0 >= gap - 1e-9
        assert step.after.base_cm + step.after.size_cm[2] <= TANK.height_cm
        assert reach <= step.after.x_cm + reach <= TANK.length_cm + reach


def test_nothing_is_put_where_it_would_touch_the_glass() -> None:
    assert put(LOOSE, (3.0, 20.0), (), bed(), RULES) is None
    tall = dataclasses.replace(LOOSE, size_cm=(12.0, 12.0, 39.0))
    assert put(tall, (40.0, 22.0), (), bed(), RULES) is None


def test_a_stone_put_over_another_is_let_down_onto_it() -> None:
    placed = put(TOP, (18.0, 24.0), (FOOT,), bed(), RULES)
    assert placed is not None
    assert placed.base_cm == pytest.approx(14.0, abs=0.5)


def test_a_move_to_where_it_lies_is_none() -> None:
    assert Try(1, LOOSE, LOOSE, (60.0, 24.0)).step(bed(), RULES) is None


def test_corners_farthest_from_the_victim_come_first() -> None:
    found = [one.place for one in corner_moves(bed(), 1, (78.0, 40.0), RULES)]
    away = [math.dist(place, (78.0, 40.0)) for place in found]
    assert away == sorted(away, reverse=True)
    assert len(found) == 4
    assert list(corner_moves(bed(FOOT, LOOSE, TOP), 0, (78.0, 40.0), RULES)) == []


def test_usual_stones_can_be_lifted_and_are_of_three_forms() -> None:
    usual = usual_stones(TANK)
    assert [stone.form for stone in usual] == [Form.BOULDER, Form.PIPE, Form.ARCH]
    assert all(stone_weight(stone, TANK).people <= 2 for stone in usual)
    assert {one.number for one in additions(bed())} == {2}


def test_steps_change_one_stone() -> None:
    moved = LOOSE.moved_to(40.0, 24.0, 0.0)
    assert with_step((FOOT, LOOSE), Step(Act.MOVE, 1, LOOSE, moved)) == (FOOT, moved)
    assert with_step((FOOT,), Step(Act.ADD, 1, None, LOOSE)) == (FOOT, LOOSE)
    assert with_step((FOOT, LOOSE), Step(Act.TAKE_OUT, 0, FOOT, None)) == (LOOSE,)


def test_what_leaned_before_may_lean_on() -> None:
    leaning = dataclasses.replace(TOP, x_cm=28.0, base_cm=13.0)
    here = bed(FOOT, leaning, LOOSE)
    assert here.standing[1].faults
    assert stands((FOOT, leaning, LOOSE.moved_to(50.0, 24.0, 0.0)), here)
    floating = LOOSE.moved_to(50.0, 24.0, 12.0)
    assert not stands((FOOT, leaning, floating), here)


def test_places_lie_on_a_grid_inside_the_glass() -> None:
    round_tank = Glass(Shape.CYLINDER, 60.0, 60.0, 40.0)
    found = np.array(spots(round_tank))
    assert (np.hypot(found[:, 0] - 30.0, found[:, 1] - 30.0) <= 30.0).all()
    assert len(spots(TANK)) == 8 * 4


def test_stones_of_a_word_have_the_bodies_of_its_layout() -> None:
    rock = preset("moderate", TANK, 4.0)
    assert table_of(stones_of(rock)) == pytest.approx(rock.rock_table)
    listed = arranged((FOOT, LOOSE), TANK, 4.0)
    assert stones_of(listed) == (FOOT, LOOSE)


# --- the search ---


@pytest.fixture(scope="module")
def small() -> pytest.MonkeyPatch:
    patch = pytest.MonkeyPatch()
    patch.setattr(seeking, "_NEXT", 60)
    patch.setattr(seeking, "_ANEW", 4)
    patch.setattr(seeking, "_CLIMBS", 1)
    return patch


@pytest.fixture(scope="module")
def found(small: pytest.MonkeyPatch) -> StonesFound:
    try:
        return seek_stones(question(), StonesAsked(2), RULES)
    finally:
        small.undo()


def fine(laid: Laid) -> float:
    asked = question()
    from slackwater.plan.rejudge import days_of, with_best_order

    fixed = with_best_order(asked, RULES)
    situation = fixed.situation(days_of(fixed, RULES), layouts=1)
    rock = arranged(laid.stones, TANK, 4.0)
    return judge(dataclasses.replace(situation, rockworks=(rock,)), Settings(draws=48), RULES).worst_p


def test_the_best_single_step_betters_the_worst_off_and_stands(found: StonesFound) -> None:
    best = found.best_single
    assert best is not None
    assert best.p < found.before.p
    assert stands(best.stones, bed())
    assert len(best.steps) == 1
    assert best.p == pytest.approx(fine(best), rel=1e-9)
    assert found.before.p == pytest.approx(fine(found.before), rel=1e-9)


def test_no_single_step_scores_better_on_coarse_cells(found: StonesFound) -> None:
    search = seeking._Search.of(question(), RULES, lambda _: None)
    every = search.singles()
    standing = [one for one in every if stands(one.stones, search.bed)]
    least = min(one.p_coarse for one in standing)
    assert min(one.p_coarse for one in found.singles) <= least + 0.01
    kinds = {one.steps[0].act for one in every}
    assert kinds == {Act.MOVE, Act.ADD}


def test_each_kind_of_single_step_is_offered(found: StonesFound) -> None:
    kinds = [seeking._kind(laid) for laid in found.singles]
    assert len(kinds) == len(set(kinds))
    assert {"move", "add pipe", "add arch", "add boulder"} == set(kinds)


def test_two_steps_handle_two_stones(found: StonesFound) -> None:
    for laid in found.pairs:
        assert len({step.number for step in laid.steps}) == 2
    assert min(laid.p_coarse for laid in found.pairs) <= min(laid.p_coarse for laid in found.singles) + 1e-9
    assert found.triples == ()


def test_anew_keeps_the_same_stones(found: StonesFound) -> None:
    assert found.anew is not None
    sizes = sorted(stone.size_cm for stone in found.anew.stones)
    assert sizes == sorted(stone.size_cm for stone in (FOOT, LOOSE))
    assert stands(found.anew.stones, Bed(TANK, 4.0, (), ()))


def test_the_same_question_and_seed_give_the_same_advice() -> None:
    asked = StonesAsked(1, anew=False, seed=3)
    first, second = (seek_stones(question(), asked, RULES) for _ in range(2))
    assert [(one.steps, one.p) for one in first.singles] == [(one.steps, one.p) for one in second.singles]


def test_the_favourite_hole_of_the_chaser_is_that_nearest_its_home() -> None:
    search = seeking._Search.of(question(), RULES, lambda _: None)
    number, victim = favourite_stone(search.ready.verdict, search.rock, search.bed.stones)
    assert number in {0, 1}
    assert 0.0 <= victim[0] <= TANK.length_cm
    bare = arranged((dataclasses.replace(FOOT, openings=()),), TANK, 4.0)
    assert favourite_stone(search.ready.verdict, bare, (FOOT,))[0] is None
