"""The best company from a wish list, others that differ from it, and for what it is proven best."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slackwater.plan.question import Question, Wanted
from slackwater.plan.search import (
    EPSILON,
    Learnt,
    Search,
    Terms,
    dearest_bearable,
    price_of,
    proved,
    search_of,
)
from slackwater.plan.trials import Trial
from slackwater.plan.whynot import Clashing, why_not
from slackwater.rules import Rules, load_rules

Tick = Callable[[str], None]

MOST_CHOICES = 10


@dataclass(frozen=True)
class Choice:
    """One company that a wish list allows, in its order of release.

    `weight` is the sum of its wishes, `price` what they cost where prices are known.
    """

    wishes: tuple[Wanted, ...]
    left_out: tuple[Wanted, ...]
    steps: tuple[tuple[Wanted, ...], ...]
    weight: float
    price: float
    unpriced: tuple[Wanted, ...]
    trial: Trial


@dataclass(frozen=True)
class Choices:
    """What can be made of a wish list: the best first, then others that clearly differ.

    `bound` is a sum of wishes that no company exceeds, `gap` how far the best lies below it. [-]
    `clashes` are the smallest sets that stand between the list and all of it; `tried` counts the
    companies judged by the full model.
    """

    choices: tuple[Choice, ...]
    everything: bool
    proven: bool
    bound: float
    gap: float
    proof: str
    clashes: tuple[Clashing, ...]
    tried: int


def choose(
    question: Question,
    terms: Terms | None = None,
    *,
    most: int = MOST_CHOICES,
    rules: Rules | None = None,
    tick: Tick = lambda _: None,
) -> Choices:
    """Return the best company that a wish list allows, and others that clearly differ from it.

    Parameters
    ----------
    question
        The tank, its residents and all wishes with their weights.
    terms
        What the keeper allows.
    most
        How many companies to offer at most.
    rules
        The coefficients; those of the package if left out.
    tick
        Called with the name of each step of the work.

    Notes
    -----
    The solver caps what each animal bears by the least that every pair could deal, so that its
    optimum is a bound. A company that the full model then refuses in its best order is cut off at
    the smallest part that it refuses too, and the search goes on.
    """
    rules = rules or load_rules()
    tick("what each could do to the others")
    search = search_of(question, terms or Terms(), rules)
    tick("the best company")
    learnt = Learnt(shortages=search.food.always())
    best = dearest_bearable(search, learnt, []) or search.trials.of(frozenset())
    tick("whether any is better")
    best, bound = proved(search, learnt, best)
    found = [best]
    while best.wishes and len(found) < most:
        tick(f"another company ({len(found) + 1})")
        other = dearest_bearable(search, learnt, [trial.wishes for trial in found])
        if other is None or not other.wishes:
            break
        found.append(other)
    tick("why not everything")
    return _told(search, learnt, found, bound)


def _told(search: Search, learnt: Learnt, found: list[Trial], bound: float) -> Choices:
    best = found[0]
    weight, everything = search.weight(best.wishes), len(best.wishes) == len(search.pool.wishes)
    gap = (bound - weight) / bound if bound > 0.0 else 0.0
    return Choices(
        choices=tuple(_choice(search, trial) for trial in found if trial.wishes),
        everything=everything,
        proven=bound <= weight + EPSILON,
        bound=bound,
        gap=gap,
        proof=_proof(gap, proven=bound <= weight + EPSILON),
        clashes=() if everything else why_not(search, learnt.clashes(), [t.wishes for t in found]),
        tried=len(search.trials.known),
    )


def _proof(gap: float, *, proven: bool) -> str:
    if proven:
        return (
            "Proven best: no dearer company keeps even the least that every pair could deal, each in "
            "its kindest order, and each dearer one that does was refused by the full model. The "
            "least is measured to lie below the full model, not proven to."
        )
    return f"Best found: a dearer company by up to {100.0 * gap:.1f} % was not ruled out."


def _choice(search: Search, trial: Trial) -> Choice:
    wishes = search.pool.wishes
    chosen = tuple(w for n, w in enumerate(wishes) if n in trial.wishes)
    return Choice(
        wishes=chosen,
        left_out=tuple(w for n, w in enumerate(wishes) if n not in trial.wishes),
        steps=tuple(tuple(wishes[n] for n in step) for step in trial.steps),
        weight=search.weight(trial.wishes),
        price=sum(price_of(w) or 0.0 for w in chosen),
        unpriced=tuple(w for w in chosen if w.price is None),
        trial=trial,
    )
