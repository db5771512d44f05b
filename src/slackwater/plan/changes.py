"""Single changes to a plan: what to do, what is given up, and what it costs the keeper in evenings."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import partial
from typing import TypedDict, Unpack

from slackwater.plan.course import DeedOn
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import Edit
from slackwater.rules import load_rules
from slackwater.society.company import Deed, Place, Sex
from slackwater.society.stations import placed
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import Species

TIMEOUT_DAYS = 14.0


class Kind(StrEnum):
    """What kind of thing is changed; answers that differ in kind are different answers."""

    ORDER = "order"
    SIZE = "size"
    SEX = "sex"
    NUMBER = "number"
    SWAP = "another animal"
    LAYOUT = "rock"
    ROCK_MOVED = "rock moved"
    FEEDS = "feeds"
    STATIONS = "stations"
    LID = "lid"
    BOX = "box"
    WAIT = "wait"
    TIMEOUT = "timeout"
    DIVIDER = "divider"
    SUMP = "sump"
    TANK = "longer tank"
    LEAVE_OUT = "leave out"
    REHOME = "rehome"


_GONE = frozenset({Kind.LEAVE_OUT, Kind.REHOME, Kind.SUMP})
_ENDS_THE_LINE = _GONE | {Kind.SWAP}


@dataclass(frozen=True)
class Change:
    """One thing that can be changed.

    `whom` is the key of the line of animals that it concerns, empty for the tank; `effort` what
    it costs the keeper [evening]; `edit` makes the changed question.
    """

    kind: Kind
    whom: str
    words: str
    gives_up: str
    effort: float
    edit: Edit = field(compare=False, repr=False)

    def goes_with(self, other: Change) -> bool:
        """Say whether both can be done: no thing is changed twice, and nobody who is gone."""
        if (self.kind, self.whom) == (other.kind, other.whom):
            return False
        if not self.whom or self.whom != other.whom:
            return True
        kinds = {self.kind, other.kind}
        if len(kinds & _ENDS_THE_LINE) > 1 or kinds == {Kind.SEX, Kind.NUMBER}:
            return False
        return not (kinds & _GONE or (Kind.SWAP in kinds and kinds & {Kind.SIZE, Kind.SEX, Kind.NUMBER}))


def done(question: Question, changes: tuple[Change, ...]) -> Question:
    """Return the question with some changes made, one after the other."""
    for change in changes:
        question = change.edit(question)
    return question


class LineEdit(TypedDict, total=False):
    """What may be changed of a line of animals."""

    species: Species
    length_cm: float
    count: int
    sex: Sex
    box_days: float
    since: dt.date


def line(key: str, **values: Unpack[LineEdit]) -> Edit:
    """Return the change of some values of one line of animals."""
    return partial(_line, key=key, change=lambda wanted: replace(wanted, **values))


def _line(question: Question, key: str, change: Callable[[Wanted], Wanted]) -> Question:
    def changed(lines: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
        return tuple(change(w) if w.key == key else w for w in lines)

    return replace(question, residents=changed(question.residents), wishes=changed(question.wishes))


def swap(key: str, species: Species) -> Edit:
    """Return the change to another species, of the usual size when sold, in the place of a wish."""
    size_cm = min(species.number("sale_length_cm"), species.number("adult_length_cm"))

    def other(wanted: Wanted) -> Wanted:
        return replace(
            wanted,
            species=species,
            length_cm=size_cm,
            sex=Sex.UNKNOWN,
            own_temper=1.0,
            own_sigma=None,
            seen="",
        )

    return partial(_line, key=key, change=other)


def out(key: str) -> Edit:
    """Return the change that takes one line of animals out of the company."""

    def edit(question: Question) -> Question:
        return replace(
            question,
            residents=tuple(w for w in question.residents if w.key != key),
            wishes=tuple(w for w in question.wishes if w.key != key),
        )

    return edit


def in_the_sump(key: str) -> Edit:
    """Return the change that one line of animals lives in the sump."""
    return partial(_line, key=key, change=lambda wanted: replace(wanted, place=Place.SUMP, side=None))


def parted(at_cm: float, right: frozenset[str]) -> Edit:
    """Return the change that an opaque sheet parts the tank, some right of it and the rest left. [cm]"""

    def sided(lines: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
        return tuple(
            replace(w, side="right" if w.key in right else "left") if w.place is Place.TANK else w
            for w in lines
        )

    def edit(question: Question) -> Question:
        return replace(
            question,
            residents=sided(question.residents),
            wishes=sided(question.wishes),
            divider_cm=at_cm,
            divider_clear=False,
            keeping=placed(question.keeping, question.rockworks[0], at_cm, load_rules()),
        )

    return edit


def order(steps: tuple[tuple[str, ...], ...]) -> Edit:
    """Return the change to another order of release."""
    return lambda question: replace(question, course=replace(question.course, steps=steps))


def spacing(days: float) -> Edit:
    """Return the change to other days between two releases. [d]"""
    return lambda question: replace(question, course=replace(question.course, spacing_days=days))


def deeds(*added: DeedOn) -> Edit:
    """Return the change that something is done on the day of a release."""

    def edit(question: Question) -> Question:
        course = replace(question.course, deeds=(*question.course.deeds, *added))
        return replace(question, course=course)

    return edit


def rock_moved(key: str) -> Edit:
    """Return the change that the rock is moved on the day on which a wish is let go."""
    return deeds(DeedOn(key, Deed.RESCAPE))


def timeout(species: str, first: str, last: str) -> Edit:
    """Return the change that residents are kept out of sight while wishes are let go, rock moved too.

    Parameters
    ----------
    species
        Scientific name of the residents.
    first, last
        The first and the last of the wishes that are let go meanwhile, by key.
    """
    away = DeedOn(first, Deed.TAKE_OUT, species, TIMEOUT_DAYS, until=last)
    return deeds(away, DeedOn(first, Deed.RESCAPE))


def fed(feeds_per_day: float | None = None, stations: int | None = None) -> Edit:
    """Return the change to other feeds a day, or other places for food."""

    def edit(question: Question) -> Question:
        old = question.keeping
        new = replace(
            old, feeds_per_day=feeds_per_day or old.feeds_per_day, stations=stations or old.stations
        )
        return replace(question, keeping=new)

    return edit


def covered(question: Question) -> Question:
    """Return the question with a lid without gaps."""
    return replace(question, keeping=replace(question.keeping, lid=True))


def longer_tank(length_cm: float) -> Edit:
    """Return the change to a longer rectangular tank as wide and high; listed rock stays as it stands."""

    def edit(question: Question) -> Question:
        now = question.glass
        glass = Glass(Shape.RECTANGULAR, length_cm, now.width_cm, now.height_cm)
        longer = replace(question, glass=glass)
        return longer if question.rock_word == _LISTED else _with_rock(longer, question.rock_word, None)

    return edit


def rock(word: str, *, same_mass: bool) -> Edit:
    """Return the change to another arrangement of the rock, with the same mass or as much as is usual."""

    def edit(question: Question) -> Question:
        mass_kg = question.rockworks[0].mass_kg if same_mass else None
        return _with_rock(replace(question, rock_word=word), word, mass_kg)

    return edit


_LISTED = "as listed"


def _with_rock(question: Question, word: str, mass_kg: float | None) -> Question:
    sand_cm = question.rockworks[0].sand_cm
    variants = range(1 if word == "none" else 3)
    rocks = tuple(preset(word, question.glass, sand_cm, v, mass_kg) for v in variants)
    return replace(question, rockworks=rocks)
