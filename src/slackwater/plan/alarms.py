"""Signs that cannot wait: they override the ladder at once. Signs, never a disease."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.plan.quarrel import Quarrel
from slackwater.society.diary import (
    Bearing,
    BodyPart,
    Breathing,
    ChaseKind,
    Eating,
    Manner,
    Mark,
    Sign,
    Watch,
)

_GRAVE = frozenset({Sign.WOUND, Sign.BLOOD, Sign.TORN_TO_BASE})
_ON_AN_EYE = frozenset({Sign.SCRAPE, Sign.TORN, Sign.CLOUDY, Sign.SWOLLEN})
_HELPLESS = {
    Manner.PINNED: "is pinned",
    Manner.LYING: "lies down",
    Manner.GASPING: "gasps at the surface",
}


@dataclass(frozen=True)
class Alarm:
    """A sign that calls for acting now: whose, what was seen, and whether a veterinarian should see it."""

    animal: str
    sign: str
    veterinarian: bool


def alarms(quarrel: Quarrel) -> tuple[Alarm, ...]:
    """Return the signs on either of two that call for acting now, each once."""
    found: list[Alarm] = []
    for label in (quarrel.whom, quarrel.who):
        found += [*_marks(quarrel, label), *_bearing(quarrel, label), *_breath(quarrel, label)]
    found += [*_locked(quarrel), *_fast(quarrel)]
    return tuple(dict.fromkeys(found))


def _fresh(quarrel: Quarrel, day: float) -> bool:
    return day >= -quarrel.rules["quarrel.sign_days"]


def _marks(quarrel: Quarrel, label: str) -> list[Alarm]:
    """Return grave marks, unless a later entry says that the same place has healed."""
    last: dict[BodyPart, Mark] = {}
    for day, entry in quarrel.seen(Mark):
        if isinstance(entry.seen, Mark) and entry.seen.animal == label and _fresh(quarrel, day):
            last[entry.seen.part] = entry.seen
    return [
        Alarm(label, f"{mark.part.value}: {mark.sign.value}", veterinarian=True)
        for mark in last.values()
        if mark.sign in _GRAVE or (mark.part is BodyPart.EYE and mark.sign in _ON_AN_EYE)
    ]


def _bearing(quarrel: Quarrel, label: str) -> list[Alarm]:
    """Return how it carries itself if its last bearing is a helpless one."""
    last = [
        entry.seen.manner
        for day, entry in quarrel.seen(Bearing)
        if isinstance(entry.seen, Bearing) and entry.seen.animal == label and _fresh(quarrel, day)
    ]
    if not last or last[-1] not in _HELPLESS:
        return []
    return [Alarm(label, _HELPLESS[last[-1]], veterinarian=last[-1] is not Manner.PINNED)]


def _breath(quarrel: Quarrel, label: str) -> list[Alarm]:
    told = [
        entry.seen.breaths_per_min
        for day, entry in quarrel.seen(Breathing)
        if isinstance(entry.seen, Breathing) and entry.seen.animal == label and _fresh(quarrel, day)
    ]
    if not told or told[-1] <= quarrel.rules["quarrel.breaths_per_min"]:
        return []
    return [Alarm(label, f"{told[-1]:.0f} breaths a minute", veterinarian=True)]


def _locked(quarrel: Quarrel) -> list[Alarm]:
    two = {quarrel.who, quarrel.whom}
    fresh = (entry.seen for day, entry in quarrel.seen(Watch) if _fresh(quarrel, day))
    chases = (one for seen in fresh if isinstance(seen, Watch) for one in seen.chases)
    if any(one.how is ChaseKind.LOCKED and one.count and {one.who, one.whom} == two for one in chases):
        return [Alarm(quarrel.whom, "locked jaws", veterinarian=False)]
    return []


def _fast(quarrel: Quarrel) -> list[Alarm]:
    """Return that the victim does not eat, if it was seen to refuse and its last meal lies too far back."""
    days = fasting_days(quarrel, quarrel.whom)
    if days is None or days < longest_fast(quarrel):
        return []
    return [Alarm(quarrel.whom, f"has not eaten for {days:.0f} days", veterinarian=True)]


def fasting_days(quarrel: Quarrel, label: str) -> float | None:
    """Return the days since an animal last ate, None where nobody saw it refuse. [d]

    A meal that nobody wrote down is not a fast: it counts from the last meal known before a refusal;
    where none is known, from the release of a newcomer, else from the first refusal.
    """
    ate: float | None = None
    refused: list[float] = []
    for day, entry in quarrel.seen(Eating):
        if isinstance(entry.seen, Eating) and entry.seen.animal == label:
            if entry.seen.ate:
                ate, refused = day, []
            else:
                refused.append(day)
    if not refused:
        return None
    inside = quarrel.inside_days(label)
    new = inside is not None and inside <= quarrel.rules["quarrel.lull_days"]
    first = -inside if new and inside is not None else refused[0]
    return -(first if ate is None else ate)


def longest_fast(quarrel: Quarrel) -> float:
    """Return the days without food that a victim of this kind is left alone with. [d]"""
    sparse = quarrel.victim.species.number("feeds_needed") < 1.0
    return quarrel.rules["quarrel.fast_hunter_days" if sparse else "quarrel.fast_days"]
