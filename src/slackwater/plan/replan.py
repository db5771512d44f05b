"""Life happens: a plan made anew that keeps what was done and changes as little as it can."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from slackwater.plan.clash import bearable
from slackwater.plan.course import NotBefore
from slackwater.plan.outlook import length_after
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import Plan
from slackwater.plan.rejudge import rejudged
from slackwater.rules import Rules
from slackwater.society.company import Sex
from slackwater.taxa.facts import Species

_DAYS_A_MONTH = 30.4


@dataclass(frozen=True)
class Planned:
    """A release as it was planned: the animals by key, its day, and when quarantine begins."""

    keys: tuple[str, ...]
    date: dt.date
    quarantine_from: dt.date | None


@dataclass(frozen=True)
class Released:
    """Animals that were let go, as they were."""

    key: str
    date: dt.date
    length_cm: float | None = None
    count: int | None = None


@dataclass(frozen=True)
class Died:
    """Animals that died."""

    key: str
    date: dt.date
    count: int = 1


@dataclass(frozen=True)
class Taken:
    """Another animal, or one of another size or number, in the place of a wish."""

    key: str
    species: Species | None = None
    length_cm: float | None = None
    count: int | None = None


@dataclass(frozen=True)
class Happened:
    """What happened since a plan was made; `delay_days` puts off all that is still to come."""

    today: dt.date
    delay_days: int = 0
    released: tuple[Released, ...] = ()
    died: tuple[Died, ...] = ()
    taken: tuple[Taken, ...] = ()

    @property
    def gone(self) -> frozenset[str]:
        """The keys of those that were let go."""
        return frozenset(r.key for r in self.released)


def lives_on(
    question: Question, steps: tuple[Planned, ...], happened: Happened
) -> tuple[tuple[Wanted, ...], tuple[Wanted, ...]]:
    """Return who lives in the tank today, and who is still to come in the order planned.

    Parameters
    ----------
    question
        The question that the old plan answered.
    steps
        The old plan's releases.
    happened
        What happened since.
    """
    there = [_older(w, question.start, happened.today) for w in question.residents]
    by_key = {w.key: w for w in question.wishes}
    there += [_let_go(by_key[r.key], r, happened.today) for r in happened.released]
    planned = [key for step in steps for key in step.keys if key not in happened.gone]
    coming = [_as_taken(by_key[key], happened.taken) for key in planned]
    return _alive(there, happened.died), _alive(coming, happened.died)


def _older(wanted: Wanted, then: dt.date, today: dt.date) -> Wanted:
    """Return animals at the length they have grown to since a day."""
    months = max((today - then).days, 0) / _DAYS_A_MONTH
    return replace(wanted, length_cm=round(length_after(wanted, months), 1)) if months else wanted


def _let_go(wanted: Wanted, done: Released, today: dt.date) -> Wanted:
    length_cm = done.length_cm or wanted.length_cm
    here = replace(
        wanted, length_cm=length_cm, count=done.count or wanted.count, since=done.date, resident=True
    )
    return replace(_older(here, done.date, today), length_told=True)


def _as_taken(wanted: Wanted, taken: tuple[Taken, ...]) -> Wanted:
    for other in taken:
        if other.key == wanted.key:
            wanted = _swapped(wanted, other)
    return wanted


def _swapped(wanted: Wanted, other: Taken) -> Wanted:
    count = other.count or wanted.count
    sex = wanted.sex if count == wanted.count else Sex.UNKNOWN
    if other.species is None or other.species.name == wanted.species.name:
        length_cm = other.length_cm or wanted.length_cm
        told = wanted.length_told or other.length_cm is not None
        return replace(wanted, length_cm=length_cm, count=count, sex=sex, length_told=told)
    size_cm = other.length_cm or other.species.number("sale_length_cm")
    return replace(
        wanted,
        said=other.species.common_name,
        species=other.species,
        length_cm=size_cm,
        count=count,
        sex=Sex.UNKNOWN if count == 1 else sex,
        length_told=other.length_cm is not None,
        own_temper=1.0,
        own_sigma=None,
        seen="",
    )


def _alive(animals: list[Wanted], died: tuple[Died, ...]) -> tuple[Wanted, ...]:
    lost: dict[str, int] = {}
    for death in died:
        lost[death.key] = lost.get(death.key, 0) + death.count
    left = [(w, w.count - lost.get(w.key, 0)) for w in animals]
    return tuple(
        w if count == w.count else replace(w, count=count, sex=_left_over(w.sex))
        for w, count in left
        if count > 0
    )


def _left_over(sex: Sex) -> Sex:
    return Sex.UNKNOWN if sex is Sex.PAIR else sex


@dataclass(frozen=True)
class Kept:
    """The question as it is today, and whether the old order still holds in it."""

    question: Question
    keeps_order: bool


def kept_course(
    question: Question,
    steps: tuple[Planned, ...],
    happened: Happened,
    rules: Rules,
    renamed: Mapping[str, str],
) -> Kept:
    """Return the question with the old order and the old days as far as they still hold.

    Parameters
    ----------
    question
        The tank as it is today, with what is still to come and what is still done on the way.
    steps
        The old plan's releases.
    happened
        What happened since.
    rules
        The coefficients.
    renamed
        The key that each of the animals still to come goes by now, by its old key.

    Notes
    -----
    The order is kept where every animal's lot is still bearable in it. No day moves forward: each
    is the old one, or later by the delay, by the quarantine of a new animal, by the spacing after
    the last release, or by two weeks after a loss.
    """
    ordered = tuple(tuple(renamed[k] for k in step.keys if k in renamed) for step in steps)
    course = replace(
        question.course,
        steps=tuple(step for step in ordered if step),
        not_before=tuple(_limits(question, steps, happened, rules, renamed)),
        quarantine_from=_quarantine_from(steps, renamed),
    )
    kept = replace(question, course=course)
    if not question.wishes or bearable(rejudged(kept, rules), rules):
        return Kept(kept, keeps_order=True)
    return Kept(replace(kept, course=replace(course, steps=())), keeps_order=False)


def _limits(
    question: Question,
    steps: tuple[Planned, ...],
    happened: Happened,
    rules: Rules,
    renamed: Mapping[str, str],
) -> list[NotBefore]:
    limits = []
    for step in steps:
        for key in (k for k in step.keys if k in renamed):
            limits += [NotBefore(renamed[key], day, why) for day, why in _days(step, happened)]
            limits += [
                NotBefore(renamed[key], happened.today + dt.timedelta(days=question.quarantine.days), _NEW)
                for taken in happened.taken
                if taken.key == key and taken.species is not None and question.quarantine
            ]
    return limits + [
        NotBefore(new, day, why) for new in renamed.values() for day, why in _rest(happened, rules)
    ]


_NEW = "a new animal goes through its whole quarantine"


def _days(step: Planned, happened: Happened) -> list[tuple[dt.date, str]]:
    if not happened.delay_days:
        return [(step.date, "as planned before")]
    why = f"put off by {happened.delay_days} days"
    return [(step.date + dt.timedelta(days=happened.delay_days), why)]


def _rest(happened: Happened, rules: Rules) -> list[tuple[dt.date, str]]:
    """Return the first days after the last release and the last loss."""
    found = []
    if happened.released:
        gap = dt.timedelta(days=int(rules["spacing_days"]))
        last = max(r.date for r in happened.released)
        found.append((last + gap, f"at least {gap.days} days after the release before"))
    if happened.died:
        calm = dt.timedelta(days=int(rules["watch_days"]))
        found.append((max(d.date for d in happened.died) + calm, f"{calm.days} days after a loss"))
    return found


def _quarantine_from(steps: tuple[Planned, ...], renamed: Mapping[str, str]) -> dt.date | None:
    """Return the day on which quarantine began, or will, for the next animals to come."""
    return next((s.quarantine_from for s in steps if any(k in renamed for k in s.keys)), None)


@dataclass(frozen=True)
class Standing:
    """How a line of animals stands in one plan: its release, None if it is there, and its comfort."""

    date: dt.date | None
    count: int
    length_cm: float
    word: str
    p: float


@dataclass(frozen=True)
class Beside:
    """One line of animals in the old plan and in the new one, and what changed."""

    key: str
    name: str
    before: Standing | None
    after: Standing | None
    changed: str


@dataclass(frozen=True)
class Replan:
    """The plan made anew, beside the old one.

    `sentences` say what changed and why, `kept` whether the old order stands.
    """

    plan: Plan
    beside: tuple[Beside, ...]
    sentences: tuple[str, ...]
    keeps_order: bool


def standings(plan: Plan) -> dict[str, Standing]:
    """Return how every line of a plan stands, by key."""
    dates = {key: release.date for release in plan.releases for key in release.keys}
    return {
        line.key: Standing(dates.get(line.key), line.count, line.length_cm, line.comfort.word, line.comfort.p)
        for line in plan.animals
    }
