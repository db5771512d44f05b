"""The table of sources, and what a source looks like in print."""

import re

import pytest

from slackwater.errors import DataTableError
from slackwater.sources import KINDS, Kind, Source, Sourced, _by_key, _source, load_sources

ROW = {
    "key": "a1",
    "authors": "A",
    "year": "2001",
    "title": "T",
    "container": "C 3",
    "doi": "10.1/x",
    "opened": "no",
}


def test_every_row_is_plain() -> None:
    sources = load_sources()
    assert len(sources) >= 100
    for key, source in sources.items():
        assert re.fullmatch(r"[a-z][a-z0-9_]*", key)
        assert source.year == "" or re.fullmatch(r"(18|19|20)\d\d", source.year)
        assert source.doi == "" or source.doi.startswith("10.")
        assert all(text == text.strip() for text in (source.authors, source.title, source.container))


@pytest.mark.parametrize("key", ["cp", "mem", "assumed", "own", "house"])
def test_what_stands_where_there_is_no_source(key: str) -> None:
    source = load_sources()[key]
    assert not source.opened
    assert source.doi == ""


def test_kinds_are_ranked_best_first() -> None:
    assert KINDS == ("house", "measured", "reviewed", "estimated", "common-practice", "from-memory")
    assert Kind("measured") is KINDS[1]


def test_a_source_in_print() -> None:
    assert str(_source(ROW)) == "A (2001). T. C 3. doi:10.1/x."
    assert str(Source("k", "A", "", "T", "", "", opened=False)) == "A. T."


@pytest.mark.parametrize(
    ("column", "value"), [("key", ""), ("authors", ""), ("title", ""), ("opened", "maybe")]
)
def test_a_broken_row_is_named(column: str, value: str) -> None:
    with pytest.raises(DataTableError) as caught:
        _source(ROW | {column: value})
    assert caught.value.column == column


def test_a_key_stands_once() -> None:
    with pytest.raises(DataTableError, match="it stands there twice"):
        _by_key([ROW, ROW])


def test_a_value_carries_where_it_is_from() -> None:
    value = Sourced(0.27, Kind.MEASURED, "mihalitsis2017", locator="abstract")
    assert value.source in load_sources()
    assert value.rule == ""
