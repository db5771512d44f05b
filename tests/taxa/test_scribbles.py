"""Counts, lengths and sexes taken off a scribble, and what is left of it."""

from __future__ import annotations

import pytest

from slackwater.taxa.scribbles import read, words_of


@pytest.mark.parametrize(
    ("said", "name", "count"),
    [
        ("two pyjama cardinals", "pyjama cardinals", 2),
        ("a couple of ocellaris", "ocellaris", 2),
        ("half a dozen green chromis", "green chromis", 6),
        ("3-4 pj cardinals", "pj cardinals", 4),
        ("chalk bass 3x", "chalk bass", 3),
        ("chalk bass, 3 pcs", "chalk bass", 3),
        ("purple firefish (2)", "purple firefish", 2),
        ("six line wrasse", "six line wrasse", None),
        ("one spot foxface", "one spot foxface", None),
        ("2 stripe damsel", "2 stripe damsel", None),
        ("#1043 coral beauty", "coral beauty", None),
    ],
)
def test_a_count_is_taken_off_unless_it_belongs_to_the_name(said: str, name: str, count: int | None) -> None:
    scribble = read(said)
    assert (scribble.name, scribble.count) == (name, count)


@pytest.mark.parametrize(
    ("said", "length_cm"),
    [
        ('royal gramma 1.5"', 3.81),
        ('yellow tang 4-5"', 11.43),
        ('regal tang 3" - 4"', 8.89),
        ("kole tang 8 to 10 cm", 9.0),
        ("kole tang 85 mm", 8.5),
        ("kole tang", None),
    ],
)
def test_a_range_of_lengths_counts_as_its_middle(said: str, length_cm: float | None) -> None:
    scribble = read(said)
    assert scribble.name == said[: len(scribble.name)]
    assert scribble.length_cm == (None if length_cm is None else pytest.approx(length_cm))


@pytest.mark.parametrize(
    ("said", "sex"),
    [
        ("M/F pair of mandarins", "pair"),
        ("maroon clown pr.", "pair"),
        ("mated pair ocellaris", "pair"),
        ("lyretail fem", "female"),
        ("2 female lyretail anthias", "female"),
        ("male flame wrasse", "male"),
        ("Hawkfish Flame (M)", None),
    ],
)
def test_a_sex_is_taken_off(said: str, sex: str | None) -> None:
    assert read(said).sex == sex


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("6-lined wrasses", "six line wrasse"),
        ("clownfishes", "clown"),
        ("anemonefish", "clown"),
        ("blue surgeonfish", "blue tang"),
        ("spotted hawkfsh", "spot hawk"),
        ("long-nosed butterflyfish", "long nose butterfly"),
    ],
)
def test_spellings_of_one_word_are_one(one: str, other: str) -> None:
    assert words_of(one) == words_of(other)
