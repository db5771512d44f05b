"""A way to yes, taken: the plan of it, with its deeds, beside the list as it stood."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from tests.service.test_whatif import OWNED

from slackwater.errors import InputError
from slackwater.report import calendar_bytes
from slackwater.service.way_taken import WayTaken, take_way, write_way
from slackwater.service.whatif import whatif_file

TODAY = dt.date(2026, 11, 24)


@pytest.fixture(scope="module")
def moved() -> tuple[int, WayTaken]:
    ways = whatif_file(OWNED, TODAY).ways
    number = next(
        (n for n, w in enumerate(ways, 1) if "move" in w.changes[0].kind or "moved" in w.sentence), 1
    )
    return number, take_way(OWNED, TODAY, number)


def test_the_plan_is_that_of_the_way(moved: tuple[int, WayTaken]) -> None:
    number, taken = moved
    way = whatif_file(OWNED, TODAY).ways[number - 1]
    assert taken.changes == tuple(change.do for change in way.changes)
    assert taken.plan.mood != "in trouble"
    assert not taken.plan.clashes


def test_each_animal_stands_before_and_after(moved: tuple[int, WayTaken]) -> None:
    rows = {row.name: row for row in moved[1].beside}
    gramma = rows["royal gramma"]
    assert gramma.before is not None
    assert gramma.after is not None
    assert gramma.before.word == "besieged"
    assert gramma.after.p < gramma.before.p
    assert "in place of besieged" in gramma.changed


def test_deeds_are_on_the_day_of_their_release() -> None:
    text = OWNED + "# the rock is moved\n"
    for number, way in enumerate(whatif_file(text, TODAY, most=10).ways, start=1):
        if any(change.kind in {"rock moved", "timeout"} for change in way.changes):
            plan = take_way(text, TODAY, number, most=10).plan
            (deed,) = plan.releases[0].deeds[-1:]
            assert "move the rock that evening" in " ".join(plan.releases[0].deeds)
            assert deed.split()[0].capitalize() in calendar_bytes(plan).decode("utf-8")
            return
    pytest.fail("no way moves the rock")


def test_it_is_written_with_both_side_by_side(moved: tuple[int, WayTaken], tmp_path: Path) -> None:
    written = write_way(moved[1], tmp_path / "way")
    assert [path.name for path in written] == ["plan.pdf", "plan.ics", "plan.json", "tank.png", "beside.json"]
    told = json.loads(written[-1].read_text(encoding="utf-8"))
    assert told["changes"] == list(moved[1].changes)
    assert {row["name"] for row in told["beside"]} >= {"royal gramma", "sixline wrasse"}


def test_a_way_that_was_not_found_is_refused() -> None:
    with pytest.raises(InputError, match="way to take"):
        take_way(OWNED.replace("six line, length: 7 cm, since: 2026-01-10", "ocellaris"), TODAY, 1)
