"""How long ago two animals' lines parted: rounded divergence times from published dated trees."""

from __future__ import annotations

import csv
import functools
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources

from slackwater.taxa.facts import Species

USUAL_MA = {"species": 0, "genus": 20, "family": 60, "order": 100}


@dataclass(frozen=True)
class Divergence:
    """A divergence time and what it rests on. [Ma]"""

    age_ma: float
    kind: str
    source: str
    note: str


@functools.cache
def _table() -> Mapping[tuple[str, str], tuple[int, str]]:
    text = resources.files("slackwater.data").joinpath("relatedness.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    return {(row["a"], row["b"]): (int(row["divergence_ma"]), row["source"]) for row in rows}


def divergence(a: Species, b: Species) -> Divergence:
    """Return how long ago the lines of two species parted.

    Notes
    -----
    Median over the pairs of the two genera in a dated tree ([rabosky2018], [siqueira2020]), else
    of the two families, else a usual age for the rank they share: an estimate.
    """
    if a.name == b.name:
        return Divergence(0.0, "measured", "rabosky2018", "one species")
    pairs = [(a.genus, b.genus), (a.family, b.family)]
    for one, two in pairs:
        found = _table().get((min(one, two), max(one, two)))
        if found:
            return Divergence(float(found[0]), "reviewed", found[1], f"median of {one} and {two}")
    rank = "genus" if a.genus == b.genus else "family" if a.family == b.family else "order"
    return Divergence(float(USUAL_MA[rank]), "estimated", "assumed", f"usual within a {rank}")
