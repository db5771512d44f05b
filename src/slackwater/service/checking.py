"""The counter check: one newcomer, who lives there, and a tank in three facts."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackwater.plan.records import Assumption
from slackwater.rules import Rules, load_rules
from slackwater.service import checking_words as say
from slackwater.service.animals import all_meant
from slackwater.service.check_bench import (
    Bench,
    Case,
    Outgrown,
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
from slackwater.service.check_records import Change, CheckAnswer, Decision, Fare
from slackwater.service.counter import Doubt, Told, scene_of
from slackwater.service.house import notes_behind

__all__ = ["Change", "CheckAnswer", "Decision", "Fare", "check"]


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
    bench = bench_for(scene, rules)
    plain = bench.judged(scene)
    tried, made = ((), None) if plain.is_bearable else climb(rungs(scene, plain.worst.by), bench)
    return _answer(newcomer, told, _Checked(bench, plain, made, tried, doubts, weighs))


@dataclass(frozen=True)
class _Checked:
    """What a check has found: as it is, as it would be made to work, and what was tried."""

    bench: Bench
    plain: Case
    made: tuple[Case, Change] | None
    tried: tuple[Change, ...]
    doubts: tuple[Doubt, ...]
    weighs: bool


def _answer(said: str, told: Told, found: _Checked) -> CheckAnswer:
    plain = found.plain
    (new,) = plain.scene.newcomers
    outgrown = outgrown_of(plain, new)
    decision = _decision(found, too_soon=outgrown.at_once)
    wait = wait_days(told)
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
    assumptions, question = _asked(found, outgrown)
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
        already=already_wrong(plain),
        come_back_if="" if decision is Decision.NOT_THIS_ONE else say.come_back_if(new, plain.worst),
        assumptions=assumptions,
        question=question,
        cautions=reminders(new),
        house_notes=notes_behind(plain.scene.species_names),
    )


def _asked(found: _Checked, outgrown: Outgrown) -> tuple[tuple[Assumption, ...], str]:
    """Return what was assumed at which cost, and the question to ask; of no room only for the length."""
    if not outgrown.at_once:
        return weighed(found.plain, found.bench, found.doubts) if found.weighs else named(found.doubts)
    rows, _ = named(found.doubts)
    (new,) = found.plain.scene.newcomers
    cost = f"With {new.species.number('min_length_cm'):.0f} cm it would have room."
    told = tuple(replace(row, cost=cost) if row.what == "length" else row for row in rows)
    return told, next((f"{doubt.ask} {cost}" for doubt in found.doubts if doubt.what == "length"), "")


def _decision(found: _Checked, *, too_soon: bool) -> Decision:
    if too_soon:
        return Decision.NOT_THIS_ONE
    if found.plain.is_bearable:
        return Decision.YES
    return Decision.YES_IF if found.made else Decision.NOT_THIS_ONE


def _next_step(found: _Checked, outgrown: Outgrown) -> str:
    """Return the smallest change of tank or company that would make it work."""
    if outgrown.at_once:
        return "Choose a kind that stays smaller, or come back for it with the larger tank."
    return say.next_step(ways_out(found.plain, found.bench))
