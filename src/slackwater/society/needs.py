"""Unmet needs and jumping: sand, cover, host, own company, kind of food, a lid."""

from __future__ import annotations

from slackwater.rules import Rules
from slackwater.society.company import Individual, Situation
from slackwater.taxa.facts import Species


def lacking(animal: Individual, situation: Situation) -> dict[str, float]:
    """Return what an animal lacks, by name, each 0 (nothing) to 1 (all of it). [-]"""
    sp = animal.species
    rock = situation.rockworks[0]
    bare = 1.0 if not rock.pieces else {"sparse": 0.35}.get(str(rock.word), 0.0)
    sand = sp.number("needs_sand_cm")
    own = sum(
        1
        for other in situation.animals
        if other.species.name == sp.name and not situation.parts(animal.party, other.party)
    )
    least = sp.number("company_min")
    pods = sp.word("special_food") in {"pods", "coral", "live"}
    return {
        "sand": max(0.0, 1.0 - situation.sand_cm / sand) if sand > 0.0 else 0.0,
        "cover": bare * sp.number("needs_cover"),
        "host": _host(animal, situation),
        "company": max(0.0, 1.0 - own / least) if least > 1.0 else 0.0,
        "food": (bare if sp.word("special_food") == "pods" else 0.0) * 0.8 if pods else 0.0,
        "warmth": _outside(situation.keeping.temperature_c, sp, ("temp_min_c", "temp_max_c"), 3.0),
        "salt": _outside(situation.keeping.salinity, sp, ("salinity_min", "salinity_max"), 5.0),
        "wild": 1.0 if animal.party.wild and sp.word("captive_bred") == "usual" else 0.0,
    }


def _host(animal: Individual, situation: Situation) -> float:
    needs = animal.species.word("needs_host")
    if needs in {"none", "shrimp_burrow", "hitching_post"}:
        return 0.0
    if needs == "anemone":
        return 0.0 if situation.keeping.has_host else 1.0
    return 0.0 if situation.keeping.corals else 0.5


def _outside(value: float | None, species: Species, limits: tuple[str, str], span: float) -> float:
    """Return how far a value lies outside a species' comfortable range, 1 at `span` beyond it."""
    if value is None:
        return 0.0
    low, high = (species.number(limit) for limit in limits)
    return min(max(low - value, value - high, 0.0) / span, 1.0)


def unmet_per_day(animal: Individual, situation: Situation, rules: Rules) -> float:
    """Return the hazard of all unmet needs together. [1/d]"""
    weights = rules.words("unmet")
    fragile = rules.words("fragile")[animal.species.word("hardiness")]
    lacks = lacking(animal, situation)
    return fragile * sum(weights[need] * share for need, share in lacks.items())


def jumping_per_day(animal: Individual, situation: Situation, rules: Rules) -> float:
    """Return the hazard of jumping out of a tank without a lid. [1/d]"""
    if situation.keeping.lid:
        return 0.0
    return rules.words("jumps")[animal.species.word("jumps")]
