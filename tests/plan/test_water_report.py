"""The water report: loads, next addition, dose test, criteria, drift, oxygen with pumps."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from tests.plan.tanks import Asker, resident, wanted

from slackwater.errors import InputError
from slackwater.plan.filter import system_l
from slackwater.plan.question import Question
from slackwater.plan.water_report import DoseTest, water_report
from slackwater.rules import load_rules

RULES = load_rules()


@pytest.fixture
def question(ask: Asker) -> Question:
    here = resident("Amphiprion ocellaris", 7.0, dt.date(2026, 1, 1), count=2, sex="pair")
    return ask((here,), (wanted("Zebrasoma flavescens", 9.0),))


def test_load_grows_with_the_wishes_and_with_age(question: Question) -> None:
    now, wished, grown = water_report(question, RULES).loads
    assert now.tan_mg_d < wished.tan_mg_d < grown.tan_mg_d
    assert wished.tan_mg_l_d == pytest.approx(wished.tan_mg_d / system_l(question))
    # 0.092 g of nitrogen from each gram of food with 45 % protein, 41.4 mg
    assert now.tan_mg_d == pytest.approx(41.4 * now.feed_g_d)


def test_without_wishes_there_is_no_line_for_them(ask: Asker) -> None:
    here = resident("Gramma loreto", 6.0, dt.date(2026, 1, 1))
    assert [line.when for line in water_report(ask((here,)), RULES).loads] == ["now", "once all are grown"]


def test_a_ripe_filter_bears_more_than_a_young_one(question: Question) -> None:
    young, ripe = water_report(question, RULES).additions
    assert 0.0 < young.added_mg_d < ripe.added_mg_d
    assert young.fish_of_10_g == int(young.added_mg_d / 3.01)


def test_a_dose_test_takes_the_place_of_the_assumption(question: Question) -> None:
    found = water_report(question, RULES, DoseTest(1.0, 0.6, 12.0))
    (tested,) = found.additions
    assert found.tested_mg_l_d == pytest.approx(1.41, abs=0.01)
    assert tested.filter == "as tested"
    assert not any("film" in line for line in found.assumed)
    slower = water_report(question, RULES, DoseTest(1.0, 0.9, 12.0)).additions[0]
    assert slower.added_mg_d < tested.added_mg_d


def test_a_dose_that_did_not_fall_is_asked(question: Question) -> None:
    with pytest.raises(InputError, match="later_mg_l"):
        water_report(question, RULES, DoseTest(1.0, 1.2, 12.0))


def test_criteria_follow_the_ph_of_the_tank(question: Question) -> None:
    usual = water_report(question, RULES).ammonia
    told = water_report(replace(question, ph=8.3), RULES).ammonia
    assert (usual.ph, usual.ph_told, told.ph_told) == (8.1, False, True)
    # 0.54 and 0.35 mg N/L at pH 8.1 and 8.3, 26 C, salinity 35
    assert usual.four_days_mg_l == pytest.approx(0.54, abs=0.01)
    assert told.four_days_mg_l == pytest.approx(0.35, abs=0.01)
    assert usual.hour_mg_l == pytest.approx(usual.four_days_mg_l * 0.233 / 0.035)


def test_drift_is_arithmetic_of_the_load(question: Question) -> None:
    found = water_report(question, RULES)
    load = found.loads[1].tan_mg_l_d
    assert found.drift.nitrate_mg_l == pytest.approx(7.0 * 4.4268 * load, rel=1e-3)
    assert found.drift.nitrate_most_mg_l / found.drift.nitrate_mg_l == pytest.approx(0.16 / 0.092, rel=1e-6)
    assert found.drift.alkalinity_dkh == pytest.approx(7.0 * 7.146 / 17.848 * load, rel=1e-3)
    for line in found.drift.changes:
        assert line.before_mg_l == pytest.approx(found.drift.nitrate_mg_l / line.changed_share)
        assert line.after_mg_l == pytest.approx(line.before_mg_l * (1.0 - line.changed_share))


def test_pumps_keep_oxygen_below_what_water_holds(question: Question) -> None:
    found = water_report(question, RULES)
    low, high = found.oxygen_mg_l
    assert 0.0 < low < high < found.full_mg_l == pytest.approx(6.66, abs=0.01)
