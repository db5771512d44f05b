"""Nips: what an animal does to corals and invertebrates, by kind."""

from __future__ import annotations

from slackwater.errors import InputError
from slackwater.taxa.facts import Species

KINDS = {
    "SPS corals": "nips_sps",
    "LPS corals": "nips_lps",
    "soft corals": "nips_soft",
    "zoanthids": "nips_zoanthids",
    "giant clams": "nips_clams",
    "cleaner shrimps": "nips_shrimps",
    "snails": "nips_snails",
    "hermit crabs": "nips_hermits",
    "tube worms": "nips_tube_worms",
}


def nips(species: Species, kind: str) -> str:
    """Return `no`, `possible` or `likely` for a kind of coral or invertebrate.

    Raises
    ------
    InputError
        If the kind is not one of `KINDS`.
    """
    if kind not in KINDS:
        raise InputError(
            field="kind",
            given=kind,
            limit=f"the program knows {', '.join(KINDS)}",
            remedy="Use one of these words.",
        )
    return species.word(KINDS[kind])


def nipped_per_day(word: str) -> float:
    """Return the hazard that stands for a word when lots of corals are compared. [1/d]"""
    return {"no": 0.0, "possible": 0.0015, "likely": 0.02}[word]
