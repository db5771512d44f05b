"""Several newcomers at the counter: who can go in with whom, in which order, on what condition."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

from slackwater.rules import Rules, load_rules
from slackwater.service import joint_words as say
from slackwater.service.animals import all_meant
from slackwater.service.check_bench import (
    SPACING_DAYS,
    Bench,
    Case,
    already_wrong,
    bench_for,
    climb,
    outgrown_of,
    reminders,
    wait_days,
    ways_out,
)
from slackwater.service.check_doubts import named, weighed
from slackwater.service.check_ladder import rungs
from slackwater.service.check_records import Change, CheckAnswer, Decision, Fare, JointAnswer, NewcomerAnswer
from slackwater.service.checking import check
from slackwater.service.counter import Doubt, Scene, Told, scene_of
from slackwater.service.house import notes_behind
from slackwater.society.company import Party
from slackwater.society.judge import Judgement

MOST_NEWCOMERS = 8
ALL_ORDERS_OF = 3
_EATEN_WEIGHS_PER_H = 100.0


def check_wanted(
    newcomers: Sequence[str], told: Told, rules: Rules | None = None, *, weighs: bool = True
) -> CheckAnswer | JointAnswer:
    """Return the counter check of all who are wanted: of one alone, or of several together.

    Parameters
    ----------
    newcomers
        Who is wanted, in order of the heart, each in the customer's words.
    told, rules, weighs
        As for `check`.

    Raises
    ------
    InputError, InputErrors, UnknownTaxonError
        As for `check`.
    """
    if len(newcomers) == 1:
        return check(newcomers[0], told, rules, weighs=weighs)
    return check_together(newcomers, told, rules, weighs=weighs)


def check_together(
    newcomers: Sequence[str], told: Told, rules: Rules | None = None, *, weighs: bool = True
) -> JointAnswer:
    """Return whether, when and on what condition several newcomers can go into a tank.

    Parameters
    ----------
    newcomers
        Who is wanted, in order of the heart, each in the customer's words.
    told, rules, weighs
        As for `check`.

    Raises
    ------
    InputError, InputErrors, UnknownTaxonError
        As for `check`.

    Notes
    -----
    Kinds go in two weeks apart, whoever attacks least first; where that is not bearable, other
    orders are looked at (all of them for up to three kinds). What can be done is tried before
    anyone is left out; of those whose absence helps, the least wished stays out, and whoever
    was left out is tried once more with those who remained.
    """
    rules = rules or load_rules()
    asked = [(said, f"newcomer {n}") for n, said in enumerate(newcomers, 1)]
    found = all_meant([*asked, *((said, "a resident") for said in told.residents)])
    new, residents = found[: len(newcomers)], found[len(newcomers) :]
    scene, doubts = scene_of(told, new, residents)
    bench = bench_for(scene, rules)
    return _answer(newcomers, told, _found(scene, bench, doubts), weighs=weighs)


@dataclass(frozen=True)
class _Step:
    """A company of newcomers, judged: as it is, and as it would be made to work for the `focus`."""

    plain: Case
    made: Case | None
    condition: str
    tried: tuple[Change, ...]
    focus: str = ""

    @property
    def works(self) -> bool:
        """Whether they can go in, on a condition or without."""
        return self.plain.is_bearable or self.made is not None

    @property
    def final(self) -> Case:
        """The case that is answered with."""
        return self.made or self.plain


@dataclass(frozen=True)
class _Found:
    """What was found: all as told, those who can go in, and why each of the others stays out."""

    bench: Bench
    plain: Case
    step: _Step | None
    left_out: dict[str, str]
    tried: tuple[Change, ...]
    doubts: tuple[Doubt, ...]

    @property
    def final(self) -> Case:
        """The case that is answered with: of those who can go in, or of all if nobody can."""
        return self.step.final if self.step else self.plain


def _found(scene: Scene, bench: Bench, doubts: tuple[Doubt, ...]) -> _Found:
    plain = _in_best_order(scene, bench)
    left_out = {p.key: out.sentence for p in scene.newcomers if (out := outgrown_of(plain, p)).at_once}
    kept = _without(scene, left_out)
    step = _step(kept, bench) if kept.newcomers else None
    tried = step.tried if step else ()
    while step and not step.works:
        gone = _whose_absence_helps(step.plain, bench)
        left_out[gone.key] = f"As it is, {step.plain.worst.sentence}"
        kept = _without(kept, left_out)
        step = _step(kept, bench) if kept.newcomers else None
    if step:
        step = _with_those_who_fit(scene, step, left_out, bench)
    return _Found(bench, plain, step, left_out, tried, doubts)


def _step(scene: Scene, bench: Bench) -> _Step:
    plain = _in_best_order(scene, bench)
    if plain.is_bearable:
        return _Step(plain, None, "", ())
    keys = {p.key: p for p in plain.scene.newcomers}
    culprit = next((p.key for p in keys.values() if p.species.name == plain.worst.by), next(iter(keys)))
    focus = plain.worst.key if plain.worst.key in keys else culprit
    tried, made = climb(rungs(plain.scene, plain.worst.by, focus), bench)
    return _Step(plain, made[0] if made else None, made[1].condition if made else "", tried, focus)


def _with_those_who_fit(scene: Scene, step: _Step, left_out: dict[str, str], bench: Bench) -> _Step:
    """Return the step with whoever was left out too early and can go in after all."""
    kept = {p.key for p in step.plain.scene.newcomers}
    for party in scene.newcomers:
        if party.key in kept or "outgrows" in left_out[party.key] or step.condition:
            continue
        again = _in_best_order(_only(scene, kept | {party.key}), bench)
        if again.is_bearable:
            kept.add(party.key)
            del left_out[party.key]
            step = _Step(again, None, "", ())
    return step


def _whose_absence_helps(plain: Case, bench: Bench) -> Party:
    """Return the newcomer to leave out: the least wished that makes it work, else what helps most.

    Whom a resident troubles stays out itself.
    """
    scene, worst = plain.scene, plain.worst
    if worst.is_newcomer and worst.by not in {p.species.name for p in scene.newcomers}:
        return next(p for p in scene.newcomers if p.key == worst.key)
    burdens = {p.key: _burden_without(scene, p, bench) for p in scene.newcomers}
    enough = [p for p in scene.newcomers if burdens[p.key] < bench.rules["ease.jostled"]]
    if enough:
        return max(enough, key=lambda p: _wish(p.key))
    return min(scene.newcomers, key=lambda p: (burdens[p.key], -_wish(p.key)))


def _burden_without(scene: Scene, party: Party, bench: Bench) -> float:
    rest = _without(scene, {party.key: ""})
    return bench.sketched(rest).burden if rest.newcomers else 0.0


def _wish(key: str) -> int:
    """Return the place of a newcomer among those wanted."""
    return int(key.rsplit(maxsplit=1)[-1])


def _in_best_order(scene: Scene, bench: Bench) -> Case:
    """Return those who come in an order that is bearable, or in the least bad of those looked at."""
    kinds = _gentlest_first(scene, bench)
    case = bench.judged(_staggered(scene, kinds))
    culprits = {*kinds} & {case.worst.by}
    if case.is_bearable or len(kinds) == 1 or not culprits:
        return case
    looks = [bench.sketched(_staggered(scene, order)) for order in _orders(kinds)]
    best = min(looks, key=lambda look: look.burden).scene
    other = bench.judged(replace(best, layouts=scene.layouts))
    return other if other.burden < case.burden else case


def _orders(kinds: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield orders to look at: all of a few kinds, else those in which two neighbours change places."""
    if len(kinds) <= ALL_ORDERS_OF:
        yield from permutations(kinds)
        return
    for n in range(len(kinds) - 1):
        yield (*kinds[:n], kinds[n + 1], kinds[n], *kinds[n + 2 :])


