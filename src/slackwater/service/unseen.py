"""Who in a kept tank has not been seen for longer than its kind hides, and where to look for it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from slackwater.plan.question import Question, Wanted
from slackwater.plan.tallied import roll
from slackwater.rules import load_rules
from slackwater.service.diary import standing_entries
from slackwater.service.diary_checks import matched
from slackwater.service.planning import question_of
from slackwater.service.tankfile import load
from slackwater.service.tanks import open_tank
from slackwater.society.company import Individual
from slackwater.society.diary import Death, Entry, Release, Removal
from slackwater.society.predation import eaten_per_day, fits
from slackwater.society.sightings import (
    SearchPlace,
    Surroundings,
    Unseen,
    last_seen,
    search_list,
    unseen,
)
from slackwater.store import Store

CAUTIONS = (
    "Mains off before reaching behind or under the tank; look under furniture with a lamp, not a hand.",
    "Spined animals and urchins lie in rubble: a tool, not bare hands.",
    "Do not take the tank down for an animal that may be asleep.",
    "Test ammonia daily until it is found; a large body in the rock spoils the water.",
)


@dataclass(frozen=True)
class UnseenAnswer:
    """Who is unseen: those whose absence is news, those still within their habit, and never seen."""

    news: tuple[Unseen, ...]
    ordinary: tuple[Unseen, ...]
    never_seen: tuple[str, ...]


@dataclass(frozen=True)
class SearchAnswer:
    """Where to look for one animal, and until when it is no cause for alarm."""

    label: str
    sentence: str
    places: tuple[SearchPlace, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class _Home:
    """A tank as the question of the planner has it, its diary, and who was seen when."""

    question: Question
    lid: bool | None
    roll: Mapping[str, Wanted]
    entries: tuple[Entry, ...]
    seen: Mapping[str, dt.datetime]
    since: Mapping[str, dt.datetime]


def unseen_animals(store: Store, said: str, now: dt.datetime) -> UnseenAnswer:
    """Return who is unseen by now; whose absence is ordinary for its kind is no news.

    Raises
    ------
    InputError, InputErrors
        If no tank goes by the name, or an animal of its file is not understood.
    """
    home = _home(store, said, now)
    found = _found(home, now)
    gone = _gone(home)
    never = tuple(label for label in home.roll if label not in home.seen and label not in gone)
    ordinary = tuple(one for one in found if not one.is_news)
    return UnseenAnswer(tuple(one for one in found if one.is_news), ordinary, never)


def search_for(store: Store, said: str, animal: str, now: dt.datetime) -> SearchAnswer:
    """Return where to look for a missing animal, the likeliest place first.

    Raises
    ------
    InputError, InputErrors
        As for :func:`unseen_animals`, or if nobody in the tank goes by the label.
    """
    home = _home(store, said, now)
    label = matched(animal, home.roll)
    wanted = home.roll[label]
    around = Surroundings(home.lid, tuple(_mouths(home, label)))
    places = search_list(wanted.species, around, load_rules())
    of_it = next((one for one in _found(home, now) if one.label == label), None)
    return SearchAnswer(label, _sentence(label, of_it), places, CAUTIONS)


def _home(store: Store, said: str, now: dt.datetime) -> _Home:
    kept = open_tank(store, said)
    tank_file = load(f"{kept.revision.text}\n", nobody_ok=True)
    question = question_of(tank_file.model_copy(update={"stock": None}), now.date(), kept.tank.name)
    animals = roll(question)
    entries = standing_entries(store, said)
    since = {
        label: dt.datetime.combine(one.since, dt.time(), dt.UTC)
        for label, one in animals.items()
        if one.since
    }
    since |= {e.seen.animal: e.at for e in entries if isinstance(e.seen, Release)}
    return _Home(question, tank_file.tank.lid, animals, entries, last_seen(entries, list(animals)), since)


def _found(home: _Home, now: dt.datetime) -> tuple[Unseen, ...]:
    species = {label: wanted.species for label, wanted in home.roll.items()}
    return unseen(home.seen, species, home.since, now, load_rules())


def _gone(home: _Home) -> set[str]:
    """Return the labels that died or left by the diary."""
    ends = {entry.seen.animal for entry in home.entries if isinstance(entry.seen, Death | Removal)}
    return ends - set(home.seen)


def _mouths(home: _Home, label: str) -> list[tuple[str, float]]:
    """Return who might have eaten an animal, and how surely it fits that mouth."""
    rules, prey = load_rules(), _one(home.roll[label])
    others = {other: _one(wanted) for other, wanted in home.roll.items() if other != label}
    eaters = {o: a for o, a in others.items() if eaten_per_day(a, prey, 0.0, rules) > 0.0}
    return [(other, fits(animal, prey, 0.0, rules)) for other, animal in eaters.items()]


def _one(wanted: Wanted) -> Individual:
    return Individual(0, 0, wanted.party(0.0), 0)


def _sentence(label: str, one: Unseen | None) -> str:
    if one is None:
        return f"{label} was never seen by the diary; write down when it was."
    habit = {
        "usual": "swims in the open by day",
        "sand": "sleeps in the sand",
        "burrow": "lives in a burrow",
        "eel": "is an eel",
        "cave": "is shy and lives in caves",
        "night": "comes out at night",
    }[one.habit.value]
    days = f"{label} was last seen {one.days:.1f} days ago; it {habit}"
    if not one.is_news:
        return f"{days}, and up to {one.news_days:g} days unseen are usual. Wait and watch at feeding."
    if one.days < one.lost_days:
        return f"{days}: search now, and presume it lost from day {one.lost_days:g} on."
    return f"{days}: presume it lost, and test ammonia."
