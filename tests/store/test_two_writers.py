"""Two who write at once: one waits, numbers stay whole, and who waits too long is told."""

import sqlite3
import threading
from pathlib import Path

import pytest
from tests.store.build import NOW
from tests.store.build import add_tank as add_bare_tank

from slackwater.errors import StaleEditError, StoreError
from slackwater.service.diary import Draft, add, written_entries
from slackwater.service.tanks import By, add_tank, open_tank, revisions, save_revision
from slackwater.society.diary import Eating
from slackwater.store import Store, engine, open_store

REEF = "slackwater: 1\ntank: {length: 120 cm}\ncompany: [yellow tang]\n"
EACH = 25


def both(*jobs: threading.Thread) -> None:
    for job in jobs:
        job.start()
    for job in jobs:
        job.join(60)


def test_entries_of_two_are_numbered_without_gap_or_double(told: str) -> None:
    def writer(name: str) -> None:
        store = open_store(told)
        for _ in range(EACH):
            add(store, "reef", [Draft(Eating("yellow tang")), Draft(Eating("yellow tang"))], By(name, NOW))
        store.close()

    store = open_store(told)
    add_tank(store, "reef", REEF, By("ada", NOW))
    both(*(threading.Thread(target=writer, args=(name,)) for name in ("ada", "bo")))
    found = written_entries(store, "reef")
    assert [entry.number for entry in found] == list(range(1, 4 * EACH + 1))
    assert {entry.by for entry in found} == {"ada", "bo"}
    assert open_tank(store, "reef").tank.change == 1 + 2 * EACH
    store.close()


def test_of_two_edits_of_one_revision_one_is_stale(told: str) -> None:
    stale: list[StaleEditError] = []

    def editor(name: str) -> None:
        store = open_store(told)
        for number in range(1, EACH + 1):
            try:
                save_revision(store, "reef", f"# {name}\n{REEF}", number, By(name, NOW))
            except StaleEditError as fault:
                stale.append(fault)
        store.close()

    store = open_store(told)
    add_tank(store, "reef", REEF, By("ada", NOW))
    both(*(threading.Thread(target=editor, args=(name,)) for name in ("ada", "bo")))
    saved = len(revisions(store, "reef")) - 1
    assert saved + len(stale) == 2 * EACH
    assert saved >= EACH
    assert [row.number for row in revisions(store, "reef")] == list(range(saved + 1, 0, -1))
    store.close()


def test_a_reader_sees_one_state_while_another_writes(store: Store) -> None:
    tank = add_bare_tank(store)
    with store.reading() as work:
        before = work.tanks.find(tank)
    with store.writing() as work:
        work.tanks.count_on(tank, 1)
        with store.reading() as other:
            assert other.tanks.find(tank) == before


def test_who_waits_too_long_is_told_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "_PRAGMAS", ("busy_timeout = 50", "journal_mode = wal"))
    path = tmp_path / "slackwater.db"
    store = open_store(str(path))
    add_bare_tank(store)
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreError, match="someone else has been writing for too long"):
        add_bare_tank(store, "late")
    other.execute("ROLLBACK")
    other.close()
    add_bare_tank(store, "late")
    store.close()
