"""The best company from a wish list, others that differ from it, and for what it is proven best."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

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
from slackwater.plan.trials import Trial, Wishes
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
    companies judged by the full model; `is_whole` is false where the search was stopped; `whole` is
    the trial of the whole list where it could be borne, though not in peace.
    """

    choices: tuple[Choice, ...]
    everything: bool
    proven: bool
    bound: float
    gap: float
    proof: str
    clashes: tuple[Clashing, ...]
    tried: int
    is_whole: bool = True
    whole: Trial | None = None


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
    the smallest part that it refuses too, and the search goes on. An interrupt from the keyboard
    ends it with the best so far.
    """
    rules = rules or load_rules()
    tick("what each could do to the others")
    terms = terms or Terms()
    hunt = _Hunt(search_of(question, terms, rules), terms, tick, most)
    is_whole = hunt.run()
    return _told(hunt, is_whole=is_whole)


class _Hunt:
    """One search for choices: what was learnt, the companies found, and a bound on all."""

    def __init__(self, search: Search, terms: Terms, tick: Tick, most: int) -> None:
        self.search, self.terms, self.tick, self.most = search, terms, tick, most
        self.learnt = Learnt(shortages=search.food.always())
        self.bound = sum(max(search.pool.wishes[n].wish for n in ways) for ways in search.ways)
        self.found: list[Trial] = []
        self.clashes: tuple[Clashing, ...] = ()

    def run(self) -> bool:
        """Search, and say whether it came to its end."""
        try:
            self._seek()
        except KeyboardInterrupt:
            self.found = self.found or [self.search.best_so_far()]
            return False
        return True

    def _seek(self) -> None:
        search, learnt = self.search, self.learnt
        self.tick("the best company")
        best = dearest_bearable(search, learnt, []) or search.trials.of(frozenset())
        self.found = [best]
        self.tick("whether any is better")
        best, self.bound = proved(search, learnt, best)
        self.found = [best]
        while best.wishes and len(self.found) < self.most:
            self.tick(f"another company ({len(self.found) + 1})")
            other = dearest_bearable(search, learnt, [trial.wishes for trial in self.found])
            if other is None or not other.wishes:
                break
            self.found.append(other)
        if not search.is_everything(best.wishes):
            self.tick("why not everything")
            self.clashes = self._why_not()

    def _why_not(self) -> tuple[Clashing, ...]:
        """Return why not everything, told of each wish in the first of its ways."""
        search, clashes = self.search, self.learnt.clashes()
        chosen = [trial.wishes for trial in self.found]
        if not self.terms.either:
            return why_not(search, clashes, chosen)
        first = frozenset(ways[0] for ways in search.ways)
        plain = search_of(search.trials.part(first), replace(self.terms, either=()), search.rules)
        known = [self._met(core) for core in clashes if core <= first]
        return why_not(plain, known, [self._met(own) for own in chosen])

    def _met(self, wishes: Wishes) -> Wishes:
        """Return which wishes of the list are met, however they are."""
        return frozenset(n for n, ways in enumerate(self.search.ways) if wishes & set(ways))


def _told(hunt: _Hunt, *, is_whole: bool) -> Choices:
    search, best = hunt.search, hunt.found[0]
    weight, everything = search.weight(best.wishes), search.is_everything(best.wishes)
    bound = max(hunt.bound, weight)
    gap = (bound - weight) / bound if bound > 0.0 else 0.0
    proven = bound <= weight + EPSILON
    return Choices(
        choices=tuple(_choice(search, trial) for trial in hunt.found if trial.wishes),
        everything=everything,
        proven=proven,
        bound=bound,
        gap=gap,
        proof=_proof(gap, proven=proven),
        clashes=hunt.clashes,
        tried=search.tried,
        is_whole=is_whole,
        whole=None if everything or not is_whole else _borne_whole(search),
    )


def _borne_whole(search: Search) -> Trial | None:
    """Return the trial of the whole list where everyone could bear it, though not in peace."""
    every = frozenset(ways[0] for ways in search.ways)
    if any(search.pool.outgrown) or search.starves(every, search.rules["bearable"]):
        return None
    trial = search.trials.of(every)
    borne = all(b.p < max(search.rules["bearable"], b.cap) for b in trial.borne)
    return trial if borne and not trial.eaten and not trial.too_late else None


def _proof(gap: float, *, proven: bool) -> str:
    if proven:
        return (
            "Proven best, at the sizes listed: no dearer company keeps the food race, the room, the mouths, "
            "and the least that every pair could deal, each in its kindest order; each dearer one that does "
            "was refused by the full model. That least was measured to lie below the full model."
        )
    return f"Best found: a dearer company by up to {100.0 * gap:.1f} % was not ruled out."


def _choice(search: Search, trial: Trial) -> Choice:
    wishes = search.pool.wishes
    chosen = tuple(w for n, w in enumerate(wishes) if n in trial.wishes)
    return Choice(
        wishes=chosen,
        left_out=tuple(wishes[ways[0]] for ways in search.ways if not trial.wishes & set(ways)),
        steps=tuple(tuple(wishes[n] for n in step) for step in trial.steps),
        weight=search.weight(trial.wishes),
        price=sum(price_of(w) or 0.0 for w in chosen),
        unpriced=tuple(w for w in chosen if w.price is None),
        trial=trial,
    )
