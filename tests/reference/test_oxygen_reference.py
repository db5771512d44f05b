"""Published values of oxygen in water, typed by hand, and the check values of the project.

`oxygen.csv` says where each value is printed and whether it was read or remembered. The second set
was worked out by outside programs and lies beside the repository.
"""

import csv
import math
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from slackwater.sources import load_sources
from slackwater.water import oxygen
from slackwater.water.computed import Computed
from slackwater.water.oxygen import (
    OXYGEN_G_MOL,
    oxygen_mg_l_garcia1992,
    oxygen_umol_kg_garcia1992,
    resting_oxygen_mg_h_clarke1999,
    schmidt_oxygen_wanninkhof2014,
)

PUBLISHED = Path(__file__).with_name("oxygen.csv")
CHECKED = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "water_check_values.csv"

Row = Mapping[str, str]


def rows_of(path: Path) -> list[Row]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def numbers(text: str) -> dict[str, float]:
    pairs = (part.split("=") for part in text.split(";"))
    return {name: float(value) for name, value in pairs if value[0].isdigit() and value[-1].isdigit()}


@pytest.mark.parametrize("row", rows_of(PUBLISHED), ids=lambda row: f"{row['function']}-{row['arguments']}")
def test_published_value(row: Row) -> None:
    function: Callable[..., Computed] = getattr(oxygen, row["function"])
    computed = function(**numbers(row["arguments"]))
    assert computed.value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
    assert computed.in_range
    assert row["source"] in load_sources()


def test_resting_oxygen_rises_as_published() -> None:
    """From 0 to 30 C "about six" times, Q10 1.83; abstract of [clarke1999]."""
    cold, warm = (resting_oxygen_mg_h_clarke1999(50.0, t).value for t in (0.0, 30.0))
    assert warm / cold == pytest.approx(6.0, abs=0.5)
    assert (warm / cold) ** (10.0 / 30.0) == pytest.approx(1.83, abs=0.005)


CHECKS: dict[tuple[str, str], Callable[[Mapping[str, float]], Computed]] = {
    ("oxygen_solubility", "umol/kg"): lambda given: oxygen_umol_kg_garcia1992(given["T"], given["SP"]),
    ("oxygen_solubility", "mg/L"): lambda given: oxygen_mg_l_garcia1992(given["T"], given["SP"]),
    ("resting_o2_fish", "mmol/h"): lambda given: resting_oxygen_mg_h_clarke1999(given["mass_g"], given["T"]),
    ("schmidt_number_o2_seawater", "1"): lambda given: schmidt_oxygen_wanninkhof2014(given["T"]),
}
PER_UNIT = {"mmol/h": OXYGEN_G_MOL}


@pytest.mark.skipif(
    not CHECKED.is_file(), reason="the check values lie beside the repository and are not carried in it"
)
@pytest.mark.parametrize(("quantity", "unit"), CHECKS)
def test_check_values(quantity: str, unit: str) -> None:
    rows = [row for row in rows_of(CHECKED) if (row["quantity"], row["unit"]) == (quantity, unit)]
    assert rows
    for row in rows:
        computed = CHECKS[quantity, unit](numbers(row["inputs"])).value / PER_UNIT.get(unit, 1.0)
        assert math.isclose(computed, float(row["expected"]), rel_tol=float(row["rel_tol"])), row["inputs"]
