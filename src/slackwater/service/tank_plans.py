"""Plans of a kept tank: made, kept with what they rest on, shown again, and made anew from one another."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from slackwater.errors import InputError
from slackwater.plan.changes import done
from slackwater.plan.clash import bearable
from slackwater.plan.compose import make_plan
from slackwater.plan.course import Course, NotBefore
from slackwater.plan.dates import schedule
from slackwater.plan.question import Question
from slackwater.plan.records import Plan, Release
from slackwater.plan.rejudge import rejudged
from slackwater.plan.replan import Beside, standings
from slackwater.plan.sequence import fixed_steps
from slackwater.plan.whatif import ways_to_yes
from slackwater.report import dumps, plan_from_dict, plan_to_dict
from slackwater.rules import load_rules
from slackwater.service.house import notes_behind
from slackwater.service.keeping import rests_on
from slackwater.service.kept_plans import PlanRow, keep_plan, plan_rows, plans
from slackwater.service.planning import question_of
from slackwater.service.replanning_words import changed
from slackwater.service.tankfile import load
from slackwater.service.tankfile_copy import Plain, plain_copy
from slackwater.service.tanks import By
from slackwater.service.whatif import WhatIfAnswer, whatif_file
from slackwater.store import KeptPlan, Store

Tick = Callable[[str], None]

_AS_BEFORE = "as planned before"


@dataclass(frozen=True)
class Move:
    """A release put off: the animals by key, and the first day on which they may be let go now."""

    keys: tuple[str, ...]
    date: dt.date


@dataclass(frozen=True)
class PlanAsked:
    """A plan that is asked for.

    Parameters
    ----------
    text
        The tank file.
    title
        What the tank is called.
    revision
        The revision of the tank that the file is.
    way
        The changes of a way to yes to be made first, in the words of `whatif`.
    before
        The plan that it is made from, whose releases are kept but for `move`.
    move
        The release of that plan that is put off.
    """

    text: str
    title: str
    revision: int
    way: tuple[str, ...] = ()
    before: Plan | None = None
    move: Move | None = None


@dataclass(frozen=True)
class PlanMade:
    """A plan that was made as it was asked for, the tank file that it answers, and what changed."""

    asked: PlanAsked
    plan: Plan
    question: Plain
    said: tuple[str, ...] = ()
    beside: tuple[Beside, ...] = ()


@dataclass(frozen=True)
class TankPlan:
    """A kept plan as it is shown again.

    Parameters
    ----------
    row
        It in a line, with what changed under it since.
    plan
        The plan.
    question
        The tank file that it answers as text, empty where it was not kept.
    way
        The changes of the way to yes that it took.
    said
        What changed beside the plan before, as sentences.
    beside
        Everyone in the plan before and in this one: name, then, now, what changed.
    """

    row: PlanRow
    plan: Plan
    question: str
    way: tuple[str, ...] = ()
    said: tuple[str, ...] = ()
    beside: tuple[Mapping[str, str], ...] = field(default_factory=tuple)

    def asked(self, title: str, *, way: tuple[str, ...] | None = None, move: Move | None = None) -> PlanAsked:
        """Return what is asked for when this plan is made anew with a change."""
        taken = self.way if way is None else way
        return PlanAsked(self.question, title, self.row.revision, taken, self.plan, move)


def make_asked(asked: PlanAsked, today: dt.date, *, tick: Tick) -> PlanMade:
    """Return the plan that is asked for.

    Parameters
    ----------
    asked
        What is asked for.
    today
        The day on which the plan is made.
    tick
        Called with the name of each step of the work.

    Raises
    ------
    InputError, InputErrors
        If the tank file cannot be used, or the way or the release is not there any more.
    """
    tick("reading the tank file")
    tank_file = load(f"{asked.text}\n")
    question = _after_way(question_of(tank_file, today, asked.title), asked.way, tick)
    said: list[str] = []
    if asked.before is not None and asked.move is not None:
        tick("whether the order still holds")
        question = _put_off(question, asked.before, asked.move, said)
    made = make_plan(question, tick=tick)
    if asked.before is not None and asked.move is not None:
        made = replace(made, left_out=asked.before.left_out, clashes=asked.before.clashes)
    beside = _beside(asked.before, made) if asked.before is not None else ()
    told = (*said, *_dates(asked.before, made)) if asked.before is not None else ()
    return PlanMade(asked, made, plain_copy(tank_file), told, beside)


def ways_asked(text: str, title: str, today: dt.date, *, tick: Tick) -> WhatIfAnswer:
    """Return what would make the list of a tank file work.

    Parameters
    ----------
    text
        The tank file.
    title
        What the tank is called.
    today
        The day on which it is asked.
    tick
        Called with a word on how far the search has come.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return whatif_file(f"{text}\n", today, tick, title=title)


