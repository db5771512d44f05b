"""The best order of releases: for the worst-off animal first, then for the sum."""

from __future__ import annotations

import functools
import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.costs import Burdens, pair_doses
from slackwater.plan.order import best_order, worst_first_order
from slackwater.plan.question import Question
from slackwater.rules import Rules
from slackwater.society.judge import Judgement, Settings, judge

Array = NDArray[np.float64]

_EXACT_ITEMS = 12
_SLACK = 1e-4
_CLEARLY, _SURELY = 0.9, 0.01


@dataclass(frozen=True)
class Sequence:
    """Wishes in the order of release; those of one step are released on one day.

    `cost[g, h]` is what it costs to release group g before group h, `groups` the wishes of each.
    """

    steps: tuple[tuple[int, ...], ...]
    cost: Array
    worst: float
    proof: str
    groups: tuple[tuple[int, ...], ...] = ()

    def group_of(self, wish: int) -> int:
        """Return the group that a wish belongs to."""
        return next(g for g, members in enumerate(self.groups) if wish in members)

    def order(self) -> tuple[int, ...]:
        """Return the wishes in order, those of one day in order of their number."""
        return tuple(wish for step in self.steps for wish in step)


def spaced(question: Question, steps: tuple[tuple[int, ...], ...], gap: float) -> dict[str, float]:
    """Return days of release by key with a fixed gap between steps, before dates are known."""
    days: dict[str, float] = {}
    for number, step in enumerate(steps):
        for item in step:
            days[question.wishes[item].key] = gap * number + 1.0
    return days


def best_sequence(question: Question, rules: Rules) -> Sequence:
    """Return the best order of releases for a question.

    Notes
    -----
    First the least burden of the worst-off animal (filled from the back, exact), then, among the
    orders that keep it, the least sum of pair costs; proven in the pair model at search
    resolution. Rivals are then also tried on one day with the full model.
    """
    n = len(question.groups)
    if n == 0:
        return Sequence((), np.zeros((0, 0)), 0.0, "There is nothing to release.")
    burdens = Burdens(pair_doses(question, rules), rules, n)
    cost = burdens.cost()
    if question.course.steps:
        kept = fixed_steps(question)
        worst = _worst(tuple(dict.fromkeys(_group_of(question, i) for step in kept for i in step)), burdens)
        return Sequence(kept, cost, worst, "The order was given; no other was sought.", question.groups)
    order, worst = worst_first_order(burdens.of, n)
    summed = best_order(cost)
    cap = max(worst, burdens.of_residents()) * (1.0 + 1e-6) + _SLACK
    proof = "worst-off animal: proven best (filled from the back)"
    if _worst(summed.order, burdens) <= cap:
        order = summed.order
        how = "proven least" if summed.proven else f"within {100 * summed.gap:.1f} %"
        proof += f"; sum of pair costs: {how}"
    elif n <= _EXACT_ITEMS:
        order = _capped(burdens, cost, cap)
        proof += "; sum of pair costs among such orders: proven least"
    else:
        proof += "; sum of pair costs: not searched further"
    steps = tuple(question.groups[group] for group in order)
    merged = _rivals_together(question, order, cost, rules)
    if merged != steps:
        proof += "; rivals on one day: better in the full model"
    said = proof + ". Proven for pair costs at 10 cm, first layout."
    return Sequence(merged, cost, worst, said, question.groups)


def fixed_steps(question: Question) -> tuple[tuple[int, ...], ...]:
    """Return the steps that the course of events fixes, as wishes; those it does not name come last."""
    number = {w.key: n for n, w in enumerate(question.wishes)}
    named = tuple(tuple(number[k] for k in step if k in number) for step in question.course.steps)
    placed = {item for step in named for item in step}
    rest = tuple(tuple(i for i in group if i not in placed) for group in question.groups)
    return tuple(step for step in (*named, *rest) if step)


def _group_of(question: Question, wish: int) -> int:
    return next(g for g, members in enumerate(question.groups) if wish in members)


def _worst(order: tuple[int, ...], burdens: Burdens) -> float:
    return max(burdens.of(item, frozenset(order[:k])) for k, item in enumerate(order))


def _capped(burdens: Burdens, cost: Array, cap: float) -> tuple[int, ...]:
    """Return the order of least sum among those that burden nobody above `cap`, exactly.

    Dynamic programming over the set already released: what an item bears depends only on that
    set, and so does what it adds to the sum.
    """
    n = burdens.items

    @functools.cache
    def best(done: frozenset[int]) -> tuple[float, tuple[int, ...]]:
        if len(done) == n:
            return 0.0, ()
        options = []
        for item in range(n):
            if item in done or burdens.of(item, done) > cap:
                continue
            rest, tail = best(done | {item})
            paid = sum(float(cost[earlier, item]) for earlier in done)
            options.append((rest + paid, (item, *tail)))
        return min(options, default=(float("inf"), ()))

    return best(frozenset())[1]


def _rivals_together(
    question: Question, order: tuple[int, ...], cost: Array, rules: Rules
) -> tuple[tuple[int, ...], ...]:
    """Return the steps with the fiercest rivals on one day, where the full model finds it better."""
    steps = tuple(question.groups[group] for group in order)
    pairs = [(float(cost[i, j]), -at) for at, (i, j) in enumerate(itertools.pairwise(order))]
    if not pairs or max(pairs)[0] < rules["rivals_from"]:
        return steps
    at = -max(pairs)[1]
    together = (*steps[:at], (*steps[at], *steps[at + 1]), *steps[at + 2 :])
    gap = rules["spacing_days"]
    apart_p = coarse(question, spaced(question, steps, gap), rules).worst_p
    joint_p = coarse(question, spaced(question, together, gap), rules).worst_p
    return together if joint_p < _CLEARLY * apart_p - _SURELY else steps


def coarse(question: Question, days: dict[str, float], rules: Rules) -> Judgement:
    """Return a quick judgement in one layout, for searching."""
    return judge(question.situation(days, layouts=1), Settings.search(), rules)
