"""What was counted of single animals, put beside what the model expects, before a plan is made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from slackwater.plan.question import Question, Wanted
from slackwater.rules import Rules, load_rules
from slackwater.service.tankfile_parts import Seen
from slackwater.society.attacks import temper_per_h
from slackwater.society.company import Individual
from slackwater.society.individual import SHOP, Tally, own_temper
from slackwater.society.judge import Judgement, Settings, central_rates, judge


def with_tallies(question: Question, seen: Mapping[str, Seen]) -> Question:
    """Return the question with each counted animal's own temper beside its species' value.

    Parameters
    ----------
    question
        The question before anything counted is used.
    seen
        What was counted, by key of the animal.
    """
    if not seen:
        return question
    rules = load_rules()
    verdict = judge(question.situation({}, layouts=1), Settings.search(), rules)

    def known(wanted: Wanted) -> Wanted:
        counted = seen.get(wanted.key)
        return _own(wanted, counted, verdict, rules) if counted else wanted

    return replace(
        question,
        residents=tuple(known(w) for w in question.residents),
        wishes=tuple(known(w) for w in question.wishes),
    )


def _own(wanted: Wanted, counted: Seen, verdict: Judgement, rules: Rules) -> Wanted:
    expected = _expected_per_h(wanted, counted.where, verdict, rules)
    told = own_temper(Tally(counted.chases, counted.minutes / 60.0, expected, counted.where), rules)
    return replace(wanted, own_temper=told.factor, own_sigma=told.sigma, seen=told.sentence)


def _expected_per_h(wanted: Wanted, where: str, verdict: Judgement, rules: Rules) -> float:
    """Return the chases an hour that an animal of ordinary temper would deal there. [1/h]

    In the tank: on everyone there by the model. In a shop's cube, or alone: a share of its temper
    towards its own kind (assumed).
    """
    ordinary = temper_per_h(Individual(0, 0, replace(wanted, resident=False).party(0.0), 0), rules)
    usual = rules["cube_share"] * ordinary
    mine = [a.index for a in verdict.situation.animals if a.party.key == wanted.key]
    if where == SHOP or not mine or not verdict.spans:
        return usual
    span = verdict.spans[-1]
    rates = central_rates(verdict, span, span.end)["rate"]
    return max(float(rates[mine[0]].sum()), 0.01 * usual)
