"""Make `data/colour_likeness.csv`: CIEDE2000 differences between the named colours, rounded.

python scripts/make_colour_likeness.py
"""

from __future__ import annotations

import csv
import itertools
from pathlib import Path

from slackwater.taxa.colour import ciede2000, named_colours

OUT = Path(__file__).parents[1] / "src/slackwater/data/colour_likeness.csv"


def rows() -> list[tuple[str, str, str]]:
    """Return colour, colour, difference for every pair, each with itself included."""
    labs = named_colours()
    return [
        (a, b, f"{ciede2000(labs[a], labs[b]):.1f}")
        for a, b in itertools.combinations_with_replacement(sorted(labs), 2)
    ]


if __name__ == "__main__":
    with OUT.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("a", "b", "delta_e"))
        writer.writerows(rows())
