"""Reasons: how each animal fares and from whom, and each "A before B" that matters."""

from __future__ import annotations

import itertools
import math

import numpy as np

from slackwater.plan.clash import trouble
from slackwater.plan.draft import Draft, worst_lot
from slackwater.plan.order import COUNT_LIMIT, optimal_orders
from slackwater.plan.question import Wanted
from slackwater.plan.records import (
    Before,
    Comfort,
    OrderCount,
)
from slackwater.society.company import Individual
from slackwater.society.explain import explain
from slackwater.society.judge import Lot

BLAMED_FROM = 0.01
MOST_BEFORES = 3


def comfort(made: Draft, wanted: Wanted) -> Comfort:
    """Return how the worst-off animal of a line fares, in words and numbers."""
    lot = worst_lot(made.lots(wanted))
    word = made.verdict.ease(lot)
    harm = {k: round(v, 6) for k, v in sorted(lot.harm.items())}
    cause = max(harm, key=lambda k: harm[k])
    by = max(lot.by, key=lambda s: lot.by[s]) if lot.by else ""
    blamed = by if cause in {"fought", "bitten"} and lot.by.get(by, 0.0) > BLAMED_FROM else None
    told = made.spread.outlook(lot)
    return Comfort(
        p=lot.p,
        word=word.value,
        harm=harm,
        chases_per_hour=lot.chases_per_h,
        worst_from=common(made, blamed) if blamed else None,
        sentence=_comfort_sentence(made, wanted, lot, cause, blamed),
        low=told.harm.low,
        high=told.harm.high,
        two_outcomes=told.two_outcomes,
        chases_low_per_hour=told.attacks.low,
        chases_high_per_hour=told.attacks.high,
        sure=told.sure,
    )


def common(made: Draft, name: str) -> str:
    """Return the common name of one of the company by its scientific name."""
    for wanted in (*made.question.residents, *made.question.wishes):
        if wanted.species.name == name:
            return wanted.species.common_name
    return name


def _comfort_sentence(made: Draft, wanted: Wanted, lot: Lot, cause: str, blamed: str | None) -> str:
    if lot.p < made.rules["ease.at_ease"]:
        return "no trouble expected"
    if cause in {"fought", "bitten"} and blamed:
        verb = "chased" if cause == "fought" else "nipped"
        own = blamed == wanted.species.name
        who = "its own kind" if own else common(made, blamed)
        return f"{verb} by {who}, about {lot.chases_per_h:.1f} times an hour"
    return {
        "outcompeted": "may come off worst at the food",
        "cramped": "grows too large for this tank",
        "unmet need": "lacks something it needs",
        "jumped": "apt to jump: cover the tank without gaps",
        "eaten": "may be eaten",
    }.get(cause, "some chasing")


def befores(made: Draft) -> tuple[Before, ...]:
    """Return the "A before B" that matter, each with its reason."""
    sequence, q = made.sequence, made.question
    order = list(dict.fromkeys(sequence.group_of(wish) for wish in sequence.order()))
    step_of = {sequence.group_of(i): n for n, slot in enumerate(made.slots) for i in slot.items}
    rows = [
        (float(sequence.cost[h, g] - sequence.cost[g, h]), g, h)
        for g, h in itertools.combinations(order, 2)
        if step_of[g] != step_of[h]
    ]
    kept = sorted((row for row in rows if row[0] >= made.rules["matters"]), reverse=True)
    return tuple(
        _before(made, q.wishes[sequence.groups[g][0]], q.wishes[sequence.groups[h][0]], gain)
        for gain, g, h in kept[:MOST_BEFORES]
    )


def order_count(made: Draft) -> OrderCount | None:
    """Return how many orders keep the "A before B" that matter, and how many are best.

    The releases are counted as the plan groups them; None for more than can be counted.
    """
    groups = made.sequence.groups
    if not 1 < len(groups) <= COUNT_LIMIT:
        return None
    name = {made.question.wishes[members[0]].species.common_name: g for g, members in enumerate(groups)}
    pairs = [(name[row.first], name[row.then]) for row in befores(made)]
    every, free = math.factorial(len(groups)), np.zeros_like(made.sequence.cost)
    return OrderCount(
        every=every,
        kept=optimal_orders(free, before=pairs, most=every),
        best=optimal_orders(made.sequence.cost),
    )


def _before(made: Draft, first: Wanted, then: Wanted, gain: float) -> Before:
    return Before(first.species.common_name, then.species.common_name, _why_before(made, first, then), gain)


def _first(made: Draft, wanted: Wanted) -> Individual:
    return made.lots(wanted)[0].animal


def _why_before(made: Draft, first: Wanted, then: Wanted) -> str:
    told = explain(made.verdict, _first(made, then), _first(made, first))
    name, other = then.species.common_name, first.species.common_name
    if told.trouble == "recognition":
        return f"the {name} takes it for a rival and, as owner, would chase it three times as much"
    return f"the {name} would own the rock and treat {other} as an intruder"


def chaser(made: Draft) -> Wanted | None:
    """Return the line of the company that makes the most trouble, if anyone does."""
    if not made.verdict.lots:
        return None
    by, _, _ = trouble(made.verdict)
    company = (*made.question.residents, *made.question.wishes)
    return next((w for w in company if w.species.name == by), None)
