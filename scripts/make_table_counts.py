"""Write tests/tables/counts.csv: rows per trait of facts.csv and the sum of each numeric one.

A table cannot change unnoticed: the test compares. Run it after a change that was meant.
"""

from __future__ import annotations

import csv
from collections import Counter
from importlib import resources
from pathlib import Path

OUT = Path(__file__).parents[1] / "tests/tables/counts.csv"


def counts() -> list[tuple[str, str, str]]:
    """Return trait, number of rows, and sum of the values where they are numbers."""
    text = resources.files("slackwater.data").joinpath("facts.csv").read_text(encoding="utf-8")
    rows: Counter[str] = Counter()
    sums: dict[str, float] = {}
    for row in csv.DictReader(text.splitlines()):
        rows[row["trait"]] += 1
        try:
            sums[row["trait"]] = sums.get(row["trait"], 0.0) + float(row["value"])
        except ValueError:
            continue
    return [
        (trait, str(n), f"{sums[trait]:.6g}" if trait in sums else "") for trait, n in sorted(rows.items())
    ]


if __name__ == "__main__":
    with OUT.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("trait", "rows", "sum"))
        writer.writerows(counts())
