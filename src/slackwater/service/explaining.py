"""Why one animal troubles another: the factors of the attack rate, both ways, with who says so."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.plan.records import Assumption
from slackwater.rules import Rules, load_rules
from slackwater.service.animals import all_meant
from slackwater.service.counter import Told, scene_of
from slackwater.service.house import notes_behind
from slackwater.society.company import Individual
from slackwater.society.explain import Factor, explain, moment_of
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.society.spread import pair_outlook

EXPLAINING = Settings(fine=False, draws=48)


@dataclass(frozen=True)
class FactorRow:
    """One factor: its value beside an unremarkable one, in words, and who says so.

    `weight` is value over usual: above 1 it makes things worse. [-]
    """

    symbol: str
    name: str
    value: float
    unit: str
    usual: float
    weight: float
    words: str
    says_who: str


@dataclass(frozen=True)
class Direction:
    """What one animal does to another.

    `product` is the product of the factors and `rate` the same after limited time, dilution and
    third parties [1/h]; `harm` is the chance of harm by this attacker alone over the victim's
    worst 90 days [0 to 1], `word` the comfort that this alone would leave. Nine in ten draws lie
    between the low and the high of each; `sure` says how many agree on whether the victim copes.
    """

    attacker: str
    victim: str
    sentence: str
    product: float
    rate: float
    harm: float
    word: str
    trouble: str
    lever: str
    factors: tuple[FactorRow, ...]
    strongest: tuple[str, ...]
    rate_low: float
    rate_high: float
    harm_low: float
    harm_high: float
    sure: str


@dataclass(frozen=True)
class PairAnswer:
    """Why A troubles B, and B troubles A, on a day after the later one came."""

    first: str
    second: str
    first_scientific_name: str
    second_scientific_name: str
    day: float
    there: Direction
    back: Direction
    company: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    house_notes: tuple[str, ...] = ()


def explain_pair(first: str, second: str, told: Told, rules: Rules | None = None) -> PairAnswer:
    """Return why one animal troubles another, a week after the second came.

    Parameters
    ----------
    first, second
        The two, in the customer's words; the first was there before the second.
    told
        The tank, and who else lives there.

    Raises
    ------
    InputError
        If a name is ambiguous, or a fact cannot be.
    InputErrors
        If several names will not do.
    UnknownTaxonError
        If nobody goes by a name.
    """
    rules = rules or load_rules()
    asked = [(first, "the first animal"), (second, "the second animal")]
    a, b, *others = all_meant([*asked, *((said, "a resident") for said in told.residents)])
    scene, doubts = scene_of(told, (b,), (a, *others))
    verdict = judge(scene.situation(), EXPLAINING, rules)
    one = _animal(verdict, scene.residents[0].key)
    two = _animal(verdict, scene.newcomers[0].key)
    there, back = direction_of(verdict, one, two), direction_of(verdict, two, one)
    return PairAnswer(
        first=one.species.common_name,
        second=two.species.common_name,
        first_scientific_name=one.species.name,
        second_scientific_name=two.species.name,
        day=moment_of(verdict, one, two)[1],
        there=there,
        back=back,
        company=tuple(p.species.common_name for p in scene.residents[1:]),
        assumptions=tuple(Assumption(d.what, d.taken, "") for d in doubts),
        house_notes=notes_behind(scene.species_names),
    )


def _animal(verdict: Judgement, key: str) -> Individual:
    return next(a for a in verdict.situation.animals if a.party.key == key)


def direction_of(verdict: Judgement, attacker: Individual, victim: Individual) -> Direction:
    """Return what one animal does to another, as it is shown."""
    told = explain(verdict, attacker, victim)
    drawn = pair_outlook(verdict, attacker, victim, moment_of(verdict, attacker, victim))
    return Direction(
        attacker=told.attacker,
        victim=told.victim,
        sentence=told.sentence,
        product=told.product,
        rate=told.rate,
        harm=told.harm,
        word=ease(told.harm, verdict.rules).value,
        trouble=told.trouble,
        lever=told.lever,
        factors=tuple(_row(factor) for factor in told.factors),
        strongest=tuple(factor.name for factor in told.strongest),
        rate_low=drawn.attacks.low,
        rate_high=drawn.attacks.high,
        harm_low=drawn.harm.low,
        harm_high=drawn.harm.high,
        sure=drawn.sure,
    )


def _row(factor: Factor) -> FactorRow:
    return FactorRow(
        symbol=factor.symbol,
        name=factor.name,
        value=factor.value,
        unit="" if factor.unit == "-" else factor.unit,
        usual=factor.usual,
        weight=factor.weight,
        words=factor.words,
        says_who=factor.says_who,
    )
