"""The facts of the project beside open scientific data that were never used to write them.

The data are read from a folder outside the repository. Their values are compared and forgotten:
a finding holds names of taxa and traits, never a value of a source.
"""

from __future__ import annotations

from scripts.against_data import bodies, coverage, food, habits
from scripts.against_data.findings import Finding
from scripts.against_data.reading import OpenData
from slackwater.taxa.facts import FactTable


def findings(facts: FactTable, data: OpenData) -> tuple[Finding, ...]:
    """Return all comparisons of the facts with the open data."""
    return tuple(found for part in (bodies, food, habits, coverage) for found in part.findings(facts, data))
