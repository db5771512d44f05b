"""One quarrel from the first chase to peace, through the service layer.

The shop, the tank, its keeper and every count are invented.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from slackwater.plan.settling import Outlook
from slackwater.service.diary import Draft, add
from slackwater.service.follow_up import answer_by_diary, due_at_tank, forecasts_scored
from slackwater.service.kept_quarrels import climb, end_rung, rank_tank, remedy_tank
from slackwater.service.remedy import Asked, Remedied, write_remedy
from slackwater.service.tanks import By, add_tank
from slackwater.society.diary import (
    Bearing,
    Chases,
    Eating,
    KeptApart,
    Manner,
    Place,
    Release,
    Result,
    RockMoved,
    Seen,
    Watch,
)
from slackwater.store import Store, open_store

TANK = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
rock: {layout: moderate}
keeping: {feeds_per_day: 2, stations: 1, lights_off: "21:00"}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-05-10}
  - {animal: royal gramma, length: 7 cm, since: 2026-06-10}
  - {animal: coral beauty, length: 9 cm, since: 2026-08-01}
  - {animal: flame angel, length: 7 cm, since: 2027-03-01}
"""
FIRST = dt.datetime(2027, 3, 1, 20, tzinfo=dt.UTC)
BEAUTY, FLAME = "coral beauty", "flame angel"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = open_store(str(tmp_path / "shop.db"))
    add_tank(opened, "the corner reef", TANK, By("ada", FIRST), keeper="a keeper")
    yield opened
    opened.close()


class Shop:
    """Someone at the shop with the diary before them."""

    def __init__(self, store: Store) -> None:
        self.store, self.by = store, By("ada", FIRST)

    def day(self, day: int) -> Shop:
        self.by = replace(self.by, now=FIRST + dt.timedelta(days=day))
        return self

    def saw(self, *seen: Seen) -> None:
        add(self.store, "the corner reef", [Draft(one) for one in seen], self.by)

    def counts(self, *counts: int) -> None:
        for part, count in enumerate(counts):
            chases = (Chases(BEAUTY, FLAME, count),) if count else ()
            at = self.by.now - dt.timedelta(hours=4 * (len(counts) - part))
            add(self.store, "the corner reef", [Draft(Watch(10.0, chases), at)], self.by)

    def asks(self) -> Remedied:
        return remedy_tank(self.store, "the corner reef", Asked(self.by.now))


@pytest.mark.slow
def test_one_quarrel_from_the_first_chase_to_peace(store: Store, tmp_path: Path) -> None:
    shop = Shop(store)

    # Monday, an hour after lights: the first chases. One evening says little, and the answer says so.
    shop.saw(Release(FLAME))
    shop.counts(3)
    made = shop.asks()
    assert made.answer.settling.outlook is Outlook.OPEN
    assert made.answer.findings[0].cause == "newcomer"
    assert made.answer.begin == "watch"
    assert "Look again on" in made.answer.next_look

    # Tuesday to Thursday: counted as asked, and it does not fall. The rank is no riddle.
    for day in (1, 2, 3):
        shop.day(day).counts(5, 6, 6)
    shop.saw(Eating(FLAME))
    made = shop.asks()
    assert made.answer.settling.outlook is Outlook.LASTING
    assert made.answer.alarms == ()
    assert made.answer.begin == "dim"
    assert rank_tank(store, "the corner reef").ranks[0].name == BEAUTY

    # They dim the light and stand a mirror; the card hangs by the tank.
    first = climb(store, "the corner reef", made, shop.by)
    papers = write_remedy(made, tmp_path / "papers")
    assert all(path.stat().st_size > 200 for path in papers)
    for day in (4, 5, 6):
        shop.day(day).counts(6, 5, 6)
    assert [trial.rung for trial in due_at_tank(store, "the corner reef", shop.by.now).trials] == ["dim"]
    end_rung(store, "the corner reef", first.saved.entries[0].number, Result.NO_CHANGE, shop.by)
    assert shop.asks().answer.begin == "rescape"

    # Before the rock is moved, the newcomer is pinned in a corner: the rungs between are left out.
    shop.saw(Bearing(FLAME, Manner.PINNED))
    made = shop.asks()
    assert [alarm.sign for alarm in made.answer.alarms] == ["is pinned"]
    assert made.answer.begin in {"box", "timeout", "divider"}
    assert "cannot wait" in made.answer.message[0]

    # The coral beauty goes out of sight for as long as the plan says, and the rock is moved.
    second = climb(store, "the corner reef", made, shop.by, "timeout")
    shop.saw(KeptApart(BEAUTY, Place.SUMP), RockMoved("the right heap"), Bearing(FLAME, Manner.OUT))
    away = round(made.answer.timeout.days)
    assert 7 <= away <= 14
    back = shop.day(6 + away)
    back.saw(Eating(FLAME), KeptApart(BEAUTY, Place.SUMP, begins=False))

    # It returns in the evening; from now on the counts fall, and nearly cease.
    for day, counts in enumerate(((2, 2, 1), (1, 1, 1), (1, 0, 0), (0, 1, 0), (0, 0, 0)), start=7 + away):
        shop.day(day).counts(*counts)
    made = shop.asks()
    assert made.answer.settling.outlook is Outlook.SETTLING
    assert made.answer.alarms == ()
    end_rung(store, "the corner reef", second.saved.entries[0].number, Result.WORKED, shop.by)

    # What came of it is remembered: the timeout worked here once, the mirror did not, in so many words.
    made = shop.asks()
    rows = {row.rung: row for row in made.answer.rungs}
    assert "1 of 1 here" in rows["timeout"].worked
    assert rows["timeout"].chance > 0.6
    assert rows["dim"].chance < 0.5
    assert made.answer.begin == "watch"

    # Two weeks on nobody is chased, and the forecasts are held against that; few as they are.
    late = 7 + away + 12
    for day in (late, late + 1, late + 2):
        shop.day(day).counts(0, 0, 1)
    answer_by_diary(store, "the corner reef", shop.day(late + 4).by)
    told = forecasts_scored(store)
    assert told.count >= 3
    assert "Too few" in told.sentence
