"""What a counter check judges by: a scene, how everyone fares in it, and with and without newcomers."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from slackwater.rules import Rules
from slackwater.service import checking_words as say
from slackwater.service.check_records import Change, Fare
from slackwater.service.counter import Scene, Told, usual_glass
from slackwater.society.company import Party
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement, Lot, Settings, judge
from slackwater.society.nips import KINDS, nips
from slackwater.society.space import cramped_per_day, room_of, too_small
from slackwater.society.spread import Spread, spread

AT_THE_COUNTER = Settings(fine=False, draws=24)
WIDE_DRAWS = 200
SPACING_DAYS = 14.0
_WORSE_BY = 0.02
_LONGER = (1.25, 1.5, 2.0)


@dataclass(frozen=True)
class Case:
    """A scene, its judgement, and how everyone fares with and without the newcomer."""

    scene: Scene
    verdict: Judgement
    fares: tuple[Fare, ...]
    rules: Rules

    @property
    def worst(self) -> Fare:
        """The line that fares worst among those whom the newcomer concerns."""
        return max(self.fares, key=lambda fare: (self.concerns(fare), fare.p))

    def concerns(self, fare: Fare) -> bool:
        """Say whether a line is the newcomer, or fares worse for it."""
        return fare.before is None or fare.p - fare.before > _WORSE_BY

    @property
    def burden(self) -> float:
        """The chance of harm of the worst-off whom the newcomer concerns. [0 to 1]"""
        return max((f.p for f in self.fares if self.concerns(f)), default=0.0)

    @property
    def is_bearable(self) -> bool:
        """Whether nobody is pressed, besieged or eaten for the newcomer's sake."""
        return self.burden < self.rules["ease.jostled"]


@dataclass(frozen=True)
class Bench:
    """What judges one scene after another: all layouts of the rock, or one for a quick look."""

    rules: Rules
    before: dict[str, float]
    before_sketched: dict[str, float]
    known: dict[Scene, Case] = field(default_factory=dict)

    def judged(self, scene: Scene) -> Case:
        """Return a scene judged over all layouts of its rock."""
        return self._once(scene, self.before)

    def sketched(self, scene: Scene) -> Case:
        """Return a scene judged in one layout of its rock."""
        return self._once(scene.sketched(), self.before_sketched)

    def _once(self, scene: Scene, before: dict[str, float]) -> Case:
        if scene not in self.known:
            self.known[scene] = case_of(scene, before, self.rules)
        return self.known[scene]


def bench_for(scene: Scene, rules: Rules) -> Bench:
    """Return what judges changes of a scene beside how its residents fare by themselves."""
    return Bench(rules, how_before(scene, rules), how_before(scene.sketched(), rules))


Made = tuple[Case, Change]
"""A case that works, and the change that made it so."""


def climb(rungs: Iterable[tuple[str, Scene]], bench: Bench) -> tuple[tuple[Change, ...], Made | None]:
    """Try what can be done, mildest first, and stop at the first that works.

    A quick look in one layout of the rock comes first; what works there is judged in all.

    Parameters
    ----------
    rungs
        Conditions in words, each with the scene as it would be.
    bench
        What judges them.

    Returns
    -------
    tuple
        All that was tried, and what was made of the one that works, None if none does.
    """
    tried: list[Change] = []
    for condition, scene in rungs:
        case = bench.sketched(scene)
        if case.is_bearable:
            case = bench.judged(scene)
        word = ease(case.burden, bench.rules).value
        change = Change(condition, case.burden, word, case.is_bearable)
        tried.append(change)
        if change.works:
            return tuple(tried), (case, change)
    return tuple(tried), None


def how_before(scene: Scene, rules: Rules) -> dict[str, float]:
    """Return how the residents fare by themselves, by key. [0 to 1]"""
    if not scene.residents:
        return {}
    verdict = judge(scene.alone().situation(), AT_THE_COUNTER, rules)
    return {p.key: max(_p(verdict, lot) for lot in lots_of(verdict, p)) for p in scene.residents}


def case_of(scene: Scene, before: dict[str, float], rules: Rules) -> Case:
    """Return a scene judged, beside how the residents fare by themselves, by key. [0 to 1]"""
    verdict = judge(scene.situation(), AT_THE_COUNTER, rules)
    drawn = spread(verdict, WIDE_DRAWS)
    parties = (*scene.newcomers, *scene.residents)
    return Case(scene, verdict, tuple(_fare(drawn, p, before) for p in parties), rules)


def lots_of(verdict: Judgement, party: Party) -> list[Lot]:
    """Return how each animal of one line fares."""
    return [lot for lot in verdict.lots if lot.animal.party.key == party.key]


def _p(verdict: Judgement, lot: Lot) -> float:
    """Return the chance of harm by all but too little room, which is told apart. [0 to 1]"""
    return float(verdict.community_draws(lot).mean())


