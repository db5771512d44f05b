"""The search through the parts of a wish list: solver and full model in turn, each teaching the other."""

from __future__ import annotations

import datetime as dt
import functools
import math
from dataclasses import dataclass, field, replace

import numpy as np

from slackwater.plan.ceilings import crowded, going_short
from slackwater.plan.choose_model import MINDED, Bounds, Ceiling, Cut, pick, wish_by_wish
from slackwater.plan.dates import schedule
from slackwater.plan.food_rows import FoodTable, Shortage, food_table
from slackwater.plan.pool import Array, Pool, pool_of
from slackwater.plan.question import Question, Wanted
from slackwater.plan.tank_rows import shared_by_all
from slackwater.plan.trials import Trial, Trials, Wishes, clashes_of, peacekeepers
from slackwater.rules import Rules
from slackwater.units import money

EPSILON = 1e-9

_MOST_TRIES, _MOST_STARVED = 60, 100
_MOST_WORK = 8_000
"""Squares of the numbers of animals that the search for a proof may judge, which is as long as it takes."""
_PUSH = 0.1


@dataclass(frozen=True)
class Terms:
    """What the keeper allows: money, number of releases, a last day, and the worst comfort borne.

    `worst` is a chance of harm; [0 to 1] that of the rules if left out. `either` lists the wishes,
    by number, that are one wish in several sizes or sexes.
    """

    spend: float | None = None
    releases: int | None = None
    until: dt.date | None = None
    worst: float | None = None
    either: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True)
class Search:
    """What stays the same while choosing from one list."""

    pool: Pool
    bounds: Bounds
    trials: Trials
    rules: Rules

    @functools.cached_property
    def most(self) -> Array:
        """Greatest hazard over 90 days by line. [-]"""
        return np.array([-math.log(1.0 - p) for p in self.bounds.worst])

    @functools.cached_property
    def most_of_food(self) -> Array:
        """Greatest hazard over 90 days by line of going short; residents keep what they have. [-]"""
        here = np.arange(len(self.most)) < self.pool.residents
        return np.maximum(self.most, np.where(here, going_short(self.pool, frozenset()), 0.0))

    @functools.cached_property
    def food(self) -> FoodTable:
        """What every animal needs of the food."""
        return food_table(self.pool, self.most_of_food)

    @functools.cached_property
    def ways(self) -> list[tuple[int, ...]]:
        """The sizes and sexes in which each wish can be had, by number, one tuple for each wish."""
        return wish_by_wish(len(self.pool.wishes), self.bounds.either)

    def is_everything(self, wishes: Wishes) -> bool:
        """Say whether every wish is met in one of its ways."""
        return all(wishes & set(ways) for ways in self.ways)

    def best_so_far(self) -> Trial:
        """Return the dearest company that the full model was found to bear; nobody if there is none."""
        good = [t for t in self.trials.known.values() if t.is_bearable and not self.starves(t.wishes)]
        return max(good, key=lambda t: self.weight(t.wishes), default=self.trials.of(frozenset()))

    def starves(self, wishes: Wishes, worst: float | None = None) -> bool:
        """Say whether someone goes short in a company beyond bearing, which takes no full judgement."""
        most = self.most_of_food if worst is None else np.maximum(self.most_of_food, -math.log(1.0 - worst))
        return bool((going_short(self.pool, wishes) > most).any())

    def borne(self, trial: Trial) -> dict[int, float]:
        """Return what each line bears in a trial, by number. [0 to 1]"""
        lines = (*self.pool.question.residents, *self.pool.wishes)
        number = {wanted.key: n for n, wanted in enumerate(lines)}
        return {number[b.key]: b.p for b in trial.borne}

    def weight(self, wishes: Wishes) -> float:
        """Return the sum of some wishes."""
        return sum(self.pool.wishes[n].wish for n in sorted(wishes))

    @property
    def tried(self) -> int:
        """How many companies the full model has judged."""
        return len(self.trials.known)


def search_of(question: Question, terms: Terms, rules: Rules) -> Search:
    """Return what a search through the parts of a wish list needs, made once."""
    worst = rules["choose_worst"] if terms.worst is None else terms.worst
    trials = Trials(question, rules, worst, terms.until)
    lines = (*question.residents, *question.wishes)
    bounds = Bounds(
        worst=tuple(trials.cap(w) for w in lines),
        prices=tuple(price_of(w) or 0.0 for w in question.wishes),
        spend=terms.spend,
        releases=_releases(question, terms, rules),
        shared=shared_by_all(question, rules),
        either=terms.either,
    )
    return Search(pool_of(question, rules), bounds, trials, rules)


def price_of(wanted: Wanted) -> float | None:
    """Return what all animals of a wish cost, None where no price is known."""
    return None if wanted.price is None else float(money(wanted.price, "price").amount) * wanted.count


def _releases(question: Question, terms: Terms, rules: Rules) -> int | None:
    """Return the most releases that keeper, quarantine and a last day allow, None for any number."""
    if terms.until is None:
        return terms.releases
    patient = replace(question, running_since=None)
    steps = tuple((0,) for _ in question.groups)
    slots = schedule(patient, steps, rules) if question.wishes else ()
    in_time = sum(slot.release <= terms.until for slot in slots)
    return in_time if terms.releases is None else min(in_time, terms.releases)


