"""Reading the folder of open data: rows by species and field, under our own scientific names."""

from __future__ import annotations

import csv
import functools
import statistics
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from slackwater.taxa.names import Verdict, understand

FOLDER = Path(__file__).resolve().parents[3] / "shared" / "data"
FACT_FILES = ("species_facts_open.csv", "species_facts_check_only.csv")
LIST_FILE = "species_list.csv"


@dataclass(frozen=True)
class Row:
    """One value of one source."""

    scientific_name: str
    field: str
    value: str
    unit: str
    source_id: str


@dataclass(frozen=True)
class Listed:
    """One species of the working list, with what the trade calls it and how many were imported."""

    scientific_name: str
    tier: str
    common_names: tuple[str, ...]
    imported: int


class OpenData:
    """Rows of all sources by species and field."""

    def __init__(self, rows: Iterable[Row], listed: Iterable[Listed]) -> None:
        self.listed = tuple(listed)
        self._by: dict[tuple[str, str], list[Row]] = {}
        for row in rows:
            self._by.setdefault((accepted(row.scientific_name), row.field), []).append(row)

    def of(self, name: str, field: str) -> tuple[Row, ...]:
        """Return what all sources say of a species, empty if none speaks of it."""
        return tuple(self._by.get((name, field), ()))

    def words(self, name: str, field: str) -> tuple[str, ...]:
        """Return the commonest word of the sources, several where they tie, none where all are silent."""
        counts = Counter(row.value for row in self.of(name, field))
        return tuple(sorted(word for word, n in counts.items() if n == max(counts.values())))

    def median(self, name: str, field: str) -> float | None:
        """Return the median of the sources, None where all are silent."""
        values = [float(row.value) for row in self.of(name, field)]
        return statistics.median(values) if values else None

    def having(self, field: str) -> tuple[str, ...]:
        """Return the species that some source speaks of."""
        return tuple(sorted(name for name, known in self._by if known == field))


@functools.cache
def accepted(name: str) -> str:
    """Return our name of a species; genera in flux stand under another one in some sources."""
    meaning = understand(name)
    return meaning.name if meaning.verdict is Verdict.ONE else name


def read(folder: Path = FOLDER) -> OpenData:
    """Return the open data of a folder.

    Raises
    ------
    FileNotFoundError
        If the folder lacks one of the three files.
    """
    rows = [
        Row(*(line[field] for field in ("scientific_name", "field", "value", "unit", "source_id")))
        for file in FACT_FILES
        for line in _lines(folder / file)
    ]
    return OpenData(rows, [_listed(line) for line in _lines(folder / LIST_FILE)])


def _lines(file: Path) -> list[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.DictReader(opened))


def _listed(line: Mapping[str, str]) -> Listed:
    names = tuple(part.strip() for part in line["common_names"].split(";") if part.strip())
    imported = int(line["nz_import_2015_2019"] or 0)
    return Listed(line["scientific_name"], line["tier"], names, imported)
