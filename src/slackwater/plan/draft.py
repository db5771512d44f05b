"""A drafted plan: the wishes kept, their order and dates, boxes, and the judgement of it all."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass, replace

from slackwater.plan.clash import Bearable, largest_bearable
from slackwater.plan.dates import Slot, schedule
from slackwater.plan.drawing import homes
from slackwater.plan.question import Question, Wanted
from slackwater.plan.sequence import Sequence, best_sequence
from slackwater.rules import Rules
from slackwater.society.judge import Judgement, Lot, Settings, judge
from slackwater.society.spread import Spread, spread

Tick = Callable[[str], None]

BOX_DAYS = 5
LONGEST_BOXED_CM = 15.0


@dataclass(frozen=True)
class Draft:
    """What the sheet is written from: the wishes kept, their order, dates and judgement."""

    question: Question
    kept: Bearable
    sequence: Sequence
    slots: tuple[Slot, ...]
    verdict: Judgement
    rules: Rules

    @property
    def days(self) -> dict[str, float]:
        """Day of release by key. [d]"""
        q = self.question
        return {q.wishes[item].key: q.day_of(slot.release) for slot in self.slots for item in slot.items}

    @functools.cached_property
    def spread(self) -> Spread:
        """How widely everyone's attacks and harm may lie."""
        return spread(self.verdict)

    @functools.cached_property
    def homes(self) -> dict[str, tuple[tuple[float, float, float], ...]]:
        """Where each animal is drawn. [cm]"""
        return homes(self.verdict)

    def company(self) -> tuple[Wanted, ...]:
        """Return residents, then wishes in the order of release."""
        q = self.question
        wishes = tuple(q.wishes[i] for i in self.sequence.order())
        return (*q.residents, *wishes)

    def lots(self, wanted: Wanted) -> tuple[Lot, ...]:
        """Return how the animals of one line fare."""
        return tuple(lot for lot in self.verdict.lots if lot.animal.party.key == wanted.key)


def draft(question: Question, rules: Rules, tick: Tick) -> Draft:
    """Return the best bearable plan, boxes included, judged at answer resolution."""
    tick("order of release")
    kept = largest_bearable(question, rules)
    best = best_sequence(kept.question, rules)
    slots = schedule(kept.question, best.steps, rules)
    tick("comfort of every animal")
    made = _judged(kept, best, slots, rules)
    boxed = _boxed(made, rules)
    if boxed is None:
        return made
    tick("with acclimation boxes")
    return _judged(Bearable(boxed, kept.left_out, kept.clashes), best, slots, rules)


def _judged(kept: Bearable, best: Sequence, slots: tuple[Slot, ...], rules: Rules) -> Draft:
    q = kept.question
    days = {q.wishes[i].key: q.day_of(s.release) for s in slots for i in s.items}
    return Draft(q, kept, best, slots, judge(q.situation(days), Settings(), rules), rules)


def _boxed(made: Draft, rules: Rules) -> Question | None:
    """Return the question with boxes for the newcomers that would be chased, or None."""
    hard = {
        w.key
        for w in made.question.wishes
        if max(lot.harm["fought"] for lot in made.lots(w)) >= rules["hard_release"]
        and w.length_cm <= LONGEST_BOXED_CM
    }
    if not hard:
        return None
    wishes = tuple(replace(w, box_days=float(BOX_DAYS)) if w.key in hard else w for w in made.question.wishes)
    return replace(made.question, wishes=wishes)


def worst_lot(lots: tuple[Lot, ...]) -> Lot:
    """Return the lot of the worst-off of some animals."""
    return max(lots, key=lambda lot: lot.p)
