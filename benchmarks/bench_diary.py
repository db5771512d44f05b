"""A diary of 100,000 entries: writing, listing, reading all of it for ranks, out and in as CSV.

    python benchmarks/bench_diary.py [ENTRIES] [STORE]

Aims: a page in 0.2 s; all tallies, ready for ranks, in 1 s. STORE may be a PostgreSQL URL of an
empty database.
"""

from __future__ import annotations

import datetime as dt
import io
import random
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from slackwater.service.diary import Asked, Draft, add, counts, page, recent_pairs, tallies
from slackwater.service.diary_csv import read_csv, write_csv
from slackwater.service.kept_quarrels import rank_tank
from slackwater.service.tanks import By, add_tank, changes_since
from slackwater.society.diary import Chases, Eating, HeadCount, Seen, Watch
from slackwater.store import Store, open_store

COUNTS, MEALS = 0.2, 0.2
START = dt.datetime(2017, 1, 1, tzinfo=dt.UTC)
NOW = dt.datetime(2027, 1, 10, tzinfo=dt.UTC)
ANIMALS = (
    "yellow tang",
    "six line",
    *(f"ocellaris {n}" for n in (1, 2)),
    *(f"anthias {n}" for n in range(1, 7)),
)
TANK = """slackwater: 1
tank: {length: 150 cm}
company: [yellow tang, six line, {animal: ocellaris, count: 2}, {animal: anthias, count: 6}]
"""


def main(words: list[str]) -> int:
    """Measure, and print what was measured."""
    entries = int(words[0]) if words else 100_000
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(words[1] if len(words) > 1 else f"{folder}/slackwater.db")
        for name in ("reef", "copy"):
            add_tank(store, name, TANK, By("bench", NOW))
        _measure(store, entries, Path(folder))
        store.close()
    return 0


def _measure(store: Store, entries: int, folder: Path) -> None:
    rng = random.Random(1)  # noqa: S311 - made-up diaries, no secret
    drafts = [Draft(_seen(rng), START + n * (NOW - START) / entries) for n in range(entries)]
    by = By("bench", NOW)
    _timed(f"{entries} entries written at once", lambda: add(store, "reef", drafts, by))
    _timed("one more entry", lambda: add(store, "reef", [Draft(_seen(rng))], by))
    first = page(store, "reef")
    middle = Asked(before=(START + (NOW - START) / 2, entries // 2))
    _timed("first page of 50", lambda: page(store, "reef"))
    _timed("a page from the middle", lambda: page(store, "reef", middle))
    _timed("a page of one animal", lambda: page(store, "reef", Asked(animal="six line")))
    _timed("a page of one kind", lambda: page(store, "reef", Asked(kinds=("count",))))
    _timed("pairs last seen", lambda: recent_pairs(store, "reef"))
    _timed("what is new", lambda: changes_since(store, "reef", 2))
    _timed("all tallies", lambda: tallies(store, "reef"))
    _timed("ranks of all tallies", lambda: rank_tank(store, "reef"))
    _timed("counts by day", lambda: counts(store, "reef", zone=dt.UTC))
    _csv(store, folder / "diary.csv", by)
    assert first.before is not None


def _csv(store: Store, path: Path, by: By) -> None:
    out = io.StringIO()
    _timed("CSV out", lambda: write_csv(store, "reef", out))
    path.write_text(out.getvalue(), encoding="utf-8")
    _timed(f"CSV in ({path.stat().st_size / 1e6:.0f} MB)", lambda: read_csv(store, "copy", path, by))


def _seen(rng: random.Random) -> Seen:
    roll = rng.random()
    if roll < COUNTS:
        return HeadCount(len(ANIMALS))
    if roll < COUNTS + MEALS:
        return Eating(rng.choice(ANIMALS), food="mysis")
    pairs = [rng.sample(ANIMALS, 2) for _ in range(rng.randrange(4))]
    return Watch(10.0, tuple(Chases(who, whom, rng.randrange(1, 6)) for who, whom in pairs))


def _timed(what: str, do: Callable[[], object]) -> None:
    begun, worked = time.perf_counter(), time.process_time()
    do()
    took, work = time.perf_counter() - begun, time.process_time() - worked
    print(f"{what:34} {took:8.3f} s, of which {work:.3f} s of work")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
