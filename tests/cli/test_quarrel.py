"""`rank` and `remedy` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.service.test_remedy import TALLY, TANK
from typer.testing import Result

Run = Callable[..., Result]
PAST = TALLY.replace("2027-03", "2026-03")


@pytest.fixture
def files(tmp_path: Path) -> tuple[str, str]:
    tank, tally = tmp_path / "reef.yaml", tmp_path / "tally.csv"
    tank.write_text(TANK, encoding="utf-8")
    tally.write_text(TALLY, encoding="utf-8")
    return str(tank), str(tally)


def test_rank_tells_the_order_and_what_it_rests_on(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "tally.csv"
    path.write_text(PAST, encoding="utf-8")
    told = run("rank", str(path)).stdout
    assert "coral beauty ranks first" in told
    assert "fewer than six animals" in told
    assert "Says" not in told
    assert "[david1987]" in told


def test_rank_as_json(run_json: Callable[..., Any], tmp_path: Path) -> None:
    path = tmp_path / "tally.csv"
    path.write_text(PAST, encoding="utf-8")
    told = run_json("rank", str(path), "--json")
    assert told["chases"] == 27
    assert told["pairs"] == [{"who": "coral beauty", "whom": "flame angel", "count": 27}]


def test_remedy_tells_what_to_do_first(run: Run, files: tuple[str, str]) -> None:
    told = run("remedy", *files, "--on", "2027-03-04").stdout
    assert told.startswith("Coral beauty chases flame angel.")
    assert "Do now:" in told
    assert "Begin here:" in told
    assert "Whom to move, if one must go" in told
    assert "veterinarian" in told


def test_remedy_writes_its_papers(run: Run, files: tuple[str, str], tmp_path: Path) -> None:
    out = tmp_path / "out"
    told = run("remedy", *files, "--on", "2027-03-04", "-o", str(out)).stdout
    assert "watch.pdf" in told
    assert sorted(path.name for path in out.iterdir()) == ["message.txt", "record.txt", "watch.pdf"]


def test_remedy_tells_how_to_catch_and_to_return_where_that_is_due(
    run: Run, files: tuple[str, str], tmp_path: Path
) -> None:
    diary = tmp_path / "diary.csv"
    rows = [
        f"2027-03-0{day}T19:00+00:00,watch,10,coral beauty,flame angel,{count},chase,,"
        for day, count in ((2, 6), (3, 7), (4, 6))
    ]
    head = "at,kind,watched_min,who,whom,count,how,animal,manner"
    pinned = "2027-03-04T20:00+00:00,bearing,,,,,,flame angel,pinned"
    diary.write_text("\n".join((head, *rows, pinned)), encoding="utf-8")
    told = run("remedy", files[0], str(diary), "--on", "2027-03-04").stdout
    assert "cannot wait" in told
    assert "The timeout:" in told
    assert "returns last" in told
    assert "How to catch coral beauty" in told


def test_remedy_as_json(run_json: Callable[..., Any], files: tuple[str, str]) -> None:
    told = run_json("remedy", *files, "--on", "2027-03-04", "--whom", "flame angel", "--json")
    assert told["whom"] == "flame angel"
    assert len(told["rungs"]) == 12


def test_faults_are_sentences(run: Run, files: tuple[str, str], tmp_path: Path) -> None:
    assert "--on is soon" in run("remedy", *files, "--on", "soon", code=2).stderr
    assert "future" in run("remedy", *files, "--on", "2027-03-01", code=2).stderr
    assert "not to be found" in run("rank", str(tmp_path / "none.csv"), code=2).stderr
    assert "a whale" in run("remedy", *files, "--on", "2027-03-04", "--who", "a whale", code=2).stderr


@pytest.fixture
def kept_reef(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import datetime as dt

    from slackwater.service.diary import Draft, add
    from slackwater.service.keeping import kept
    from slackwater.service.tanks import By, add_tank
    from slackwater.settings import STORE_VARIABLE
    from slackwater.society.diary import Chases, Watch

    monkeypatch.setenv(STORE_VARIABLE, str(tmp_path / "kept.db"))
    by = By("ada", dt.datetime.now().astimezone())
    text = TANK.replace("2027-03-01", (by.now.date() - dt.timedelta(days=6)).isoformat())
    text = text.replace("2026-08-01", "2025-08-01").replace("2026-06-10", "2025-06-10")
    with kept() as store:
        add_tank(store, "reef", text, by)
        seen = Watch(10.0, (Chases("coral beauty", "flame angel", 6),))
        add(store, "reef", [Draft(seen, by.now - dt.timedelta(days=n, hours=3)) for n in range(4)], by)


@pytest.mark.usefixtures("kept_reef")
def test_a_kept_tank_is_ranked_helped_and_followed_up(run: Run, run_json: Callable[..., Any]) -> None:
    assert "coral beauty ranks first" in run("rank", "reef").stdout
    told = run("remedy", "reef", "--begin", "rescape").stdout
    assert "Written into the diary of reef; 2 looks are due" in told
    assert next(r for r in run_json("remedy", "reef", "--json")["rungs"] if r["rung"] == "rescape")[
        "standing"
    ]
    due = run("due", "reef").stdout
    assert "flame angel" in due
    assert "No forecast has come due yet" in due
    asked = run_json("due", "--json")["due"][0]
    assert asked["tank"] == "reef"
    label = asked["calls"][0]["label"]
    left = [call["label"] for call in run_json("due", "reef", "--called", label, "--json")["due"][0]["calls"]]
    assert left == [call["label"] for call in asked["calls"][1:]]
    assert "all well" in run("looks", "reef").stdout
    assert "nobody in this tank" in run("due", "reef", "--called", "kraken", code=2).stderr


@pytest.mark.usefixtures("kept_reef")
def test_faults_of_kept_tanks_are_sentences(run: Run, files: tuple[str, str]) -> None:
    assert "no tank goes by" in run("rank", "pond", code=2).stderr
    assert "no tank goes by" in run("due", "pond", code=2).stderr
    assert "only a kept tank has a diary" in run("remedy", *files, "--begin", "dim", code=2).stderr
    assert "TALLY is left out" in run("remedy", files[0], code=2).stderr
