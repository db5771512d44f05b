"""docs/data.md says what the tables hold."""

from __future__ import annotations

from scripts.make_data_doc import PAGE, page


def test_the_page_of_the_data_is_current() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "stale: run make docs"