def _fare(drawn: Spread, party: Party, before: dict[str, float]) -> Fare:
    verdict = drawn.verdict
    lot = max(lots_of(verdict, party), key=lambda one: _p(verdict, one))
    p = _p(verdict, lot)
    told = drawn.outlook(lot, with_room=False)
    outcome = max((k for k in lot.harm if k != "cramped"), key=lambda k: lot.harm[k])
    word = ease(p, verdict.rules).value
    by = _by(verdict, lot, outcome)
    return Fare(
        key=party.key,
        scientific_name=party.species.name,
        common_name=party.species.common_name,
        is_newcomer=party.key not in before,
        p=p,
        word=word,
        low=told.harm.low,
        high=told.harm.high,
        before=before.get(party.key),
        cramped=lot.harm["cramped"],
        outcome=outcome,
        by=by,
        chases_per_hour=lot.chases_per_h,
        two_outcomes=told.two_outcomes,
        sentence=say.fares(verdict, lot, word, outcome, by),
        chases_low_per_hour=told.attacks.low,
        chases_high_per_hour=told.attacks.high,
        sure=told.sure,
    )


def _by(verdict: Judgement, lot: Lot, outcome: str) -> str | None:
    """Return the scientific name of whoever is most to blame, where anyone is."""
    name = lot.animal.species.name
    if outcome == "eaten":
        eaters = {by: p for (by, prey), p in verdict.eaten.items() if prey == name}
        return max(eaters, key=lambda by: eaters[by], default=None)
    if outcome in {"fought", "bitten"} and lot.by:
        return max(lot.by, key=lambda by: lot.by[by])
    return None


@dataclass(frozen=True)
class Outgrown:
    """Whether the tank will be too short for the grown newcomer, and how soon."""

    sentence: str
    at_once: bool


def outgrown_of(case: Case, new: Party) -> Outgrown:
    """Return whether and when a newcomer is too long for the tank of a case."""
    glass = case.scene.glass
    if not too_small(new.species, room_of(glass), case.rules):
        return Outgrown("", at_once=False)
    animal = next(a for a in case.verdict.situation.animals if a.party.key == new.key)
    months = (m for m in range(121) if _is_short(case, animal.index, m))
    month = next(months, 120)
    cramped = max(lot.harm["cramped"] for lot in lots_of(case.verdict, new))
    at_once = cramped >= case.rules["ease.jostled"]
    when = "at once" if at_once else f"after about {month} months" if month else "before long"
    return Outgrown(say.outgrown(new.species, glass, when), at_once)


def _is_short(case: Case, index: int, month: int) -> bool:
    situation = case.verdict.situation
    return cramped_per_day(situation.animals[index], situation, 30.4 * month, case.rules) > 0.0


def already_wrong(case: Case) -> tuple[str, ...]:
    """Return what is wrong among the residents whoever comes."""
    level = case.rules["ease.jostled"]
    bad = [f for f in case.fares if f.before is not None and f.before >= level and not case.concerns(f)]
    return tuple(f"Without the newcomer already: {f.sentence}" for f in bad)


def wait_days(told: Told) -> int:
    """Return the days until two weeks have passed since the last release. [d]"""
    since = told.since_days
    if since is None or since == 0.0 or not told.residents:
        return 0
    return math.ceil(max(0.0, SPACING_DAYS - since))


def reminders(new: Party) -> tuple[str, ...]:
    """Return what people and the law ask for, and what a newcomer may do to corals."""
    likely = [kind for kind in KINDS if nips(new.species, kind) == "likely"]
    possible = [kind for kind in KINDS if nips(new.species, kind) == "possible"]
    return (*say.cautions(new.species), *say.nipping(likely, possible))


def ways_out(plain: Case, bench: Bench) -> list[str]:
    """Return the smallest changes of company or tank that would make it work, in words."""
    leaving = [_leaving(plain, party, bench) for party in plain.scene.residents]
    ways = [way for way in leaving if way]
    longer = "" if plain.worst.outcome == "eaten" else _longer_tank(plain, bench)
    return [*ways[:1], *([longer] if longer else [])]


def _leaving(plain: Case, party: Party, bench: Bench) -> str:
    if party.species.name not in {plain.worst.by, plain.worst.scientific_name}:
        return ""
    rest = tuple(p for p in plain.scene.residents if p.key != party.key)
    case = bench.sketched(replace(plain.scene, residents=rest))
    return f"without the {party.species.common_name}" if case.is_bearable else ""


def _longer_tank(plain: Case, bench: Bench) -> str:
    for share in _LONGER:
        length_cm = 10.0 * math.ceil(share * plain.scene.glass.length_cm / 10.0)
        longer = replace(plain.scene, glass=usual_glass(length_cm))
        if bench.sketched(longer).is_bearable:
            return f"in a tank of {length_cm:.0f} cm"
    return ""
