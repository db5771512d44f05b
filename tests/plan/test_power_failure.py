"""A power cut for the whole company: levels, helps, who suffers first, cooling."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.plan.tanks import Asker, wanted

from slackwater.plan.outlook import power_cut
from slackwater.plan.power_failure import open_area_m2, power_report, suffering
from slackwater.plan.question import Question
from slackwater.rules import load_rules
from slackwater.tank.shapes import Glass, Shape

RULES = load_rules()


@pytest.fixture
def question(ask: Asker) -> Question:
    wishes = (
        wanted("Gramma loreto", 6.0),
        wanted("Zebrasoma flavescens", 15.0),
        wanted("Nemateleotris magnifica", 6.0, count=2),
    )
    return ask((), wishes)


def test_the_hours_are_those_of_the_plan_sheet(question: Question) -> None:
    levels = {line.level_mg_l: line for line in power_report(question, RULES).levels}
    sheet = power_cut(question)
    assert (levels[3.0].hours_low, levels[3.0].hours_high) == (sheet.hours_low, sheet.hours_high)


def test_lower_levels_come_later(question: Question) -> None:
    low = [line.hours_low for line in power_report(question, RULES).levels]
    assert all(a < b for a, b in pairwise(low))


def test_each_help_buys_time(question: Question) -> None:
    nothing, unfed, pump, both = power_report(question, RULES).helps
    assert nothing.hours_low == nothing.hours_high
    assert nothing.hours_low < unfed.hours_low < both.hours_low
    assert nothing.hours_low < pump.hours_low < pump.hours_high


def test_the_large_swimmer_suffers_first_and_kinds_stand_once(question: Question) -> None:
    names = [line.common_name for line in suffering(question.wishes)]
    assert names[0] == "yellow tang"
    assert len(names) == len(set(names)) == 3
    assert tuple(names) == power_cut(question).first_to_fail


def test_the_hours_begin_full_and_only_fall(question: Question) -> None:
    lines = power_report(question, RULES).hours
    assert (lines[0].hour, lines[0].cold_c, lines[0].warm_c) == (0.0, 26.0, 26.0)
    assert all(b.hard_mg_l <= a.hard_mg_l and b.cold_c < a.cold_c for a, b in pairwise(lines))
    assert all(line.hard_mg_l <= line.aided_mg_l <= line.easy_mg_l for line in lines[1:])


def test_a_warm_room_never_chills(question: Question) -> None:
    assert power_report(question, RULES, room_c=24.0).cooling_h == (math.inf, math.inf)


def test_water_already_cold_has_no_hours_left(question: Question) -> None:
    assert power_report(replace(question, temperature_c=21.0), RULES).cooling_h == (0.0, 0.0)


def test_heat_passes_panes_and_surface() -> None:
    # 1.2 x 0.5 m and 0.5 m high: 1.7 m2 of panes and 0.6 m2 of surface
    assert open_area_m2(Glass(Shape.RECTANGULAR, 120.0, 50.0, 50.0)) == pytest.approx(2.3)
    # a cylinder of 0.6 m and 0.5 m high: 0.3 pi + 0.09 pi
    assert open_area_m2(Glass(Shape.CYLINDER, 60.0, 60.0, 50.0)) == pytest.approx(0.39 * math.pi)


def test_an_empty_tank_can_be_asked_too(ask: Asker) -> None:
    found = power_report(ask(), RULES)
    assert found.suffer == ()
    assert found.levels[1].hours_low > 0.0
