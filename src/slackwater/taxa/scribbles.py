"""Customers' scribbles: counts, sizes and sexes taken off, and words brought to one plain spelling."""

from __future__ import annotations

import re
from dataclasses import dataclass

_CM_PER = {"mm": 0.1, "cm": 1.0}
_CM_PER_INCH = 2.54
_LENGTH = r"(\d+(?:[.,]\d+)?)"
_UNIT = r"(cm|mm|inches|inch|in|\"|”|'')"
_SIZE = re.compile(rf"(?:{_LENGTH}\s*{_UNIT}?\s*(?:-|–|to)\s*)?{_LENGTH}\s*{_UNIT}(?![a-z])", re.IGNORECASE)
_NUMBERS = {
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
    "ten": 10,
    "dozen": 12,
    "half a dozen": 6,
    "a couple": 2,
    "couple": 2,
    "trio": 3,
}
_NUMBER = "|".join(sorted(_NUMBERS, key=len, reverse=True))
_PART = r"(?:line|stripe|spot|bar|band|saddle|eye|tone|colou?r|fin|horn|belt)"
_COUNT = re.compile(
    rf"^\s*(?:\d{{1,2}}\s*-\s*)?(\d{{1,2}}|{_NUMBER})(?:\s*[x×]\s+|\s+of\s+|\s+)(?!\s*{_PART})"
    r"|\b[x×]\s*(\d{1,2})\b|\b(\d{1,2})\s*(?:[x×](?![a-z])|pcs?\b\.?)|\((\d{1,2})\)",
    re.IGNORECASE,
)
_SHOP_NUMBER = re.compile(r"#\s*\w+")
_SEXES = (
    ("pair", r"m ?/ ?f(?: pair)?|(?:mated |bonded )?pairs?(?: of)?|prs?\b\.?"),
    ("female", r"females?|fem\b\.?"),
    ("male", r"males?"),
)
_FILLER = re.compile(
    r"\b(?:xs|s|sm|small|m|med|medium|ml|l|lg|large|xl|xxl|tiny|juv|juvenile|adult|tr|cb|wc|"
    r"baby|show|size|sized|tank raised|tank bred|captive bred|wild|group of|school of|frags?|"
    r"sp|spp|fish|fishes|a|an|and|or|of|with|the|some|approx|about|ca|around|please|pls)\b\.?"
)
_SHORTEST_PLURAL = 4
_KIND_OF_FISH = re.compile(
    r"(anemone|angel|banner|box|butterfly|cardinal|clown|cow|damsel|dragon|file|goat|hawk|jaw|lion|"
    r"mandarin|parrot|pipe|porcupine|puffer|rabbit|soldier|squirrel|surgeon|trigger|unicorn)"
    r"f(?:i?sh|sih)(?:es)?"
)
_PART_ED = re.compile(r"(back|band|barr?|cheek|ey|fac|finn?|head|lin|nos|saddl|spott?|strip|tail)ed$")
_SAME_KIND = {"surgeon": "tang", "anemone": "clown"}
_SAME_WORD = {"surgeon": "tang", "wrass": "wrasse", "bicolour": "bicolor", "grey": "gray"}
_DIGITS = {"1": "one", "2": "two", "3": "three", "4": "four", "5": "five", "6": "six", "8": "eight"}
_PARTS = {"ey": "eye", "fac": "face", "lin": "line", "nos": "nose", "saddl": "saddle", "strip": "stripe"}
_DOUBLED = {"barr": "bar", "finn": "fin", "spott": "spot"}


@dataclass(frozen=True)
class Scribble:
    """A name as said, without the count, length [cm] and sex found beside it."""

    name: str
    count: int | None = None
    length_cm: float | None = None
    sex: str | None = None


def plain(text: str) -> str:
    """Return a text in small letters, without apostrophes, hyphens and stray signs."""
    lowered = text.lower().replace("-", " ").replace("'", "").replace("’", "")
    return " ".join(re.sub(r"[^a-z0-9.()/ ]+", " ", lowered).split())


def squeezed(text: str) -> str:
    """Return a plain name in the singular without filler, as an order-keeping key."""
    return " ".join(_singular(word) for word in without_filler(text).split())


def without_filler(text: str) -> str:
    """Return a plain text without the words that name no animal: "small", "captive bred"."""
    return " ".join(_FILLER.sub(" ", text).split())


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a plain text, each brought to one spelling.

    Examples
    --------
    >>> words_of("6 lined wrasses")
    ('six', 'line', 'wrasse')
    >>> words_of("yellow-tailed surgeonfish")
    ('yellow', 'tail', 'tang')
    """
    return tuple(spelt(word) for word in raw_words(text) if word != "fish")


def raw_words(text: str) -> tuple[str, ...]:
    """Return the words of a text as written, in small letters."""
    return tuple(re.findall(r"[a-z0-9]+", plain(text)))


def spelt(word: str) -> str:
    """Return a word in its one spelling: clownfishes, clown; striped, stripe; 6, six."""
    if kind := _KIND_OF_FISH.fullmatch(word):
        return _SAME_KIND.get(kind[1], kind[1])
    one = _singular(_DIGITS.get(word, word))
    one = _PART_ED.sub(lambda part: _PARTS.get(part[1], _DOUBLED.get(part[1], part[1])), one)
    return _SAME_WORD.get(one, one)


def read(said: str) -> Scribble:
    """Take count, length and sex off a customer's words; the middle of a range of lengths."""
    text, length_cm = _without_size(_SHOP_NUMBER.sub(" ", said))
    text, count = _without_count(text)
    text, sex = _without_sex(plain(text))
    bare = text.replace("(", " ").replace(")", " ")
    return Scribble(" ".join(bare.split()), count, length_cm, sex)


def _without_size(text: str) -> tuple[str, float | None]:
    found = _SIZE.search(text)
    if not found:
        return text, None
    low, low_unit, high, unit = found.groups()
    longest_cm = _cm(high, unit)
    shortest_cm = _cm(low, low_unit or unit) if low else longest_cm
    return _SIZE.sub(" ", text, count=1), (shortest_cm + longest_cm) / 2.0


def _cm(number: str, unit: str) -> float:
    return float(number.replace(",", ".")) * _CM_PER.get(unit.lower(), _CM_PER_INCH)


def _without_count(text: str) -> tuple[str, int | None]:
    found = _COUNT.search(text)
    if not found:
        return text, None
    number = next(group for group in found.groups() if group).lower()
    rest = f"{text[: found.start()]} {text[found.end() :]}"
    return rest, _NUMBERS.get(number) or int(number)


def _without_sex(text: str) -> tuple[str, str | None]:
    for sex, pattern in _SEXES:
        rest, times = re.subn(rf"\b(?:{pattern})(?![a-z])", " ", text)
        if times:
            return rest, sex
    return text, None


def _singular(word: str) -> str:
    if len(word) > _SHORTEST_PLURAL and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > _SHORTEST_PLURAL and word.endswith("ses"):
        return word[:-2]
    ends_as_plural = word.endswith("s") and not word.endswith(("ss", "us", "is"))
    return word[:-1] if len(word) >= _SHORTEST_PLURAL and ends_as_plural else word
