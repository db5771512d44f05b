"""Published and outside values of the tank, row by row, as `water.csv` has them for the water."""

import csv
import importlib
import math
from collections.abc import Mapping
from pathlib import Path

import pytest

from slackwater.sources import load_sources

PUBLISHED = Path(__file__).with_name("tank.csv")
CHECKED = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "water_check_values.csv"
QUANTITIES = {"circular_segment_area", "coral_skeleton_micro_density", "coral_skeleton_bulk_density"} | {
    "coral_skeleton_porosity"
}
PER_UNIT = {"%": 100.0}

Row = Mapping[str, str]


def rows_of(path: Path) -> list[Row]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def computed(row: Row) -> float:
    """Return what the function of a row says, or the part of a pair of constants, in the row's unit."""
    module, name = row["function"].split(".")
    found = getattr(importlib.import_module(f"slackwater.tank.{module}"), name)
    told = {key: float(value) for key, value in (part.split("=") for part in row["arguments"].split(";"))}
    value = found(**told) if callable(found) else found[int(told["at"])]
    return PER_UNIT.get(row["unit"], 1.0) * float(value)


@pytest.mark.parametrize("row", rows_of(PUBLISHED), ids=lambda row: f"{row['quantity']}-{row['inputs']}")
def test_published_value(row: Row) -> None:
    assert row["source"] in load_sources()
    assert math.isclose(computed(row), float(row["expected"]), rel_tol=float(row["tolerance"]))


@pytest.mark.skipif(
    not CHECKED.is_file(), reason="the check values lie beside the repository and are not carried in it"
)
def test_no_check_value_is_missing() -> None:
    ours = {(r["quantity"], r["inputs"]): (r["expected"], r["tolerance"]) for r in rows_of(PUBLISHED)}
    for row in rows_of(CHECKED):
        if row["quantity"] in QUANTITIES:
            assert ours[row["quantity"], row["inputs"]] == (row["expected"], row["rel_tol"])
