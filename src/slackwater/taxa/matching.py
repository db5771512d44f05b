"""Likeness of names as bags of words: swapped words, two names in one, words left out."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.taxa.scribbles import raw_words, words_of
from slackwater.taxa.scribbles import spelt as spelt_word
from slackwater.taxa.vocabulary import Readings, Vocabulary

_MISAPPLIED, _SLIP, _TRADE, _ASK = "misapplied", "slip", "trade", "ask"
_SURE_WORD = 0.77
_FROM_OTHER_NAMES = 0.6
_SELDOM_MEANT = 0.85
_ANIMALS_OF_A_KIND = 4

Shares = NDArray[np.float64]
Places = NDArray[np.int64]
_NOWHERE: Places = np.empty(0, np.int64)


@dataclass(frozen=True)
class Entry:
    """One row of `names.csv`, or a name of the house notes."""

    name: str
    scientific_name: str
    kind: str
    mark: str


@dataclass(frozen=True)
class Likeness:
    """How like a name is to what was said.

    `score` runs from 0 to 1. `whole`: all of the name was said, words like "tang" aside.
    `explains`: every word said belongs to the animal, to this name or to another of its names.
    """

    entry: Entry
    score: float
    whole: bool
    explains: bool


@dataclass(frozen=True)
class _Heard:
    """What was said: the words that may be meant, and how it falls on each row and each animal.

    `of_row`: the weight of a row's words that were said; `core`: how many of its core words were.
    `of_animal`: the share of what was said that an animal's names hold; `least`: of its least word.
    """

    weight: float
    of_row: Shares
    core: Places
    of_animal: Shares
    least: Shares


class NameIndex:
    """All names by their words, the likest found by the words they share with what was said."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self._entries = list(entries)
        spelt = [(entry, words_of(entry.name)) for entry in self._entries]
        self._vocabulary = _vocabulary(spelt)
        no_fish = {word for entry, words in spelt if not entry.scientific_name for word in words}
        self._last_words = _last_words(spelt, animals_at_least=1) - no_fish
        bags = [frozenset(self._spelt(words)) for _, words in spelt]
        cores = [bag - self._vocabulary.kinds or bag for bag in bags]
        names = dict.fromkeys(entry.scientific_name for entry in self._entries)
        self._place = {name: at for at, name in enumerate(names)}
        self._animal = np.array([self._place[entry.scientific_name] for entry in self._entries])
        self._rows_with, self._core_rows_with = _where(bags), _where(cores)
        self._animals_with = {word: np.unique(self._animal[at]) for word, at in self._rows_with.items()}
        self._telling = _telling(self._animals_with, len(names))
        self._most_telling = max(self._telling.values(), default=1.0)
        self._row_weight = np.array([sum(self._telling[word] for word in bag) or 1.0 for bag in bags])
        self._core_size = np.array([len(core) for core in cores])
        self._seldom = np.array([_SELDOM_MEANT if e.kind == _MISAPPLIED else 1.0 for e in self._entries])
        self._not_asked = np.array([entry.kind != _ASK for entry in self._entries])

    def likenesses(self, words: Sequence[str]) -> list[Likeness]:
        """Return the likest name of each animal, the likest animal first."""
        said = self._spelt(words)
        if not said:
            return []
        heard = self._hear(said)
        found = np.flatnonzero(heard.of_row)
        of_name = np.minimum(1.0, heard.of_row / self._row_weight)[found]
        of_said = np.minimum(1.0, heard.of_row[found] / heard.weight)
        animal = self._animal[found]
        of_animal = _FROM_OTHER_NAMES * heard.of_animal[animal] + (1.0 - _FROM_OTHER_NAMES) * of_said
        score = of_name * of_animal * self._seldom[found]
        order = np.lexsort((self._not_asked[found], -score))
        firsts = np.sort(np.unique(animal[order], return_index=True)[1])
        return [self._likeness(heard, int(found[at]), float(score[at])) for at in order[firsts]]

    def beside(self, entry: Entry, words: Sequence[str]) -> tuple[str, ...]:
        """Return the words said that are not of a name, spelt as the names are."""
        named = frozenset(self._spelt(words_of(entry.name)))
        return tuple(w for w in self._spelt(words) if named.isdisjoint(self._vocabulary.readings(w)))

    def speaks_of_fish(self, words: Iterable[str]) -> bool:
        """Whether one of the words is the last of a trade name: goby, rockcod, sweetlips."""
        meant = (reading for word in words for reading in self._vocabulary.readings(word))
        return not self._last_words.isdisjoint(meant)

    def _spelt(self, words: Sequence[str]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(self._vocabulary.joined(self._vocabulary.apart(words))))

    def _hear(self, said: Sequence[str]) -> _Heard:
        of_animal, least = np.zeros(len(self._place)), np.ones(len(self._place))
        meant: dict[str, float] = {}
        total = 0.0
        for word in said:
            readings = self._vocabulary.readings(word)
            held, weight = self._held(readings), self._weight(readings)
            of_animal += weight * held
            least = np.minimum(least, held)
            total += weight
            meant |= {known: max(alike, meant.get(known, 0.0)) for known, alike in readings.items()}
        return _Heard(total, *self._fallen(meant), of_animal / total, least)

    def _held(self, readings: Readings) -> Shares:
        """Return how surely each animal's names hold a word."""
        held = np.zeros(len(self._place))
        for word, alike in readings.items():
            at = self._animals_with.get(word, _NOWHERE)
            held[at] = np.maximum(held[at], alike)
        return held

    def _weight(self, readings: Readings) -> float:
        likest = max(readings, key=readings.__getitem__, default="")
        return self._telling.get(likest, self._most_telling)

    def _fallen(self, meant: Readings) -> tuple[Shares, Places]:
        """Return the weight said of each row, and how many of its core words were surely said."""
        weight, core = np.zeros(len(self._entries)), np.zeros(len(self._entries), np.int64)
        for word, alike in meant.items():
            weight[self._rows_with.get(word, _NOWHERE)] += alike * self._telling.get(word, 0.0)
            if alike >= _SURE_WORD:
                core[self._core_rows_with.get(word, _NOWHERE)] += 1
        return weight, core

    def _likeness(self, heard: _Heard, row: int, score: float) -> Likeness:
        whole = bool(heard.core[row] >= self._core_size[row])
        explains = bool(heard.least[self._animal[row]] >= _SURE_WORD)
        return Likeness(self._entries[row], score, whole, explains)


