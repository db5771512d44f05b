"""Entries by single keys: two strokes for what happens most, each written at once."""

import datetime as dt

import pytest
from tests.service.kept import NOW, chase, write

from slackwater.service.diary import Draft, standing_entries, written_entries
from slackwater.service.quick import HELP, QuickEntry
from slackwater.society.diary import (
    ChaseKind,
    Chases,
    Death,
    Eating,
    Feed,
    HeadCount,
    Watch,
)
from slackwater.store import Store


class Clock:
    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> dt.datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def quick(store: Store, clock: Clock) -> QuickEntry:
    write(store, Draft(chase("six line", "ocellaris 1"), NOW - dt.timedelta(days=2)))
    write(store, Draft(chase(), NOW - dt.timedelta(days=1)))
    return QuickEntry(store, "reef", "bo", clock)


def press(quick: QuickEntry, keys: str) -> list[str]:
    return [line for key in keys for line in quick.press(key)]


def test_the_opening_shows_pairs_and_animals_with_their_keys(quick: QuickEntry) -> None:
    pairs, animals = quick.opening
    assert pairs == "pairs:   1 yellow tang > six line   2 six line > ocellaris 1"
    assert animals == "animals: 1 yellow tang   2 ocellaris 1   3 ocellaris 2   4 six line"


def test_two_keys_make_an_entry(quick: QuickEntry, store: Store) -> None:
    assert press(quick, "1c") == ["3: yellow tang chases six line (in passing)"]
    assert press(quick, "2b") == ["4: six line bites ocellaris 1 (in passing)"]
    assert press(quick, "e4") == ["5: six line eats"]
    *_, first, second, third = standing_entries(store, "reef")
    assert first.seen == chase(minutes=None)
    assert second.seen == Watch(None, (Chases("six line", "ocellaris 1", 1, ChaseKind.BITE),))
    assert (third.seen, third.by, third.at) == (Eating("six line"), "bo", NOW)


def test_a_new_pair_becomes_the_first(quick: QuickEntry) -> None:
    press(quick, "n3")
    assert quick.asks == "whom?"
    assert press(quick, "1l") == ["3: ocellaris 2 locks jaws with yellow tang (in passing)"]
    assert quick.pairs[0] == ("ocellaris 2", "yellow tang")
    assert press(quick, "n11") == ["An animal does not chase itself."]


def test_single_keys(quick: QuickEntry, store: Store) -> None:
    press(quick, "af")
    assert [e.seen for e in standing_entries(store, "reef")][-2:] == [HeadCount(4), Feed()]
    assert press(quick, "?") == list(HELP)


def test_all_there_counts_without_the_dead(quick: QuickEntry, store: Store) -> None:
    write(store, Draft(Death("six line")))
    assert press(quick, "a") == ["4: 3 counted"]


def test_a_watch_is_one_tally_written_at_every_key(quick: QuickEntry, clock: Clock, store: Store) -> None:
    press(quick, "w")
    for minute, keys in enumerate(("1c", "1c", "2b"), 1):
        clock.now = NOW + dt.timedelta(minutes=minute)
        press(quick, keys)
    held = standing_entries(store, "reef")[-1]
    both = (Chases("yellow tang", "six line", 2), Chases("six line", "ocellaris 1", 1, ChaseKind.BITE))
    assert (held.number, held.at, held.seen) == (3, NOW, Watch(3.0, both))
    clock.now = NOW + dt.timedelta(minutes=10)
    assert press(quick, "w") == ["The watch ends (3 in 10.0 min)"]
    assert standing_entries(store, "reef")[-1].seen == Watch(10.0, both)
    assert len(standing_entries(store, "reef")) == 3
    assert len(written_entries(store, "reef")) == 7


def test_who_stops_in_a_watch_ends_it(quick: QuickEntry, clock: Clock, store: Store) -> None:
    press(quick, "w")
    clock.now = NOW + dt.timedelta(minutes=5)
    assert quick.finish() == ("The watch ends (0 in 5.0 min)",)
    assert quick.finish() == ()
    assert standing_entries(store, "reef")[-1].seen == Watch(5.0)


def test_the_last_is_taken_back(quick: QuickEntry, store: Store) -> None:
    press(quick, "1c1b")
    assert press(quick, "u") == ["Entry 4 is taken back."]
    assert press(quick, "u") == ["Entry 3 is taken back."]
    assert press(quick, "u") == ["Nothing was written here yet."]
    assert len(standing_entries(store, "reef")) == 2
    press(quick, "w")
    assert "Not while a watch runs" in press(quick, "u")[0]


@pytest.mark.parametrize("keys", ["9", "Z", "1x", "e9", "n9", "n1z", "é"])
def test_keys_that_fit_nothing_clear_what_was_begun(quick: QuickEntry, keys: str) -> None:
    assert press(quick, keys)
    assert quick.asks == ""
    assert press(quick, "1c") == ["3: yellow tang chases six line (in passing)"]


def test_each_step_says_what_it_asks(quick: QuickEntry) -> None:
    asked = []
    for key in ("e", "1", "1", "c", "n", "1", "2", "d"):
        quick.press(key)
        asked.append(quick.asks)
    assert asked == [
        "who eats?",
        "",
        "yellow tang > six line: c d b l",
        "",
        "who?",
        "whom?",
        "yellow tang > ocellaris 1: c d b l",
        "",
    ]


def test_what_is_no_single_key_stands_for_nothing(quick: QuickEntry) -> None:
    assert quick.press("12") == ("'12' stands for nothing here; ? shows the keys.",)
    assert quick.press("") == ("'' stands for nothing here; ? shows the keys.",)
