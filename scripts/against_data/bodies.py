"""Lengths and outlines beside measured ones."""

from __future__ import annotations

import statistics

from scripts.against_data.findings import Finding, judged
from scripts.against_data.reading import OpenData, Row
from slackwater.taxa.facts import FactTable, Species

LENGTH_WITHIN, DEPTH_WITHIN = 0.35, 0.25


def findings(facts: FactTable, data: OpenData) -> tuple[Finding, ...]:
    """Return the comparisons of greatest length and of body depth."""
    return (
        Finding(
            "length",
            "the greatest length is within 35 % of the sources' median",
            0.95,
            judged(facts, data, "max_length_cm", _length),
        ),
        Finding(
            "depth",
            "the body depth is within 25 % of the sources' median",
            0.90,
            judged(facts, data, "body_depth_ratio", _depth),
        ),
    )


def _length(species: Species, data: OpenData) -> bool | None:
    per_sl = data.median(species.name, "tl_per_sl") or species.number("tl_per_sl")
    lengths_cm = [_total_cm(row, per_sl) for row in data.of(species.name, "length_max")]
    middle = statistics.median(lengths_cm) if lengths_cm else None
    return _within(species.number("max_length_cm"), middle, LENGTH_WITHIN)


def _total_cm(row: Row, per_sl: float) -> float:
    """Return a total length from a row that may state a standard length. [cm]"""
    return float(row.value) * (per_sl if row.unit == "cm SL" else 1.0)


def _depth(species: Species, data: OpenData) -> bool | None:
    middle = data.median(species.name, "body_depth_ratio")
    return _within(species.number("body_depth_ratio"), middle, DEPTH_WITHIN)


def _within(ours: float, middle: float | None, tolerance: float) -> bool | None:
    return None if middle is None else abs(ours - middle) <= tolerance * middle
