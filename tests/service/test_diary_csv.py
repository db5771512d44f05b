"""A diary goes out as a table and comes in again; broken rows are all told, formulas made harmless."""

import csv
import datetime as dt
import io
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.service.kept import ADA, NOW, REEF, chase, write

from slackwater.errors import InputError, InputErrors
from slackwater.service.diary import Draft, standing_entries
from slackwater.service.diary_csv import COLUMNS, read_csv, safe_cell, write_csv, write_entries
from slackwater.service.tanks import add_tank
from slackwater.society.diary import (
    KINDS,
    ChaseKind,
    Chases,
    Eating,
    Entry,
    HeadCount,
    KeptApart,
    Missing,
    Photograph,
    Place,
    RemedyBegun,
    RemedyEnded,
    Result,
    TakenBack,
    Watch,
    WaterTest,
)
from slackwater.store import Store

BOTH = Watch(
    10.0, (Chases("yellow tang", "six line", 2), Chases("six line", "ocellaris 1", 1, ChaseKind.BITE))
)
HEAD = "at,kind,who,whom,how,count,watched_min,animal,note\n"


def text_of(store: Store) -> str:
    out = io.StringIO()
    write_csv(store, "reef", out)
    return out.getvalue()


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def taken(store: Store, tmp_path: Path, text: str, *, good_rows: bool = False) -> list[object]:
    """Read a CSV text into the diary and return what holds afterwards."""
    path = tmp_path / "diary.csv"
    path.write_text(text, encoding="utf-8", newline="")
    read_csv(store, "reef", path, ADA, good_rows=good_rows)
    return [entry.seen for entry in standing_entries(store, "reef")]


def test_a_row_for_each_pair_of_a_tally(store: Store) -> None:
    write(store, Draft(BOTH, NOW - dt.timedelta(hours=1), "after feeding"))
    first, second = rows_of(text_of(store))
    assert (first["entry"], first["at"], first["kind"]) == ("1", "2027-01-10T17:00:00+00:00", "watch")
    assert (first["who"], first["whom"], first["how"], first["count"]) == (
        "yellow tang",
        "six line",
        "chase",
        "2",
    )
    assert (second["who"], second["how"], second["watched_min"]) == ("six line", "bite", "10.0")
    assert first["by"] == "ada"


def test_out_and_in_again_is_the_same(store: Store, tmp_path: Path) -> None:
    drafts = [
        Draft(chase()),
        Draft(chase(count=5), corrects=1),
        Draft(BOTH, note="two,\nlines"),
        Draft(Watch(5.0)),
        Draft(HeadCount(3, ("six line", "ocellaris 1"))),
        Draft(Eating("six line", ate=False, food="=nori")),
        Draft(WaterTest(temperature_c=-1.5, ph=8.1)),
        Draft(KeptApart("six line", Place.BOX, begins=False)),
        Draft(Eating("yellow tang"), photographs=(Photograph("/a b/c.jpg", "0" * 64),)),
        Draft(RemedyBegun("divider", ("six line",), trial_days=7.0)),
        Draft(RemedyEnded(-9, Result.WORKED)),
    ]
    write(store, drafts[0])
    write(store, *drafts[1:])
    text = text_of(store)
    add_tank(store, "copy", REEF, ADA)
    path = tmp_path / "diary.csv"
    path.write_text(text, encoding="utf-8", newline="")
    done = read_csv(store, "copy", path, ADA)
    was, now = standing_entries(store, "reef"), standing_entries(store, "copy")
    assert [(e.at, e.note, e.photographs) for e in now] == [(e.at, e.note, e.photographs) for e in was]
    assert [e.seen for e in now[:-1]] == [e.seen for e in was[:-1]]
    begun, ended = now[-2:]
    assert ended.seen == RemedyEnded(begun.number, Result.WORKED)
    assert len(done.saved.entries) == len(was)
    assert read_csv(store, "copy", path, ADA).already == len(was)


def test_formulas_are_neutralised(store: Store) -> None:
    write(
        store,
        Draft(Eating("six line", food="=HYPERLINK(1)"), note="@sum"),
        Draft(WaterTest(temperature_c=-1.5)),
    )
    eaten, water = rows_of(text_of(store))
    assert (eaten["food"], eaten["note"]) == ("'=HYPERLINK(1)", "'@sum")
    assert water["temperature_c"] == "-1.5"