@dataclass(frozen=True)
class Refused:
    """A company that the full model refuses: a smallest clash of it, and what that surely cuts off."""

    core: Wishes
    sure: Cut
    is_handful: bool = True


@dataclass
class Learnt:
    """What a search has learnt: clashes, and where many together are too much for one.

    `shortages` are the rows of the food, `starved` companies that go short though no row bars them.
    """

    refused: list[Refused] = field(default_factory=list)
    ceilings: list[Ceiling] = field(default_factory=list)
    shortages: list[Shortage] = field(default_factory=list)
    starved: list[Cut] = field(default_factory=list)

    def learn(self, refused: list[Refused]) -> None:
        """Add what is new."""
        self.refused += [one for one in refused if one not in self.refused]

    def starve(self, wishes: Wishes, found: list[Shortage]) -> None:
        """Add the rows of a company in which some go short; without any it is barred by itself."""
        new = [row for row in found if row not in self.shortages]
        self.shortages += new
        if not new:
            self.starved.append(Cut(wishes, nobody_else=True))

    def clashes(self) -> list[Wishes]:
        """Return the handfuls that clash by themselves."""
        return [one.core for one in self.refused if one.is_handful]


def dearest_bearable(search: Search, learnt: Learnt, shown: list[Wishes]) -> Trial | None:
    """Return the dearest company that the full model bears, taking each clash for one anywhere."""
    last: Wishes = frozenset()
    tries, starved = 0, 0
    while tries < _MOST_TRIES and starved < _MOST_STARVED:
        cuts = [Cut(core) for core in dict.fromkeys(one.core for one in learnt.refused)]
        picked = pick(
            search.pool,
            search.bounds,
            [*cuts, *learnt.starved],
            shown,
            ceilings=learnt.ceilings,
            shortages=learnt.shortages,
        )
        if picked is None:
            return None
        if picked.ran_out:
            break
        last = picked.wishes
        if search.starves(last):
            starved += 1
            learnt.starve(last, search.food.against(last))
        elif search.trials.refuses(last):
            tries += 1
            _learn(search, learnt, last, 1.0 + _PUSH * tries)
        else:
            return search.trials.of(last)
    return None if shown else _thinned(search, last)


def _thinned(search: Search, wishes: Wishes) -> Trial:
    """Return what is left that the full model bears, the least dear of those in trouble taken out."""
    while search.starves(wishes) or search.trials.refuses(wishes):
        trial = search.trials.of(wishes)
        named = {name for victim, by in trial.beyond_bearing() for name in (victim, *by)}
        listed = search.pool.wishes
        blamed = [n for n in wishes if {listed[n].key, listed[n].species.name} & named]
        wishes -= {min(blamed or wishes, key=lambda n: (listed[n].wish, -n))}
    return search.trials.of(wishes)


def _learn(search: Search, learnt: Learnt, wishes: Wishes, push: float = 1.0) -> None:
    """Learn from a refused company: its clashes, or else who bears too much from many.

    A clash may be borne where larger animals hold the fighters back, so it surely cuts off only
    companies without such animals beyond those that were there.
    """
    trial = search.trials.of(wishes)
    clashes = [] if trial.too_late else clashes_of(wishes, search.trials)
    learnt.learn([_sure(search, wishes, core) for core in clashes])
    if not clashes:
        learnt.learn([Refused(wishes, Cut(wishes, nobody_else=not trial.too_late), is_handful=False)])
        learnt.ceilings += crowded(search.pool, search.most, wishes, search.borne(trial), push)


def _sure(search: Search, wishes: Wishes, core: Wishes) -> Refused:
    able = peacekeepers(core, search.trials.of(core), search.pool, MINDED)
    held = core | (able & wishes)
    if held != core and search.trials.of(held).is_bearable:
        return Refused(core, Cut(wishes, nobody_else=True))
    return Refused(core, Cut(core, able - wishes))


def proved(search: Search, learnt: Learnt, best: Trial) -> tuple[Trial, float]:
    """Return the best company known, and a sum of wishes that none exceeds.

    Whoever goes short in the quick look does so in the full model.
    """
    bound, work = float("inf"), 0
    while work < _MOST_WORK and len(learnt.starved) < _MOST_STARVED:
        cuts = [*learnt.starved, *(one.sure for one in learnt.refused)]
        picked = pick(search.pool, search.bounds, cuts, shortages=learnt.shortages)
        bound = min(bound, picked.bound) if picked else 0.0
        if picked is None or picked.ran_out or bound <= search.weight(best.wishes) + EPSILON:
            break
        if search.starves(picked.wishes):
            learnt.starve(picked.wishes, search.food.against(picked.wishes))
            continue
        work += sum(search.pool.wishes[n].count for n in picked.wishes) ** 2
        if search.trials.refuses(picked.wishes):
            _learn(search, learnt, picked.wishes)
        elif search.weight(picked.wishes) > search.weight(best.wishes):
            best = search.trials.of(picked.wishes)
    return best, max(bound, search.weight(best.wishes))
