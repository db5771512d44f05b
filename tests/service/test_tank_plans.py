"""A release put off: the others keep their days where they can, and go before it where that holds."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from tests.report.sample import sample_plan

from slackwater.errors import InputError
from slackwater.plan.records import Plan
from slackwater.service.tank_plans import Move, PlanAsked, dates_then, make_asked

TODAY = dt.date(2027, 1, 2)
TANK = """slackwater: 1
tank: {length: 150 cm, width: 60 cm, height: 55 cm}
wishes: [{animal: royal gramma}, {animal: banggai cardinal}, {animal: yellow tang}]
limits: {start: 2027-01-10}
"""
GRAMMA, CARDINAL, TANG = ("gramma-loreto",), ("pterapogon-kauderni",), ("zebrasoma-flavescens",)
DAYS: dict[tuple[str, ...], dt.date] = {
    GRAMMA: dt.date(2027, 1, 10),
    CARDINAL: dt.date(2027, 2, 21),
    TANG: dt.date(2027, 4, 4),
}


def before(*steps: tuple[str, ...]) -> Plan:
    """Return a plan with some releases on their days, without quarantine."""
    plan = sample_plan()
    pattern = replace(plan.releases[0], quarantine_from=None, quarantine_to=None)
    releases = tuple(
        replace(pattern, number=n, keys=keys, date=DAYS[keys]) for n, keys in enumerate(steps, start=1)
    )
    return replace(plan, releases=releases)


def put_off(keys: tuple[str, ...], weeks: int, *steps: tuple[str, ...]) -> dict[tuple[str, ...], dt.date]:
    move = Move(keys, DAYS[keys] + dt.timedelta(weeks=weeks))
    return dates_then(PlanAsked(TANK, "a tank", 1, before=before(*steps), move=move), TODAY)


def test_the_last_is_put_off_alone() -> None:
    found = put_off(TANG, 3, GRAMMA, CARDINAL, TANG)
    assert found == DAYS | {TANG: DAYS[TANG] + dt.timedelta(weeks=3)}


def test_one_put_off_beyond_another_goes_after_it() -> None:
    found = put_off(GRAMMA, 8, GRAMMA, CARDINAL, TANG)
    assert found[CARDINAL] == DAYS[CARDINAL]
    assert found[CARDINAL] < found[GRAMMA]


def test_no_day_moves_forward() -> None:
    for weeks in (1, 4, 9):
        found = put_off(CARDINAL, weeks, GRAMMA, CARDINAL, TANG)
        assert all(found[keys] >= day for keys, day in DAYS.items())


def test_who_was_left_out_stays_out() -> None:
    assert set(put_off(GRAMMA, 1, GRAMMA, TANG)) == {GRAMMA, TANG}


def test_a_release_that_is_not_there_is_refused() -> None:
    with pytest.raises(InputError, match="none like it"):
        put_off(CARDINAL, 1, GRAMMA, TANG)


@pytest.mark.slow
def test_the_plan_made_so_says_the_order_and_every_day_that_changed() -> None:
    was = before(GRAMMA, CARDINAL)
    move = Move(GRAMMA, DAYS[GRAMMA] + dt.timedelta(weeks=8))
    made = make_asked(PlanAsked(TANK, "a tank", 1, before=was, move=move), TODAY, tick=lambda _: None)
    first, then = made.plan.releases
    assert (first.keys, then.keys) == (CARDINAL, GRAMMA)
    assert first.date == DAYS[CARDINAL]
    assert then.date >= move.date
    assert "everyone still copes" in made.said[0]
    assert f"becomes {then.date:%-d %B %Y}" in made.said[1]
    assert "zebrasoma-flavescens" not in {animal.key for animal in made.plan.animals}
