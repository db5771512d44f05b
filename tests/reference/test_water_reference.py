"""Published and outside values of the water, row by row; none of the check values is missing.

`water.csv` says of each value where it is printed or how it was worked out; its tolerance is relative.
The check values themselves lie beside the repository. Rows that no function here answers belong to
another package and are listed with it.
"""

import csv
import importlib
import math
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from slackwater.sources import load_sources
from slackwater.taxa.facts import ROOT, load_facts
from slackwater.water.ammonia import WaterSample, unionised_fraction, unionised_molal_fraction
from slackwater.water.computed import Computed
from slackwater.water.growth import Growth, length_cm_bertalanffy1938
from slackwater.water.oxygen import OXYGEN_G_MOL, resting_oxygen_mg_h_clarke1999
from slackwater.water.ph_scales import PhScale

PUBLISHED = Path(__file__).with_name("water.csv")
CHECKED = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "water_check_values.csv"

TANK = "a shape, rock, divider or hole of a tank: `tank`"
ELSEWHERE = {
    "circular_segment_area": TANK,
    "coral_skeleton_micro_density": TANK,
    "coral_skeleton_bulk_density": TANK,
    "coral_skeleton_porosity": TANK,
    "perforated_plate_loss_coefficient": TANK,
    "acrylic_youngs_modulus": TANK,
    "fish_body_depth": "two river fishes of a memo on screens, which nobody keeps here",
}
# The exact value is 3.785411784: rounded to nine digits it is off by 1.06e-9, more than its tolerance.
ROUNDED = {"1 US_liquid_gallon": "3.78541178"}

Row = Mapping[str, str]


def rows_of(path: Path) -> list[Row]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def arguments_of(text: str) -> dict[str, float | str | PhScale]:
    pairs = [part.split("=") for part in text.split(";") if part]
    return {name: _argument(name, value) for name, value in pairs}


def _argument(name: str, value: str) -> float | str | PhScale:
    if name == "scale":
        return PhScale(value)
    return value if name in {"name", "given"} else float(value)


def sample(**given: float | PhScale) -> WaterSample:
    return WaterSample(**given)  # type: ignore[arg-type]


def resting_ratio() -> float:
    cold, warm = (resting_oxygen_mg_h_clarke1999(50.0, t).value for t in (0.0, 30.0))
    return warm / cold


def grown(age_yr: float, **growth: float) -> float:
    return length_cm_bertalanffy1938(Growth(**growth), age_yr)


def asymptote_cm(**growth: float) -> float:
    return grown(1e4, **growth)


def pace_per_year(**growth: float) -> float:
    """Return K, won back from the lengths at three ages."""
    final, two, three = (grown(age, **growth) for age in (1e4, 2.0, 3.0))
    return math.log((final - two) / (final - three))


def birth_yr(**growth: float) -> float:
    """Return the age without length, won back from lengths."""
    final, two = (grown(age, **growth) for age in (1e4, 2.0))
    return 2.0 + math.log((final - two) / final) / pace_per_year(**growth)


SPECIAL: dict[str, Callable[..., float | Computed]] = {
    "ammonia.unionised_fraction": lambda **given: unionised_fraction(sample(**given)),
    "ammonia.unionised_molal_fraction": lambda **given: unionised_molal_fraction(sample(**given)),
    "growth.length_cm_bertalanffy1938": grown,
    "own.asymptote_cm": asymptote_cm,
    "own.birth_yr": birth_yr,
    "own.median_exponent": lambda: float(load_facts().need(ROOT, "lw_b").fact.value),
    "own.pace_per_year": pace_per_year,
    "own.resting_ratio": resting_ratio,
    "own.resting_q10": lambda: resting_ratio() ** (10.0 / 30.0),
}
PER_UNIT = {
    ("cryptocaryon_tomite_life", "h"): 24.0,
    ("resting_o2_fish", "mmol/h"): 1.0 / OXYGEN_G_MOL,
    ("unionized_ammonia_percent", "%"): 100.0,
    ("unit_conversion", "g"): 1000.0,
}


def computed(row: Row) -> float:
    """Return what the function of a row says, in the unit of the row."""
    module, name = row["function"].split(".")
    place = f"slackwater.{module}" if module == "units" else f"slackwater.water.{module}"
    found = SPECIAL.get(row["function"]) or getattr(importlib.import_module(place), name)
    value = found(**arguments_of(row["arguments"])) if callable(found) else found
    factor = PER_UNIT.get((row["quantity"], row["unit"]), 1.0)
    return factor * float(value.value if isinstance(value, Computed) else value)


@pytest.mark.parametrize(
    "row", rows_of(PUBLISHED), ids=lambda row: f"{row['quantity']}-{row['inputs']}-{row['unit']}"
)
def test_published_value(row: Row) -> None:
    assert row["source"] in load_sources()
    assert math.isclose(computed(row), float(row["expected"]), rel_tol=float(row["tolerance"]))


def test_equations_with_a_source_in_their_name_name_the_source_of_their_rows() -> None:
    tables = {"wq", "bower1978", "morat2020", "zekeria2006"}  # values of others, met by our equations
    for row in rows_of(PUBLISHED):
        key = row["function"].rpartition("_")[2]
        assert key not in load_sources() or row["source"] in {key, *tables}, row["function"]


@pytest.mark.skipif(
    not CHECKED.is_file(), reason="the check values lie beside the repository and are not carried in it"
)
def test_no_check_value_is_missing() -> None:
    ours = {(r["quantity"], r["inputs"], r["unit"]): r for r in rows_of(PUBLISHED)}
    checks = rows_of(CHECKED)
    left = [r for r in checks if (r["quantity"], r["inputs"], r["unit"]) not in ours]
    without = Counter(r["quantity"] for r in left)
    assert {quantity for quantity in without if quantity not in ELSEWHERE} == set(), "no function yet"
    assert set(without) == set(ELSEWHERE)
    for row in (r for r in checks if r not in left):
        own = ours[row["quantity"], row["inputs"], row["unit"]]
        expected = ROUNDED.get(row["inputs"], own["expected"])
        assert (expected, own["tolerance"]) == (row["expected"], row["rel_tol"]), row["inputs"]
