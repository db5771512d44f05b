"""What an animal's coat is drawn of: a main colour and marks, read from its facts by rules of our own.

The shares of `colours` say which colours and how much, `pattern` how they lie, and the telling mark or
the dress of the young where one lies: a colour right before a place ("yellow tail") is put there.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.taxa.colour import areas, named_colours
from slackwater.taxa.facts import Species


@dataclass(frozen=True)
class Mark:
    """One mark: a place or a pattern, its colour, that of its rim, its share of the coat, how many."""

    shape: str
    colour: str
    share: float = 0.2
    rim: str = ""
    count: int = 0


@dataclass(frozen=True)
class Coat:
    """The main colour of an animal and the marks upon it, first drawn first."""

    main: str
    marks: tuple[Mark, ...] = ()


PLACES: Mapping[str, tuple[str, ...]] = {
    "rear": ("rear", "behind"),
    "front": ("front",),
    "belly": ("belly", "breast", "below"),
    "back": ("back", "dorsal", "above"),
    "throat": ("throat",),
    "tail": ("tail",),
    "head": ("head", "face", "snout", "mask"),
}
"""Where a colour may lie, in the order of drawing, and the words that say so."""

PATTERNS: Mapping[str, tuple[str, ...]] = {
    "bars": ("bar", "bars", "rings", "arcs", "bands", "saddles"),
    "stripes": ("stripe", "stripes", "lines"),
    "spots": ("spots", "dots"),
    "blotches": ("blotches", "blobs", "patches"),
}
_ONLY_PART = {"blade", "sheath", "root", "spot", "spots", "base", "edge", "edges", "spines", "ray", "lobes"}
_NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8}
_SHADES = {
    "young",
    "all",
    "plain",
    "bright",
    "deep",
    "dark",
    "pale",
    "paler",
    "jet",
    "lemon",
    "bold",
    "clear",
    "light",
}
_SPELT = {"silvery": "silver", "golden": "gold", "maroon": "brown", "pinkish": "pink", "greenish": "green"}
_LEAST_SHARE = 0.04
_UNTIL = re.compile(r"until about (\d+) cm")


def coat_of(species: Species, length_cm: float, young_share: float) -> Coat:
    """Return the coat of an animal of a length: that of the young if the facts tell one and it is small.

    Parameters
    ----------
    species
        Whose facts are read.
    length_cm
        Total length. [cm]
    young_share
        Share of adult length up to which the dress of the young is worn, where the facts tell no length. [-]
    """
    grown = grown_coat(_text(species, "colours"), _text(species, "pattern"), _text(species, "mark"))
    told = _text(species, "juvenile_dress")
    until = _UNTIL.search(told)
    until_cm = float(until[1]) if until else young_share * species.number("adult_length_cm")
    young = young_coat(told, grown) if length_cm <= until_cm else None
    return young or grown


def grown_coat(colours: str, pattern: str, mark: str) -> Coat:
    """Return the coat told by shares of colours, a word for the pattern and the telling mark."""
    shares = sorted(areas(colours).items(), key=lambda one: -one[1]) or [("grey", 1.0)]
    words = _words(mark.split("young", maxsplit=1)[0])
    main = shares[0][0]
    placed = _placed(words, dict(shares))
    free = [(c, s) for c, s in shares[1:] if s >= _LEAST_SHARE and c not in {m.colour for m in placed}]
    laid = [m for m in placed if m.colour != main]
    second = [Mark(pattern, free[0][0], free[0][1], free[1][0] if len(free) > 1 else "")] if free else []
    return Coat(main, tuple(_where(one, words) for one in [*second, *laid]))


def young_coat(told: str, grown: Coat) -> Coat | None:
    """Return the coat that the dress of the young tells, or None if it tells no colour of its own.

    It is read only if a colour stands first, or `with` and marks upon the colour of the grown one.
    """
    words = [word for word in _words(told.split(";", maxsplit=1)[0]) if word != ":"]
    while words and words[0] in _SHADES:
        words = words[1:]
    first = _colour(words[0]) if words else ""
    if not first and words[:1] != ["with"]:
        return None
    main, words = first or grown.main, words if not first or words[1:2] == ["in"] else words[1:]
    marks = [*_patterned(words), *_placed(words, None)]
    if not first and not marks:
        return None
    return Coat(main, tuple(mark for mark in marks if mark.colour != main))


def _text(species: Species, trait: str) -> str:
    try:
        return species.text(trait)
    except LookupError:
        return ""


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]+(?:-[a-z]+)*|[,:;.]", text.lower())


def _colour(word: str) -> str:
    """Return the named colour of a word, of `blue-black` the last; nothing if it is none."""
    last = word.rsplit("-", 1)[-1]
    last = _SPELT.get(last, last)
    return last if last in named_colours() else ""


def _placed(words: list[str], shares: Mapping[str, float] | None) -> list[Mark]:
    """Return colours right before a place, or before `in front`; only those of the shares, if told."""
    found: dict[str, Mark] = {}
    for here, there, after in zip(words, [*words[1:], ""], [*words[2:], "", ""], strict=False):
        place = _of(PLACES, after if there == "in" else there)
        colour = _colour(here)
        is_whole = there == "in" or after not in _ONLY_PART
        if colour and place and is_whole and (shares is None or colour in shares):
            found.setdefault(place, Mark(place, colour, (shares or {}).get(colour, 0.3)))
    return sorted(found.values(), key=lambda mark: list(PLACES).index(mark.shape))


def _patterned(words: list[str]) -> list[Mark]:
    """Return colours right before a pattern, as `five yellow bars`."""
    return [
        Mark(pattern, colour, 0.3, count=_NUMBERS.get(before, 0))
        for before, here, there in zip(["", *words], words, words[1:], strict=False)
        if (colour := _colour(here)) and (pattern := _of(PATTERNS, there))
    ]


def _where(mark: Mark, words: list[str]) -> Mark:
    """Return a mark of a pattern with the number that the telling mark gives."""
    for before, here, there in zip(["", *words], words, words[1:], strict=False):
        if _of(PATTERNS, there) == mark.shape and _colour(here) == mark.colour and before in _NUMBERS:
            return Mark(mark.shape, mark.colour, mark.share, mark.rim, _NUMBERS[before])
    return mark


def _of(table: Mapping[str, tuple[str, ...]], word: str) -> str:
    return next((name for name, said in table.items() if word in said), "")
