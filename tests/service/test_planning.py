"""From a tank file to the files that are handed over."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.plan.records import Plan
from slackwater.service.planning import plan_file, write_plan

TODAY = dt.date(2026, 11, 24)

SMALL = """
slackwater: 1
tank: {length: 100 cm, width: 50 cm, height: 48 cm}
rock: {layout: moderate}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-05-10}
wishes:
  - {animal: yellow coris}
  - {animal: royal gramma, wish: 8, price: 30 EUR}
limits: {start: 2027-01-09}
"""


@pytest.fixture(scope="module")
def small() -> Plan:
    return plan_file(SMALL, TODAY, title="an invented tank")


def test_every_animal_has_a_comfort_and_a_home_in_the_tank(small: Plan) -> None:
    assert [a.scientific_name for a in small.animals[:1]] == ["Amphiprion ocellaris"]
    assert len(small.animals) == 3
    for line in small.animals:
        assert 0.0 <= line.comfort.low <= line.comfort.p <= 1.0
        assert line.comfort.word in {"at ease", "jostled", "pressed", "besieged"}
        assert line.comfort.sentence
        for x, y, z in line.homes_cm:
            assert -10.0 <= x <= 110.0
            assert 0.0 <= y <= 50.0
            assert 0.0 <= z <= 60.0


def test_the_verdict_names_the_order(small: Plan) -> None:
    assert small.mood == "settled"
    first, second = (release.title for release in small.releases)
    assert small.verdict.index(first) < small.verdict.index(second)


def test_releases_start_on_or_after_the_day_given(small: Plan) -> None:
    assert small.releases[0].date >= dt.date(2027, 1, 9)
    assert len(small.stages) == len(small.releases)


def test_what_was_not_told_is_assumed_and_named(small: Plan) -> None:
    told = {a.what for a in small.assumptions}
    assert "lengths" in told
    assert "lid" in told
    assert "quarantine" in told
    assert small.question


def test_the_same_input_gives_the_same_bytes(small: Plan, tmp_path: Path) -> None:
    again = plan_file(SMALL, TODAY, title="an invented tank")
    one = {p.name: p.read_bytes() for p in write_plan(small, tmp_path / "one")}
    two = {p.name: p.read_bytes() for p in write_plan(again, tmp_path / "two")}
    assert one == two
    assert set(one) == {"plan.pdf", "plan.ics", "plan.json", "tank.png"}
    assert one["plan.pdf"].startswith(b"%PDF")
    assert one["tank.png"].startswith(b"\x89PNG")
    assert json.loads(one["plan.json"])["plan"]["number"] == small.number


def test_no_scratch_file_is_left(small: Plan, tmp_path: Path) -> None:
    write_plan(small, tmp_path)
    assert not list(tmp_path.glob(".*"))


def test_an_unknown_paper_writes_nothing(small: Plan, tmp_path: Path) -> None:
    with pytest.raises(InputError):
        write_plan(small, tmp_path / "out", paper="foolscap")  # type: ignore[arg-type]
    assert not (tmp_path / "out").exists()


def test_all_unclear_names_are_said_at_once() -> None:
    text = SMALL.replace("yellow coris", "flame").replace("royal gramma", "zoas")
    with pytest.raises(InputErrors) as caught:
        plan_file(text, TODAY)
    said = str(caught.value)
    assert "wishes[1].animal" in said
    assert "Centropyge loricula" in said
    assert "wishes[2].animal" in said
    assert "not a fish" in said


def test_an_animal_longer_than_the_tank_is_refused() -> None:
    text = SMALL.replace("{animal: yellow coris}", "{animal: yellow coris, length: 300 cm}")
    with pytest.raises(InputErrors, match="the tank is 100 cm long"):
        plan_file(text, TODAY)


def test_a_tank_known_by_litres_alone_gets_sides() -> None:
    text = SMALL.replace("{length: 100 cm, width: 50 cm, height: 48 cm}", "{volume: 240 L}")
    plan = plan_file(text, TODAY)
    litres = plan.tank.length_cm * plan.tank.width_cm * plan.tank.height_cm / 1000.0
    assert litres == pytest.approx(240.0, rel=1e-6)
    assert any(a.what == "tank sides" for a in plan.assumptions)


def test_residents_alone_are_judged_too() -> None:
    text = SMALL.split("wishes:", maxsplit=1)[0]
    plan = plan_file(text, TODAY)
    assert plan.releases == ()
    assert plan.verdict.startswith("As it is, the company there now")


def test_an_impossible_list_is_an_answer_with_ways_out() -> None:
    text = SMALL.replace(
        "  - {animal: yellow coris}\n",
        "  - {animal: volitans lionfish, wish: 2}\n  - {animal: green chromis, count: 6}\n",
    )
    plan = plan_file(text, TODAY)
    assert plan.no_order_bearable
    assert plan.verdict.startswith("Yes without red lionfish, in this order")
    assert plan.clashes[0].settle
    assert plan.clashes[0].names[0] == "red lionfish"
    assert plan.left_out


def test_residents_that_came_apart_own_in_turn() -> None:
    text = SMALL.replace(
        "count: 2, sex: pair, length: 6 cm, since: 2026-05-10}",
        "count: 2, length: 6 cm, since: 2026-05-10, released_together: false}",
    )
    plan = plan_file(text, TODAY)
    assert [a.count for a in plan.animals[:2]] == [1, 1]
    assert any("a month apart" in a.taken for a in plan.assumptions)


def test_a_budget_that_does_not_reach_is_said() -> None:
    text = SMALL.replace("start: 2027-01-09", "start: 2027-01-09, budget: 20 EUR")
    plan = plan_file(text, TODAY)
    assert any("budget" in line for line in plan.uncertain)


def test_cold_water_is_an_unmet_need_of_reef_fish() -> None:
    text = SMALL + "water: {temperature: 17 C}\n"
    plan = plan_file(text, TODAY)
    assert all(a.comfort.harm["unmet need"] > 0.1 for a in plan.animals)


def test_a_rough_individual_is_judged_by_what_was_counted() -> None:
    base = SMALL.replace("{animal: royal gramma, wish: 8, price: 30 EUR}", "{animal: royal gramma}")
    mild = base.replace(
        "length: 6 cm, since: 2026-05-10}",
        "length: 6 cm, since: 2026-05-10}\n  - {animal: yellow watchman goby, length: 8 cm}",
    )
    rough = mild.replace("length: 8 cm}", "length: 8 cm, seen: {chases: 40, minutes: 60}}")
    told = plan_file(rough, TODAY)
    assert any("rougher than its kind" in line for line in told.uncertain)
    worst = {a.key: a.comfort.p for a in told.animals}
    calm = {a.key: a.comfort.p for a in plan_file(mild, TODAY).animals}
    assert sum(worst.values()) > sum(calm.values())


def test_a_look_in_the_shop_is_told_to_count_for_little() -> None:
    seen = "{animal: royal gramma, seen: {chases: 6, minutes: 20, where: shop}}"
    text = SMALL.replace("{animal: royal gramma, wish: 8, price: 30 EUR}", seen)
    told = [line for line in plan_file(text, TODAY).uncertain if "chases in" in line]
    assert len(told) == 1
    assert "a look in a crowded shop tank counts for little" in told[0]


def test_chases_are_counted_of_one_animal() -> None:
    two = "{animal: royal gramma, count: 2, seen: {chases: 6, minutes: 20}, wish"
    text = SMALL.replace("{animal: royal gramma, wish", two)
    with pytest.raises(InputErrors, match="of one animal"):
        plan_file(text, TODAY)


def test_every_line_says_how_sure_it_is_and_between_what_it_lies(small: Plan) -> None:
    for line in small.animals:
        fares = line.comfort
        assert fares.sure in {"sure", "fairly sure", "unsure"}
        assert 0.0 <= fares.low <= fares.high <= 1.0
        assert fares.chases_low_per_hour <= fares.chases_high_per_hour


def test_the_filter_the_bags_and_quarantine_stand_in_the_plan(small: Plan) -> None:
    assert small.filter is not None
    assert len(small.filter.added_mg_d) == len(small.releases)
    assert small.receiving is not None
    assert any("[colorni1985]" in line for line in small.receiving.quarantine)
    assert all(len(release.choosing) == len(release.bags) == 4 for release in small.releases)


def test_a_list_of_which_nobody_is_left_is_answered_and_written(tmp_path: Path) -> None:
    jumper = "slackwater: 1\ntank: {length: 100 cm, lid: false}\nwishes: [Nemateleotris magnifica]\n"
    made = plan_file(jumper, TODAY, title="an invented tank")
    assert made.animals == ()
    assert made.verdict.startswith("Not this list: without firefish nobody is left.")
    assert any("cover the tank" in way for clash in made.clashes for way in clash.settle)
    assert all(path.stat().st_size for path in write_plan(made, tmp_path))


def test_a_tank_that_is_outgrown_is_said_in_the_verdict_with_the_month() -> None:
    told = "slackwater: 1\ntank: {length: 120 cm}\nwishes: [yellow tang]\nlimits: {start: 2027-01-09}\n"
    made = plan_file(told, TODAY, title="an invented tank")
    outgrown = next(m for m in made.milestones if m.kind == "outgrown")
    month = outgrown.text.partition("Expected about ")[2][:7]
    assert f"outgrown by yellow tang about {month}: a tank of 150 cm" in made.verdict
