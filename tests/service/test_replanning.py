"""A plan made anew keeps what was done and changes as little as it can."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.service.planning import plan_file, write_plan
from slackwater.service.replanning import Replanned, replan_files, write_replan
from slackwater.service.tankfile_copy import copy_of

TODAY = dt.date(2026, 11, 24)

TANK = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
rock: two islands
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-05-10}
wishes:
  - {animal: royal gramma, wish: 8, price: 30 EUR}
  - {animal: yellow coris, wish: 6}
  - {animal: six line, wish: 4}
limits: {start: 2026-12-05}
"""


@pytest.fixture(scope="module")
def plan_json(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the written plan: canary wrasse, then royal gramma, then six line."""
    out = tmp_path_factory.mktemp("old")
    return write_plan(plan_file(TANK, TODAY, title="an invented tank"), out, question=copy_of(TANK))[2]


@pytest.fixture(scope="module")
def old(plan_json: Path) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(plan_json.read_text(encoding="utf-8"))
    return data


def dates(made: Replanned) -> dict[str, dt.date]:
    return {release.title: release.date for release in made.found.plan.releases}


def test_a_plan_carries_the_question_that_it_answers(old: dict[str, Any]) -> None:
    assert old["question"] == copy_of(TANK)
    assert [r["title"] for r in old["plan"]["releases"]] == [
        "canary wrasse",
        "royal gramma",
        "sixline wrasse",
    ]


def test_nothing_happened_and_nothing_changes(plan_json: Path, old: dict[str, Any]) -> None:
    made = replan_files(plan_json, "{}", TODAY)
    assert made.found.keeps_order
    told = [(r["title"], r["date"]) for r in old["plan"]["releases"]]
    assert [(title, day.isoformat()) for title, day in dates(made).items()] == told
    assert {row.changed for row in made.found.beside} == {"as before"}


def test_a_delay_puts_off_everything_still_to_come(plan_json: Path, old: dict[str, Any]) -> None:
    made = replan_files(plan_json, "delay: 3 weeks\n", TODAY)
    for release in old["plan"]["releases"]:
        was = dt.date.fromisoformat(release["date"])
        assert (dates(made)[release["title"]] - was).days == 21
    assert "What is still to come is put off by 21 days." in made.found.sentences


def test_what_was_done_stays_done(plan_json: Path) -> None:
    happened = "today: 2026-12-20\nreleased: [{animal: yellow coris, on: 2026-12-08, length: 7 cm}]\n"
    made = replan_files(plan_json, happened, TODAY)
    residents = {a.scientific_name: a for a in made.found.plan.animals if a.resident}
    assert set(residents) == {"Amphiprion ocellaris", "Halichoeres chrysus"}
    assert residents["Halichoeres chrysus"].length_cm >= 7.0
    assert list(dates(made)) == ["royal gramma", "sixline wrasse"]
    assert min(dates(made).values()) >= dt.date(2026, 12, 29)
    row = next(r for r in made.found.beside if r.name == "canary wrasse")
    assert row.changed.startswith("is there now")


def test_after_a_death_nobody_comes_for_two_weeks(plan_json: Path) -> None:
    happened = "today: 2026-12-20\ndied: [{animal: ocellaris, on: 2026-12-18}]\n"
    made = replan_files(plan_json, happened, TODAY)
    left = made.found.plan.animals[0]
    assert (left.count, left.sex) == (1, None)
    assert min(dates(made).values()) >= dt.date(2027, 1, 1)


def test_another_animal_comes_in_the_place(plan_json: Path) -> None:
    happened = "instead: [{animal: yellow coris, take: melanurus wrasse, length: 8 cm}]\n"
    made = replan_files(plan_json, happened, TODAY)
    assert "melanurus wrasse" in dates(made)
    assert "canary wrasse" not in dates(made)
    assert any(row.name == "canary wrasse, now melanurus wrasse" for row in made.found.beside)
    assert made.found.sentences[0] == "Melanurus wrasse comes in place of canary wrasse."


def test_a_larger_animal_is_judged_again(plan_json: Path) -> None:
    made = replan_files(plan_json, "sizes: [{animal: six line, length: 8 cm}]\n", TODAY)
    lengths = {a.scientific_name: a.length_cm for a in made.found.plan.animals}
    assert lengths["Pseudocheilinus hexataenia"] == 8.0


def test_whoever_was_missed_is_said(plan_json: Path) -> None:
    made = replan_files(plan_json, "today: 2026-12-20\n", TODAY)
    assert any("is taken as not yet let go" in line for line in made.found.sentences)


SMALL = """
slackwater: 1
tank: {length: 75 cm, width: 40 cm, height: 40 cm, lid: true}
rock: moderate
wishes:
  - {animal: Nemateleotris magnifica}
  - {animal: royal gramma}
limits: {start: 2026-12-05}
"""


@pytest.fixture(scope="module")
def small_json(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("small")
    return write_plan(plan_file(SMALL, TODAY), out, question=copy_of(SMALL))[2]


def test_an_order_that_no_longer_holds_is_changed(small_json: Path) -> None:
    happened = "instead: [{animal: Nemateleotris magnifica, take: six line, length: 7 cm}]\n"
    made = replan_files(small_json, happened, TODAY)
    assert not made.found.keeps_order
    assert list(dates(made)) == ["royal gramma", "sixline wrasse"]
    assert any(line.startswith("In the old order somebody would") for line in made.found.sentences)


def test_whoever_no_longer_fits_is_said(small_json: Path) -> None:
    happened = "instead: [{animal: Nemateleotris magnifica, take: royal dottyback, length: 7 cm}]\n"
    made = replan_files(small_json, happened, TODAY)
    assert list(dates(made)) == ["royal gramma"]
    assert any("no longer fits" in line for line in made.found.sentences)
    assert any(row.changed == "no longer in the plan" for row in made.found.beside)


def test_a_new_plan_can_be_made_anew_again(plan_json: Path, tmp_path: Path) -> None:
    first = replan_files(
        plan_json, "today: 2026-12-20\nreleased: [{animal: yellow coris, on: 2026-12-08}]\n", TODAY
    )
    files = write_replan(first, tmp_path)
    assert [f.name for f in files] == ["plan.pdf", "plan.ics", "plan.json", "tank.png", "beside.json"]
    assert json.loads(files[-1].read_text(encoding="utf-8"))["keeps_order"]
    second = replan_files(files[2], "today: 2026-12-20\n", TODAY)
    assert dates(second) == dates(first)
    assert {row.changed for row in second.found.beside} == {"as before"}


def test_the_same_happening_gives_the_same_bytes(plan_json: Path, tmp_path: Path) -> None:
    made = [replan_files(plan_json, "delay: 10 days\n", TODAY) for _ in range(2)]
    one, two = (
        {f.name: f.read_bytes() for f in write_replan(m, tmp_path / str(n))} for n, m in enumerate(made)
    )
    assert one == two


def test_all_faults_are_said_at_once(plan_json: Path) -> None:
    happened = (
        "released: [{animal: yellow tang, on: 2026-11-20}, {animal: royal gramma, on: 2027-05-01}]\n"
        "instead: [{animal: six line, take: flame}]\n"
    )
    with pytest.raises(InputErrors) as caught:
        replan_files(plan_json, happened, TODAY)
    said = str(caught.value)
    for place in ("released[1].animal", "released[2].on", "instead[1].take"):
        assert place in said


def test_an_unknown_key_is_a_fault(plan_json: Path) -> None:
    with pytest.raises(InputErrors, match="dead"):
        replan_files(plan_json, "dead: [{animal: six line, on: 2026-11-20}]\n", TODAY)


def test_a_plan_without_its_question_is_refused(tmp_path: Path) -> None:
    for text in ("[]", '{"plan": {}}', '{"plan": {}, "question": {"slackwater": 1, "wishes": ["six line"]}}'):
        path = tmp_path / "plan.json"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(InputError, match="slackwater plan wrote"):
            replan_files(path, "{}", TODAY)


def test_nobody_left_is_said(plan_json: Path) -> None:
    animals = ("ocellaris, count: 2", "royal gramma", "yellow coris", "six line")
    rows = ", ".join(f"{{animal: {a}, on: 2026-11-20}}" for a in animals)
    with pytest.raises(InputError, match="nobody is still to come"):
        replan_files(plan_json, f"died: [{rows}]\n", TODAY)


PARTED = """
slackwater: 1
tank: {length: 150 cm, width: 50 cm, height: 50 cm, lid: true, sump: 80 L}
divider: {at: 75 cm}
company:
  - {animal: domino damsel, length: 9 cm, since: 2026-01-10, place: sump}
  - {animal: six line, length: 6 cm, since: 2026-01-10, side: right}
wishes:
  - {animal: royal gramma, side: left, box_days: 3}
limits: {start: 2026-12-05}
"""


def test_sides_places_and_days_in_the_box_are_kept(tmp_path: Path) -> None:
    plan = plan_file(PARTED, TODAY, title="an invented tank")
    written = write_plan(plan, tmp_path / "old", question=copy_of(PARTED))
    made = replan_files(written[2], "{delay: 1 week}", TODAY)
    question: dict[str, Any] = made.question
    damsel, wrasse = question["company"]
    (gramma,) = question["wishes"]
    assert (damsel["place"], wrasse["side"], gramma["side"]) == ("sump", "right", "left")
    assert gramma["box_days"] == 3.0
    assert all(row.before and row.after and row.before.word == row.after.word for row in made.found.beside)
    again = write_replan(made, tmp_path / "anew")
    assert replan_files(again[2], "{}", TODAY).question["wishes"] == made.question["wishes"]
