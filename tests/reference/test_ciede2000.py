"""CIEDE2000 against the published test pairs.

Source: G. Sharma, W. Wu and E. N. Dalal 2005, The CIEDE2000 color-difference formula, Color
Research and Application 30:21-30, table 1 (34 pairs; typed from memory).
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from slackwater.taxa.colour import ciede2000

PAIRS = list(csv.DictReader(Path(__file__).with_name("ciede2000.csv").read_text().splitlines()))


@pytest.mark.parametrize("row", PAIRS, ids=lambda row: f"{row['l1']},{row['a1']}-{row['a2']}")
def test_a_published_pair_differs_as_published(row: dict[str, str]) -> None:
    one = (float(row["l1"]), float(row["a1"]), float(row["b1"]))
    two = (float(row["l2"]), float(row["a2"]), float(row["b2"]))
    assert ciede2000(one, two) == pytest.approx(float(row["delta_e"]), abs=5e-5)
    assert ciede2000(two, one) == pytest.approx(float(row["delta_e"]), abs=5e-5)
