"""The facts beside open scientific data, which lie outside the repository and are never copied.

A failing message names taxa and traits only; the values of the sources stay where they are.
"""

from __future__ import annotations

import csv
import functools
import sys
from pathlib import Path

import pytest
from scripts.against_data import findings
from scripts.against_data.coverage import LONGEST_LIST, YEARS, ranks
from scripts.against_data.findings import Finding
from scripts.against_data.habits import FIERCE, TERRITORIAL, TemperOrder, share_of, temper_order
from scripts.against_data.reading import FACT_FILES, FOLDER, LIST_FILE, OpenData, read
from scripts.make_trust_facts import EXCEPTIONS, PAGE, page

from slackwater.taxa.facts import load_facts

pytestmark = pytest.mark.skipif(
    not all((FOLDER / file).is_file() for file in (*FACT_FILES, LIST_FILE)),
    reason="the open data are not beside this repository (../shared/data)",
)

KEYS = (
    "length",
    "depth",
    "diet",
    "guts",
    "activity",
    "own_kind",
    "core",
    "less_kept",
    "names",
    "top",
    "imports",
)


@functools.cache
def data() -> OpenData:
    return read()


@functools.cache
def all_findings() -> dict[str, Finding]:
    return {found.key: found for found in findings(load_facts(), data())}


@functools.cache
def tempers() -> TemperOrder:
    return temper_order(load_facts(), data())


def exceptions() -> list[dict[str, str]]:
    return list(csv.DictReader(EXCEPTIONS.read_text(encoding="utf-8").splitlines(), strict=True))


def told(found: Finding) -> str:
    return "; ".join([found.says, *(f"{taxon} {trait}" for taxon, trait in found.against)])


def test_every_comparison_is_listed() -> None:
    assert tuple(all_findings()) == KEYS


@pytest.mark.parametrize("key", KEYS)
def test_the_facts_agree_with_the_open_data(key: str) -> None:
    found = all_findings()[key]
    holds = found.holds
    assert holds, told(found)


def test_the_shares_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    lines = [
        f"{found.key:10} {len(found.claims):5} {found.share:7.1%} {found.says}"
        for found in all_findings().values()
    ]
    with capsys.disabled():
        sys.stdout.write("\n".join(["", *lines, ""]))
    assert len(lines) == len(KEYS)


def test_the_order_of_tempers_follows_counted_encounters() -> None:
    follows = tempers().both >= 0.5 and tempers().congeners > 0.0
    assert follows, "temper_own and recognition of the counted Chaetodon"


@pytest.mark.parametrize("words", [TERRITORIAL, FIERCE])
def test_farming_damselfishes_have_worse_tempers_than_others(words: tuple[str, ...]) -> None:
    more = share_of(tempers().farmers, words) > share_of(tempers().others, words)
    assert more, "temper_own of farming damselfishes"


@pytest.mark.parametrize("year", YEARS)
def test_the_list_of_the_most_imported_is_whole(year: str) -> None:
    missing = sorted(set(range(1, LONGEST_LIST + 1)) - set(ranks(data(), year)))
    assert missing == []


def test_every_exception_has_a_reason_and_still_differs() -> None:
    against = {pair for found in all_findings().values() for pair in found.against}
    agreeing = [f"{row['taxon']} {row['trait']}" for row in exceptions() if _pair(row) not in against]
    assert agreeing == [], "these agree by now: take their rows out of exceptions.csv"
    assert [row["taxon"] for row in exceptions() if not row["reason"]] == []


def _pair(row: dict[str, str]) -> tuple[str, str]:
    return row["taxon"], row["trait"]


def test_exceptions_stand_once_and_in_order() -> None:
    pairs = [_pair(row) for row in exceptions()]
    assert pairs == sorted(set(pairs))


def test_the_page_of_trust_is_current() -> None:
    current = PAGE.read_text(encoding="utf-8") == page(load_facts(), data())
    assert current, "stale: run python -m scripts.make_trust_facts"


def test_no_value_of_a_source_can_reach_a_message() -> None:
    assert set(Finding.__dataclass_fields__) == {"key", "says", "least", "claims"}
    for found in all_findings().values():
        assert all(type(cell) is str for pair in found.against for cell in pair)


def test_the_exceptions_lie_beside_this_file() -> None:
    assert Path(__file__).with_name("exceptions.csv").samefile(EXCEPTIONS)
