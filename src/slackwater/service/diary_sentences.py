"""Entries of a diary as short sentences, for lists, pages and messages."""

from __future__ import annotations

from collections.abc import Iterable

from slackwater.society.diary import (
    Bearing,
    Breathing,
    Brood,
    Chases,
    Death,
    Divider,
    Eating,
    Entry,
    Feed,
    HeadCount,
    KeptApart,
    Length,
    Mark,
    Missing,
    Release,
    RemedyBegun,
    RemedyEnded,
    Removal,
    RockMoved,
    Seen,
    Sighted,
    Watch,
    WaterTest,
)
from slackwater.store.plain import plain_of

_HOW = {"display": "displays at", "chase": "chases", "bite": "bites", "locked": "locks jaws with"}
_WATER = (
    ("temperature_c", "", " C"),
    ("salinity", "salinity ", ""),
    ("ph", "pH ", ""),
    ("tan_mg_l", "ammonia ", " mg N/L"),
    ("nitrite_mg_l", "nitrite ", " mg N/L"),
    ("nitrate_mg_l", "nitrate ", " mg N/L"),
    ("oxygen_mg_l", "oxygen ", " mg/L"),
    ("dkh", "", " dKH"),
)


def plain_entry(entry: Entry) -> dict[str, object]:
    """Return an entry as plain values for JSON, with its kind and its sentence."""
    return {
        "number": entry.number,
        "at": entry.at.isoformat(),
        "by": entry.by,
        "kind": entry.seen.kind,
        "sentence": sentence(entry.seen),
        "seen": plain_of(entry.seen),
        "note": entry.note,
        "photographs": [plain_of(one) for one in entry.photographs],
        "corrects": entry.corrects,
        "written_at": entry.written_at.isoformat() if entry.written_at else None,
    }


def sentence(seen: Seen) -> str:
    """Return what was seen, in a few words."""
    match seen:
        case Watch() | HeadCount():
            return _tally(seen)
        case WaterTest() | Feed() | RockMoved() | Divider():
            return _tank(seen)
        case RemedyBegun() | RemedyEnded():
            return _remedy(seen)
        case Death() | Missing() | Sighted() | Release() | Removal() | KeptApart():
            return _coming_and_going(seen)
    return _animal(seen)


def _tally(seen: Watch | HeadCount) -> str:
    if isinstance(seen, HeadCount):
        missing = f"; not seen: {', '.join(seen.missing)}" if seen.missing else ""
        return f"{seen.count} counted{missing}"
    told = ", ".join(chases_sentence(one) for one in seen.chases)
    if seen.watched_min is None:
        return f"{told} (in passing)"
    return f"{told or 'quiet'} ({round(seen.watched_min, 1):g} min watched)"


def chases_sentence(one: Chases) -> str:
    """Return who turned on whom, and how often."""
    times = "" if one.count == 1 else f" {one.count} times"
    return f"{one.who} {_HOW[one.how.value]} {one.whom}{times}"


def _tank(seen: WaterTest | Feed | RockMoved | Divider) -> str:
    match seen:
        case WaterTest():
            told = ((getattr(seen, name), before, after) for name, before, after in _WATER)
            return "water: " + ", ".join(f"{b}{v:.4g}{a}" for v, b, a in told if v is not None)
        case Feed():
            grams = "" if seen.food_g is None else f", {seen.food_g:.3g} g"
            places = "" if seen.stations == 1 else f" at {seen.stations} stations"
            return f"fed{_after(seen.food)}{grams}{places}"
        case RockMoved():
            return f"rock moved{_after(seen.what, ': ')}"
    if not seen.begins:
        return "divider out"
    sides = f": {', '.join(seen.left)} | {', '.join(seen.right)}" if seen.left or seen.right else ""
    return f"divider in{sides}"


def _remedy(seen: RemedyBegun | RemedyEnded) -> str:
    if isinstance(seen, RemedyEnded):
        return f"remedy of entry {seen.begun} ended: {seen.result.value}"
    days = "" if seen.trial_days is None else f", for {seen.trial_days:.3g} days"
    against = f" against {seen.pattern}" if seen.pattern else ""
    return f"remedy begun: {seen.rung}{_for(seen.animals)}{against}{days}"


def _coming_and_going(seen: Death | Missing | Sighted | Release | Removal | KeptApart) -> str:
    match seen:
        case Death():
            return f"{_many(seen.animal, seen.count)} found dead"
        case Missing():
            return f"{seen.animal} looked for and not seen"
        case Sighted():
            return f"{seen.animal} seen{_after(seen.where)}"
        case Release():
            size = "" if seen.length_cm is None else f", {seen.length_cm:.3g} cm"
            return f"{_many(seen.animal, seen.count)} released{size}"
        case Removal():
            return f"{_many(seen.animal, seen.count)} taken out{_after(seen.where_to, ': ')}"
    return f"{seen.animal} {'into' if seen.begins else 'back from'} the {seen.place.value}"


def _animal(seen: Seen) -> str:
    match seen:
        case Eating():
            return f"{seen.animal} {'eats' if seen.ate else 'refuses food'}{_after(seen.food, ': ')}"
        case Breathing():
            return f"{seen.animal} breathes {seen.breaths_per_min:.3g} times a minute"
        case Mark():
            return f"{seen.animal}, {seen.part.value}: {seen.sign.value}"
        case Bearing():
            return f"{seen.animal}: {seen.manner.value}"
        case Brood():
            return f"{', '.join(seen.animals)}: {seen.sign.value}"
    return f"{seen.animal} is {seen.length_cm:.3g} cm long" if isinstance(seen, Length) else seen.kind


def _many(animal: str, count: int) -> str:
    return animal if count == 1 else f"{count} {animal}"


def _after(text: str, joint: str = " ") -> str:
    return f"{joint}{text}" if text else ""


def _for(animals: Iterable[str]) -> str:
    named = ", ".join(animals)
    return f" for {named}" if named else ""