def keep_made(store: Store, said: str, made: PlanMade, by: By) -> KeptPlan:
    """Keep a plan with the revision that it was asked for, and with what it was made from.

    Raises
    ------
    InputError
        If no tank goes by the name.
    """
    told = plan_to_dict(made.plan, made.question)
    rows = list(beside_rows(made.beside))
    told["asked"] = {"way": list(made.asked.way), "said": list(made.said), "beside": rows}
    rests = rests_on(notes_behind(line.scientific_name for line in made.plan.animals))
    return keep_plan(store, said, told, rests, by, revision=made.asked.revision)


def beside_rows(beside: Sequence[Beside]) -> tuple[Mapping[str, str], ...]:
    """Return everyone before and after in words: name, before, after, changed."""
    return tuple(
        {"name": b.name, "before": _stands(b.before), "after": _stands(b.after), "changed": b.changed}
        for b in beside
    )


def tank_plan(store: Store, said: str, number: int) -> TankPlan:
    """Return a kept plan as it is shown again.

    Raises
    ------
    InputError
        If there is no such tank or plan, or it was kept by a release that wrote it otherwise.
    """
    found = next((one for one in plans(store, said) if one.number == number), None)
    row = next((one for one in plan_rows(store, said) if one.number == number), None)
    if found is None or row is None:
        raise _fault(number, "no plan of this tank has that number", "Choose one from the list of its plans.")
    try:
        plan = plan_from_dict(found.plan)
    except ValueError:
        limit = "it was kept by another release, which wrote it otherwise"
        raise _fault(number, limit, "Download it as JSON, or make a new plan.") from None
    return _shown(row, plan, found.plan)


def plan_record(store: Store, said: str, number: int) -> str:
    """Return a kept plan as the text of its JSON file.

    Raises
    ------
    InputError
        If there is no such tank or plan.
    """
    found = next((one for one in plans(store, said) if one.number == number), None)
    if found is None:
        raise _fault(number, "no plan of this tank has that number", "Choose one from the list of its plans.")
    return dumps({key: value for key, value in found.plan.items() if key != "asked"})


def _shown(row: PlanRow, plan: Plan, told: Mapping[str, object]) -> TankPlan:
    question, asked = told.get("question"), told.get("asked")
    asked = asked if isinstance(asked, Mapping) else {}
    return TankPlan(
        row=row,
        plan=plan,
        question=json.dumps(question, ensure_ascii=False) if question else "",
        way=tuple(asked.get("way", ())),
        said=tuple(asked.get("said", ())),
        beside=tuple(asked.get("beside", ())),
    )


def dates_then(asked: PlanAsked, today: dt.date) -> dict[tuple[str, ...], dt.date]:
    """Return the day of every release of a plan if one is put off, not judged yet: a quick look.

    Raises
    ------
    InputError, InputErrors
        If the tank file cannot be used, or the plan has no such release.
    """
    if asked.before is None or asked.move is None:
        return {}
    question = question_of(load(f"{asked.text}\n"), today, asked.title)
    moved = _in_order(question, asked.before, asked.move)
    slots = schedule(moved, fixed_steps(moved), load_rules())
    days = {moved.wishes[item].key: slot.release for slot in slots for item in slot.items}
    return {
        release.keys: max((days[key] for key in release.keys if key in days), default=release.date)
        for release in asked.before.releases
    }


