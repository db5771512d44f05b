"""What would make it work: the smallest sets of changes that bring every animal to a bearable comfort."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from slackwater.plan.changes import Change, Kind, done
from slackwater.plan.clash import bearable
from slackwater.plan.levers import possible_changes
from slackwater.plan.question import Question
from slackwater.plan.rejudge import rejudged, with_best_order
from slackwater.plan.room import too_large_now
from slackwater.rules import Rules
from slackwater.society.judge import Judgement

Tick = Callable[[str], None]
Changes = tuple[Change, ...]

MOST_WAYS = 3
STRONGEST_IN_PAIRS, STRONGEST_IN_TRIPLES = 32, 10
_NEARLY, _HOPEFUL = 1.25, 1.5
_FELT = 0.005


@dataclass(frozen=True)
class Way:
    """A set of changes that works, no part of which can be left out, and how it is judged then."""

    changes: Changes
    verdict: Judgement

    @property
    def effort(self) -> float:
        """What it costs the keeper. [evening]"""
        return effort(self.changes)

    @property
    def kinds(self) -> frozenset[Kind]:
        """The kinds of things that it changes."""
        return frozenset(change.kind for change in self.changes)


@dataclass(frozen=True)
class WhatIf:
    """What a question needs to work.

    `question` has its order fixed; `nearest` is the set that comes nearest, where none works;
    `tried` counts the sets that were judged; `is_whole` is false if the search was stopped.
    """

    question: Question
    verdict: Judgement
    ways: tuple[Way, ...]
    nearest: Way | None
    tried: int
    is_whole: bool


def effort(changes: Changes) -> float:
    """Return what some changes cost the keeper together. [evening]"""
    return sum(change.effort for change in changes)


@dataclass(frozen=True)
class Left:
    """What is left of the trouble: the chance of harm by line [0 to 1], who eats whom, who has no room."""

    burdens: Mapping[str, float]
    meals: frozenset[tuple[str, str]]
    no_room: frozenset[str] = frozenset()

    def excess(self, rules: Rules) -> float:
        """Return how far a company is from bearable: what lines bear beyond it, one for each other. [-]"""
        over = (max(p - rules["bearable"], 0.0) for p in self.burdens.values())
        return sum(over) + len(self.meals) + len(self.no_room)


def expected(before: Left, parts: Sequence[Left]) -> float:
    """Return what the worst-off would bear if each change did to it what it does by itself. [0 to 1]

    What helps a line takes its share of the hazard away, one change after the other; what burdens it
    adds to it.
    """
    worst = 0.0
    for key in set(before.burdens).union(*(part.burdens for part in parts)):
        hazard = now = _hazard(before.burdens.get(key, 0.0))
        for part in parts:
            then = _hazard(part.burdens.get(key, 0.0))
            now = now * then / hazard if then < hazard else now + then - hazard
        worst = max(worst, now)
    return 1.0 - math.exp(-worst)


def _hazard(p: float) -> float:
    return -math.log(max(1.0 - p, 1e-12))


def works(question: Question, verdict: Judgement, rules: Rules) -> bool:
    """Say whether a list works: everyone can bear it, and no wish is too large for the tank at once."""
    return bearable(verdict, rules) and not too_large_now(question, rules)


def left_of(question: Question, verdict: Judgement, rules: Rules) -> Left:
    """Return what is left of the trouble in a company, judged for a question."""
    burdens: dict[str, float] = {}
    for lot in verdict.lots:
        key = lot.animal.party.key
        burdens[key] = max(burdens.get(key, 0.0), float(verdict.community_draws(lot).mean()))
    meals = frozenset(pair for pair, p in verdict.eaten.items() if p >= rules["eaten_from"])
    return Left(burdens, meals, frozenset(w.key for w in too_large_now(question, rules)))


def ways_to_yes(
    question: Question, rules: Rules, tick: Tick = lambda _: None, most: int = MOST_WAYS
) -> WhatIf:
    """Return the smallest sets of changes that make a question work.

    Parameters
    ----------
    question
        The tank, its residents and the wishes.
    rules
        The coefficients, efforts among them.
    tick
        Called with a word on how far the search has come.
    most
        How many ways to seek; each differs from the others in kind.

    Notes
    -----
    Single changes first, then pairs of the 32 strongest by increasing effort, then, if that gives
    too few ways, triples of the 10 strongest. A set is judged in one layout of the rock, and in
    all layouts where that comes near; then every part that can be left out is left out. Larger
    sets are tried only if each animal that bears too much, and each meal, is helped by a part by
    itself, and if the worst-off would come within half as much again of bearable were the parts to help
    as they do alone. A set that holds all the kinds of a way already found is passed over. Pairs and triples
    end where none could be cheaper than the ways found. An interrupt from the keyboard ends the
    search with what was found so far.
    """
    search = _Search(with_best_order(question, rules), rules, tick, most)
    return search.run()


@dataclass
class _Search:
    """One search: what was tried, how strong each single change is, and the ways found."""

    question: Question
    rules: Rules
    tick: Tick
    most: int
    ways: list[Way] = field(default_factory=list)
    left: dict[Changes, Left] = field(default_factory=dict)
    judged: dict[Changes, Judgement] = field(default_factory=dict)

    def run(self) -> WhatIf:
        verdict = rejudged(self.question, self.rules)
        is_whole, works_now = True, works(self.question, verdict, self.rules)
        if not works_now:
            try:
                self._seek(verdict)
            except KeyboardInterrupt:
                is_whole = False
        ways = tuple(sorted(self.ways, key=lambda way: way.effort)[: self.most])
        nearest = None if ways or works_now else self._nearest()
        return WhatIf(self.question, verdict, ways, nearest, max(len(self.left) - 1, 0), is_whole)

    def _seek(self, verdict: Judgement) -> None:
        sketch = rejudged(self.question, self.rules, sketch=True)
        self.left[()] = left_of(self.question, sketch, self.rules)
        changes = self._singles(verdict)
        self._seek_among(self._strongest(changes, STRONGEST_IN_PAIRS), 2)
        if len(self.ways) < self.most:
            self._seek_among(self._strongest(changes, STRONGEST_IN_TRIPLES), 3)

    def _singles(self, verdict: Judgement) -> Changes:
        """Try every single change as soon as it is found, and return them, the least effort first."""
        changes: list[Change] = []
        for change in possible_changes(self.question, verdict, self.rules, self._dearest):
            self.tick(f"single changes: {len(changes) + 1}, {len(self.ways)} found")
            changes.append(change)
            self._try((change,))
        return tuple(sorted(changes, key=lambda change: change.effort))

    def _seek_among(self, changes: Changes, size: int) -> None:
        """Try all sets of a size, the least effort first, until none can be cheaper than those found."""
        sets = sorted(filter(self._may_help, _sets(changes, size)), key=effort)
        for number, tried in enumerate(sets):
            if effort(tried) >= self._dearest():
                return
            self.tick(f"{_SIZES[size]}: {number + 1} of {len(sets)}, {len(self.ways)} found")
            if not self._passed_over(tried):
                self._try(tried)

    def _may_help(self, changes: Changes) -> bool:
        """Say whether all who bear too much, and all that are eaten, are helped by a part by itself."""
        before, parts = self.left[()], [self.left[(change,)] for change in changes]
        if frozenset.intersection(before.meals, *(part.meals for part in parts)):
            return False
        if frozenset.intersection(before.no_room, *(part.no_room for part in parts)):
            return False
        helped = all(
            min(part.burdens.get(key, 0.0) for part in parts) < p - _FELT
            for key, p in before.burdens.items()
            if p >= self.rules["bearable"]
        )
        return helped and expected(before, parts) < _HOPEFUL * self.rules["bearable"]

    def _try(self, changes: Changes) -> None:
        changed = done(self.question, changes)
        sketch = rejudged(changed, self.rules, sketch=True)
        left = self.left[changes] = left_of(changed, sketch, self.rules)
        near = sketch.worst_p < _NEARLY * self.rules["bearable"]
        if sketch.any_eaten or left.no_room or not near or not self._works(changes):
            return
        least = self._least(changes)
        if not self._passed_over(least):
            self.ways.append(Way(least, self._judged(least)))

    def _least(self, changes: Changes) -> Changes:
        """Return the changes without any part that can be left out, the dearest left out first."""
        for part in sorted(changes, key=lambda change: -change.effort):
            rest = tuple(change for change in changes if change is not part)
            if rest and self._works(rest):
                return self._least(rest)
        return changes

    def _judged(self, changes: Changes) -> Judgement:
        if changes not in self.judged:
            self.judged[changes] = rejudged(self.question, self.rules, lambda q: done(q, changes))
        return self.judged[changes]

    def _works(self, changes: Changes) -> bool:
        return works(done(self.question, changes), self._judged(changes), self.rules)

    def _passed_over(self, changes: Changes) -> bool:
        kinds = frozenset(change.kind for change in changes)
        return any(way.kinds <= kinds for way in self.ways)

    def _dearest(self) -> float:
        """Return the effort from which a further way would not be among those shown. [evening]"""
        efforts = sorted(way.effort for way in self.ways)
        return efforts[self.most - 1] if len(efforts) >= self.most else float("inf")

    def _strongest(self, changes: Changes, most: int) -> Changes:
        """Return the single changes that leave least, in their own order."""
        ranked = sorted(changes, key=lambda change: self._excess((change,)))[:most]
        return tuple(change for change in changes if change in ranked)

    def _nearest(self) -> Way | None:
        tried = [changes for changes in self.left if changes]
        if not tried:
            return None
        best = min(tried, key=lambda changes: (self._excess(changes), effort(changes)))
        return Way(best, self._judged(best))

    def _excess(self, changes: Changes) -> float:
        return self.left[changes].excess(self.rules)


_SIZES = {2: "pairs of changes", 3: "three changes"}


def _sets(changes: Changes, size: int) -> Iterator[Changes]:
    for found in itertools.combinations(changes, size):
        if all(a.goes_with(b) for a, b in itertools.combinations(found, 2)):
            yield found
