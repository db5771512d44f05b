"""The counter check as it is spoken: half-typed facts, names asked back, and what to tap instead.

A check wants facts that can be. Here they come as people type them, one field after another, and
nothing that is still missing or unclear is an error: it is said, and the rest is answered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from slackwater import units
from slackwater.errors import InputError, InputErrors, UnknownTaxonError, shown
from slackwater.service.animals import meant, who
from slackwater.service.check_records import CheckAnswer, JointAnswer
from slackwater.service.checking_together import MOST_NEWCOMERS, check_wanted
from slackwater.service.counter import Doubt, Told, scene_of
from slackwater.service.said_lines import Said, said_in
from slackwater.tank.rock import RockWord
from slackwater.taxa.facts import load_facts
from slackwater.taxa.names import Candidate, Meaning, Verdict

T = TypeVar("T")

MOST_LINES = 30
MOST_CHOICES = 6
_FIELDS = {"wanted": "wanted", "residents": "living"}
_COVERS = {"lid": True, "open": False}
_LENGTHS_CM = (60, 90, 120, 150, 180, 240)
_SINCE = (("all on one day", "0"), ("2 weeks", "2 weeks"), ("3 months", "3 months"), ("a year", "1 year"))
_SIZES = (0.7, 1.4, 2.0)
_SIDES = re.compile(r"\s*[x×*]\s*")
_ALL_SIDES = 3
_SMALL_CM = 5.0


@dataclass(frozen=True)
class Spoken:
    """What was typed at the counter, each fact in the words of whoever typed it; empty where it was not.

    `cover` is `lid` or `open`; `living` has a line for each kind that lives there, and `wanted` is one
    line or several. A line may also name several kinds, with commas or "and".
    """

    tank: str = ""
    living: tuple[str, ...] = ()
    wanted: str = ""
    rock: str = ""
    feeds: str = ""
    since: str = ""
    cover: str = ""

    @property
    def lines(self) -> tuple[str, ...]:
        """The entries of those who live there, without empty ones."""
        return tuple(line.strip() for line in self.living if line.strip())

    @property
    def wanted_lines(self) -> tuple[str, ...]:
        """The lines of those who are wanted, without empty ones."""
        return tuple(line.strip() for line in self.wanted.splitlines() if line.strip())

    @property
    def newcomers(self) -> tuple[Said, ...]:
        """Each kind that is wanted."""
        return said_in(self.wanted_lines)

    @property
    def residents(self) -> tuple[Said, ...]:
        """Each kind that lives there, up to a limit."""
        return said_in(self.lines)[:MOST_LINES]


@dataclass(frozen=True)
class Choice:
    """An animal that may be meant: how to tell it, and what to write so that it alone is meant."""

    scientific_name: str
    common_name: str
    mark: str
    instead: str


@dataclass(frozen=True)
class Heard:
    """What was understood of one animal; `field` is `wanted` or `living` with the number of its line."""

    field: str
    said: str
    verdict: str
    words: str
    choices: tuple[Choice, ...] = ()


@dataclass(frozen=True)
class Tap:
    """Another answer to a question: the field it fills, with what."""

    field: str
    value: str
    words: str


@dataclass(frozen=True)
class Taken:
    """Something that was assumed, what that may cost, and what to tap if it is otherwise.

    `moves` says that another answer would change how the worst-off animal fares.
    """

    what: str
    taken: str
    cost: str
    taps: tuple[Tap, ...]
    moves: bool


@dataclass(frozen=True)
class Reply:
    """What can be said so far; `answer` is None until there is a newcomer and nothing is unclear."""

    heard: tuple[Heard, ...]
    faults: tuple[InputError, ...]
    answer: CheckAnswer | JointAnswer | None = None
    taken: tuple[Taken, ...] = ()
    missing: str = ""


def reply(spoken: Spoken, *, weighs: bool = True) -> Reply:
    """Return what can be said to facts as they are being typed.

    Parameters
    ----------
    spoken
        The facts so far.
    weighs
        Whether to work out what each assumption may cost, which takes as long again.
    """
    residents, newcomers = spoken.residents, spoken.newcomers
    heard = tuple(_heard(said, "living") for said in residents)
    heard += tuple(_heard(said, "wanted") for said in newcomers)
    told, faults = _told(spoken)
    faults += [fault for n, one in enumerate(heard) if (fault := _refused(one, n))]
    faults += _too_many(newcomers)
    missing = _missing(spoken, heard)
    if faults or missing:
        return Reply(heard, tuple(faults), missing=missing)
    return _answered(spoken, told, heard, weighs=weighs)


def told_of(spoken: Spoken) -> Told:
    """Return the facts of a counter check.

    Raises
    ------
    InputErrors
        If some cannot be; all of them at once.
    """
    told, faults = _told(spoken)
    if faults:
        raise InputErrors(source="what was told", faults=faults)
    return told


def wanted_of(spoken: Spoken) -> tuple[str, ...]:
    """Return the words for each kind that is wanted.

    Raises
    ------
    InputErrors
        If they are more than are judged at once.
    """
    newcomers = spoken.newcomers
    if faults := _too_many(newcomers):
        raise InputErrors(source="what was told", faults=faults)
    return tuple(said.words for said in newcomers) or ("",)


def _answered(spoken: Spoken, told: Told, heard: tuple[Heard, ...], *, weighs: bool) -> Reply:
    newcomers, residents = spoken.newcomers, spoken.residents
    try:
        answer = check_wanted([said.words for said in newcomers], told, weighs=weighs)
    except InputError as fault:
        return Reply(heard, (fault,))
    except InputErrors as found:
        return Reply(heard, found.faults)
    lines = {"wanted": _meanings(newcomers), "residents": _meanings(residents)}
    doubts = scene_of(told, *(tuple(meaning for _, meaning in found) for found in lines.values()))[1]
    taken = tuple(
        Taken(row.what, row.taken, row.cost, _taps(doubt, lines), moves="would be" in row.cost)
        for row, doubt in zip(answer.assumptions, doubts, strict=True)
    )
    return Reply(heard, (), answer, taken)


def _meanings(lines: Sequence[Said]) -> tuple[tuple[Said, Meaning], ...]:
    return tuple((said, meant(said.words, "an animal")) for said in lines)


def _too_many(newcomers: Sequence[Said]) -> list[InputError]:
    if len(newcomers) <= MOST_NEWCOMERS:
        return []
    fault = InputError(
        field="who is wanted",
        given=f"{len(newcomers)} kinds",
        limit=f"the counter judges up to {MOST_NEWCOMERS} at once",
        remedy="Leave some out, or plan the tank with all of them as wishes.",
    )
    return [fault]


def _missing(spoken: Spoken, heard: tuple[Heard, ...]) -> str:
    """Return what has to be told or chosen before there can be an answer."""
    unclear = [one.said for one in heard if one.verdict != Verdict.ONE]
    if unclear:
        return f"Which animal is “{shown(unclear[0])}”?"
    return "" if spoken.wanted.strip() else "Who is wanted?"


def _heard(said: Said, side: str) -> Heard:
    meaning, field = who(said.words), f"{side} {said.line}"
    if meaning.verdict is Verdict.ONE:
        return Heard(field, said.words, meaning.verdict, _words(meaning))
    told = {
        Verdict.ASK: "may be any of these:",
        Verdict.UNKNOWN: "is nobody here; the nearest are these:",
        Verdict.NOT_A_FISH: "is no fish: leave it out; every answer says what a fish may pick at.",
    }
    listed = choices_of(meaning)[:MOST_CHOICES]
    choices = tuple(replace(one, instead=said.instead(one.instead)) for one in listed)
    words = told[meaning.verdict] if choices or meaning.verdict is Verdict.NOT_A_FISH else "is nobody here."
    return Heard(field, said.words, meaning.verdict, words, choices)


def _words(meaning: Meaning) -> str:
    """Return whom the words mean: `2 ocellaris clownfish, Amphiprion ocellaris, 6 cm`."""
    parts = [
        f"{meaning.count or ''} {_called(meaning.name)}".strip(),
        meaning.name,
        meaning.sex if meaning.sex and meaning.sex != "unknown" else "",
        f"{meaning.length_cm:g} cm" if meaning.length_cm else "",
    ]
    return ", ".join(part for part in parts if part)


def choices_of(meaning: Meaning) -> tuple[Choice, ...]:
    """Return the animals that words may mean, each with what to write in their place."""
    if meaning.verdict is Verdict.NOT_A_FISH:
        return ()
    return tuple(_choice(meaning, candidate) for candidate in meaning.candidates)


def _choice(meaning: Meaning, candidate: Candidate) -> Choice:
    name = candidate.scientific_name
    return Choice(name, _called(name), candidate.mark, line_of(meaning, name))


def line_of(meaning: Meaning, name: str, length_cm: float | None = None, sex: str | None = None) -> str:
    """Return an entry that means one animal, with the count, sex and length that were said.

    Parameters
    ----------
    meaning
        What was said.
    name
        The scientific name of the animal that is meant.
    length_cm, sex
        What was said wrongly, or not at all. [cm]
    """
    length = length_cm or meaning.length_cm
    worded = sex or meaning.sex or ""
    parts = (
        "" if worded == "pair" else str(meaning.count or ""),
        "pair" if worded == "pair" else "",
        name,
        "" if worded in {"pair", "unknown"} else worded,
        f"{length:.3g} cm" if length else "",
    )
    return " ".join(part for part in parts if part)


def _called(scientific_name: str) -> str:
    known = load_facts().find(scientific_name, "common_name")
    return str(known.fact.value) if known else scientific_name


def _refused(heard: Heard, number: int) -> InputError | None:
    """Return why an entry whose animal is clear cannot be all the same."""
    if heard.verdict != Verdict.ONE:
        return None
    try:
        meant(heard.said, "the newcomer" if heard.field.startswith("wanted") else f"resident {number + 1}")
    except InputError as fault:
        return fault
    except UnknownTaxonError:
        return None
    return None


def _told(spoken: Spoken) -> tuple[Told, list[InputError]]:
    """Return the facts that can be read, and what is wrong with the others."""
    faults: list[InputError] = []
    length_cm, volume_l = _read(spoken.tank, tank_told, faults) or (None, None)
    told = Told(
        length_cm=length_cm,
        volume_l=volume_l,
        residents=tuple(said.words for said in spoken.residents),
        rock=_read(spoken.rock, _rock, faults),
        feeds_per_day=_read(spoken.feeds, _feeds, faults),
        since_days=_read(spoken.since, _since, faults),
        lid=_COVERS.get(spoken.cover.strip().lower()),
    )
    try:
        scene_of(told, (), ())
    except InputError as fault:
        faults.append(fault)
        told = replace(told, length_cm=None, volume_l=None)
    return told, faults


def _read(said: str, reader: Callable[[str], T], faults: list[InputError]) -> T | None:
    if not said.strip():
        return None
    try:
        return reader(said.strip())
    except InputError as fault:
        faults.append(fault)
        return None


def tank_told(said: str) -> tuple[float | None, float | None]:
    """Return length and volume of a tank from a few words about it.

    Parameters
    ----------
    said
        Such as `120 cm`, `48 in`, `240 L`, `120 cm, 240 L` or `120 x 50 x 50 cm`.

    Returns
    -------
    tuple
        Length [cm] and volume [L], None for what was not told. Of three sides the volume is told.

    Raises
    ------
    InputError
        If it is neither.

    Examples
    --------
    >>> tank_told("120 cm, 240 L")
    (120.0, 240.0)
    >>> tank_told("120 x 50 x 40 cm")
    (120.0, 240.0)
    """
    length_cm: float | None = None
    volume_l: float | None = None
    for part in re.split(r"\s*[;,]\s+|\s+and\s+|\s*/\s*", said):
        sides = _SIDES.split(part)
        if len(sides) == _ALL_SIDES:
            length_cm, volume_l = _of_sides(sides)
            continue
        length, volume = _length_or_volume(part)
        length_cm, volume_l = length or length_cm, volume or volume_l
    return length_cm, volume_l


def _of_sides(sides: list[str]) -> tuple[float, float]:
    """Return length and volume of a box; a unit on the last side holds for all."""
    unit = re.sub(r"[\d.,\s]+", "", sides[-1])
    whole = [side if re.search(r"[^\d.,\s]", side) else f"{side} {unit}" for side in sides]
    length, width, height = (units.length_cm(side, "the tank") for side in whole)
    return length, round(length * width * height / 1000.0, 1)


def _length_or_volume(part: str) -> tuple[float | None, float | None]:
    try:
        return units.length_cm(part, "the tank"), None
    except InputError:
        pass
    try:
        return None, units.volume_l(part, "the tank")
    except InputError:
        raise InputError(
            field="the tank",
            given=shown(part),
            limit="it is neither a length nor a volume",
            remedy="Write 120 cm, 4 ft, 240 L or 75 gal.",
        ) from None


def _rock(said: str) -> str:
    words = [word.value for word in RockWord]
    if said.lower() not in words:
        raise InputError(
            field="rock",
            given=shown(said),
            limit="it is none of the words known here",
            remedy=f"Write one of: {', '.join(words)}.",
        )
    return said.lower()


def _feeds(said: str) -> float:
    try:
        return float(said.replace(",", "."))
    except ValueError:
        raise InputError(
            field="feeds", given=shown(said), limit="it must be a number", remedy="Write 2."
        ) from None


def _since(said: str) -> float:
    return units.duration_days(said, "since", zero=True)


_Lines = Mapping[str, tuple[tuple[Said, Meaning], ...]]


def _taps(doubt: Doubt, lines: _Lines) -> tuple[Tap, ...]:
    """Return what may be tapped in place of an assumption; an empty value only leads to the field."""
    fact, _, number = doubt.fact.partition(" ")
    if fact in lines:
        return _animal_taps(doubt, *lines[fact][int(number)], _FIELDS[fact])
    listed: dict[str, tuple[Tap, ...]] = {
        "length_cm": tuple(Tap("tank", f"{n} cm", f"{n} cm") for n in _LENGTHS_CM),
        "volume_l": (Tap("tank", "", "tell the litres"),),
        "rock": tuple(Tap("rock", w.value, w.value) for w in RockWord if w.value != doubt.taken),
        "feeds_per_day": tuple(Tap("feeds", str(n), f"{n} a day") for n in (1, 3, 4)),
        "lid": (Tap("cover", "lid", "it has one"), Tap("cover", "open", "open top")),
        "since_days": tuple(Tap("since", value, words) for words, value in _SINCE),
    }
    return listed.get(fact, ())


def _animal_taps(doubt: Doubt, said: Said, meaning: Meaning, side: str) -> tuple[Tap, ...]:
    field = f"{side} {said.line}"
    if doubt.what.startswith("sex"):
        paired = line_of(meaning, meaning.name, sex="pair")
        return (Tap(field, said.instead(paired), "a settled pair"),)
    taken_cm = units.length_cm(doubt.taken)
    adult_cm = load_facts().species(meaning.name).number("adult_length_cm")
    digits = 0 if taken_cm > _SMALL_CM else 1
    lengths = dict.fromkeys(min(round(factor * taken_cm, digits), adult_cm) for factor in _SIZES)
    told = [(cm, said.instead(f"{meaning.said} {cm:g} cm")) for cm in lengths if cm != taken_cm]
    return tuple(Tap(field, line, f"{cm:g} cm") for cm, line in told)
