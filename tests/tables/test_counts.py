"""Row counts and sums per trait: facts.csv cannot change unnoticed."""

from __future__ import annotations

import csv

from scripts.make_table_counts import OUT, counts


def test_rows_and_sums_are_those_kept() -> None:
    kept = [tuple(row) for row in csv.reader(OUT.read_text(encoding="utf-8").splitlines())][1:]
    assert kept == counts(), "facts changed: if that was meant, run python -m scripts.make_table_counts"
