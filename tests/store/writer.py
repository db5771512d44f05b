"""Writers that are run as programs of their own, to be killed, crowded or starved of room.

python -m tests.store.writer many STORE NAME           ten entries into a new tank
python -m tests.store.writer on STORE                  batches without end, each confirmed on a line
python -m tests.store.writer starved STORE BYTES       as before, until a file may not grow past BYTES
python -m tests.store.writer forks STORE SEED ROUNDS   forked writers, each killed; counts as JSON
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sys
import time
from collections.abc import Callable
from typing import Any

from sqlalchemy import event
from tests.store.build import NOW, add_entries, add_tank, meal, watch

from slackwater.errors import StoreError
from slackwater.society.diary import Entry
from slackwater.store import Signed, Store, Work, open_store
from slackwater.store.engine import engine_of, url_of

PER_BATCH = 3


def batch(store: Store) -> int:
    """Write one batch, of three entries and a revision, as one unit; return its last entry's number."""
    with store.writing() as work:
        tank = work.tanks.find("reef")
        if tank is None:
            work.tanks.add("reef", NOW)
            tank = work.tanks.find("reef")
            assert tank is not None
        counted = work.tanks.count_on(tank.id, PER_BATCH)
        last = int(counted["entries"])
        numbers = range(last - PER_BATCH + 1, last + 1)
        entries: list[Entry] = [watch(n) if n % 2 else meal(n) for n in numbers]
        work.diaries.add(tank.id, counted["change"], entries)
        work.tanks.save(tank.id, tank.revision, f"{last}\n", {"last": last}, "", Signed(NOW, "ada"))
    return last


def faults_of(store: Store, confirmed: int) -> list[str]:
    """Return what is lost or torn: batches are whole or not there, and all confirmed ones are there."""
    with store.reading() as work:
        return _faults(work, confirmed)


def _faults(work: Work, confirmed: int) -> list[str]:
    tank = work.tanks.find("reef")
    if tank is None:
        return ["lost: the tank"] if confirmed else []
    numbers = [entry.number for entry in work.diaries.written(tank.id)]
    revisions = work.tanks.revisions(tank.id)
    checks = {
        f"lost: entry {confirmed} of {tank.entries}": tank.entries >= confirmed,
        f"torn: {len(numbers)} entries of {tank.entries}": numbers == list(range(1, tank.entries + 1)),
        f"torn: {len(revisions)} revisions": [r.content["last"] for r in revisions]
        == list(range(PER_BATCH, tank.entries + 1, PER_BATCH)),
        f"torn: change {tank.change}": tank.change == 2 * len(revisions),
    }
    return [fault for fault, holds in checks.items() if not holds]


def many(told: str, name: str) -> None:
    store = open_store(told)
    tank = add_tank(store, name)
    for number in range(1, 11):
        add_entries(store, tank, watch(number))
    store.close()


def on(told: str) -> None:
    store = open_store(told)
    while True:
        print(batch(store), flush=True)


def starved(told: str, room_bytes: int) -> None:
    store = open_store(told)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room_bytes, resource.RLIM_INFINITY))
    try:
        while True:
            print(batch(store), flush=True)
    except StoreError as fault:
        print(fault, flush=True)


def forks(told: str, seed: int, rounds: int) -> None:
    """Fork writers that are killed at a statement of theirs, or by the clock, and look at what is left."""
    rng = random.Random(seed)  # noqa: S311 - a seed to repeat a run, no secret
    open_store(told).close()
    confirmed, killed, faults, batches = 0, 0, list[str](), 0
    for number in range(rounds):
        by_statement = number % 2 == 0
        strike = rng.randrange(1, 60) if by_statement else rng.random() * 0.03
        last, was_killed, lines = _one_fork(told, strike, by_statement=by_statement)
        confirmed, killed, batches = max(confirmed, last), killed + was_killed, batches + lines
        store = _warm(told)
        faults += [f"round {number}: {fault}" for fault in faults_of(store, confirmed)]
        store.close()
    print(json.dumps({"killed": killed, "confirmed_batches": batches, "faults": faults}))


def _one_fork(told: str, strike: float, *, by_statement: bool) -> tuple[int, bool, int]:
    """Return the last entry confirmed by a forked writer, whether it was killed, and its batches."""
    reading_end, writing_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading_end)
        try:
            _write_until_killed(told, writing_end, int(strike) if by_statement else 0)
        finally:
            os._exit(1)
    os.close(writing_end)
    if not by_statement:
        time.sleep(strike)
        os.kill(child, signal.SIGKILL)
    with os.fdopen(reading_end) as pipe:
        lines = pipe.read().split()
    _, status = os.waitpid(child, 0)
    return int(lines[-1]) if lines else 0, os.WIFSIGNALED(status), len(lines)


def _write_until_killed(told: str, pipe: int, strike: int) -> None:
    store = _warm(told)
    if strike:
        _strike_at(store, strike)
    while True:
        os.write(pipe, f"{batch(store)}\n".encode())


def _strike_at(store: Store, strike: int) -> None:
    """Kill this very process at the so-many-th turn: before or after a statement, at a commit."""
    turns = iter(range(1, strike + 1))

    def turn(*_: Any, **__: Any) -> None:  # noqa: ANN401 - whatever the event brings
        if next(turns) == strike:
            os.kill(os.getpid(), signal.SIGKILL)

    for name in ("before_cursor_execute", "after_cursor_execute", "begin", "commit"):
        event.listen(store.engine, name, turn)


def _warm(told: str) -> Store:
    return Store(engine_of(url_of(told)))


def main(words: list[str]) -> None:
    command, *rest = words
    numbers: list[Any] = [int(word) if word.isdigit() else word for word in rest]
    commands: dict[str, Callable[..., None]] = {"many": many, "on": on, "starved": starved, "forks": forks}
    commands[command](*numbers)


if __name__ == "__main__":
    main(sys.argv[1:])
