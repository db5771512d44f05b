"""Companies put to the full model: judged in their best order, remembered, and cut to the clash."""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from slackwater.plan.costs import Burdens, pair_doses
from slackwater.plan.dates import schedule
from slackwater.plan.order import worst_first_order
from slackwater.plan.pool import Pool
from slackwater.plan.question import Question, Wanted
from slackwater.plan.sequence import coarse, spaced
from slackwater.rules import Rules
from slackwater.society.harm import Mood, ease
from slackwater.society.judge import Judgement, Lot

Wishes = frozenset[int]
_WORSE_BY, _ALMOST_SURE = 0.02, 0.999
_MOST_CLASHES, _HANDFUL = 8, 4


@dataclass(frozen=True)
class Borne:
    """What one line bears in a company: its worst animal's chance of harm, from whom and how."""

    key: str
    p: float
    word: str
    outcome: str
    by: tuple[str, ...]
    cap: float

    @property
    def is_bearable(self) -> bool:
        """Whether it stays within its cap."""
        return self.p < self.cap


@dataclass(frozen=True)
class Trial:
    """One company judged: its steps of release, what each line bears, and who is eaten by whom."""

    wishes: Wishes
    steps: tuple[tuple[int, ...], ...]
    borne: tuple[Borne, ...]
    eaten: tuple[tuple[str, str], ...]
    mood: str
    too_late: bool = False

    @property
    def is_bearable(self) -> bool:
        """Whether everyone stays within its cap, nobody is eaten, and the dates can be kept."""
        return not self.eaten and not self.too_late and all(b.is_bearable for b in self.borne)

    @property
    def worst(self) -> Borne | None:
        """The line that is worst off beside its cap."""
        return max(self.borne, key=lambda b: (not b.is_bearable, b.p), default=None)

    def beyond_bearing(self) -> list[tuple[str, tuple[str, ...]]]:
        """Return who is eaten or bears more than its cap, and from whom; the worst first."""
        worst_first = sorted(self.borne, key=lambda b: -b.p)
        return [
            *((prey, (hunter,)) for hunter, prey in self.eaten),
            *((b.key, b.by) for b in worst_first if not b.is_bearable),
        ]

    def blamed(self) -> tuple[str, tuple[str, ...], str]:
        """Return who suffers most beyond bearing, from whom, most to blame first, and how."""
        if self.eaten:
            hunter, prey = self.eaten[0]
            return prey, (hunter,), "eaten"
        worst = self.worst
        return (worst.key, worst.by, worst.outcome) if worst else ("", (), "")


@dataclass
class Trials:
    """The full model's answers on parts of one wish list, each asked once.

    `worst` is the greatest chance of harm that an animal may bear, `until` the last day on which
    one may be released.
    """

    question: Question
    rules: Rules
    worst: float
    until: dt.date | None = None
    known: dict[Wishes, Trial] = field(default_factory=dict)
    before: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Judge the residents by themselves: what they bear already is no choice's fault."""
        if self.question.residents:
            verdict = coarse(replace(self.question, wishes=()), {}, self.rules)
            self.before = {w.key: _worst_p(verdict, w) for w in self.question.residents}
            self.eaten_before = set(_eaten(verdict))
        else:
            self.eaten_before = set()

    def cap(self, wanted: Wanted) -> float:
        """Return the greatest chance of harm that a line may bear; residents' own trouble is theirs."""
        if not wanted.resident:
            return self.worst
        return max(self.worst, min(self.before[wanted.key] + _WORSE_BY, _ALMOST_SURE))

    def of(self, wishes: Wishes) -> Trial:
        """Return how a company fares in its best order, with all residents."""
        if wishes not in self.known:
            self.known[wishes] = self._judged(wishes)
        return self.known[wishes]

    def beside(self, wishes: tuple[Wanted, ...]) -> Trials:
        """Return trials of other wishes beside the same residents."""
        other = copy.copy(self)
        other.question, other.known = replace(self.question, wishes=wishes), {}
        return other

    def refuses(self, wishes: Wishes) -> bool:
        """Say whether the full model refuses a company."""
        return not self.of(wishes).is_bearable

    def part(self, wishes: Wishes) -> Question:
        """Return the question with some of the wishes."""
        kept = tuple(w for n, w in enumerate(self.question.wishes) if n in wishes)
        return replace(self.question, wishes=kept)

    def _judged(self, wishes: Wishes) -> Trial:
        part = self.part(wishes)
        if not (part.residents or part.wishes):
            return Trial(wishes, (), (), (), Mood.SETTLED.value)
        steps = _steps(part, self.rules)
        verdict = coarse(part, spaced(part, steps, self.rules["spacing_days"]), self.rules)
        numbers = sorted(wishes)
        lines = (*part.residents, *part.wishes)
        return Trial(
            wishes=wishes,
            steps=tuple(tuple(numbers[item] for item in step) for step in steps),
            borne=tuple(_borne(verdict, w, self.cap(w)) for w in lines),
            eaten=tuple(pair for pair in _eaten(verdict) if pair not in self.eaten_before),
            mood=verdict.mood.value,
            too_late=self._too_late(part, steps),
        )

    def _too_late(self, part: Question, steps: tuple[tuple[int, ...], ...]) -> bool:
        if self.until is None or not steps:
            return False
        return schedule(part, steps, self.rules)[-1].release > self.until


