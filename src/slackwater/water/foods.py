"""What foods are made of, from `data/foods.csv`: dry matter, protein, and what a portion weighs."""

from __future__ import annotations

import csv
import functools
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType

from slackwater.errors import DataTableError
from slackwater.sources import Kind, Sourced

_FILE = "foods.csv"
_FIGURES = frozenset({"dry_share", "protein_share", "portion_g"})


@dataclass(frozen=True)
class Food:
    """One food as it is fed.

    Parameters
    ----------
    name
        What it is called.
    dry_share
        Dry matter in it. [-]
    protein_share
        Protein in it. [-]
    portion_g
        Mass of one cube, sheet, strip, pinch or animal. [g]
    """

    name: str
    dry_share: Sourced
    protein_share: Sourced
    portion_g: Sourced


@functools.cache
def load_foods() -> Mapping[str, Food]:
    """Return every food by name, in the order of the table.

    Raises
    ------
    DataTableError
        If a food lacks a figure, or a row cannot be read.
    """
    text = resources.files("slackwater.data").joinpath(_FILE).read_text(encoding="utf-8")
    return read_foods(csv.DictReader(text.splitlines()))


def read_foods(rows: csv.DictReader[str]) -> Mapping[str, Food]:
    """Return the foods of a table.

    Raises
    ------
    DataTableError
        If a food lacks a figure, or a row cannot be read.
    """
    found: defaultdict[str, dict[str, Sourced]] = defaultdict(dict)
    for row in rows:
        found[row["food"]][row["figure"]] = _sourced(row)
    for name, figures in found.items():
        if figures.keys() != _FIGURES:
            problem = f"it needs {', '.join(sorted(_FIGURES))}"
            raise DataTableError(file=_FILE, row=name, column="figure", problem=problem)
    return MappingProxyType({name: Food(name, **figures) for name, figures in found.items()})


def _sourced(row: Mapping[str, str]) -> Sourced:
    try:
        value, low, high = (float(row[column]) for column in ("value", "low", "high"))
        note = f"{row['meaning']} [{row['unit']}]"
        return Sourced(value, Kind(row["kind"]), row["source"], row["locator"], note, low, high)
    except ValueError as fault:
        raise DataTableError(file=_FILE, row=row["food"], column="value", problem=str(fault)) from fault