def _gentlest_first(scene: Scene, bench: Bench) -> tuple[str, ...]:
    """Return the kinds that come, whoever attacks the others least first."""
    verdict = bench.sketched(_staggered(scene, ())).verdict
    kinds = dict.fromkeys(p.species.name for p in scene.newcomers)
    return tuple(sorted(kinds, key=lambda kind: _dealt_per_h(verdict, kind)))


def _dealt_per_h(verdict: Judgement, kind: str) -> float:
    """Return the attacks that a kind deals to others when all go in on one day. [1/h]"""
    others = [lot for lot in verdict.lots if lot.animal.species.name != kind]
    eaten = sum(p for (by, prey), p in verdict.eaten.items() if by == kind != prey)
    return sum(lot.by.get(kind, 0.0) for lot in others) + _EATEN_WEIGHS_PER_H * eaten


def _staggered(scene: Scene, kinds: Sequence[str]) -> Scene:
    """Return a scene with kinds released two weeks apart in an order; those of no rank on day 0."""
    days = {kind: SPACING_DAYS * n for n, kind in enumerate(kinds)}
    newcomers = tuple(replace(p, day=days.get(p.species.name, 0.0)) for p in scene.newcomers)
    return replace(scene, newcomers=newcomers)


def _only(scene: Scene, keys: set[str]) -> Scene:
    return replace(scene, newcomers=tuple(p for p in scene.newcomers if p.key in keys))


