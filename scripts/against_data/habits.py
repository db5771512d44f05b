"""Hours and tempers beside records from reefs."""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scipy.stats import spearmanr

from scripts.against_data.findings import Claim, Finding, judged
from scripts.against_data.reading import OpenData
from slackwater.rules import Rules, load_rules
from slackwater.society.recognition import recognition
from slackwater.taxa.facts import FactTable, Species

# Our words that agree with a word of the sources; dusk lies on both sides of the day.
HOURS: Mapping[str, tuple[str, ...]] = {"day": ("day",), "night": ("night", "dusk"), "both": ("both", "dusk")}
FIERCE = ("fierce", "raging")
TERRITORIAL = ("strong", *FIERCE)
COUNTS = OWN_COUNTS, OTHER_COUNTS = "aggression_share_own_species", "aggression_share_other_species"


def findings(facts: FactTable, data: OpenData) -> tuple[Finding, ...]:
    """Return the comparisons of activity and of own kind against congeners."""
    return (
        Finding("activity", "the hours of activity agree", 0.90, judged(facts, data, "activity", _activity)),
        Finding(
            "own_kind",
            "butterflyfishes that were counted treat their own kind worse than congeners",
            1.0,
            tuple(
                Claim(name, "temper_own", own > other) for name, (own, other) in _rates(facts, data).items()
            ),
        ),
    )


@dataclass(frozen=True)
class TemperOrder:
    """How the order of tempers compares with counts on reefs: correlations and shares. [-]"""

    both: float
    own_kind: float
    congeners: float
    butterflyfishes: int
    farmers: tuple[str, ...]
    others: tuple[str, ...]


def share_of(tempers: Sequence[str], words: Sequence[str]) -> float:
    """Return the share of tempers that are one of some words. [-]"""
    return statistics.fmean(temper in words for temper in tempers)


def temper_order(facts: FactTable, data: OpenData) -> TemperOrder:
    """Return how tempers rank beside counted encounters, and farming damselfishes beside others.

    Returns
    -------
    TemperOrder
        Spearman's correlations over the counted butterflyfishes [keith2023]: own kind and
        congeners together, each alone; and the tempers of damselfishes that farm algae or not.
    """
    rates = _rates(facts, data)
    own, other = zip(*rates.values(), strict=True)
    own_counted, other_counted = ([_counted(s, data, field) for s in rates] for field in COUNTS)
    return TemperOrder(
        _correlation([*own, *other], [*own_counted, *other_counted]),
        _correlation(own, own_counted),
        _correlation(other, other_counted),
        len(rates),
        _damselfishes(facts, data, "yes"),
        _damselfishes(facts, data, "no"),
    )


def _activity(species: Species, data: OpenData) -> bool | None:
    words = data.words(species.name, "activity")
    return any(species.word("activity") in HOURS[word] for word in words) if words else None


def _rates(facts: FactTable, data: OpenData) -> dict[str, tuple[float, float]]:
    """Return our attack rates on an equal of its own kind and on congeners, by species. [1/h]"""
    rules = load_rules()
    counted = [s for s in data.having(OTHER_COUNTS) if s in facts.species_names]
    both = [s for s in data.having(OWN_COUNTS) if s in counted]
    kin = [facts.species(name) for name in counted]
    return {name: _own_and_other(facts.species(name), kin, rules) for name in both}


def _own_and_other(species: Species, kin: list[Species], rules: Rules) -> tuple[float, float]:
    own = rules.words("temper")[species.word("temper_own")]
    shares = [recognition(species, other, rules) for other in kin if other.name != species.name]
    return own, own * statistics.fmean(shares)


def _counted(name: str, data: OpenData, field: str) -> float:
    (row,) = data.of(name, field)
    return float(row.value)


def _correlation(ours: Sequence[float], theirs: Sequence[float]) -> float:
    return float(spearmanr(ours, theirs).statistic)


def _damselfishes(facts: FactTable, data: OpenData, farming: str) -> tuple[str, ...]:
    """Return the tempers of the damselfishes that farm algae, or do not."""
    known = [s for s in data.having("algal_farming") if data.words(s, "algal_farming") == (farming,)]
    return tuple(facts.species(name).word("temper_own") for name in known if name in facts.species_names)
