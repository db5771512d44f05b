"""How an animal lives among rock, which decides whether moved rock means anything to it."""

from __future__ import annotations

from slackwater.taxa.facts import Species

ROCK_OWNER = 0.5
"""Least share of life at the rock of an owner of rock. [-]"""

_ROAMS = frozenset({"cruise", "race"})


def owns_rock(species: Species) -> bool:
    """Return whether it keeps to a place in the rock, rather than roam along it."""
    return species.number("structure_use") >= ROCK_OWNER and species.word("swim_style") not in _ROAMS
