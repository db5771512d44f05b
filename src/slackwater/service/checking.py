"""The counter check: one newcomer, who lives there, and a tank in three facts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from slackwater.plan.records import Assumption
from slackwater.rules import Rules, load_rules
from slackwater.service import checking_words as say
from slackwater.service.animals import all_meant
from slackwater.service.check_ladder import rungs
from slackwater.service.check_records import Change, CheckAnswer, Decision, Fare
from slackwater.service.counter import Doubt, Scene, Told, scene_of, usual_glass
from slackwater.service.house import notes_behind
from slackwater.society.company import Party
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement, Lot, Settings, judge
from slackwater.society.nips import KINDS, nips
from slackwater.society.space import cramped_per_day, room_of, too_small
from slackwater.society.spread import Spread, spread

__all__ = ["Change", "CheckAnswer", "Decision", "Fare", "check"]

AT_THE_COUNTER = Settings(fine=False, draws=24)
SPACING_DAYS = 14.0
MOST_DOUBTS = 8
LARGE_COMPANY = 12
WIDE_DRAWS = 200
_WORSE_BY = 0.02
_LONGER = (1.25, 1.5, 2.0)


@dataclass(frozen=True)
class _Case:
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


def check(newcomer: str, told: Told, rules: Rules | None = None, *, weighs: bool = True) -> CheckAnswer:
    """Return whether, when and on what condition a newcomer can go into a tank.

    Parameters
    ----------
    newcomer
        Who is wanted, in the customer's words, with count, length and sex if told.
    told
        The three facts: the tank, who lives there, and since when.
    rules
        The coefficients; those of the package if left out.
    weighs
        Whether to work out what each assumption may cost, about half of the work; without, the
        assumptions are only named.

    Raises
    ------
    InputError
        If a name is ambiguous, or a fact cannot be.
    InputErrors
        If several names will not do.
    UnknownTaxonError
        If nobody goes by a name.

    Notes
    -----
    Judged on coarse cells with few draws, so that it takes under two seconds. Changes are tried
    from the mildest on, and the first that works is the condition.
    """
    rules = rules or load_rules()
    asked = [(newcomer, "the newcomer"), *((said, "a resident") for said in told.residents)]
    new, *residents = all_meant(asked)
    scene, doubts = scene_of(told, (new,), tuple(residents))
    bench = _Bench(rules, _before(scene, rules), _before(scene.sketched(), rules))
    plain = bench.judged(scene)
    tried, made = _ladder(plain, bench)
    return _answer(newcomer, told, _Checked(bench, plain, made, tried, doubts, weighs))


@dataclass(frozen=True)
class _Bench:
    """What judges one scene after another: all layouts of the rock, or one for a quick look."""

    rules: Rules
    before: dict[str, float]
    before_sketched: dict[str, float]

    def judged(self, scene: Scene) -> _Case:
        """Return a scene judged over all layouts of its rock."""
        return _case(scene, self.before, self.rules)

    def sketched(self, scene: Scene) -> _Case:
        """Return a scene judged in one layout of its rock."""
        return _case(scene.sketched(), self.before_sketched, self.rules)


@dataclass(frozen=True)
class _Checked:
    """What a check has found: as it is, as it would be made to work, and what was tried."""

    bench: _Bench
    plain: _Case
    made: tuple[_Case, Change] | None
    tried: tuple[Change, ...]
    doubts: tuple[Doubt, ...]
    weighs: bool


def _before(scene: Scene, rules: Rules) -> dict[str, float]:
    """Return how the residents fare by themselves, by key. [0 to 1]"""
    if not scene.residents:
        return {}
    verdict = judge(scene.alone().situation(), AT_THE_COUNTER, rules)
    return {p.key: max(_p(verdict, lot) for lot in _lots(verdict, p)) for p in scene.residents}


def _case(scene: Scene, before: dict[str, float], rules: Rules) -> _Case:
    verdict = judge(scene.situation(), AT_THE_COUNTER, rules)
    drawn = spread(verdict, WIDE_DRAWS)
    parties = (*scene.newcomers, *scene.residents)
    return _Case(scene, verdict, tuple(_fare(drawn, p, before) for p in parties), rules)


def _lots(verdict: Judgement, party: Party) -> list[Lot]:
    return [lot for lot in verdict.lots if lot.animal.party.key == party.key]


def _p(verdict: Judgement, lot: Lot) -> float:
    """Return the chance of harm by all but too little room, which is told apart. [0 to 1]"""
    return float(verdict.community_draws(lot).mean())


def _fare(drawn: Spread, party: Party, before: dict[str, float]) -> Fare:
    verdict = drawn.verdict
    lot = max(_lots(verdict, party), key=lambda one: _p(verdict, one))
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


def _ladder(plain: _Case, bench: _Bench) -> tuple[tuple[Change, ...], tuple[_Case, Change] | None]:
    """Try what can be done, mildest first, and stop at the first that works.

    A quick look in one layout of the rock comes first; what works there is judged in all.
    """
    tried: list[Change] = []
    if plain.is_bearable:
        return (), None
    for condition, scene in rungs(plain.scene, plain.worst.by):
        case = bench.sketched(scene)
        if case.is_bearable:
            case = bench.judged(scene)
        word = ease(case.burden, bench.rules).value
        change = Change(condition, case.burden, word, case.is_bearable)
        tried.append(change)
        if change.works:
            return tuple(tried), (case, change)
    return tuple(tried), None


def _answer(said: str, told: Told, found: _Checked) -> CheckAnswer:
    plain = found.plain
    (new,) = plain.scene.newcomers
    outgrown = _outgrown(plain)
    decision = _decision(found, too_soon=outgrown.at_once)
    wait = _wait_days(told)
    order = say.order(plain.scene)
    next_step = _next_step(found, outgrown) if decision is Decision.NOT_THIS_ONE else ""
    final = found.made[0] if found.made else plain
    conditions = (found.made[1].condition,) if found.made else ()
    told_as = say.Told(
        who=say.counted(final.scene.newcomers[0]),
        decision=decision.value,
        wait_days=wait,
        order=order,
        conditions=conditions,
        outgrown=outgrown.sentence,
        is_short_at_once=outgrown.at_once,
    )
    assumptions, question = _cost_of_doubts(found) if found.weighs else (_named(found.doubts), "")
    return CheckAnswer(
        said=said,
        scientific_name=new.species.name,
        common_name=new.species.common_name,
        count=new.count,
        length_cm=new.length_cm,
        decision=decision,
        sentence=say.answer(told_as, plain.worst.sentence, final.worst.sentence),
        not_before_days=wait,
        order=order,
        conditions=conditions,
        worst=final.worst,
        animals=final.fares,
        tried=found.tried,
        next_step=next_step,
        outgrown=outgrown.sentence,
        already=_already(plain),
        come_back_if=say.come_back_if(new, plain.worst),
        assumptions=assumptions,
        question=question,
        cautions=(*say.cautions(new.species), *_nips(new)),
        house_notes=notes_behind(plain.scene.species_names),
    )


def _decision(found: _Checked, *, too_soon: bool) -> Decision:
    if too_soon:
        return Decision.NOT_THIS_ONE
    if found.plain.is_bearable:
        return Decision.YES
    return Decision.YES_IF if found.made else Decision.NOT_THIS_ONE


def _wait_days(told: Told) -> int:
    """Return the days until two weeks have passed since the last release. [d]"""
    since = told.since_days
    if since is None or since == 0.0 or not told.residents:
        return 0
    return math.ceil(max(0.0, SPACING_DAYS - since))


@dataclass(frozen=True)
class _Outgrown:
    """Whether the tank will be too short for the grown newcomer, and how soon."""

    sentence: str
    at_once: bool


def _outgrown(case: _Case) -> _Outgrown:
    (new,) = case.scene.newcomers
    glass = case.scene.glass
    if not too_small(new.species, room_of(glass), case.rules):
        return _Outgrown("", at_once=False)
    animal = next(a for a in case.verdict.situation.animals if a.party.key == new.key)
    months = (m for m in range(121) if _is_short(case, animal.index, m))
    month = next(months, 120)
    cramped = max(lot.harm["cramped"] for lot in _lots(case.verdict, new))
    at_once = cramped >= case.rules["ease.jostled"]
    when = "at once" if at_once else f"after about {month} months" if month else "before long"
    return _Outgrown(say.outgrown(new.species, glass, when), at_once)


def _is_short(case: _Case, index: int, month: int) -> bool:
    situation = case.verdict.situation
    return cramped_per_day(situation.animals[index], situation, 30.4 * month, case.rules) > 0.0


def _already(case: _Case) -> tuple[str, ...]:
    """Return what is wrong among the residents whoever comes."""
    level = case.rules["ease.jostled"]
    bad = [f for f in case.fares if f.before is not None and f.before >= level and not case.concerns(f)]
    return tuple(f"Without the newcomer already: {f.sentence}" for f in bad)


def _next_step(found: _Checked, outgrown: _Outgrown) -> str:
    """Return the smallest change of tank or company that would make it work."""
    plain = found.plain
    if outgrown.at_once:
        return "Choose a kind that stays smaller, or come back for it with the larger tank."
    leaving = [_leaving(plain, party, found.bench) for party in plain.scene.residents]
    ways = [way for way in leaving if way]
    longer = "" if plain.worst.outcome == "eaten" else _longer_tank(plain, found.bench)
    return say.next_step([*ways[:1], *([longer] if longer else [])])


def _leaving(plain: _Case, party: Party, bench: _Bench) -> str:
    if party.species.name not in {plain.worst.by, plain.worst.scientific_name}:
        return ""
    rest = tuple(p for p in plain.scene.residents if p.key != party.key)
    case = bench.sketched(replace(plain.scene, residents=rest))
    return f"without the {party.species.common_name}" if case.is_bearable else ""


def _longer_tank(plain: _Case, bench: _Bench) -> str:
    for share in _LONGER:
        length_cm = 10.0 * math.ceil(share * plain.scene.glass.length_cm / 10.0)
        longer = replace(plain.scene, glass=usual_glass(length_cm))
        if bench.sketched(longer).is_bearable:
            return f"in a tank of {length_cm:.0f} cm"
    return ""


def _named(doubts: Sequence[Doubt]) -> tuple[Assumption, ...]:
    """Return what was assumed, its cost not worked out."""
    return tuple(Assumption(doubt.what, doubt.taken, "") for doubt in doubts)


def _cost_of_doubts(found: _Checked) -> tuple[tuple[Assumption, ...], str]:
    """Return what each assumption costs, and the question whose answer could change most."""
    is_large = len(found.plain.verdict.situation.animals) > LARGE_COMPANY
    most = MOST_DOUBTS // 4 if is_large else MOST_DOUBTS
    now = found.bench.sketched(found.plain.scene)
    rows, asks = [], [(0.0, "")]
    for number, doubt in enumerate(found.doubts):
        others = doubt.others if number < most else ()
        cases = [(word, found.bench.sketched(scene)) for word, scene in others]
        cost, shift = _cost(found.plain, now, cases)
        rows.append(Assumption(doubt.what, doubt.taken, cost))
        asks.append((shift, f"{doubt.ask} {cost}"))
    shift, question = max(asks, key=lambda ask: ask[0])
    return tuple(rows), question if shift > 0.0 else ""


def _cost(plain: _Case, now: _Case, cases: Sequence[tuple[str, _Case]]) -> tuple[str, float]:
    """Return in words what another answer would change, and by how much."""
    moved = [(abs(case.burden - now.burden), word, case) for word, case in cases]
    if not moved:
        return "", 0.0
    shift, word, case = max(moved, key=lambda row: (row[2].is_bearable != now.is_bearable, row[0]))
    as_told, as_seen = (ease(one.burden, one.rules).value for one in (plain, now))
    then = ease(case.burden, case.rules).value
    if then in {as_told, as_seen}:
        return "Another answer would change little.", 0.0
    turns = case.is_bearable != now.is_bearable
    return f"With {word} the worst-off animal would be {then}, not {as_told}.", shift + float(turns)


def _nips(new: Party) -> tuple[str, ...]:
    likely = [kind for kind in KINDS if nips(new.species, kind) == "likely"]
    possible = [kind for kind in KINDS if nips(new.species, kind) == "possible"]
    return say.nipping(likely, possible)
