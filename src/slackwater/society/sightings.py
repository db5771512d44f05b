"""Who was last seen when, whose absence is news, and where to look for a missing animal.

A wrasse that sleeps in the sand is not missed for days; a tang is missed on the next. Thresholds
and weights are rows of `rules.csv`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from slackwater.rules import Rules
from slackwater.society.diary import (
    Bearing,
    Breathing,
    Brood,
    Death,
    Eating,
    Entry,
    HeadCount,
    Length,
    Mark,
    Missing,
    Release,
    Removal,
    Sighted,
    Watch,
)
from slackwater.taxa.facts import Species

_SEEN_BY = (Eating, Breathing, Mark, Bearing, Brood, Length, Sighted, Release)
_SHY = frozenset({"timid", "shy"})
_DAY_S = 86_400.0


class Habit(StrEnum):
    """How an animal comes to be unseen."""

    USUAL = "usual"
    SAND = "sand"
    BURROW = "burrow"
    EEL = "eel"
    CAVE = "cave"
    NIGHT = "night"


@dataclass(frozen=True)
class Unseen:
    """An animal that is not seen, and what that means of its kind.

    `days` since it was last seen; it is news from `news_days` on and presumed lost from
    `lost_days` on.
    """

    label: str
    last_seen: dt.datetime
    days: float
    habit: Habit
    news_days: float
    lost_days: float

    @property
    def is_news(self) -> bool:
        """Whether its absence is out of the ordinary."""
        return self.days >= self.news_days


@dataclass(frozen=True)
class SearchPlace:
    """A place to look, how likely against the others, and why there."""

    where: str
    weight: float
    why: str


@dataclass(frozen=True)
class Surroundings:
    """What decides where a missing animal can be: the lid, and mouths with how surely it fits each."""

    lid: bool | None = None
    mouths: tuple[tuple[str, float], ...] = ()


def habit_of(species: Species) -> Habit:
    """Return how a species comes to be unseen, by the first of its facts that tells."""
    if species.text("form") == "eel":
        return Habit.EEL
    if species.text("sleeps") == "sand" or species.text("escape") == "buries":
        return Habit.SAND
    if "burrow" in {species.text("home_kind"), species.text("hole_type")}:
        return Habit.BURROW
    if species.text("activity") in {"night", "dusk"}:
        return Habit.NIGHT
    if species.text("home_kind") in {"cave", "hole"} and species.text("boldness") in _SHY:
        return Habit.CAVE
    return Habit.USUAL


def last_seen(entries: Iterable[Entry], home: Sequence[str]) -> dict[str, dt.datetime]:
    """Return when each animal was last seen.

    Parameters
    ----------
    entries
        What holds of the diary, in any order.
    home
        The labels of all who live in the tank.

    Notes
    -----
    A count shows everyone that it does not name as missing, if it comes to as many as are then
    left; a count that is short and names nobody shows no one in particular. What was said of a
    group shows none of its members. A death or removal ends the matter: the label is left out.
    """
    seen: dict[str, dt.datetime] = {}
    gone: set[str] = set()
    for entry in sorted(entries, key=lambda e: (e.at, e.number)):
        if isinstance(entry.seen, Death | Removal):
            gone.add(entry.seen.animal)
        if isinstance(entry.seen, Release):
            gone.discard(entry.seen.animal)
        for label in _shown(entry, [one for one in home if one not in gone]):
            seen[label] = entry.at
    return {label: at for label, at in seen.items() if label not in gone}


def unseen(
    seen: Mapping[str, dt.datetime],
    species: Mapping[str, Species],
    since: Mapping[str, dt.datetime],
    now: dt.datetime,
    rules: Rules,
) -> tuple[Unseen, ...]:
    """Return everyone with the days since it was seen, those longest past their threshold first.

    Parameters
    ----------
    seen
        When each was last seen, as from `last_seen`; who was never seen is left out.
    species
        The species of each label; without one the usual threshold holds.
    since
        When each was released, where that is known.
    now
        The present moment.
    rules
        The thresholds.
    """
    found = [
        _unseen(label, at, species.get(label), since.get(label), now, rules) for label, at in seen.items()
    ]
    return tuple(sorted(found, key=lambda one: (one.news_days - one.days, one.label)))


def search_list(species: Species, around: Surroundings, rules: Rules) -> tuple[SearchPlace, ...]:
    """Return where to look for a missing animal, the likeliest place first, taking rock apart last."""
    habit = habit_of(species)
    places = [
        _hiding_place(habit, rules),
        _floor(species, habit, around, rules),
        _overflow(habit, rules),
        *_mouths(around, rules),
        SearchPlace(
            "behind pumps, grids and heaters", rules["search.pump"], "a weak or slim animal is held there"
        ),
    ]
    ranked = sorted(places, key=lambda place: -place.weight)
    last = "test ammonia first; take rock apart only when all else was searched"
    return (*ranked, SearchPlace("dead or stuck in the rock", rules["search.rock"], last))


def _shown(entry: Entry, present: Sequence[str]) -> Iterable[str]:
    """Return whom an entry shows to be alive and there."""
    what = entry.seen
    if isinstance(what, HeadCount):
        there = [label for label in present if label not in what.missing]
        return there if what.count >= len(there) else ()
    if isinstance(what, Watch):
        return (label for label in entry.animals if label in present)
    if isinstance(what, _SEEN_BY) and not isinstance(what, Missing):
        return (label for label in entry.animals if label in present)
    return ()


def _unseen(
    label: str,
    at: dt.datetime,
    species: Species | None,
    since: dt.datetime | None,
    now: dt.datetime,
    rules: Rules,
) -> Unseen:
    habit = habit_of(species) if species else Habit.USUAL
    is_new = since is not None and now - since < dt.timedelta(days=rules["unseen_new_days"])
    news = rules.words("unseen_new" if is_new else "unseen")[habit.value]
    days = (now - at).total_seconds() / _DAY_S
    return Unseen(label, at, days, habit, news, rules.words("lost")[habit.value])


_HIDING = {
    Habit.USUAL: ("asleep or pressed into a crevice", "by lamp an hour after the lights are out"),
    Habit.SAND: ("in the sand", "it lies there for days: do not dig"),
    Habit.BURROW: ("in its burrow or a new one", "watch the openings at feeding; do not dig"),
    Habit.EEL: ("between and under the stones", "by red lamp at night, with food on a tool, never by hand"),
    Habit.CAVE: ("deep in its cave", "by red lamp at night"),
    Habit.NIGHT: ("in the dark part of the rock", "by red lamp an hour after the lights are out"),
}


def _hiding_place(habit: Habit, rules: Rules) -> SearchPlace:
    where, why = _HIDING[habit]
    return SearchPlace(where, rules["search.home"], why)


def _floor(species: Species, habit: Habit, around: Surroundings, rules: Rules) -> SearchPlace:
    jumps = "often" if habit is Habit.EEL else species.text("jumps") or "some"
    weight = rules.words("search_jump")[jumps] * (rules["search.lid"] if around.lid else 1.0)
    why = "an eel leaves by any gap" if habit is Habit.EEL else f"its kind jumps: {jumps}"
    lid = ", and the tank has a lid" if around.lid else ""
    where = "on the floor, up to 2 m away and behind the cupboard (mains off before reaching there)"
    return SearchPlace(where, weight, f"{why}{lid}")


def _overflow(habit: Habit, rules: Rules) -> SearchPlace:
    weight = rules["search.eel" if habit is Habit.EEL else "search.overflow"]
    return SearchPlace("in the overflow, the sump and the filter sock", weight, "water leads there")


def _mouths(around: Surroundings, rules: Rules) -> Iterable[SearchPlace]:
    for mouth, fits in around.mouths:
        weight = rules["search.mouth"] * fits
        if weight >= rules["search.pump"]:
            yield SearchPlace(f"in {mouth}: look at its belly", weight, "it fits that mouth")
