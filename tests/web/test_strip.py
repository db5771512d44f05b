"""The calendar strip of a plan."""

from __future__ import annotations

import datetime as dt
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import pytest
from tests.report.sample import sample_plan

from slackwater.errors import InputError
from slackwater.plan.records import Before, Plan
from slackwater.web.plan_showing import MOST_WEEKS, move_of
from slackwater.web.strip_figure import WEEK_PX, absences, strip_figure

SVG = "{http://www.w3.org/2000/svg}"


def drawn(plan: Plan, *, can_move: bool = True) -> ET.Element:
    first = plan.releases[0].date
    away = [(first + dt.timedelta(weeks=3), first + dt.timedelta(weeks=4))]
    return ET.fromstring(str(strip_figure(plan, away, can_move=can_move)))  # noqa: S314 - our own


def of_class(svg: ET.Element, name: str) -> list[ET.Element]:
    return [one for one in svg.iter() if one.get("class") == name]


def test_releases_stand_a_week_apart_where_they_are_a_week_apart() -> None:
    plan = sample_plan()
    marks = of_class(drawn(plan), "release")
    assert len(marks) == len(plan.releases) > 1
    for (one, first), (two, then) in zip(
        zip(marks, plan.releases, strict=True), zip(marks[1:], plan.releases[1:], strict=False), strict=False
    ):
        apart = float(str(two.get("data-x"))) - float(str(one.get("data-x")))
        assert apart == pytest.approx(WEEK_PX * (then.date - first.date).days / 7.0, abs=0.01)


def test_what_must_come_first_is_a_line_from_mark_to_mark() -> None:
    plan = sample_plan()
    names = {animal.key: animal.common_name for animal in plan.animals}
    first, then = (names[plan.releases[n].keys[0]] for n in (0, 1))
    plan = replace(plan, befores=(Before(first, then, "<i>why</i>", 0.1),))
    (line,) = of_class(drawn(plan), "before")
    assert (line.get("data-first"), line.get("data-then")) == ("0", "1")
    assert line.find(f"{SVG}title") is not None
    assert "<i>why</i>" not in str(strip_figure(plan, [], can_move=False))


def test_absences_are_read_from_the_tank_file() -> None:
    found = absences({"limits": {"away": ["2027-02-06/2027-02-20"]}})
    assert found == [(dt.date(2027, 2, 6), dt.date(2027, 2, 20))]
    assert absences({}) == []
    assert len(of_class(drawn(sample_plan()), "away")) == 1


def test_marks_can_be_reached_only_where_they_can_be_moved() -> None:
    assert all(one.get("role") == "slider" for one in of_class(drawn(sample_plan()), "release"))
    assert all(
        one.get("tabindex") is None for one in of_class(drawn(sample_plan(), can_move=False), "release")
    )


@pytest.mark.parametrize("weeks", ["", "0", "-1", "1.5", str(MOST_WEEKS + 1)])
def test_weeks_that_are_none_are_refused(weeks: str) -> None:
    plan = sample_plan()
    with pytest.raises(InputError, match="weeks"):
        move_of(plan, {"keys": " ".join(plan.releases[0].keys), "weeks": weeks})


def test_names_of_months_do_not_run_into_each_other() -> None:
    plan = sample_plan()
    release = replace(plan.releases[0], date=dt.date(2026, 12, 5), quarantine_from=None, quarantine_to=None)
    svg = ET.fromstring(str(strip_figure(replace(plan, releases=(release,)), [], can_move=True)))  # noqa: S314
    named = [(float(str(one.get("x"))), one.text) for one in of_class(svg, "month")]
    assert named[0][1] == "Dec 2026"
    assert all(second[0] - first[0] > 60 for first, second in pairwise(named))
