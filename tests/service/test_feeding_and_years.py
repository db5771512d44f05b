"""What a tank eats and what the years bring, from a tank file."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from slackwater.errors import InputError, InputErrors
from slackwater.service.feeding import feed_file, write_feed_figures
from slackwater.service.years import ahead_file, write_ahead_figures

TODAY = dt.date(2026, 11, 24)

FILE = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm}
keeping: {feeds_per_day: 1, stations: 1}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 7 cm}
wishes:
  - {animal: yellow tang}
  - {animal: Chelmon rostratus}
limits: {start: 2027-01-09}
"""


def test_too_few_feeds_are_told_with_what_to_do_instead() -> None:
    answer = feed_file(FILE, TODAY)
    assert answer.sentence.startswith("Feed ")
    assert answer.sentence.endswith("instead of 1 feed at 1 station.")
    assert answer.card.slowest == "copperband butterflyfish"
    assert "lengths" in {a.what for a in answer.assumptions}
    assert "[lupatsch2013]" in answer.says_who


def test_enough_feeds_are_told_as_enough() -> None:
    enough = FILE.replace("feeds_per_day: 1, stations: 1", "feeds_per_day: 8, stations: 4")
    assert feed_file(enough, TODAY).sentence == "8 feeds a day at 4 stations will do."


def test_figures_are_written_whole(tmp_path: Path) -> None:
    path = tmp_path / "reef.yaml"
    path.write_text(FILE, encoding="utf-8")
    out = tmp_path / "out"
    fed = write_feed_figures(feed_file(path, TODAY), out)
    ahead = write_ahead_figures(ahead_file(path, TODAY, "a tank"), out)
    assert [p.name for p in (*fed, *ahead)] == ["feed.svg", "ahead.svg"]
    assert sorted(p.name for p in out.iterdir()) == ["ahead.svg", "feed.svg"]
    assert "reef, 1 feed a day at 1 station" in fed[0].read_text(encoding="utf-8")
    assert "a tank: the years ahead" in ahead[0].read_text(encoding="utf-8")


def test_the_years_ahead_say_who_outgrows_the_tank_first() -> None:
    answer = ahead_file(FILE, TODAY)
    assert answer.start == dt.date(2027, 1, 9)
    assert "outgrows the tank" in answer.sentence
    assert len(answer.looks) == 3
    assert {line.sex for line in answer.growth} == {"female", "male", "unknown"}
    assert answer.milestones


def test_nobody_outgrows_a_hall() -> None:
    roomy = FILE.replace(
        "length: 120 cm, width: 50 cm, height: 50 cm", "length: 400 cm, width: 120 cm, height: 90 cm"
    )
    assert ahead_file(roomy, TODAY).sentence.startswith("Nobody outgrows")


def test_what_can_be_swallowed_today_is_said() -> None:
    grown = FILE.replace("{animal: yellow tang}", "{animal: Pterois volitans, length: 30 cm}")
    roomy = grown.replace(
        "length: 120 cm, width: 50 cm, height: 50 cm", "length: 400 cm, width: 120 cm, height: 90 cm"
    )
    assert "from the first day" in ahead_file(roomy, TODAY).sentence


@pytest.mark.parametrize("ask", [feed_file, ahead_file])
def test_bad_files_are_refused(ask: object) -> None:
    assert callable(ask)
    with pytest.raises((InputError, InputErrors)):
        ask(FILE.replace("feeds_per_day: 1", "feeds_per_day: 500"), TODAY)
