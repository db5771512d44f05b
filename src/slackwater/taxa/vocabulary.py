"""The words that names are made of, and which of them a mistyped or misheard word may be."""

from __future__ import annotations

import functools
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping

from rapidfuzz import process
from rapidfuzz.distance import OSA

_SOUNDS = {"ph": "f", "sch": "sk", "ch": "k", "ck": "k", "qu": "k", "th": "t", "x": "ks", "z": "s"}
_SOFT_C = re.compile(r"c(?=[eiy])")
_SOUNDS_ALIKE, _SHORT_SOUNDS_ALIKE = 0.95, 0.8
_MOST_LETTERS_OFF = 0.34
_FEWEST_LETTERS, _FEWEST_SAID, _SHORT, _LETTERS_PER_SLIP = 4, 3, 4, 3.5
_SHORTEST_COMPOUND, _SHORTEST_PART = 6, 3
_READINGS = 12
_WORDS_KEPT = 4096

Readings = Mapping[str, float]
"""Words that may be meant, each with its likeness (0 to 1)."""


def skeleton(word: str) -> str:
    """Return what is left of a word for the ear: its first sound and the consonants after it.

    Examples
    --------
    >>> skeleton("ocellaris") == skeleton("oselarys")
    True
    >>> skeleton("kole") == skeleton("cole")
    True
    """
    heard = _SOFT_C.sub("s", word)
    for written, sound in _SOUNDS.items():
        heard = heard.replace(written, sound)
    heard = heard.replace("c", "k")
    first = "a" if heard[:1] in "aeiouy" else heard[:1]
    rest = re.sub(r"[aeiouyhw]", "", heard[1:])
    return re.sub(r"(.)\1+", r"\1", first + rest)


def _near_enough(word: str, known: str) -> bool:
    return OSA.distance(word, known) <= max(1.0, _MOST_LETTERS_OFF * len(word))


class Vocabulary:
    """All words of all names.

    The proper ones are those of names that are no slips themselves; kinds are words like "tang".
    Other spellings lead to the word as it is spelt in this vocabulary: clownfish, clown.
    """

    def __init__(
        self,
        proper: Iterable[str],
        slips: Iterable[str] = (),
        kinds: Iterable[str] = (),
        other_spellings: Mapping[str, str] | None = None,
    ) -> None:
        self.proper = frozenset(proper)
        self.kinds = frozenset(kinds)
        self._all = self.proper | frozenset(slips)
        self._spelt = dict(other_spellings or {}) | {word: word for word in self._all}
        self._long = [word for word in sorted(self._spelt) if len(word) >= _FEWEST_LETTERS]
        self._sounding: dict[str, list[str]] = defaultdict(list)
        for word in self._long:
            self._sounding[skeleton(word)].append(word)
        self._parts = functools.lru_cache(maxsize=_WORDS_KEPT)(self._cut)
        self.readings = functools.lru_cache(maxsize=_WORDS_KEPT)(self._readings)

    def joined(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return words with those joined that other names write as one.

        Examples
        --------
        >>> Vocabulary(["copperband", "butterfly"]).joined(["copper", "band", "butterfly"])
        ('copperband', 'butterfly')
        """
        done: list[str] = []
        first = ""
        for word in words:
            if both := self._one_word(first, word):
                done[-1] = both
                first = ""
            else:
                done.append(word)
                first = word
        return tuple(done)

    def apart(self, words: Iterable[str]) -> tuple[str, ...]:
        """Return words cut in two before a kind of fish, and unknown ones where both halves are known.

        Examples
        --------
        >>> Vocabulary(["yellow", "tang"], kinds=["tang"]).apart(["yellowtang"])
        ('yellow', 'tang')
        """
        return tuple(part for word in words for part in self._parts(word))

    def _one_word(self, first: str, second: str) -> str:
        joint = first + second
        if not first or second in self.kinds or len(joint) < _SHORTEST_COMPOUND:
            return ""
        if joint in self.proper:
            return joint
        if self._all.issuperset((first, second)):
            return ""
        alike = self._sounding.get(skeleton(joint), ())
        return next((word for word in alike if word in self.proper and _near_enough(joint, word)), "")

    def _cut(self, word: str) -> tuple[str, ...]:
        cuts = range(_SHORTEST_PART, len(word) - _SHORTEST_PART + 1)
        halves = [(word[:cut], word[cut:]) for cut in cuts if word[:cut] in self.proper]
        if of_kind := [two for two in halves if two[1] in self.kinds]:
            return of_kind[0]
        if word in self._all or self.readings(word):
            return (word,)
        return next((two for two in halves if two[1] in self.proper), (word,))

    def _readings(self, word: str) -> Readings:
        """Return the known words that may be meant; a proper word means itself."""
        if word in self.proper:
            return {word: 1.0}
        found = self._alike(word) if len(word) >= _FEWEST_SAID else {}
        return found | {word: 1.0} if word in self._all else found

    def _alike(self, word: str) -> dict[str, float]:
        slips = max(1, int(len(word) / _LETTERS_PER_SLIP))
        near = process.extract(word, self._long, scorer=OSA.distance, score_cutoff=slips, limit=_READINGS)
        alike = {known: 1.0 - distance / len(word) for known, distance, _ in near}
        heard = self._sounding.get(skeleton(word), ())
        sounds_alike = _SOUNDS_ALIKE if len(word) > _SHORT else _SHORT_SOUNDS_ALIKE
        alike |= {known: sounds_alike for known in heard if _near_enough(word, known)}
        found: dict[str, float] = {}
        for known, likeness in alike.items():
            found[self._spelt[known]] = max(likeness, found.get(self._spelt[known], 0.0))
        return found