def _vocabulary(spelt: Sequence[tuple[Entry, tuple[str, ...]]]) -> Vocabulary:
    return Vocabulary(
        (word for entry, words in spelt if entry.kind != _SLIP for word in words),
        (word for entry, words in spelt if entry.kind == _SLIP for word in words),
        _last_words(spelt, _ANIMALS_OF_A_KIND),
        {word: spelt_word(word) for entry, _ in spelt for word in raw_words(entry.name)},
    )


def _last_words(spelt: Iterable[tuple[Entry, tuple[str, ...]]], animals_at_least: int) -> frozenset[str]:
    """Return the last words of the trade names of several animals: tang, wrasse, goby."""
    animals: dict[str, set[str]] = defaultdict(set)
    for entry, words in spelt:
        if len(words) > 1 and entry.kind == _TRADE:
            animals[words[-1]].add(entry.scientific_name)
    return frozenset(word for word, of in animals.items() if len(of) >= animals_at_least)


def _where(bags: Sequence[frozenset[str]]) -> dict[str, Places]:
    """Return the rows that hold each word."""
    rows: dict[str, list[int]] = defaultdict(list)
    for row, bag in enumerate(bags):
        for word in bag:
            rows[word].append(row)
    return {word: np.array(at, np.int64) for word, at in rows.items()}


def _telling(animals_with: Mapping[str, Places], animals: int) -> dict[str, float]:
    """Return how telling each word is: the fewer animals have it, the more."""
    return {word: math.log((animals + 1.0) / (len(at) + 0.5)) for word, at in animals_with.items()}