def _steps(part: Question, rules: Rules) -> tuple[tuple[int, ...], ...]:
    """Return the steps of the order that is best for the worst-off animal."""
    groups = part.groups
    if not groups:
        return ()
    burdens = Burdens(pair_doses(part, rules), rules, len(groups))
    order, _ = worst_first_order(burdens.of, len(groups))
    return tuple(groups[g] for g in order)


def _lots(verdict: Judgement, wanted: Wanted) -> list[Lot]:
    return [lot for lot in verdict.lots if lot.animal.party.key == wanted.key]


def _worst_p(verdict: Judgement, wanted: Wanted) -> float:
    return max(float(verdict.community_draws(lot).mean()) for lot in _lots(verdict, wanted))


def _borne(verdict: Judgement, wanted: Wanted, cap: float) -> Borne:
    lots = _lots(verdict, wanted)
    lot = lots[int(np.argmax([verdict.community_draws(one).mean() for one in lots]))]
    p = float(verdict.community_draws(lot).mean())
    outcome = max((k for k in lot.harm if k != "cramped"), key=lambda k: lot.harm[k])
    by = sorted((s for s in lot.by if lot.by[s] > 0.0), key=lambda s: -lot.by[s])
    eaters = [
        h
        for (h, prey), _ in sorted(verdict.eaten.items(), key=lambda e: -e[1])
        if prey == lot.animal.species.name
    ]
    blamed = {"fought": by, "bitten": by, "eaten": eaters}.get(outcome, [])
    return Borne(wanted.key, p, ease(p, verdict.rules).value, outcome, tuple(blamed), cap)


def _eaten(verdict: Judgement) -> list[tuple[str, str]]:
    certain = verdict.rules["eaten_from"]
    ranked = sorted(verdict.eaten.items(), key=lambda pair: (-pair[1], pair[0]))
    return [pair for pair, p in ranked if p >= certain]


def clashes_of(wishes: Wishes, trials: Trials) -> list[Wishes]:
    """Return handfuls of an unbearable company that are unbearable themselves, with none to spare.

    Each grows from a line that bears too much and those to blame, and is then stripped of everyone
    it does not need. Nothing comes back where only many together are too much.

    Parameters
    ----------
    wishes
        A company that the full model refuses.
    trials
        The full model.
    """
    suspects = _suspects(trials.of(wishes), trials.question)[:_MOST_CLASHES]
    grown = [_grown(queue, trials) for queue in suspects]
    return list(dict.fromkeys(stripped(part, trials.refuses) for part in grown if part))


def _grown(queue: list[int], trials: Trials) -> Wishes:
    """Return as few of those concerned as clash, nobody if a handful does not."""
    for size in range(1, min(len(queue), _HANDFUL) + 1):
        part = frozenset(queue[:size])
        if trials.refuses(part):
            return part
    return frozenset()


def _suspects(trial: Trial, question: Question) -> list[list[int]]:
    """Return, for each line that bears too much, its wishes, then those of whoever is to blame."""
    queues = []
    for victim, by in trial.beyond_bearing():
        names = (victim, *by)
        found = [
            n
            for name in names
            for n in sorted(trial.wishes)
            if name in {question.wishes[n].key, question.wishes[n].species.name}
        ]
        if found:
            queues.append(list(dict.fromkeys(found)))
    return queues


def stripped(wishes: Wishes, clashes: Callable[[Wishes], bool]) -> Wishes:
    """Return a part that still clashes and of which no single wish can be left out.

    Parameters
    ----------
    wishes
        What clashes as a whole.
    clashes
        Says whether a part does.
    """
    kept, size, is_bare = wishes, max(len(wishes) // 2, 1), False
    while not is_bare:
        before, listed = kept, sorted(kept, reverse=True)
        for first in range(0, len(listed), size):
            part = frozenset(listed[first : first + size])
            if part < kept and clashes(kept - part):
                kept -= part
        is_bare = size == 1 and kept == before
        size = max(size // 2, 1)
    return kept


def peacekeepers(core: Wishes, trial: Trial, pool: Pool, minded: float) -> Wishes:
    """Return the wishes outside a clash that might hold its fighters back by their size.

    Parameters
    ----------
    core
        The clash.
    trial
        Its judgement.
    pool
        What each line leaves of another's attacks.
    minded
        The share of attacks left below which a line counts.
    """
    _, by, outcome = trial.blamed()
    if outcome != "fought":
        return frozenset()
    lines = (*pool.question.residents, *pool.wishes)
    fighters = [n for n, w in enumerate(lines) if w.species.name in by]
    able = np.flatnonzero((pool.restrained[:, fighters] < minded).any(axis=1)) - pool.residents
    return frozenset(int(n) for n in able if n >= 0) - core
