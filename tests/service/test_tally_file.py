"""Reading a tally: what stands in it, and all of its faults at once."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.service.tally_file import entries_in, entries_of, parse_tally, read_tally, wins_of
from slackwater.society.diary import ChaseKind, Watch

HEAD = "date,who,whom,count,kind,minutes\n"


def watches(text: str) -> list[Watch]:
    return [e.seen for e in entries_of(parse_tally(HEAD + text, "t.csv")) if isinstance(e.seen, Watch)]


def test_a_line_is_read_whole_and_what_is_left_out_is_taken() -> None:
    (row,) = parse_tally(HEAD + "2027-03-02,six line,firefish,3,bite,10\n", "t.csv")
    assert (row.who, row.whom, row.count, row.how, row.minutes) == (
        "six line",
        "firefish",
        3,
        ChaseKind.BITE,
        10.0,
    )
    (bare,) = parse_tally("Date, Who, Whom\n2027-03-02, a, b\n", "t.csv")
    assert (bare.count, bare.how, bare.minutes) == (1, ChaseKind.CHASE, None)


def test_lines_are_put_in_order_of_time() -> None:
    rows = parse_tally(HEAD + "2027-03-03,a,b,1,,\n2027-03-02T18:30,b,a,2,,\n2027-03-02,a,b,3,,\n", "t.csv")
    assert [row.count for row in rows] == [3, 2, 1]


def test_lines_of_one_moment_are_one_watch_until_a_pair_comes_again() -> None:
    found = watches(
        "2027-03-02,a,b,3,chase,10\n2027-03-02,a,b,1,bite,10\n2027-03-02,c,b,2,chase,10\n2027-03-02,a,b,4,chase,10\n"
    )
    assert [len(watch.chases) for watch in found] == [3, 1]
    assert sum(watch.watched_min or 0.0 for watch in found) == 20.0


def test_a_quiet_watch_counts_and_a_chase_in_passing_has_no_minutes() -> None:
    quiet, passing = watches("2027-03-02,,,0,,10\n2027-03-03,a,b,2,chase,\n")
    assert (quiet.watched_min, quiet.chases) == (10.0, ())
    assert passing.watched_min is None


_ONE_OF_EACH = ((3, "chase"), (2, "display"), (1, "locked"), (0, "bite"))


def test_only_chases_and_bites_are_wins() -> None:
    rows = parse_tally(
        HEAD + "".join(f"2027-03-02,a,b,{n},{how},\n" for n, how in _ONE_OF_EACH),
        "t.csv",
    )
    assert [(w.who, w.count) for w in wins_of(rows)] == [("a", 3)]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2027-13-02,a,b,1,chase,10", "no day of the calendar"),
        ("soon,a,b,1,chase,10", "no day of the calendar"),
        ("2027-03-02,a,b,-2,chase,10", "whole number from 0"),
        ("2027-03-02,a,b,1e9,chase,10", "whole number from 0"),
        ("2027-03-02,a,b,99999,chase,10", "whole number from 0"),
        ("2027-03-02,a,b,1,kiss,10", "display, chase, bite, locked"),
        ("2027-03-02,a,a,1,chase,10", "nobody chases itself"),
        ("2027-03-02,a,,1,chase,10", "one who flees"),
        ("2027-03-02,a,b,1,chase,-3", "minutes"),
        ("2027-03-02,a,b,1,chase,nan", "minutes"),
        ("2031-03-02,a,b,1,chase,10", "future"),
    ],
)
def test_what_cannot_be_is_named_with_its_line(line: str, said: str) -> None:
    with pytest.raises(InputErrors) as caught:
        parse_tally(f"{HEAD}2027-03-01,a,b,1,chase,10\n{line}\n", "t.csv", dt.date(2027, 4, 1))
    assert "t.csv, line 3" in str(caught.value)
    assert said in str(caught.value)


def test_all_faults_are_told_at_once() -> None:
    with pytest.raises(InputErrors) as caught:
        parse_tally(HEAD + "x,a,b,1,,\n2027-03-02,a,a,1,,\n2027-03-02,a,b,-1,,\n", "t.csv")
    assert len(caught.value.faults) == 3


@pytest.mark.parametrize("text", ["", "a,b,c\n", "date,who\n2027-03-02,a\n", "date,who,whom,colour\n"])
def test_another_head_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="its columns are"):
        parse_tally(text, "t.csv")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not to be found"):
        read_tally(tmp_path / "none.csv")


def test_quoted_names_and_empty_lines_are_fine(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text(HEAD + '\n2027-03-02,"clown, the big one",gramma,1,chase,10\n\n', encoding="utf-8")
    (row,) = read_tally(path)
    assert row.who == "clown, the big one"


def test_a_diary_that_was_exported_is_read_as_it_stands(tmp_path: Path) -> None:
    from tests.plan.diaries import BEAUTY, FLAME, Diary, steady

    from slackwater.service.diary_csv import write_entries
    from slackwater.society.diary import (
        BodyPart,
        KeptApart,
        Mark,
        Place,
        RemedyBegun,
        RemedyEnded,
        Result,
        Sign,
    )

    diary = Diary().chased((BEAUTY, FLAME), steady())
    diary.saw(3.0, Mark(FLAME, BodyPart.EYE, Sign.SCRAPE), KeptApart(BEAUTY, Place.SUMP))
    diary.saw(2.0, RemedyBegun("rescape", (BEAUTY, FLAME), "newcomer, owns rock"))
    number = next(e.number for e in diary.entries if isinstance(e.seen, RemedyBegun))
    diary.saw(1.0, RemedyEnded(number, Result.WORKED))
    path = tmp_path / "diary.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        write_entries(diary.entries, file)
    assert [(e.at, e.seen) for e in entries_in(path)] == [(e.at, e.seen) for e in diary.entries]


def test_broken_rows_of_a_diary_are_all_told(tmp_path: Path) -> None:
    path = tmp_path / "diary.csv"
    path.write_text("at,kind,animal\nsoon,eating,a\n2027-03-01T10:00Z,dancing,a\n", encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        entries_in(path)
    assert len(caught.value.faults) == 2
