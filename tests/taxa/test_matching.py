"""Likeness of names by their words, on a small table of names."""

from __future__ import annotations

import pytest

from slackwater.taxa.matching import Entry, Likeness, NameIndex
from slackwater.taxa.scribbles import words_of
from slackwater.taxa.vocabulary import Vocabulary, skeleton

NAMES = (
    ("yellow tang", "Zebrasoma flavescens", "trade"),
    ("mimic yellow tang", "Acanthurus pyroferus", "trade"),
    ("kole tang", "Ctenochaetus strigosus", "trade"),
    ("tomini tang", "Ctenochaetus tominiensis", "trade"),
    ("copperband butterfly", "Chelmon rostratus", "trade"),
    ("beaked coralfish", "Chelmon rostratus", "trade"),
    ("fire shrimp", "", "not a fish"),
)


@pytest.fixture(scope="module")
def index() -> NameIndex:
    return NameIndex(Entry(name, animal, kind, "") for name, animal, kind in NAMES)


def _likest(index: NameIndex, said: str) -> Likeness:
    return index.likenesses(words_of(said))[0]


def test_swapped_words_are_the_same_name(index: NameIndex) -> None:
    likest = _likest(index, "tang yellow")
    assert likest.entry.name == "yellow tang"
    assert likest.score == pytest.approx(1.0)
    assert likest.whole
    assert likest.explains


def test_what_belongs_to_no_name_leaves_it_unexplained(index: NameIndex) -> None:
    likest = _likest(index, "kole tang qwertyu")
    assert likest.whole
    assert not likest.explains
    assert likest.score < 1.0


def test_two_names_in_one_are_explained_together(index: NameIndex) -> None:
    likest = _likest(index, "copper band beaked butterfly")
    assert likest.entry.scientific_name == "Chelmon rostratus"
    assert likest.explains


def test_a_word_left_out_is_missed_unless_it_is_a_kind_of_fish(index: NameIndex) -> None:
    assert _likest(index, "tomini").whole
    assert not _likest(index, "copperband").whole
    assert not next(
        like for like in index.likenesses(["yellow"]) if like.entry.scientific_name == "Acanthurus pyroferus"
    ).whole


def test_nothing_said_is_like_nothing(index: NameIndex) -> None:
    assert index.likenesses([]) == []


def test_what_stands_beside_an_invertebrate_is_found(index: NameIndex) -> None:
    shrimp = Entry("fire shrimp", "", "not a fish", "")
    left = index.beside(shrimp, words_of("kole tang + fire shrimps"))
    assert left == ("kole", "tang")
    assert index.speaks_of_fish(left)
    assert not index.speaks_of_fish(index.beside(shrimp, words_of("red fire shrimp")))


@pytest.mark.parametrize(
    ("said", "meant"),
    [("kole", "cole"), ("banggai", "bengai"), ("achilles", "acheles"), ("firefish", "fyrefish")],
)
def test_what_sounds_alike_has_one_skeleton(said: str, meant: str) -> None:
    assert skeleton(said) == skeleton(meant)


def test_a_proper_word_means_itself_alone() -> None:
    vocabulary = Vocabulary(["lunula", "lunulata"], ["lunola"])
    assert vocabulary.readings("lunula") == {"lunula": 1.0}
    assert set(vocabulary.readings("lunola")) == {"lunula", "lunola"}
    assert vocabulary.readings("qwertyu") == {}
