"""Every threshold and coefficient of `society` and `plan`, read from `data/rules.csv`."""

from __future__ import annotations

import csv
import functools
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from types import MappingProxyType

from slackwater.errors import DataTableError


@dataclass(frozen=True)
class Rule:
    """One coefficient: its value, unit, what it rests on and what it means."""

    name: str
    value: float
    unit: str
    kind: str
    source: str
    locator: str
    meaning: str


class Rules(Mapping[str, float]):
    """The coefficients by name; `rules.rule(name)` tells where one comes from.

    They never change, and two sets are told apart by identity, so that what follows from them can be
    remembered.
    """

    __eq__ = object.__eq__
    __hash__ = object.__hash__

    def __init__(self, rows: Mapping[str, Rule]) -> None:
        self._rows = MappingProxyType(dict(rows))
        self._values = {name: row.value for name, row in rows.items()}
        self._words: dict[str, dict[str, float]] = {}

    def __getitem__(self, name: str) -> float:
        """Return a coefficient in the unit that its row states."""
        try:
            return self._values[name]
        except KeyError:
            raise DataTableError(file="rules.csv", row=name, column="rule", problem="no such rule") from None

    def __iter__(self) -> Iterator[str]:
        """Iterate over the names."""
        return iter(self._rows)

    def __len__(self) -> int:
        """Count the coefficients."""
        return len(self._rows)

    def rule(self, name: str) -> Rule:
        """Return the whole row of one coefficient."""
        self[name]
        return self._rows[name]

    def words(self, prefix: str) -> dict[str, float]:
        """Return `{word: value}` of the rules named `prefix.word`."""
        if prefix not in self._words:
            start = f"{prefix}."
            found = {n[len(start) :]: v for n, v in self._values.items() if n.startswith(start)}
            self._words[prefix] = found
        return self._words[prefix]

    def replaced(self, values: Mapping[str, float]) -> Rules:
        """Return a copy in which some values are others (for fitting and tests)."""
        rows = dict(self._rows)
        for name, value in values.items():
            old = self.rule(name)
            rows[name] = Rule(name, value, old.unit, old.kind, old.source, old.locator, old.meaning)
        return Rules(rows)


def _read(row: dict[str, str]) -> Rule:
    try:
        return Rule(
            row["rule"],
            float(row["value"]),
            row["unit"],
            row["kind"],
            row["source"],
            row["locator"],
            row["meaning"],
        )
    except (KeyError, ValueError) as fault:
        raise DataTableError(
            file="rules.csv", row=row.get("rule", "?"), column="value", problem=str(fault)
        ) from fault


@functools.cache
def load_rules() -> Rules:
    """Return the rules shipped with the package.

    Raises
    ------
    DataTableError
        If a row cannot be read.
    """
    text = resources.files("slackwater.data").joinpath("rules.csv").read_text(encoding="utf-8")
    rows = [_read(row) for row in csv.DictReader(text.splitlines())]
    return Rules({row.name: row for row in rows})


@functools.cache
def coefficient_spreads() -> Mapping[str, float]:
    """Return how uncertain each fitted coefficient is, as a standard deviation in ln, by name.

    Notes
    -----
    Jackknife over the groups of families left out in turn [kott2001]: sqrt(G - 1) times the
    standard deviation over the G fits, and never more than the prior allows. Coefficients that
    were not fitted have none: their spread is unknown.
    """
    text = resources.files("slackwater.data").joinpath("fit.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    grown = math.sqrt(FOLDS - 1.0)
    return MappingProxyType(
        {r["rule"]: min(grown * float(r["fold_sd_ln"]), float(r["spread"])) for r in rows}
    )


FOLDS = 5
"""Groups of families that are left out in turn when the coefficients are fitted."""