def _without(scene: Scene, keys: dict[str, str]) -> Scene:
    return replace(scene, newcomers=tuple(p for p in scene.newcomers if p.key not in keys))


def _answer(said: Sequence[str], told: Told, found: _Found, *, weighs: bool) -> JointAnswer:
    plain, final = found.plain, found.final
    out = tuple(p for p in plain.scene.newcomers if p.key in found.left_out)
    conditions = _conditions(found, out)
    decision = _decision(found, conditions)
    wait = wait_days(told)
    days = {p.species.name: p.day for p in plain.scene.newcomers}

    def arranged(scene: Scene) -> Scene:
        return replace(scene, newcomers=tuple(replace(p, day=days[p.species.name]) for p in scene.newcomers))

    weigh = weighed(plain, found.bench, found.doubts, arranged) if weighs else named(found.doubts)
    words = say.Joint(decision.value, conditions, wait, plain.worst.sentence, final.worst.sentence)
    ways = ways_out(plain, found.bench) if out else []
    return JointAnswer(
        decision=decision,
        sentence=say.answer(words, final.scene),
        newcomers=_newcomers(said, found, wait),
        left_out=tuple(p.species.common_name for p in out),
        conditions=conditions,
        worst=final.worst,
        animals=final.fares,
        tried=found.tried,
        next_step=say.all_together(ways) if out else "",
        already=already_wrong(final),
        come_back_if=say.come_back_if(),
        assumptions=weigh[0],
        question=weigh[1],
        cautions=_cautions(plain.scene.newcomers),
        house_notes=notes_behind(plain.scene.species_names),
    )


def _cautions(newcomers: Sequence[Party]) -> tuple[str, ...]:
    """Return what to keep in mind of each newcomer, beside its name."""
    kinds = {p.species.name: p for p in newcomers}.values()
    return tuple(f"{p.species.common_name}: {text}" for p in kinds for text in reminders(p))


def _conditions(found: _Found, out: tuple[Party, ...]) -> tuple[str, ...]:
    if found.step is None:
        return ()
    stays = [say.stays_out([p.species.common_name for p in out])] if out else []
    return (*stays, *([found.step.condition] if found.step.condition else []))


def _decision(found: _Found, conditions: tuple[str, ...]) -> Decision:
    if found.step is None:
        return Decision.NOT_THIS_ONE
    return Decision.YES_IF if conditions else Decision.YES


def _newcomers(said: Sequence[str], found: _Found, wait: int) -> tuple[NewcomerAnswer, ...]:
    """Return what is said of each, in the order in which they were named."""
    final = {p.key: p for p in found.final.scene.newcomers}
    fares = {fare.key: fare for fare in found.final.fares}
    rows = []
    for words, party in zip(said, found.plain.scene.newcomers, strict=True):
        told = final.get(party.key, party) if party.key not in found.left_out else party
        day = wait + round(told.day)
        if party.key in found.left_out:
            decision, order, sentence = Decision.NOT_THIS_ONE, "", _stays_out(party, found)
        else:
            decision = Decision.YES_IF if found.step and found.step.condition else Decision.YES
            order = say.after(found.final.scene, told)
            sentence = _goes_in(found, told, fares[party.key], (day, order))
        rows.append(_row(words, told, (decision, sentence, day, order)))
    return tuple(rows)


def _row(said: str, party: Party, told: tuple[Decision, str, int, str]) -> NewcomerAnswer:
    decision, sentence, day, order = told
    species = party.species
    size = (species.name, species.common_name, party.count, party.length_cm)
    return NewcomerAnswer(party.key, said, *size, decision, sentence, day, order)


def _goes_in(found: _Found, party: Party, fare: Fare, when: tuple[int, str]) -> str:
    condition = found.step.condition if found.step else ""
    if condition and found.step and party.key != found.step.focus:
        condition = say.SAME_CONDITION
    later = outgrown_of(found.final, party).sentence
    return say.goes_in(party, condition, when, (fare.sentence, later))


def _stays_out(party: Party, found: _Found) -> str:
    """Return why a newcomer stays out, and whether it could go in by itself."""
    why = found.left_out[party.key]
    alone = found.bench.judged(_staggered(_only(found.plain.scene, {party.key}), ()))
    by_itself = None if "outgrows" in why or len(found.plain.scene.newcomers) == 1 else alone.is_bearable
    return say.stays(party, why, by_itself=by_itself)
