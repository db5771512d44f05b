from __future__ import annotations

import datetime as dt

import pytest

from slackwater.report import words

GAP = "\N{NO-BREAK SPACE}"
DASH = "\N{EN DASH}"


def test_metric_first() -> None:
    assert words.length(8.0) == f"8{GAP}cm (3.1{GAP}in)"
    assert words.volume(412.0) == f"412{GAP}L (109{GAP}US{GAP}gal)"
    assert words.mass(42.0) == f"42{GAP}kg (93{GAP}lb)"


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ((2027, 2, 20), (2027, 2, 20), f"20{GAP}Feb{GAP}2027"),
        ((2027, 2, 20), (2027, 2, 26), f"20{DASH}26{GAP}Feb{GAP}2027"),
        ((2027, 2, 27), (2027, 3, 5), f"27{GAP}Feb {DASH} 5{GAP}Mar{GAP}2027"),
        ((2026, 12, 28), (2027, 1, 3), f"28{GAP}Dec{GAP}2026 {DASH} 3{GAP}Jan{GAP}2027"),
    ],
)
def test_ranges_say_month_and_year_once(
    first: tuple[int, int, int], last: tuple[int, int, int], said: str
) -> None:
    assert words.days(dt.date(*first), dt.date(*last)) == said


@pytest.mark.parametrize(
    ("months", "said"), [(1, "1 month"), (6, "6 months"), (12, "1 year"), (18, "18 months"), (60, "5 years")]
)
def test_horizons(months: int, said: str) -> None:
    assert words.horizon(months) == said


def test_small_things() -> None:
    assert words.hours(3.0, 6.0) == f"3{DASH}6 hours"
    assert words.hours(4.0, 4.0) == "4 hours"
    assert words.share(0.001) == f"under 1{GAP}%"
    assert words.span(0.01, 0.04) == f"1{DASH}4{GAP}%"
    assert words.span(0.02, 0.021) == f"2{GAP}%"
    assert words.listed([]) == ""
    assert words.listed(["a"]) == "a"
    assert words.listed(["a", "b", "c"]) == "a, b and c"
    assert words.sentence("go on") == "Go on."
    assert words.sentence("Done!") == "Done!"
    assert words.sentence("") == ""
