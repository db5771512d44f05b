"""Entries of a kept tank's diary: what is taken, refused, listed and counted."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from tests.service.kept import ADA, NOW, REEF, chase, write

from slackwater.errors import InputError, InputErrors
from slackwater.service.diary import (
    Asked,
    Draft,
    PairCount,
    add,
    counts,
    page,
    photograph,
    photograph_state,
    recent_pairs,
    standing_entries,
    take_back,
    tallies,
    written_entries,
)
from slackwater.service.moments import moment
from slackwater.service.tanks import By, save_revision
from slackwater.society.diary import (
    ChaseKind,
    Chases,
    Eating,
    HeadCount,
    Release,
    RemedyBegun,
    RemedyEnded,
    Result,
    TakenBack,
    Watch,
)
from slackwater.store import Store

HOUR = dt.timedelta(hours=1)


def test_entries_are_numbered_signed_and_timed(store: Store) -> None:
    saved = add(store, "reef", [Draft(chase(), NOW - HOUR, "by the cave"), Draft(Eating("six line"))], ADA)
    first, second = saved.entries
    assert (first.number, first.at, first.by, first.note) == (1, NOW - HOUR, "ada", "by the cave")
    assert (second.number, second.at, second.written_at) == (2, NOW, NOW)
    assert saved.cautions == ()


def test_a_correction_stands_in_the_place_of_the_first(store: Store) -> None:
    write(store, Draft(chase(), NOW - HOUR))
    write(store, Draft(chase(count=2), corrects=1))
    write(store, Draft(chase(count=3), corrects=2))
    (held,) = standing_entries(store, "reef")
    assert (held.number, held.at, held.seen) == (1, NOW - HOUR, chase(count=3))
    assert [e.corrects for e in written_entries(store, "reef")] == [None, 1, 1]


def test_what_is_taken_back_stays_readable(store: Store) -> None:
    write(store, Draft(chase()))
    take_back(store, "reef", 1, replace(ADA, why="wrong tank"))
    assert standing_entries(store, "reef") == ()
    assert [e.note for e in written_entries(store, "reef")] == ["", "wrong tank"]


@pytest.mark.parametrize(
    ("draft", "said"),
    [
        (Draft(chase(who="yelow tang")), r"nobody in this tank .* Did you mean yellow tang\?"),
        (Draft(chase(who="tang")), r"nobody goes by exactly that\. Write yellow tang"),
        (Draft(Eating("kraken")), "Those of this tank: ocellaris, ocellaris 1"),
        (Draft(chase(), NOW + HOUR), "by this computer's clock"),
        (Draft(Watch(120.0), NOW - HOUR), "by this computer's clock"),
        (Draft(chase(), dt.datetime(1980, 1, 1, tzinfo=dt.UTC)), "1990"),
        (Draft(chase(), note="x" * 10_001), "10000 letters"),
        (Draft(chase(), corrects=7), "reef has 0 entries"),
        (Draft(TakenBack()), "Give its number"),
        (Draft(RemedyEnded(1, Result.WORKED)), "no remedy was begun"),
        (Draft(RemedyEnded(-3, Result.WORKED)), "no remedy was begun"),
    ],
)
def test_what_cannot_be_is_refused(store: Store, draft: Draft, said: str) -> None:
    with pytest.raises(InputError, match=said):
        write(store, draft)
    assert written_entries(store, "reef") == ()


def test_all_faults_are_told_at_once_and_nothing_is_written(store: Store) -> None:
    with pytest.raises(InputErrors, match="2 faults"):
        write(store, Draft(chase()), Draft(Eating("nobody")), Draft(chase(), NOW + HOUR))
    assert written_entries(store, "reef") == ()


def test_those_who_came_or_left_are_known(store: Store) -> None:
    write(store, Draft(Release("royal gramma")), Draft(Eating("royal gramma")))
    save_revision(store, "reef", REEF.replace("  - {animal: six line, since: 2026-12-20}\n", ""), 1, ADA)
    write(store, Draft(chase(whom="six line")), Draft(Eating("ocellaris")))
    assert len(standing_entries(store, "reef")) == 4


def test_a_remedy_begun_and_ended_at_once(store: Store) -> None:
    write(store, Draft(chase()))
    write(store, Draft(RemedyBegun("divider")), Draft(RemedyEnded(-1, Result.WORKED)))
    assert standing_entries(store, "reef")[-1].seen == RemedyEnded(2, Result.WORKED)


def test_a_clock_that_went_backwards_is_told_and_loses_nothing(store: Store) -> None:
    write(store, Draft(chase()))
    saved = add(store, "reef", [Draft(chase())], By("bo", NOW - 24 * HOUR))
    assert "Check the clock" in saved.cautions[0]
    first, second = written_entries(store, "reef")
    assert first.written_at == second.written_at == NOW
    assert [(e.number, e.at) for e in standing_entries(store, "reef")] == [
        (1, NOW - HOUR / 6),
        (2, NOW - HOUR / 6),
    ]


def test_more_animals_than_live_there_are_told(store: Store) -> None:
    assert add(store, "reef", [Draft(HeadCount(4))], ADA).cautions == ()
    saved = add(store, "reef", [Draft(HeadCount(4, ("six line",)))], ADA)
    assert "speaks of 5 animals, and 4 live there" in saved.cautions[0]


def test_pages_follow_one_another(store: Store) -> None:
    write(store, *(Draft(chase(count=n), NOW - n * HOUR) for n in range(1, 8)))
    first = page(store, "reef", size=3)
    second = page(store, "reef", Asked(before=first.before), size=3)
    third = page(store, "reef", Asked(before=second.before), size=3)
    assert [[e.number for e in p.entries] for p in (first, second, third)] == [[1, 2, 3], [4, 5, 6], [7]]
    assert third.before is None


def test_the_pairs_last_seen_come_first(store: Store) -> None:
    write(store, Draft(chase("six line", "ocellaris 1"), NOW - HOUR), Draft(chase(), NOW - 2 * HOUR))
    write(store, Draft(chase(), NOW - 3 * HOUR), Draft(Watch(10.0)))
    assert recent_pairs(store, "reef") == (("six line", "ocellaris 1"), ("yellow tang", "six line"))


def test_tallies_are_what_holds_of_them(store: Store) -> None:
    write(store, Draft(chase(), NOW - HOUR), Draft(Eating("six line")), Draft(chase(), NOW - 2 * HOUR))
    write(store, Draft(chase(count=4), corrects=1))
    assert [(e.number, e.at, e.seen) for e in tallies(store, "reef")] == [
        (3, NOW - 2 * HOUR, chase()),
        (1, NOW - HOUR, chase(count=4)),
    ]


def test_counts_by_day_and_week(store: Store) -> None:
    both = Watch(
        20.0, (Chases("yellow tang", "six line", 2), Chases("yellow tang", "six line", 1, ChaseKind.BITE))
    )
    write(
        store,
        Draft(both, dt.datetime(2027, 1, 9, 23, 30, tzinfo=dt.UTC)),
        Draft(chase(count=4), dt.datetime(2027, 1, 9, 10, tzinfo=dt.UTC)),
        Draft(chase(minutes=None), dt.datetime(2027, 1, 9, 11, tzinfo=dt.UTC)),
        Draft(Watch(10.0), dt.datetime(2027, 1, 8, 11, tzinfo=dt.UTC)),
    )
    quiet, busy = counts(store, "reef", zone=dt.UTC)
    assert (quiet.start, quiet.watched_min, quiet.pairs) == (dt.date(2027, 1, 8), 10.0, ())
    assert (busy.entries, busy.watches, busy.watched_min, busy.in_passing) == (3, 2, 30.0, 1)
    assert busy.pairs == (PairCount("yellow tang", "six line", chase=6, bite=1),)
    east = dt.timezone(dt.timedelta(hours=2))
    assert [c.start.day for c in counts(store, "reef", zone=east)] == [8, 9, 10]
    (week,) = counts(store, "reef", days=7, zone=dt.UTC)
    assert (week.start, week.start.isoweekday()) == (dt.date(2027, 1, 4), 1)


def test_photographs_are_named_and_never_copied(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "fin.jpg"
    path.write_bytes(b"a fin")
    named = photograph(path)
    # the hash of these five bytes by sha256sum of coreutils
    assert named.sha256 == "fe5e4e24b4483a4d7ba498392c4510c73faa2f943d462ec40df6560c37787d78"
    write(store, Draft(chase(), photographs=(named,)))
    (entry,) = standing_entries(store, "reef")
    assert entry.photographs == (named,)
    assert photograph_state(named) == "there"
    path.write_bytes(b"another fin")
    assert photograph_state(named) == "changed"
    path.unlink()
    assert photograph_state(named) == "gone"
    with pytest.raises(InputError, match="no such file"):
        photograph(path)


@pytest.mark.parametrize(
    ("told", "meant"),
    [
        ("17:05", "2027-01-10T16:05:00+00:00"),
        ("yesterday 8:00", "2027-01-09T07:00:00+00:00"),
        ("20 min ago", "2027-01-10T17:40:00+00:00"),
        ("3 days ago", "2027-01-07T18:00:00+00:00"),
        ("2027-01-09 18:30", "2027-01-09T17:30:00+00:00"),
        ("2027-01-09T18:30:00Z", "2027-01-09T18:30:00+00:00"),
    ],
)
def test_moments_as_people_tell_them(told: str, meant: str) -> None:
    zone = dt.timezone(HOUR)
    assert moment(told, NOW, zone).isoformat() == meant


@pytest.mark.parametrize("told", ["", "noon", "25:00", "2027-13-01 10:00", "2027-01-10"])
def test_what_is_no_moment_is_refused(told: str) -> None:
    with pytest.raises(InputError, match="not a moment"):
        moment(told, NOW, dt.UTC)
