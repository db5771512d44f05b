"""Entries of a diary: what is refused, what holds after corrections, and what animals are called."""

import datetime as dt

import pytest

from slackwater.errors import InputError
from slackwater.society.diary import (
    KINDS,
    Breathing,
    ChaseKind,
    Chases,
    Divider,
    Eating,
    Entry,
    HeadCount,
    Release,
    RemedyBegun,
    TakenBack,
    Watch,
    WaterTest,
    animals_of,
    labels,
    standing,
)

NOON = dt.datetime(2027, 1, 10, 12, tzinfo=dt.UTC)


def entry(number: int, corrects: int | None = None, hour: int = 12, seen: object = None) -> Entry:
    what = seen or Eating("tang", food=f"food {number}")
    return Entry(number, NOON.replace(hour=hour), what, corrects=corrects)  # type: ignore[arg-type]


def test_the_last_correction_holds_under_the_first_number() -> None:
    told = [entry(1), entry(2), entry(3, corrects=1), entry(4, corrects=1)]
    held = standing(told)
    assert [(e.number, e.seen) for e in held] == [
        (1, Eating("tang", food="food 4")),
        (2, Eating("tang", food="food 2")),
    ]


def test_what_was_taken_back_does_not_hold() -> None:
    told = [entry(1), entry(2, corrects=1, seen=TakenBack())]
    assert standing(told) == ()


def test_what_holds_is_in_the_order_it_was_seen() -> None:
    assert [e.number for e in standing([entry(1, hour=18), entry(2, hour=8)])] == [2, 1]


def test_times_are_kept_in_utc() -> None:
    east = dt.timezone(dt.timedelta(hours=2))
    kept = Entry(1, dt.datetime(2027, 1, 10, 14, tzinfo=east), Eating("tang"))
    assert kept.at == NOON
    assert kept.at.tzinfo is dt.UTC


def test_an_hour_without_its_zone_is_refused() -> None:
    with pytest.raises(InputError, match="time zone"):
        Entry(1, dt.datetime(2027, 1, 10, 14), Eating("tang"))  # noqa: DTZ001 - the fault under test


@pytest.mark.parametrize(
    "make",
    [
        lambda: HeadCount(-1),
        lambda: Chases("a", "b", -3),
        lambda: Chases("a", "b", 10_001),
        lambda: Chases("a", "a"),
        lambda: Watch(None),
        lambda: Watch(-1.0),
        lambda: Watch(2_000.0),
        lambda: Watch(float("nan")),
        lambda: Breathing("a", 0.0),
        WaterTest,
        lambda: WaterTest(ph=15.0),
        lambda: Release("a", 0),
        lambda: RemedyBegun("box", trial_days=-1.0),
    ],
)
def test_what_cannot_be_is_refused(make: object) -> None:
    with pytest.raises(InputError):
        make()  # type: ignore[operator]


def test_a_quiet_watch_is_an_entry() -> None:
    assert Watch(10.0).chases == ()


def test_whoever_is_named_is_found_once_in_order() -> None:
    watch = Watch(10.0, (Chases("b", "a"), Chases("b", "c", 2, ChaseKind.BITE)))
    assert animals_of(watch) == ("b", "a", "c")
    assert animals_of(Divider(left=("a",), right=("c", "b"))) == ("a", "c", "b")
    assert animals_of(HeadCount(3, ("d",))) == ("d",)
    assert animals_of(TakenBack()) == ()


def test_several_of_a_name_are_numbered_through_the_file() -> None:
    company = [("anthias", 1), ("tang", 1), ("anthias", 2)]
    assert labels(company) == ("anthias 1", "tang", "anthias 2", "anthias 3")


def test_each_kind_has_its_word() -> None:
    assert all(seen.kind == word for word, seen in KINDS.items())
    assert len(KINDS) == 22
