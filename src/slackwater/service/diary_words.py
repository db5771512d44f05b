"""From words typed at the counter to a record: `chase tang ocellaris 3`, `ate tang mysis`, `ph=8.1`."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from slackwater.errors import InputError, shown
from slackwater.service.diary_checks import matched
from slackwater.society.diary import (
    Bearing,
    BodyPart,
    Breathing,
    Brood,
    BroodSign,
    ChaseKind,
    Chases,
    Death,
    Divider,
    Eating,
    Feed,
    HeadCount,
    KeptApart,
    Length,
    Manner,
    Mark,
    Missing,
    Place,
    Release,
    Remark,
    RemedyBegun,
    RemedyEnded,
    Removal,
    Result,
    RockMoved,
    Seen,
    Sighted,
    Sign,
    Watch,
    WaterTest,
)
from slackwater.units import length_cm, mass_kg, temperature_c
from slackwater.water.basis import Basis, converted

_Word = TypeVar("_Word", bound=StrEnum)
_MANNERS = {manner.value.split(" ")[0]: manner for manner in Manner} | {"reflection": Manner.GLASS}
_PLACES = {"box": Place.BOX, "sump": Place.SUMP, "away": Place.ELSEWHERE}
_NITROGEN = {
    "ammonia": ("tan_mg_l", Basis.NH4),
    "nitrite": ("nitrite_mg_l", Basis.NO2),
    "nitrate": ("nitrate_mg_l", Basis.NO3),
}
_READINGS = {"salinity": "salinity", "ph": "ph", "oxygen": "oxygen_mg_l", "dkh": "dkh"}


@dataclass(frozen=True)
class Words:
    """What was typed after the first word, whom it may speak of, and for how long was watched."""

    rest: tuple[str, ...]
    known: tuple[str, ...]
    watched_min: float | None = None

    def animal(self, place: int = 0, field: str = "the animal") -> str:
        """Return the animal that the word at a place means."""
        return matched(self.needed(place, field), self.known, field)

    def animals(self, start: int = 0) -> tuple[str, ...]:
        """Return the animals that the words from a place on mean."""
        return tuple(matched(word, self.known) for word in self.rest[start:])

    def needed(self, place: int, field: str) -> str:
        """Return the word at a place, or say that it is needed."""
        if place >= len(self.rest):
            raise _fault(field, "missing", "it is needed here", "See: slackwater diary --help.")
        return self.rest[place]

    def number(self, place: int, usual: float | None = None, field: str = "the number") -> float:
        """Return the number at a place, the usual one where there is none."""
        if usual is not None and place >= len(self.rest):
            return usual
        return _number(self.needed(place, field), field)

    def count(self, place: int, usual: int | None = 1) -> int:
        """Return the whole number at a place."""
        told = self.number(place, usual, "the count")
        if told != int(told):
            raise _fault("the count", f"{told:g}", "animals and chases are whole", "Write 3.")
        return int(told)

    def text(self, start: int = 0) -> str:
        """Return the words from a place on."""
        return " ".join(self.rest[start:])


Read = Callable[[Words], Seen]


def read_words(words: Sequence[str], known: Sequence[str], watched_min: float | None = None) -> Seen:
    """Return the record that some words tell of.

    Parameters
    ----------
    words
        The first says what was seen, the others whom and how much; see `HELP`.
    known
        What the animals of the tank go by; a part of a label is enough where it is telling.
    watched_min
        For how long was watched, for chases. [min]

    Raises
    ------
    InputError
        If the words tell of nothing that is known here.
    """
    first, *rest = words or ("",)
    read = _READERS.get(first.casefold())
    if read is None:
        near = difflib.get_close_matches(first.casefold(), _READERS, n=1)
        remedy = f"Did you mean {near[0]}?" if near else f"Begin with one of: {', '.join(_READERS)}."
        raise _fault("what was seen", first, "it is not a word of the diary", remedy)
    return read(Words(tuple(rest), tuple(known), watched_min))


def water_reading(told: Sequence[str]) -> WaterTest:
    """Return a water test from `name=value` pairs.

    Parameters
    ----------
    told
        Such as `ph=8.1`, `temperature=79F`, `nitrate=20`: nitrogen compounds as test kits read
        them, by the mass of the ion, or with `-N` after the name counted as nitrogen.

    Raises
    ------
    InputError
        If a name or value cannot be.
    """
    found: dict[str, float] = {}
    for pair in told:
        name, joined, value = pair.partition("=")
        if not joined:
            raise _fault("the reading", pair, "it has no =", "Write ph=8.1 or nitrate=20.")
        found |= _reading(name.strip(), value.strip())
    return WaterTest(**found)


def _reading(name: str, value: str) -> dict[str, float]:
    plain = name.casefold()
    as_nitrogen = plain.endswith("-n")
    compound = plain.removesuffix("-n")
    if compound in _NITROGEN:
        field, ion = _NITROGEN[compound]
        return {field: converted(_number(value, name), Basis.N if as_nitrogen else ion, Basis.N)}
    if plain in {"temperature", "t"}:
        return {"temperature_c": temperature_c(value)}
    if plain in _READINGS:
        return {_READINGS[plain]: _number(value, name)}
    known = ["temperature", *_READINGS, *_NITROGEN]
    near = difflib.get_close_matches(plain, known, n=1)
    remedy = f"Did you mean {near[0]}?" if near else f"Known are {', '.join(known)}."
    raise _fault("the reading", name, "it is not kept", remedy)


def _chased(how: ChaseKind) -> Read:
    def read(words: Words) -> Seen:
        chases = Chases(words.animal(0, "who"), words.animal(1, "whom"), words.count(2), how)
        return Watch(words.watched_min, (chases,))

    return read


def _carried(manner: Manner) -> Read:
    return lambda words: Bearing(words.animal(), manner)


def _apart(place: Place) -> Read:
    return lambda words: KeptApart(words.animal(), place)


def _back(words: Words) -> Seen:
    place = _PLACES[_one_of(words.rest[1], _PLACES)] if len(words.rest) > 1 else Place.BOX
    return KeptApart(words.animal(), place, begins=False)


def _divider(words: Words) -> Seen:
    begins = _one_of(words.needed(0, "in or out"), ("in", "out")) == "in"
    sides = " ".join(words.rest[1:]).split("|")
    named = [tuple(matched(one, words.known) for one in side.split(",") if one.strip()) for side in sides]
    return Divider(begins, named[0], named[1] if len(named) > 1 else ())


def _feed(words: Words) -> Seen:
    *food, last = words.rest or ("",)
    if last[:1].isdigit():
        return Feed(" ".join(food), 1000.0 * mass_kg(last if not last[-1].isdigit() else f"{last} g"))
    return Feed(words.text())


def _release(words: Words) -> Seen:
    size = length_cm(words.rest[2]) if len(words.rest) > 2 else None  # noqa: PLR2004 - the third word
    return Release(words.needed(0, "the animal"), words.count(1), size)


def _brood(words: Words) -> Seen:
    sign = _word_of(BroodSign, words.needed(0, "the sign"), "the sign")
    return Brood(words.animals(1), sign)


def _mark(words: Words) -> Seen:
    part = _word_of(BodyPart, words.needed(1, "the part"), "the part")
    return Mark(words.animal(), part, _word_of(Sign, words.text(2) or "", "the sign"))


def _ended(words: Words) -> Seen:
    return RemedyEnded(words.count(0, None), _word_of(Result, words.text(1), "the result"))


_READERS: dict[str, Read] = {
    **{how.value: _chased(how) for how in ChaseKind},
    "watch": lambda words: Watch(words.number(0, words.watched_min, "the minutes")),
    "count": lambda words: HeadCount(words.count(0, None), words.animals(1)),
    "ate": lambda words: Eating(words.animal(), food=words.text(1)),
    "refused": lambda words: Eating(words.animal(), ate=False, food=words.text(1)),
    "breath": lambda words: Breathing(words.animal(), words.number(1, field="the beats a minute")),
    "mark": _mark,
    **{word: _carried(manner) for word, manner in _MANNERS.items()},
    "brood": _brood,
    "length": lambda words: Length(words.animal(), length_cm(words.needed(1, "the length"))),
    "water": lambda words: water_reading(words.rest),
    "feed": _feed,
    "rock": lambda words: RockMoved(words.text()),
    **{word: _apart(place) for word, place in _PLACES.items()},
    "back": _back,
    "divider": _divider,
    "died": lambda words: Death(words.animal(), words.count(1)),
    "missing": lambda words: Missing(words.animal()),
    "found": lambda words: Sighted(words.animal(), words.text(1)),
    "came": _release,
    "left": lambda words: Removal(words.animal(), where_to=words.text(1)),
    "remedy": lambda words: RemedyBegun(words.needed(0, "the rung"), words.animals(1)),
    "result": _ended,
    "note": lambda _: Remark(),
}

WORDS = tuple(_READERS)
"""The words that an entry may begin with."""


def _word_of(words: type[_Word], told: str, field: str) -> _Word:
    """Return the word that is meant: itself, or the only one that begins so."""
    plain = " ".join(told.split()).casefold()
    found = [word for word in words if word.value == plain] or [
        word for word in words if plain and word.value.startswith(plain)
    ]
    if len(found) == 1:
        return found[0]
    remedy = f"Write one of: {', '.join(word.value for word in words)}."
    raise _fault(field, told, "it is not a word for it", remedy)


def _one_of(told: str, known: Sequence[str] | dict[str, Place]) -> str:
    if told.casefold() not in known:
        remedy = f"Write one of: {', '.join(known)}."
        raise _fault("the word", told, "it is not known here", remedy)
    return told.casefold()


def _number(told: str, field: str) -> float:
    try:
        return float(told.replace(",", "."))
    except ValueError as fault:
        raise _fault(field, told, "it is not a number", "Write a number such as 3.") from fault


def _fault(field: str, given: str, limit: str, remedy: str) -> InputError:
    return InputError(field=field, given=shown(given), limit=limit, remedy=remedy)