@given(st.text())
def test_no_cell_of_text_begins_as_a_formula(text: str) -> None:
    cell = safe_cell(text)
    assert isinstance(cell, str)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))


def test_a_file_by_hand_is_read(store: Store, tmp_path: Path) -> None:
    text = (
        HEAD
        + "2027-01-09T18:00+01:00,watch,yellow tang,six line,chase,3,10,,\n"
        + "2027-01-09T18:00+01:00,watch,six line,ocellaris 1,bite,,10,,\n"
        + ",,,,,,,,\n"
        + "2027-01-09T19:00Z,watch,,,,,5,,quiet\n"
        + "2027-01-09T19:30Z,missing,,,,,,six line,\n"
    )
    first, quiet, missing = taken(store, tmp_path, text)
    assert first == replace(BOTH, chases=(Chases("yellow tang", "six line", 3), BOTH.chases[1]))
    assert quiet == Watch(5.0)
    assert missing == Missing("six line")


def test_semicolons_and_a_mark_of_byte_order_are_read(store: Store, tmp_path: Path) -> None:
    text = "\ufeffat;kind;animal\n2027-01-09T19:30Z;sighted;six line\n"
    assert len(taken(store, tmp_path, text)) == 1


BROKEN = (
    HEAD
    + "2027-01-09T18:00Z,watch,yellow tang,six line,chase,3,10,,\n"
    + "soon,missing,,,,,,six line,\n"
    + "2027-01-09T18:00Z,omen,,,,,,six line,\n"
    + "2027-01-09T18:01Z,missing,,,,,,kraken,\n"
    + "2027-01-09T18:02Z,missing,,,,,,,\n"
    + "2027-01-09T18:03Z,watch,yellow tang,six line,stare,3,10,,\n"
    + "2027-01-09T18:04Z,watch,yellow tang,six line,chase,-3,10,,\n"
    + "2027-01-09T18:05Z,watch,yellow tang,six line,chase,3.5,10,,\n"
    + "2028-01-09T18:06Z,missing,,,,,,six line,\n"
    + "2027-01-09T18:07Z,missing,yellow tang,,,,,six line,\n"
    + "2027-01-09T18:08Z,missing,,,,,,six line,,,more\n"
)


def test_broken_rows_are_all_told_and_nothing_is_written(store: Store, tmp_path: Path) -> None:
    with pytest.raises(InputErrors) as caught:
        taken(store, tmp_path, BROKEN)
    assert [fault.field.split(",")[0] for fault in caught.value.faults] == [f"line {n}" for n in range(3, 13)]
    assert standing_entries(store, "reef") == ()


def test_good_rows_are_kept_only_when_asked_for(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "diary.csv"
    path.write_text(BROKEN, encoding="utf-8")
    done = read_csv(store, "reef", path, ADA, good_rows=True)
    assert len(done.left_out) == 10
    assert done.left_out[0].startswith("line 3, at is soon; it is not a moment")
    assert [e.seen for e in standing_entries(store, "reef")] == [chase(count=3)]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "its columns are"),
        ("at,animal\n", "its columns are"),
        ("at,kind,mood\n", "mood"),
        ("at,kind,kind\n", "each column once"),
        ("at,kind\n2027-01-09T18:00Z," + "x" * 200_000 + "\n", "not a table"),
    ],
)
def test_what_is_no_such_table_is_refused(store: Store, tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        taken(store, tmp_path, text)


def test_columns_are_the_fields_of_the_records() -> None:
    assert len(set(COLUMNS)) == len(COLUMNS)
    assert {"who", "whom", "how", "watched_min", "breaths_per_min", "nitrate_mg_l"} <= set(COLUMNS)


@given(st.sampled_from(sorted(KINDS.values(), key=lambda r: r.kind)), st.data())
def test_every_kind_can_go_out(record: type, data: st.DataObject) -> None:
    try:
        seen = data.draw(st.from_type(record))
    except InputError:
        return
    out = io.StringIO()
    write_entries([Entry(1, NOW, seen)], out)
    assert rows_of(out.getvalue())[0]["kind"] == record.kind or record is TakenBack  # type: ignore[attr-defined]