def _after_way(question: Question, way: Sequence[str], tick: Tick) -> Question:
    """Return a question with the changes of a way made, found again by their words."""
    if not way:
        return question
    found = ways_to_yes(question, load_rules(), tick)
    for one in found.ways:
        if tuple(change.words for change in one.changes) == tuple(way):
            return done(found.question, one.changes)
    raise InputError(
        field="the way to yes",
        given="; ".join(way),
        limit="it is not found any more, as the facts, the rules or the tank changed",
        remedy="Seek the ways to yes again.",
    )


def _put_off(question: Question, before: Plan, move: Move, said: list[str]) -> Question:
    """Return a question with the releases of a plan kept, one of them later; no day moves forward.

    Others that are then ready sooner go before it where everyone still copes; else they wait.
    """
    asked = _in_order(question, before, move)
    if [r.keys for r in before.releases] == list(asked.course.steps):
        return asked
    title = _title(_target(before, move))
    if bearable(rejudged(asked, load_rules()), load_rules()):
        said.append(f"{title} goes after others that are ready sooner: everyone still copes.")
        return asked
    said.append(f"The others wait for {title}: some would not cope if they came before it.")
    return replace(
        asked, course=replace(asked.course, steps=tuple(release.keys for release in before.releases))
    )


def _target(before: Plan, move: Move) -> Release:
    for release in before.releases:
        if release.keys == move.keys:
            return release
    raise InputError(
        field="the release",
        given=", ".join(move.keys) or "none",
        limit="the plan has none like it",
        remedy="Load the page anew.",
    )


def _in_order(question: Question, before: Plan, move: Move) -> Question:
    """Return a question with the wishes that a plan releases, in the order of their days, one put off."""
    target = _target(before, move)
    kept = {key for release in before.releases for key in release.keys}
    question = replace(question, wishes=tuple(w for w in question.wishes if w.key in kept))
    days = {r.keys: max(r.date, move.date) if r is target else r.date for r in before.releases}
    return _fixed(question, before, sorted(days, key=lambda keys: days[keys]), days)


def _fixed(
    question: Question,
    before: Plan,
    steps: Sequence[tuple[str, ...]],
    days: Mapping[tuple[str, ...], dt.date],
) -> Question:
    was = {r.keys: r.date for r in before.releases}
    limits = tuple(
        NotBefore(key, day, _AS_BEFORE if day == was[keys] else "put off")
        for keys, day in days.items()
        for key in keys
    )
    begun = next((r.quarantine_from for r in before.releases if r.quarantine_from), None)
    course = Course(
        steps=tuple(steps),
        deeds=question.course.deeds,
        not_before=limits,
        spacing_days=question.course.spacing_days,
        quarantine_from=begun,
    )
    return replace(question, course=course)


def _dates(before: Plan, made: Plan) -> list[str]:
    """Return in sentences which releases are on another day now, and whether the mood is another."""
    now = {release.keys: release for release in made.releases}
    lines = [
        f"{_title(was)}: {was.date:%-d %B %Y} becomes {now[was.keys].date:%-d %B %Y}."
        for was in before.releases
        if was.keys in now and now[was.keys].date != was.date
    ]
    if made.mood != before.mood:
        lines.append(f"The tank is {made.mood} in place of {before.mood}.")
    return lines or ["No release is on another day."]


def _title(release: Release) -> str:
    return f"{release.title[:1].upper()}{release.title[1:]}"


def _beside(before: Plan, made: Plan) -> tuple[Beside, ...]:
    was, now = standings(before), standings(made)
    names = {line.key: line.common_name for line in (*before.animals, *made.animals)}
    keys = dict.fromkeys([*was, *now])
    return tuple(
        Beside(key, names[key], was.get(key), now.get(key), changed(was.get(key), now.get(key)))
        for key in keys
    )


def _stands(standing: object) -> str:
    """Return how a line stands in a plan, in a few words."""
    date, word = getattr(standing, "date", None), getattr(standing, "word", "")
    if standing is None:
        return "not there"
    return f"{word}, let go on {date:%-d %B %Y}" if date else f"{word}, lives there"


def _fault(number: int, limit: str, remedy: str) -> InputError:
    return InputError(field="the plan", given=f"{number}", limit=limit, remedy=remedy)
