"""After a death: which of order, size, rock, feeding and box would have changed it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from slackwater.plan import changes as make
from slackwater.plan.changes import Change, Kind
from slackwater.plan.course import Course
from slackwater.plan.levers import OF_A_RELEASE, Bench, Trouble, changes_on, trouble_of
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import Edit, as_it_is, rejudged
from slackwater.rules import Rules
from slackwater.society.company import resident_party
from slackwater.society.harm import WINDOW_DAYS
from slackwater.society.judge import Judgement, Lot

LONG_AGO = dt.timedelta(days=180)
_MUCH, _SOME = 0.5, 0.8


class Would(StrEnum):
    """How far a lever would have changed a death."""

    YES = "would probably have changed it"
    PERHAPS = "might have helped"
    NO = "would have changed little"


class Lever(StrEnum):
    """What could have been done otherwise."""

    ORDER = "order"
    SIZE = "size"
    ROCK = "rock"
    FEEDING = "feeding"
    BOX = "box"


_LEVER_OF = {
    Kind.SIZE: Lever.SIZE,
    Kind.LAYOUT: Lever.ROCK,
    Kind.ROCK_MOVED: Lever.ROCK,
    Kind.FEEDS: Lever.FEEDING,
    Kind.STATIONS: Lever.FEEDING,
    Kind.BOX: Lever.BOX,
}


@dataclass(frozen=True)
class Otherwise:
    """The best that one lever could have done.

    `p` is the chance of harm of the animal that died, had this been done [0 to 1]; `others` names
    who would then have come into trouble in its place.
    """

    lever: Lever
    words: str
    p: float
    would: Would
    others: tuple[str, ...]


@dataclass(frozen=True)
class LookBack:
    """How an animal that died stood, and what would have changed it.

    `p` is its chance of harm over its worst 90 days up to its death, or over the first 90 if it
    died sooner; `low` and `high` bound nine in ten of the draws, and `went_well` is the share of
    the draws in which it would have come to little harm. [0 to 1]
    """

    animal: Wanted
    days: float
    p: float
    low: float
    high: float
    went_well: float
    outcome: str
    by: str
    otherwise: tuple[Otherwise, ...]


def as_it_was(question: Question, key: str, on: dt.date) -> Question:
    """Return the question as of the day on which an animal that died was let go.

    Parameters
    ----------
    question
        The tank, with the animal among its residents.
    key
        The animal.
    on
        The day of its death.

    Notes
    -----
    Whoever was there before it stays a resident; it and whoever came with or after it are let go
    on their days. Lengths are those of today, grown backwards.
    """
    died = next(w for w in question.residents if w.key == key)
    start = _since(died, on)
    here = [w for w in question.residents if _since(w, on) <= on]
    before = tuple(_then(w, start, on) for w in here if _since(w, on) < start)
    later = sorted((w for w in here if _since(w, on) >= start), key=lambda w: (_since(w, on), w.key != key))
    wishes = tuple(replace(_then(w, _since(w, on), on), resident=False) for w in later)
    days = tuple((w.key, float((_since(w, on) - start).days)) for w in later)
    course = Course(steps=tuple((w.key,) for w in wishes), days=days)
    return replace(question, start=start, made_on=start, residents=before, wishes=wishes, course=course)


def _since(wanted: Wanted, on: dt.date) -> dt.date:
    return max(wanted.since or on - LONG_AGO, on - 2 * LONG_AGO)


def _then(wanted: Wanted, day: dt.date, on: dt.date) -> Wanted:
    """Return animals at the length they had on a day; of freshly bought ones not told, as sold. [cm]"""
    days = float((on - day).days)
    fresh = wanted.since is not None and wanted.since >= day
    if fresh and not wanted.length_told:
        adult_cm = wanted.species.number("adult_length_cm")
        sold_cm = min(wanted.species.number("sale_length_cm"), adult_cm)
        return replace(wanted, length_cm=sold_cm)
    grown = resident_party(wanted.species, wanted.length_cm, days, sex=wanted.sex, key=wanted.key)
    return replace(wanted, length_cm=grown.length_cm)


def look_back(question: Question, key: str, on: dt.date, rules: Rules) -> LookBack:
    """Return which levers would have changed a death.

    Parameters
    ----------
    question
        The tank as it was, see `as_it_was`.
    key
        The animal that died.
    on
        The day of its death.
    rules
        The coefficients.
    """
    case = _Case(question, key, float((on - question.start).days), rules)
    verdict = case.judged()
    lot = case.lot(verdict)
    drawn = verdict.community_draws(lot)
    low, high = (float(q) for q in np.quantile(drawn, (0.05, 0.95)))
    outcome = max((k for k in lot.harm if k != "cramped"), key=lambda k: lot.harm[k])
    return LookBack(
        animal=next(w for w in question.wishes if w.key == key),
        days=case.days,
        p=float(drawn.mean()),
        low=low,
        high=high,
        went_well=float((drawn < rules["ease.jostled"]).mean()),
        outcome=outcome,
        by=_culprit(verdict, lot, outcome),
        otherwise=() if drawn.mean() < rules["ease.jostled"] else tuple(case.otherwise(verdict)),
    )


def _culprit(verdict: Judgement, lot: Lot, outcome: str) -> str:
    """Return the scientific name of whoever is most to blame, if anyone is."""
    name = lot.animal.species.name
    if outcome == "eaten":
        eaters = {by: p for (by, prey), p in verdict.eaten.items() if prey == name}
        return max(eaters, key=lambda by: eaters[by], default="")
    if outcome in {"fought", "bitten"} and lot.by:
        return max(lot.by, key=lambda by: lot.by[by])
    return ""


@dataclass(frozen=True)
class _Case:
    """A death, and the judging of what might have been."""

    question: Question
    key: str
    days: float
    rules: Rules

    def judged(self, edit: Edit = as_it_is) -> Judgement:
        horizon = max(self.days, WINDOW_DAYS)
        last = max([0.0, *(day for _, day in edit(self.question).course.days)])
        return rejudged(self.question, self.rules, edit, horizon_days=max(horizon, last + WINDOW_DAYS))

    def lot(self, verdict: Judgement) -> Lot:
        mine = [lot for lot in verdict.lots if lot.animal.party.key == self.key]
        return max(mine, key=lambda lot: lot.p)

    def p(self, verdict: Judgement) -> float:
        return float(verdict.community_draws(self.lot(verdict)).mean())

    def otherwise(self, verdict: Judgement) -> Iterable[Otherwise]:
        """Yield the best of each lever, in the order of the levers."""
        best: dict[Lever, tuple[float, str, Judgement]] = {}
        for lever, words, edit in self._tried(verdict):
            then = self.judged(edit)
            found = (self.p(then), words, then)
            if lever not in best or found[0] < best[lever][0]:
                best[lever] = found
        for lever in Lever:
            if lever in best:
                yield self._told(lever, *best[lever], before=verdict)

    def _tried(self, verdict: Judgement) -> Iterable[tuple[Lever, str, Edit]]:
        trouble = trouble_of(self.question, verdict, self.rules)
        blamed = trouble.culprits - {self.key}
        bench = Bench(self.question, Trouble(frozenset({self.key}), blamed), self.rules)
        for resident in self.question.residents:
            if resident.key in blamed:
                words = f"letting it go before {resident.species.common_name}"
                yield Lever.ORDER, words, _came_after(resident, self.rules["spacing_days"])
        for change in changes_on(bench, *OF_A_RELEASE):
            if lever := _LEVER_OF.get(change.kind):
                yield lever, _had(change), change.edit

    def _told(self, lever: Lever, p: float, words: str, then: Judgement, *, before: Judgement) -> Otherwise:
        was = self.p(before)
        level = self.rules["bearable"]
        would = Would.NO
        if p < _SOME * was:
            would = Would.YES if p < min(_MUCH * was, level) else Would.PERHAPS
        return Otherwise(lever, words, p, would, self._worse(then, before))

    def _worse(self, then: Judgement, before: Judgement) -> tuple[str, ...]:
        """Return the common names of others who bear too much then and did not before."""
        level = self.rules["bearable"]
        was = {lot.animal.party.key: before.community_draws(lot).mean() for lot in before.lots}
        return tuple(
            dict.fromkeys(
                lot.animal.species.common_name
                for lot in then.lots
                if lot.animal.party.key != self.key
                and then.community_draws(lot).mean() >= level > was.get(lot.animal.party.key, 0.0)
            )
        )


def _came_after(resident: Wanted, gap: float) -> Edit:
    """Return the change that a resident had been let go some days after all others of that time. [d]"""

    def edit(question: Question) -> Question:
        first = question.course.days[0][1] if question.course.days else 0.0
        late = replace(resident, resident=False)
        course = replace(
            question.course,
            steps=(*question.course.steps, (late.key,)),
            days=(*question.course.days, (late.key, first + gap)),
        )
        gone = make.out(resident.key)(question)
        return replace(gone, wishes=(*gone.wishes, late), course=course)

    return edit


def _had(change: Change) -> str:
    """Return a change as something that might have been done: `take` becomes `taking`."""
    verb, _, rest = change.words.partition(" ")
    return f"{_ING.get(verb, verb)} {rest}"


_ING = {
    "take": "taking",
    "arrange": "arranging",
    "add": "adding",
    "move": "moving",
    "feed": "feeding",
    "keep": "keeping",
}
