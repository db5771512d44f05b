"""Names as they are scribbled on wish lists: 150 of them, written before the matcher was tuned."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import pytest

from slackwater.taxa.names import Meaning, Verdict, understand


# The table of names calls these one animal where they should be asked back.
@dataclass(frozen=True)
class Messy:
    """A scribble, the verdicts that are right for it, and the animals that must be named."""

    said: str
    verdicts: frozenset[str]
    animals: frozenset[str]

    def is_right(self, meaning: Meaning) -> bool:
        """Whether a meaning is what it should be."""
        named = {candidate.scientific_name for candidate in meaning.candidates}
        if meaning.verdict not in self.verdicts:
            return False
        return named == self.animals if meaning.verdict is Verdict.ONE else named >= self.animals

    def is_silently_wrong(self, meaning: Meaning) -> bool:
        """Whether an animal, or none, was settled on that was not meant."""
        settled = meaning.verdict in {Verdict.ONE, Verdict.NOT_A_FISH}
        return settled and not self.is_right(meaning)


def _read() -> list[Messy]:
    with Path(__file__).with_name("messy_names.csv").open(encoding="utf-8", newline="") as file:
        return [
            Messy(
                row["said"],
                frozenset(row["verdict"].split(" or ")),
                frozenset(filter(None, row["scientific_names"].split("|"))),
            )
            for row in csv.DictReader(file)
        ]


MESSY = _read()


def test_95_in_100_messy_names_are_understood() -> None:
    assert len(MESSY) == 150
    wrong = [messy.said for messy in MESSY if not messy.is_right(understand(messy.said))]
    assert len(wrong) <= 0.05 * len(MESSY), wrong


def test_no_wrong_animal_is_picked_silently() -> None:
    silent = {messy.said for messy in MESSY if messy.is_silently_wrong(understand(messy.said))}
    assert silent == set()


@pytest.mark.parametrize(
    ("said", "animals"),
    [
        ("yellow tang and purple tang", {"Zebrasoma flavescens", "Zebrasoma xanthurum"}),
        ("2 ocellaris and a bubble tip anemone", {"Amphiprion ocellaris"}),
        ("royal gramma with cleaner shrimp", {"Gramma loreto"}),
    ],
)
def test_two_animals_on_one_line_are_asked_about(said: str, animals: set[str]) -> None:
    meaning = understand(said)
    assert meaning.verdict is Verdict.ASK
    assert {candidate.scientific_name for candidate in meaning.candidates} >= animals


@pytest.mark.parametrize("said", ["gorgeous shrimp gobi", "spotted shrimp gooby", "flame coral goby"])
def test_what_is_called_a_fish_is_never_taken_for_an_invertebrate(said: str) -> None:
    assert understand(said).verdict is not Verdict.NOT_A_FISH


def test_a_genus_alone_is_asked_back_with_its_species() -> None:
    meaning = understand("Zebrasoma")
    assert meaning.verdict is Verdict.ASK
    assert len(meaning.candidates) > 5
