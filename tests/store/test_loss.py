"""Nothing confirmed is lost, and nothing is torn: killed writers, whole killed programs, full disks."""

import datetime as dt
import json
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import IO

import pytest
from sqlalchemy import event
from tests.store.build import ROOT
from tests.store.writer import batch, faults_of

from slackwater.errors import StoreError
from slackwater.service.diary import written_entries
from slackwater.service.tanks import By, add_tank
from slackwater.store import Store, check, open_store

SEED = 20270110
_CONFIRMED = re.compile(r"\d+(: |$)")
WRITER = [sys.executable, "-m", "tests.store.writer"]

pytestmark = pytest.mark.slow


def test_killed_writers_lose_nothing_confirmed(told: str) -> None:
    """200 forked writers on SQLite, 40 on a server: half killed at a statement, half by the clock."""
    rounds = 40 if "://" in told else 200
    done = subprocess.run(
        [*WRITER, "forks", told, str(SEED), str(rounds)], cwd=ROOT, check=True, capture_output=True, text=True
    )
    counted = json.loads(done.stdout)
    assert counted["faults"] == []
    assert counted["killed"] == rounds
    assert counted["confirmed_batches"] > rounds // 2
    if "://" not in told:
        check(Path(told))


def test_whole_programs_killed_at_random_lose_nothing_confirmed(tmp_path: Path) -> None:
    """20 programs: every second is killed at any moment from its start, the others while they write.

    Ten are bare writers, of which every second makes the store itself; ten are the command `diary`,
    fed with keys.
    """
    rng = random.Random(SEED)  # noqa: S311 - a seed to repeat a run, no secret
    confirmed = 0
    for number in range(10):
        told = tmp_path / f"{number // 2}.db"
        lines = _killed([*WRITER, "on", str(told)], rng, while_writing=number % 2 == 1)
        confirmed = max(int(lines[-1]) if lines else 0, confirmed if number % 2 else 0)
        store = open_store(str(told))
        assert faults_of(store, confirmed) == []
        store.close()
        check(told)
    _kill_the_command(tmp_path / "diary.db", rng)


def _kill_the_command(told: Path, rng: random.Random) -> None:
    store = open_store(str(told))
    text = "slackwater: 1\ncompany: [yellow tang, six line]\n"
    add_tank(store, "reef", text, By("ada", dt.datetime.now(dt.UTC)))
    command = [sys.executable, "-c", "from slackwater.cli import main; main()", "diary", "reef"]
    keys = "n12c" + "1c1be2a" * 2_000
    confirmed = 0
    for number in range(10):
        lines = _killed(command, rng, keys, while_writing=number % 2 == 1, SLACKWATER_STORE=str(told))
        confirmed = max([confirmed, *(int(line.split(":")[0]) for line in lines)])
        written = [entry.number for entry in written_entries(store, "reef")]
        assert written == list(range(1, len(written) + 1))
        assert len(written) >= confirmed
        check(told)
    store.close()
    assert confirmed > 0


def _killed(
    command: list[str], rng: random.Random, keys: str = "", *, while_writing: bool, **variables: str
) -> list[str]:
    """Start a program, kill it, and return the whole lines in which it confirmed something."""
    with tempfile.TemporaryFile("w+") as fed:
        fed.write(keys)
        fed.seek(0)
        settings = {"cwd": ROOT, "env": {**os.environ, **variables}}
        with subprocess.Popen(command, stdin=fed, stdout=subprocess.PIPE, text=True, **settings) as program:  # type: ignore[call-overload]
            out = program.stdout
            first = _first_confirmed(out) if while_writing else ""
            time.sleep(rng.uniform(0.0, 0.2 if while_writing else 1.5))
            program.kill()
            lines = (first + out.read()).split("\n")[:-1]
    return [line for line in lines if _CONFIRMED.match(line)]


def _first_confirmed(out: IO[str]) -> str:
    while line := out.readline():
        if _CONFIRMED.match(line):
            return line
    return ""


def test_a_full_store_says_so_and_keeps_what_was_confirmed(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "slackwater.db"))
    most = [60]
    event.listen(store.engine, "connect", lambda raw, _: raw.execute(f"PRAGMA max_page_count = {most[0]}"))
    store.engine.dispose()
    confirmed = _write_until_full(store)
    assert confirmed > 0
    assert faults_of(store, confirmed) == []
    most[0] = 10_000
    store.engine.dispose()
    assert batch(store) == confirmed + 3
    assert faults_of(store, confirmed + 3) == []
    store.close()


def _write_until_full(store: Store) -> int:
    confirmed, told = 0, ""
    try:
        while True:
            confirmed = batch(store)
    except StoreError as fault:
        told = str(fault)
    assert "the disk is full" in told
    assert "Make room" in told
    return confirmed


def test_a_disk_that_takes_no_more_says_so_and_keeps_what_was_confirmed(tmp_path: Path) -> None:
    """The limit falls on the log, in the middle of whatever write comes to it."""
    told = tmp_path / "slackwater.db"
    open_store(str(told)).close()
    confirmed = 0
    for room in (100_000, 150_001, 222_222):
        done = subprocess.run(
            [*WRITER, "starved", str(told), str(room)], cwd=ROOT, check=True, capture_output=True, text=True
        )
        *lines, said = done.stdout.strip().split("\n")
        confirmed = int(lines[-1]) if lines else confirmed
        assert "What was confirmed before is kept" in said
        store = open_store(str(told))
        assert faults_of(store, confirmed) == []
        store.close()
    assert confirmed > 0
    check(told)
