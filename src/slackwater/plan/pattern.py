"""What kind of quarrel it is, and which rungs the trade uses for that kind."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from slackwater.plan.causes import Cause, Finding
from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import Case
from slackwater.plan.rungs import Rung
from slackwater.plan.ways import owns_rock
from slackwater.plan.works import Suits
from slackwater.society.diary import Bearing, Manner

_NEW_DAYS, _OLD_DAYS = 30.0, 60.0
_GRAZES = 0.4
_TANGS_AND_ANGELS = frozenset({"Acanthuridae", "Pomacanthidae"})
_AT_A_HOLE = frozenset({"Pomacentridae", "Pseudochromidae"})
_BEHIND_GLASS = frozenset({"Balistidae", "Pomacanthidae"})
_IN_NUMBERS = frozenset({"shoal", "any", "harem", "colony"})
_THIN = 0.15
_EQUALS = 0.9
_SAME_DAY = 1.0


class Way(StrEnum):
    """How an attacker lives, which decides what helps against it."""

    ROCK_OWNER = "owns rock"
    ROAMER = "roams"
    PREDATOR = "hunts"


@dataclass(frozen=True)
class Pattern:
    """The kind of quarrel: its likeliest cause, and how the attacker lives."""

    cause: Cause | None
    way: Way

    @property
    def words(self) -> str:
        """The pattern as a diary keeps it."""
        return f"{self.cause.value if self.cause else 'unclear'}, {self.way.value}"


def pattern_of(found: tuple[Finding, ...], case: Case) -> Pattern:
    """Return the kind of quarrel; the cause stays open where none is likely."""
    first = found[0]
    cause = first.cause if first.word == "likely" else None
    if cause is Cause.PREDATOR:
        return Pattern(cause, Way.PREDATOR)
    return Pattern(cause, Way.ROCK_OWNER if owns_rock(case.attacker.species) else Way.ROAMER)


@dataclass(frozen=True)
class Fit:
    """How a rung suits a quarrel, and why."""

    suits: Suits
    why: str


def fit_of(rung: Rung, quarrel: Quarrel, case: Case, pattern: Pattern) -> Fit:
    """Return how the trade thinks of a rung against this quarrel."""
    return _FITS[rung](_Asked(quarrel, case, pattern))


@dataclass(frozen=True)
class _Asked:
    quarrel: Quarrel
    case: Case
    pattern: Pattern

    @property
    def new_victim(self) -> bool:
        days = self.quarrel.inside_days(self.quarrel.whom)
        return days is not None and days <= _NEW_DAYS

    @property
    def old_hatred(self) -> bool:
        return -self.quarrel.began > _OLD_DAYS

    @property
    def equals(self) -> bool:
        a, b = self.case.attacker, self.case.victim
        ratio = min(a.length_cm, b.length_cm) / max(a.length_cm, b.length_cm)
        return a.species.genus == b.species.genus and ratio > _EQUALS

    @property
    def hunts(self) -> bool:
        return self.pattern.way is Way.PREDATOR

    @property
    def family(self) -> str:
        return self.case.attacker.species.family


def _watch(asked: _Asked) -> Fit:
    if asked.pattern.cause is Cause.SPAWNING:
        return Fit(Suits.SUITS, "a brood is guarded for some days, then there is peace until the next")
    return Fit(Suits.SUITS, "most quarrels of the first days settle")


def _feed(asked: _Asked) -> Fit:
    if asked.hunts:
        return Fit(Suits.CANNOT, "a hunter is not fed out of hunting")
    if asked.pattern.cause is Cause.HUNGER:
        return Fit(Suits.SUITS, "hunger lies behind it")
    if asked.pattern.cause is Cause.SPAWNING:
        return Fit(Suits.SELDOM, "a brood is guarded whatever the food; feed away from it")
    species = asked.case.attacker.species
    if species.number("diet_algae") >= _GRAZES or species.number("diet_plankton") >= _GRAZES:
        return Fit(Suits.MAY_HELP, "grazers and plankton eaters guard their food")
    return Fit(Suits.SELDOM, "it is about a place, not about food; it is cheap and can be done besides")


def _dim(asked: _Asked) -> Fit:
    if asked.hunts:
        return Fit(Suits.CANNOT, "dim light helps a hunter")
    if asked.family in _TANGS_AND_ANGELS and asked.new_victim:
        return Fit(Suits.SUITS, "surgeonfishes and angelfishes spend themselves on the mirror")
    if asked.family in _AT_A_HOLE:
        return Fit(Suits.SELDOM, "it keeps to its hole whatever the light")
    return Fit(Suits.MAY_HELP, "a quieter day gives the chased one time")


def _cover(asked: _Asked) -> Fit:
    pinned = any(
        isinstance(e.seen, Bearing) and e.seen.animal == asked.quarrel.whom and e.seen.manner is Manner.PINNED
        for _, e in asked.quarrel.seen(Bearing)
    )
    if pinned:
        return Fit(Suits.SUITS, "the chased one was pinned")
    if asked.hunts:
        return Fit(Suits.SELDOM, "rock does not save prey")
    if asked.pattern.way is Way.ROAMER:
        return Fit(Suits.SELDOM, "it chases in the open water")
    return Fit(Suits.MAY_HELP, "one more hole out of its sight")


def _rescape(asked: _Asked) -> Fit:
    if asked.hunts:
        return Fit(Suits.CANNOT, "rock does not save prey")
    if asked.quarrel.question.rock_word == "none":
        return Fit(Suits.CANNOT, "there is no rock to move")
    if abs(asked.case.attacker.party.day - asked.case.victim.party.day) < _SAME_DAY:
        return Fit(Suits.SELDOM, "the two came on one day, so neither has a head start to lose")
    if asked.pattern.way is Way.ROCK_OWNER:
        return Fit(Suits.SUITS, "it owns rock, and moved rock has no owner")
    return Fit(Suits.MAY_HELP, "it roams, and moved rock means little to it")


def _box(asked: _Asked) -> Fit:
    longest = asked.quarrel.rules["ladder.box_longest_cm"]
    if asked.case.victim.length_cm > longest:
        return Fit(Suits.CANNOT, f"the chased one is longer than {longest:.0f} cm")
    if asked.new_victim and not asked.hunts:
        return Fit(Suits.SUITS, "the chased one is new, and all get used to it")
    if asked.old_hatred:
        return Fit(Suits.SELDOM, "the two have quarrelled for long")
    return Fit(Suits.MAY_HELP, "it gives the chased one rest and food")


def _timeout(asked: _Asked) -> Fit:
    if asked.hunts:
        return Fit(Suits.CANNOT, "a hunter comes back a hunter")
    if asked.pattern.cause is Cause.SPAWNING:
        return Fit(Suits.SELDOM, "a spawning pair takes up where it left off")
    if asked.equals:
        return Fit(Suits.SELDOM, "two equals begin anew")
    if asked.pattern.cause is Cause.HABIT:
        return Fit(Suits.CANNOT, "a biter by habit stays one")
    if asked.new_victim:
        return Fit(Suits.SUITS, "an owner against a newcomer: away, it loses its claim")
    return Fit(Suits.MAY_HELP, "away, it loses its claim")


def _divider(asked: _Asked) -> Fit:
    two = (asked.case.attacker.species, asked.case.victim.species)
    if any(s.word("jumps") == "often" for s in two):
        return Fit(Suits.SELDOM, "one of the two jumps")
    if any(s.number("body_width_ratio") < _THIN and s.number("body_depth_ratio") < _THIN for s in two):
        return Fit(Suits.SELDOM, "one of the two is thin enough to slip by")
    if asked.family in _BEHIND_GLASS or two[0].name == two[1].name:
        return Fit(Suits.SUITS, "pairs, triggerfishes and large angelfishes get used to each other in sight")
    return Fit(Suits.MAY_HELP, "it stops every bite while it stands")


def _numbers(asked: _Asked) -> Fit:
    a, b = asked.case.attacker.species, asked.case.victim.species
    if a.name != b.name or a.word("social_rule") not in _IN_NUMBERS:
        return Fit(Suits.CANNOT, "it helps only among one kind that lives in numbers")
    rules, roams = asked.quarrel.rules, asked.pattern.way is Way.ROAMER
    least = rules["ladder.crowd_roamer_l" if roams else "ladder.crowd_least_l"]
    if asked.case.situation.glass.volume_l < least:
        return Fit(Suits.CANNOT, f"the tank holds less than {least:.0f} L")
    return Fit(Suits.MAY_HELP, "chasing spreads over many")


def _trap(_: _Asked) -> Fit:
    return Fit(Suits.SUITS, "it ends this quarrel")


def _alone(asked: _Asked) -> Fit:
    intolerance = asked.quarrel.rules.words("intolerance")[asked.case.attacker.species.word("intolerance")]
    if intolerance >= asked.quarrel.rules["ladder.loner"]:
        return Fit(Suits.SUITS, "it is a loner by nature")
    return Fit(Suits.MAY_HELP, "it ends this quarrel; its kind could live with others elsewhere")


_FITS: dict[Rung, Callable[[_Asked], Fit]] = {
    Rung.WATCH: _watch,
    Rung.FEED: _feed,
    Rung.DIM: _dim,
    Rung.COVER: _cover,
    Rung.RESCAPE: _rescape,
    Rung.BOX: _box,
    Rung.TIMEOUT: _timeout,
    Rung.DIVIDER: _divider,
    Rung.NUMBERS: _numbers,
    Rung.TRAP: _trap,
    Rung.REHOME: _trap,
    Rung.ALONE: _alone,
}
