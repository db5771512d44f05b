"""Why one turned on another: the evidence for and against each cause, from diary, dates and model.

Causes of the quarrel only. Signs on a body are told as signs; what ails an animal a veterinarian
finds out.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum

from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import Case
from slackwater.plan.ways import owns_rock
from slackwater.society.bites import bites_per_h
from slackwater.society.company import Individual
from slackwater.society.diary import (
    Bearing,
    Breathing,
    Brood,
    Death,
    Eating,
    Feed,
    KeptApart,
    Manner,
    Mark,
    Missing,
    Removal,
    RockMoved,
    Sign,
    Watch,
)
from slackwater.society.growth import DAYS_PER_MONTH, matures
from slackwater.society.space import room_of, shortfall


class Cause(StrEnum):
    """What may lie behind a quarrel."""

    NEWCOMER = "newcomer"
    MATURITY = "maturity"
    SPAWNING = "spawning"
    HUNGER = "hunger"
    LOST_HOLE = "lost hole"
    LOST_TOP = "lost top animal"
    WEAKNESS = "weak victim"
    REFLECTION = "reflection"
    ALIKE = "two alike"
    SMALL_TANK = "too small a tank"
    PREDATOR = "predator"
    HABIT = "bites by habit"


class Strength(StrEnum):
    """How much a piece of evidence weighs."""

    STRONG = "strong"
    FAIR = "fair"
    SLIGHT = "slight"


@dataclass(frozen=True)
class Evidence:
    """One thing that speaks for a cause, or against it."""

    text: str
    strength: Strength
    speaks_for: bool = True


@dataclass(frozen=True)
class Finding:
    """One cause: its weight, the word for it, what speaks for and against it, and what would tell."""

    cause: Cause
    weight: float
    word: str
    evidence: tuple[Evidence, ...]
    ask: str


def findings(quarrel: Quarrel, case: Case) -> tuple[Finding, ...]:
    """Return every cause with its evidence, the weightiest first.

    Parameters
    ----------
    quarrel
        The quarrel and its diary.
    case
        The same, put to the model.

    Notes
    -----
    Weights add up like ln odds: a prior of the cause, and each piece of evidence by its strength
    (`evidence.*` and `cause_prior.*`, assumed).
    """
    scene = _Scene(quarrel, case)
    weights, priors = quarrel.rules.words("evidence"), quarrel.rules.words("cause_prior")
    found = []
    for cause in Cause:
        told = tuple(_SOUGHT[cause](scene))
        total = sum(weights[e.strength.value] * (1.0 if e.speaks_for else -1.0) for e in told)
        weight = priors[cause.value.replace(" ", "_")] + total
        found.append(Finding(cause, weight, _word(weight, quarrel), told, _ASK[cause]))
    order = list(Cause)
    return tuple(sorted(found, key=lambda f: (-f.weight, order.index(f.cause))))


def _word(weight: float, quarrel: Quarrel) -> str:
    if weight >= quarrel.rules["evidence_likely"]:
        return "likely"
    return "possible" if weight >= quarrel.rules["evidence_possible"] else "unlikely"


@dataclass(frozen=True)
class _Scene:
    quarrel: Quarrel
    case: Case

    @property
    def who(self) -> Individual:
        return self.case.attacker

    @property
    def whom(self) -> Individual:
        return self.case.victim

    @property
    def names(self) -> tuple[str, str]:
        return self.quarrel.who, self.quarrel.whom

    def before(self, day: float, days: float) -> bool:
        """Say whether a day lies up to so many days before the quarrel began, or in it. [d]"""
        return -days <= day - self.quarrel.began <= 1.0

    def when(self, day: float) -> str:
        gap = round(self.quarrel.began - day)
        if gap < 0:
            return "since it began"
        return "on the day it began" if gap == 0 else f"{gap} {'day' if gap == 1 else 'days'} before it began"


def _for(text: str, strength: Strength) -> Evidence:
    return Evidence(text, strength)


def _against(text: str, strength: Strength) -> Evidence:
    return Evidence(text, strength, speaks_for=False)


_FRESH, _RECENT, _OLD = 14.0, 30.0, 60.0
_A_SEASON = 3.0
_YEARS_ARE_MEANT = 2
_DAYS_PER_YEAR = 365


def _newcomer(scene: _Scene) -> Iterable[Evidence]:
    told = [(scene.quarrel.inside_days(name), name) for name in (scene.names[1], scene.names[0])]
    known = [(days, name) for days, name in told if days is not None]
    if not known:
        return
    days, name = min(known)
    had = days + scene.quarrel.began
    had = round(max(had, 0.0))
    there = f"had been in the tank for {_for_how_long(had)} when it began"
    if not had:
        there = "was let go on the day on which it began"
    if had <= _FRESH:
        yield _for(f"{name} {there}", Strength.STRONG)
    elif had <= _RECENT:
        yield _for(f"{name} {there}", Strength.SLIGHT)
    elif had > _OLD:
        yield _against(f"both {there}", Strength.STRONG)


def _for_how_long(days: int) -> str:
    if days > _YEARS_ARE_MEANT * _DAYS_PER_YEAR:
        return "years"
    return f"{days} {'day' if days == 1 else 'days'}"


def _maturity(scene: _Scene) -> Iterable[Evidence]:
    window, name = matures(scene.who), scene.names[0]
    months = max(scene.quarrel.began - scene.who.party.day, 0.0) / DAYS_PER_MONTH
    first, last = window.first - months, window.last - months
    if first <= 1.0 and last >= 0.0:
        yield _for(f"by its length {name} matures about now", Strength.FAIR)
    elif first > _A_SEASON:
        yield _against(f"by its length {name} is still months from maturity", Strength.FAIR)
    elif last < 0.0:
        yield _against(f"{name} has long been mature", Strength.SLIGHT)
    if scene.who.species.name == scene.whom.species.name:
        yield _for("both are of one kind", Strength.SLIGHT)
    else:
        yield _against("they are of different kinds", Strength.SLIGHT)


def _spawning(scene: _Scene) -> Iterable[Evidence]:
    name = scene.names[0]
    seen = [
        (day, e.seen)
        for day, e in scene.quarrel.seen(Brood)
        if isinstance(e.seen, Brood) and name in e.seen.animals
    ]
    near = [(day, brood) for day, brood in seen if scene.before(day, _FRESH)]
    if near:
        day, brood = near[-1]
        yield _for(f"{name}: {brood.sign.value}, seen {scene.when(day)}", Strength.STRONG)
    kind = scene.who.species.name
    mate = any(a.species.name == kind and a.index != scene.case.who for a in scene.case.situation.animals)
    if scene.who.species.word("breeding_guard") == "none":
        yield _against(f"{name} guards no nest and no host", Strength.FAIR)
    elif mate:
        yield _for(f"{name} has one of its kind there and guards its brood", Strength.SLIGHT)
    else:
        yield _against(f"{name} has no mate there", Strength.STRONG)


_AFTER_FEED_DAYS = 0.5 / 24.0
_TWICE, _ENOUGH_H = 2.0, 0.3


def _hunger(scene: _Scene) -> Iterable[Evidence]:
    needs = scene.who.species.number("feeds_needed")
    feeds = scene.case.situation.keeping.feeds_per_day
    name = scene.names[0]
    if feeds < needs:
        yield _for(f"{name} should be fed {needs:g} times a day and is fed {feeds:g} times", Strength.FAIR)
    else:
        yield _against(f"{feeds:g} feeds a day are enough for {name}", Strength.SLIGHT)
    given = [day for day, _ in scene.quarrel.seen(Feed)]
    near, far = _rates(scene, given)
    if near is not None and far is not None:
        if near > _TWICE * max(far, 1.0):
            yield _for("most chases fall within half an hour of a feed", Strength.FAIR)
        else:
            yield _against("chases do not crowd round the feeds", Strength.SLIGHT)
    thin = [e for _, e in scene.quarrel.seen(Mark) if isinstance(e.seen, Mark) and e.seen.sign is Sign.THIN]
    if any(isinstance(e.seen, Mark) and e.seen.animal == name for e in thin):
        yield _for(f"{name} looks thin", Strength.FAIR)


def _rates(scene: _Scene, given: list[float]) -> tuple[float | None, float | None]:
    """Return the chases an hour just after a feed, and at other times; None where too little was seen."""
    rates: list[float | None] = []
    for after in (True, False):
        mine = [k for k in scene.quarrel.looks if _follows(given, k.day) == after]
        hours = sum(k.hours for k in mine)
        rates.append(sum(k.count for k in mine) / hours if hours >= _ENOUGH_H else None)
    return rates[0], rates[1]


_A_WEEK = 7.0


def _follows(given: list[float], day: float) -> bool:
    """Say whether a day lies within half an hour after one of the feeds, oldest first. [d]"""
    last = bisect_right(given, day) - 1
    return last >= 0 and day - given[last] <= _AFTER_FEED_DAYS


def _lost_hole(scene: _Scene) -> Iterable[Evidence]:
    moved = [day for day, _ in scene.quarrel.seen(RockMoved) if scene.before(day, _A_WEEK)]
    if moved and owns_rock(scene.who.species):
        yield _for(
            f"rock was moved {scene.when(moved[-1])}, and {scene.names[0]} keeps to rock", Strength.STRONG
        )
    elif moved:
        yield _for(f"rock was moved {scene.when(moved[-1])}", Strength.SLIGHT)
    else:
        yield _against("nobody wrote down that rock was moved", Strength.FAIR)


def _lost_top(scene: _Scene) -> Iterable[Evidence]:
    gone = [
        (day, getattr(entry.seen, "animal", ""))
        for day, entry in scene.quarrel.seen(Death, Removal, Missing, KeptApart)
        if scene.before(day, _FRESH) and getattr(entry.seen, "begins", True)
    ]
    gone = [(day, name) for day, name in gone if name not in scene.names]
    if not gone:
        yield _against("nobody else was lost or taken out before it began", Strength.STRONG)
        return
    day, name = gone[-1]
    led = _led(scene, name)
    said = f"{name} was lost or taken out {scene.when(day)}"
    if led:
        yield _for(f"{said}, and had led {scene.names[0]}", Strength.STRONG)
    else:
        yield _for(said, Strength.FAIR)


def _led(scene: _Scene, name: str) -> bool:
    """Say whether an animal used to win against the attacker."""
    won = lost = 0
    for _, entry in scene.quarrel.seen(Watch):
        for one in entry.seen.chases if isinstance(entry.seen, Watch) else ():
            won += one.count if (one.who, one.whom) == (name, scene.names[0]) else 0
            lost += one.count if (one.who, one.whom) == (scene.names[0], name) else 0
    return won > lost


_ILL = frozenset({Sign.SPOTS, Sign.CLOUDY, Sign.SWOLLEN, Sign.THIN, Sign.WOUND, Sign.TORN, Sign.SCRAPE})
_WEAK = frozenset({Manner.LYING, Manner.GASPING, Manner.RUBBING, Manner.PALE})


def _weakness(scene: _Scene) -> Iterable[Evidence]:
    victim = scene.names[1]
    for day, text in _signs(scene, victim):
        if day < scene.quarrel.began:
            yield _for(f"{victim}: {text}, seen {scene.when(day)}; ask a veterinarian", Strength.STRONG)
            return
    after = [text for day, text in _signs(scene, victim) if day >= scene.quarrel.began]
    if after:
        yield _for(f"{victim}: {after[-1]}, seen since; it may be what comes of it", Strength.SLIGHT)
    else:
        yield _against(f"nobody wrote down a sign on {victim} before it began", Strength.SLIGHT)


def _signs(scene: _Scene, label: str) -> list[tuple[float, str]]:
    found = []
    limit = scene.quarrel.rules["quarrel.breaths_per_min"]
    for day, entry in scene.quarrel.seen(Mark, Bearing, Breathing, Eating):
        seen = entry.seen
        if getattr(seen, "animal", "") != label or day < scene.quarrel.began - _RECENT:
            continue
        if isinstance(seen, Mark) and seen.sign in _ILL:
            found.append((day, f"{seen.part.value} {seen.sign.value}"))
        elif isinstance(seen, Bearing) and seen.manner in _WEAK:
            found.append((day, seen.manner.value))
        elif isinstance(seen, Breathing) and seen.breaths_per_min > limit:
            found.append((day, f"{seen.breaths_per_min:.0f} breaths a minute"))
        elif isinstance(seen, Eating) and not seen.ate:
            found.append((day, "did not eat"))
    return found


def _reflection(scene: _Scene) -> Iterable[Evidence]:
    who = scene.names[0]
    seen = [
        day
        for day, e in scene.quarrel.seen(Bearing)
        if isinstance(e.seen, Bearing) and (e.seen.animal, e.seen.manner) == (who, Manner.GLASS)
    ]
    if seen:
        yield _for(f"{who} was seen to fight its reflection", Strength.STRONG)
    yield _against("it turns on a living animal, not on the glass alone", Strength.FAIR)


_STRANGERS, _ONE_LENGTH, _APART = 0.1, 0.9, 0.7
_FAR_TOO_SMALL, _WORTH_A_WORD, _SOME_BITES_PER_H = 0.25, 0.02, 0.2


def _alike(scene: _Scene) -> Iterable[Evidence]:
    a, b = scene.who, scene.whom
    ratio = min(a.length_cm, b.length_cm) / max(a.length_cm, b.length_cm)
    likeness = float(scene.case.now.fixed.recognition[a.index, b.index])
    if a.species.name == b.species.name:
        yield _for("both are of one kind", Strength.FAIR)
    elif a.species.genus == b.species.genus:
        yield _for("both are of one genus", Strength.SLIGHT)
    elif likeness < _STRANGERS:
        yield _against("they are little alike", Strength.STRONG)
    if ratio > _ONE_LENGTH:
        yield _for("they are of nearly one length", Strength.SLIGHT)
    elif ratio < _APART:
        yield _against("one is clearly longer", Strength.SLIGHT)


def _small_tank(scene: _Scene) -> Iterable[Evidence]:
    room = room_of(scene.case.situation.glass)
    name = scene.names[0]
    lacks = shortfall(scene.who.species, room)
    need_cm = scene.who.species.number("min_length_cm")
    said = f"{name} should have a tank of {need_cm:.0f} cm, this one has {room.length_cm:.0f} cm"
    if lacks > _FAR_TOO_SMALL:
        yield _for(said, Strength.STRONG)
    elif lacks > scene.quarrel.rules["space_grace"]:
        yield _for(said, Strength.FAIR)
    else:
        yield _against(f"the tank is large enough for {name}", Strength.FAIR)


def _predator(scene: _Scene) -> Iterable[Evidence]:
    pair = (scene.who.species.name, scene.whom.species.name)
    p = scene.case.now.eaten.get(pair, 0.0)
    if p >= scene.quarrel.rules["eaten_from"]:
        yield _for(
            f"{scene.names[1]} fits into the mouth of {scene.names[0]}, which eats fish", Strength.STRONG
        )
    elif p > _WORTH_A_WORD:
        yield _for(f"{scene.names[0]} may take {scene.names[1]} for food", Strength.FAIR)
    else:
        yield _against(f"{scene.names[0]} does not eat {scene.names[1]}", Strength.STRONG)


def _habit(scene: _Scene) -> Iterable[Evidence]:
    rate = bites_per_h(scene.who, scene.whom, scene.quarrel.rules)
    if rate > _SOME_BITES_PER_H:
        yield _for(f"{scene.names[0]} bites such fish by habit", Strength.STRONG)
    else:
        yield _against(f"{scene.names[0]} is no biter by habit", Strength.STRONG)


_SOUGHT: dict[Cause, Callable[[_Scene], Iterable[Evidence]]] = {
    Cause.NEWCOMER: _newcomer,
    Cause.MATURITY: _maturity,
    Cause.SPAWNING: _spawning,
    Cause.HUNGER: _hunger,
    Cause.LOST_HOLE: _lost_hole,
    Cause.LOST_TOP: _lost_top,
    Cause.WEAKNESS: _weakness,
    Cause.REFLECTION: _reflection,
    Cause.ALIKE: _alike,
    Cause.SMALL_TANK: _small_tank,
    Cause.PREDATOR: _predator,
    Cause.HABIT: _habit,
}

_ASK = {
    Cause.NEWCOMER: "On which day was each of the two let go?",
    Cause.MATURITY: "How long is it now, and has its dress or shape changed?",
    Cause.SPAWNING: "Does it clean a place, dig, court, or stay over one spot?",
    Cause.HUNGER: "Do most chases fall in the half hour after a feed?",
    Cause.LOST_HOLE: "Was any rock moved or fallen in the week before?",
    Cause.LOST_TOP: "Who is no longer there, and whom did it use to chase?",
    Cause.WEAKNESS: "Was the chased one breathing fast, thin, marked or off its food before the first chase?",
    Cause.REFLECTION: "Does it also fight the glass, and less when the room is brighter than the tank?",
    Cause.ALIKE: "How long is each of the two?",
    Cause.SMALL_TANK: "How long is the tank inside, and how long is each of the two?",
    Cause.PREDATOR: "Does it stalk and strike head on, rather than drive away?",
    Cause.HABIT: "Does it take single bites at fins or skin and leave, rather than drive away?",
}
