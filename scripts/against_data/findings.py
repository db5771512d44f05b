"""What a comparison came to: claims that a source bears out or not, and the share borne out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from scripts.against_data.reading import OpenData
from slackwater.taxa.facts import FactTable, Species


@dataclass(frozen=True)
class Claim:
    """One trait of one taxon, and whether the sources bear it out."""

    taxon: str
    trait: str
    agrees: bool
    weight: float = 1.0


@dataclass(frozen=True)
class Finding:
    """A comparison: what it says in words, the least share wanted, and its claims."""

    key: str
    says: str
    least: float
    claims: tuple[Claim, ...]

    @property
    def share(self) -> float:
        """Share of the claims borne out, by weight; 0 where nothing could be compared. [-]"""
        total = sum(claim.weight for claim in self.claims)
        return sum(claim.weight for claim in self.claims if claim.agrees) / total if total else 0.0

    @property
    def holds(self) -> bool:
        """Whether the share is as high as wanted."""
        return self.share >= self.least

    @property
    def against(self) -> tuple[tuple[str, str], ...]:
        """Taxon and trait of the claims that the sources do not bear out."""
        return tuple(sorted((claim.taxon, claim.trait) for claim in self.claims if not claim.agrees))


Judge = Callable[[Species, OpenData], bool | None]
"""True or False as the sources agree with a species or not, None where they are silent."""


def judged(facts: FactTable, data: OpenData, trait: str, judge: Judge) -> tuple[Claim, ...]:
    """Return a claim for each species of the table that the sources speak of."""
    verdicts = {name: judge(facts.species(name), data) for name in facts.species_names}
    return tuple(Claim(name, trait, agrees) for name, agrees in verdicts.items() if agrees is not None)
