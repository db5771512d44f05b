"""Where figures come from: the sources, and values that carry theirs with them.

Kinds are ranked: the shop's own house notes, a published measurement, a reviewed compilation, an
estimate by a named rule, common practice, memory. A value is never shown without its kind.
"""

from __future__ import annotations

import csv
import functools
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from importlib import resources
from types import MappingProxyType

from slackwater.errors import DataTableError

_FILE = "sources.csv"


class Kind(StrEnum):
    """What a value rests on, best first; what the house itself says goes before all else."""

    HOUSE = "house"
    MEASURED = "measured"
    REVIEWED = "reviewed"
    ESTIMATED = "estimated"
    COMMON_PRACTICE = "common-practice"
    FROM_MEMORY = "from-memory"


KINDS = tuple(Kind)


@dataclass(frozen=True)
class Source:
    """A publication, a data set, or what stands where there is none.

    `opened` says whether the source itself was read by those who entered it; where only an
    abstract or a compilation was, `container` says so.
    """

    key: str
    authors: str
    year: str
    title: str
    container: str
    doi: str
    opened: bool

    def __str__(self) -> str:
        """Return the source as it stands in a list of sources."""
        dated = f"{self.authors} ({self.year})" if self.year else self.authors
        doi = f"doi:{self.doi}" if self.doi else ""
        return " ".join(f"{part.rstrip('.')}." for part in (dated, self.title, self.container, doi) if part)


@dataclass(frozen=True)
class Sourced:
    """A value with what it rests on, as every figure can be asked for.

    `low` and `high` bound it where a spread is known; `rule` names the rule of an estimate.
    """

    value: float | str
    kind: Kind
    source: str
    locator: str = ""
    note: str = ""
    low: float | None = None
    high: float | None = None
    rule: str = ""


@functools.cache
def load_sources() -> Mapping[str, Source]:
    """Return the sources by key, in the order of the table.

    Raises
    ------
    DataTableError
        If a row is incomplete, or two rows share a key.
    """
    text = resources.files("slackwater.data").joinpath(_FILE).read_text(encoding="utf-8")
    return MappingProxyType(_by_key(csv.DictReader(text.splitlines())))


def _by_key(rows: Iterable[Mapping[str, str]]) -> dict[str, Source]:
    sources: dict[str, Source] = {}
    for row in rows:
        source = _source(row)
        if source.key in sources:
            raise DataTableError(file=_FILE, row=source.key, column="key", problem="it stands there twice")
        sources[source.key] = source
    return sources


def _source(row: Mapping[str, str]) -> Source:
    """Read one row, which must have a key, a title and a plain `yes` or `no`."""
    key = row.get("key") or "?"
    for column in ("key", "authors", "title"):
        if not row.get(column):
            raise DataTableError(file=_FILE, row=key, column=column, problem="it is empty")
    if row["opened"] not in {"yes", "no"}:
        raise DataTableError(file=_FILE, row=key, column="opened", problem="it is neither yes nor no")
    return Source(
        key=key,
        authors=row["authors"],
        year=row["year"],
        title=row["title"],
        container=row["container"],
        doi=row["doi"],
        opened=row["opened"] == "yes",
    )
