"""Small tanks and entries for the tests of what is kept."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from slackwater.society.diary import Chases, Eating, Entry, Watch
from slackwater.store import Signed, Store

ROOT = Path(__file__).resolve().parents[2]
NOW = dt.datetime(2027, 1, 10, 12, tzinfo=dt.UTC)


def add_tank(store: Store, name: str = "reef", keeper: str = "") -> int:
    """Add a tank with one revision and return its number."""
    with store.writing() as work:
        keeper_id = work.keepers.add(keeper, NOW) if keeper else None
        tank = work.tanks.add(name, NOW, keeper_id)
        work.tanks.save(tank, 0, "slackwater: 1\n", {"slackwater": 1}, "first", Signed(NOW, "ada"))
    return tank


def add_entries(store: Store, tank: int, *entries: Entry) -> None:
    """Add entries as they are."""
    with store.writing() as work:
        counted = work.tanks.count_on(tank, len(entries))
        work.diaries.add(tank, counted["change"], entries)


def watch(number: int, hour: int = 12, corrects: int | None = None, count: int = 1) -> Entry:
    """Return a tally of one pair."""
    seen = Watch(10.0, (Chases("tang", "wrasse", count),))
    return Entry(number, NOW.replace(hour=hour), seen, "ada", "", (), corrects, NOW)


def meal(number: int, hour: int = 12) -> Entry:
    """Return an entry of an animal that ate."""
    return Entry(number, NOW.replace(hour=hour), Eating("tang"), "ada", written_at=NOW)
