"""The published and assumed figures that the equations of the water rest on, from `data/water.csv`."""

from __future__ import annotations

import csv
import functools
from collections.abc import Mapping
from importlib import resources
from types import MappingProxyType

from slackwater.errors import DataTableError
from slackwater.sources import Kind, Sourced

_FILE = "water.csv"


@functools.cache
def load_parameters() -> Mapping[str, Sourced]:
    """Return every figure by name, in the order of the table; its unit and meaning are its note.

    Raises
    ------
    DataTableError
        If a row is incomplete or stands twice.
    """
    text = resources.files("slackwater.data").joinpath(_FILE).read_text(encoding="utf-8")
    found: dict[str, Sourced] = {}
    for row in csv.DictReader(text.splitlines()):
        if row["name"] in found:
            raise DataTableError(file=_FILE, row=row["name"], column="name", problem="it stands there twice")
        found[row["name"]] = _sourced(row)
    return MappingProxyType(found)


def number(name: str) -> float:
    """Return the value of one figure in the unit that its row states."""
    return float(load_parameters()[name].value)


def low(name: str) -> float:
    """Return the low end of one figure, or its value where no spread is known."""
    parameter = load_parameters()[name]
    return float(parameter.value) if parameter.low is None else parameter.low


def high(name: str) -> float:
    """Return the high end of one figure, or its value where no spread is known."""
    parameter = load_parameters()[name]
    return float(parameter.value) if parameter.high is None else parameter.high


def _sourced(row: Mapping[str, str]) -> Sourced:
    try:
        return Sourced(
            float(row["value"]),
            Kind(row["kind"]),
            row["source"],
            locator=row["locator"],
            note=f"{row['meaning']} [{row['unit']}]",
            low=_optional(row["low"]),
            high=_optional(row["high"]),
        )
    except ValueError as fault:
        raise DataTableError(file=_FILE, row=row["name"], column="value", problem=str(fault)) from fault


def _optional(text: str) -> float | None:
    return float(text) if text else None
