"""Life happens: from a plan's JSON and what happened since to a new plan beside the old one."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from slackwater.errors import InputError, InputErrors, shown
from slackwater.plan.compose import make_plan
from slackwater.plan.course import Course
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import Plan
from slackwater.plan.replan import (
    Beside,
    Died,
    Happened,
    Planned,
    Released,
    Replan,
    Standing,
    Taken,
    kept_course,
    lives_on,
    standings,
)
from slackwater.rules import load_rules
from slackwater.service.animals import meant
from slackwater.service.company_rows import as_said, row_of
from slackwater.service.happened import HappenedFile, load_happened
from slackwater.service.plain_data import parse, read_text
from slackwater.service.planning import PaperName, question_of, write_plan
from slackwater.service.replanning_words import changed, sentences
from slackwater.service.tankfile import TankFile, load
from slackwater.service.tankfile_copy import Plain, plain_copy
from slackwater.service.way_file import course_from, plain_course, still_to_do
from slackwater.service.written import write_whole
from slackwater.taxa.facts import load_facts
from slackwater.taxa.names import Verdict, understand

Tick = Callable[[str], None]


@dataclass(frozen=True)
class OldPlan:
    """A plan as its JSON tells it: the tank file that it answers, its releases, standings and course."""

    title: str
    tank_file: TankFile
    question: Question
    steps: tuple[Planned, ...]
    standings: Mapping[str, Standing]
    course: Course


@dataclass(frozen=True)
class Replanned:
    """A new plan beside the old one, the tank file that it answers, and what no tank file holds."""

    found: Replan
    question: Plain
    course: Plain


def replan_files(plan: Path, happened: Path | str, today: dt.date, tick: Tick = lambda _: None) -> Replanned:
    """Return a plan made anew after what happened.

    Parameters
    ----------
    plan
        The JSON file of the old plan.
    happened
        What happened since: a file's path, or its text.
    today
        The day on which the plan is made anew, unless what happened names another.
    tick
        Called with the name of each step of the work.

    Raises
    ------
    InputError, InputErrors
        If a file cannot be used; all faults at once.
    """
    tick("reading the old plan")
    old = read_plan(plan)
    told = _happened(load_happened(happened), old, today)
    residents, wishes = lives_on(old.question, old.steps, told)
    if not residents and not wishes:
        raise _nobody_left()
    copy = _tank_file(old, residents, wishes, told.today)
    question = question_of(load(json.dumps(copy)), told.today, old.title)
    question = as_said(question, residents, wishes)
    renamed = {w.key: new.key for w, new in zip(wishes, question.wishes, strict=True)}
    question = replace(question, course=_course(old, residents, renamed))
    tick("whether the old order still holds")
    kept = kept_course(question, old.steps, told, load_rules(), renamed)
    made = make_plan(kept.question, tick=tick)
    keys = renamed | {w.key: new.key for w, new in zip(residents, question.residents, strict=True)}
    rows = _beside(old, question, keys, made)
    told_so = sentences(old.steps, told, kept, made, _names(old, question))
    course = plain_course(question.course)
    return Replanned(Replan(made, rows, told_so, kept.keeps_order), copy, course)


def _course(old: OldPlan, residents: tuple[Wanted, ...], renamed: Mapping[str, str]) -> Course:
    """Return what is still to be done on the way of the old plan."""
    order = tuple(key for step in old.steps for key in step.keys if key in renamed)
    return still_to_do(old.course, renamed, order, {w.species.name for w in residents})


def write_replan(made: Replanned, out: Path, paper: PaperName = "a4") -> tuple[Path, ...]:
    """Write the new plan into a folder, with `beside.json`, the two plans side by side.

    Returns
    -------
    tuple of Path
        The files of the plan, then beside.json.
    """
    written = write_plan(made.found.plan, out, paper, made.question, made.course)
    told = {"beside": made.found.beside, "sentences": made.found.sentences}
    return (*written, write_beside(told | {"keeps_order": made.found.keeps_order}, out))


def write_beside(told: Mapping[str, object], out: Path) -> Path:
    """Write two plans side by side into a folder, and return the file."""
    from slackwater.report import dumps

    return write_whole(out / "beside.json", dumps(told))


def read_plan(path: Path) -> OldPlan:
    """Return a plan from its JSON file.

    Raises
    ------
    InputError
        If the file is no plan, or one without the tank file that it answers.
    """
    data = parse(read_text(path), path.name)
    if not isinstance(data, dict) or not isinstance(data.get("plan"), dict):
        raise _no_plan(path, "it holds no plan")
    if not isinstance(data.get("question"), dict):
        raise _no_plan(path, "it does not hold the tank file that it answers")
    tank_file = load(json.dumps(data["question"]))
    try:
        return _old_plan(data["plan"], tank_file, course_from(data.get("course", {})))
    except (KeyError, TypeError, ValueError, AttributeError):
        raise _no_plan(path, "a part of the plan is missing or not as it was written") from None


def _no_plan(path: Path, limit: str) -> InputError:
    remedy = "Give the plan.json that slackwater plan wrote, or plan the tank again."
    return InputError(field="the plan", given=shown(path.name), limit=limit, remedy=remedy)


def _nobody_left() -> InputError:
    return InputError(
        field="died",
        given="every animal",
        limit="nobody lives there and nobody is still to come",
        remedy="Write a new tank file and plan that.",
    )


def _old_plan(plan: Mapping[str, Any], tank_file: TankFile, course: Course) -> OldPlan:
    made_on, start = (dt.date.fromisoformat(plan[key]) for key in ("made_on", "start"))
    title = str(plan["title"])
    steps = tuple(
        Planned(tuple(r["keys"]), dt.date.fromisoformat(r["date"]), _date(r["quarantine_from"]))
        for r in plan["releases"]
    )
    dates = {key: step.date for step in steps for key in step.keys}
    lines = {
        a["key"]: Standing(
            dates.get(a["key"]), a["count"], a["length_cm"], a["comfort"]["word"], a["comfort"]["p"]
        )
        for a in plan["animals"]
    }
    question = replace(question_of(tank_file, made_on, title), start=start)
    return OldPlan(title, tank_file, question, steps, lines, course)


def _date(text: str | None) -> dt.date | None:
    return dt.date.fromisoformat(text) if text else None


def _happened(told: HappenedFile, old: OldPlan, today: dt.date) -> Happened:
    """Return what happened with every name put to its line of the plan; all faults at once."""
    day = told.today or today
    reader = _Reader(old, day, [])
    still = {k for step in old.steps for k in step.keys}
    released = []
    for n, row in enumerate(told.released):
        if key := reader.key(row.animal, f"released[{n + 1}]", still, row.on):
            released.append(Released(key, row.on, row.length_cm, row.count))
            still -= {key}
    died = tuple(
        Died(key, row.on, row.count)
        for n, row in enumerate(told.died)
        if (key := reader.key(row.animal, f"died[{n + 1}]", old.standings, row.on))
    )
    taken = [
        Taken(key, species=load_facts().species(name), length_cm=row.length_cm, count=row.count)
        for n, row in enumerate(told.instead)
        if (key := reader.key(row.animal, f"instead[{n + 1}]", still))
        and (name := reader.name(row.take, f"instead[{n + 1}].take"))
    ]
    taken += [
        Taken(key, length_cm=row.length_cm, count=row.count)
        for n, row in enumerate(told.sizes)
        if (key := reader.key(row.animal, f"sizes[{n + 1}]", still))
    ]
    if reader.faults:
        raise InputErrors(source="what happened", faults=reader.faults)
    return Happened(day, int(told.delay), tuple(released), died, tuple(taken))


@dataclass(frozen=True)
class _Reader:
    """Puts names to lines of a plan, and gathers what cannot be."""

    old: OldPlan
    today: dt.date
    faults: list[InputError]

    def key(self, said: str, where: str, among: Iterable[str], on: dt.date | None = None) -> str:
        """Return the key of the line that some words mean, empty if none."""
        if on and on > self.today:
            limit = f"the plan is made anew on {self.today}"
            self._fault(f"{where}.on", on.isoformat(), limit, "Write what has happened by then.")
            return ""
        q = self.old.question
        lines = [w for w in (*q.residents, *q.wishes) if w.key in set(among)]
        name = _name_of(said)
        for w in lines:
            if said.casefold() in {w.said.casefold(), w.key} or name == w.species.name:
                return w.key
        there = ", ".join(w.species.common_name for w in lines) or "nobody"
        self._fault(f"{where}.animal", shown(said), f"the plan has there: {there}", "Write one of these.")
        return ""

    def name(self, said: str, where: str) -> str:
        """Return the scientific name that some words mean, empty if none."""
        try:
            return meant(said, where).name
        except InputError as fault:
            self.faults.append(fault)
        except LookupError as fault:
            self._fault(where, shown(said), "nobody goes by this name", str(fault))
        return ""

    def _fault(self, field: str, given: str, limit: str, remedy: str) -> None:
        self.faults.append(InputError(field=field, given=given, limit=limit, remedy=remedy))


def _name_of(said: str) -> str:
    meaning = understand(said)
    return meaning.name if meaning.verdict is Verdict.ONE else ""


def _tank_file(
    old: OldPlan, residents: tuple[Wanted, ...], wishes: tuple[Wanted, ...], today: dt.date
) -> Plain:
    """Return the tank file of today as plain values: the old one with its animals brought up to date."""
    copy = plain_copy(old.tank_file)
    limits = copy.get("limits")
    start = max(old.question.start, today).isoformat()
    return copy | {
        "company": [row_of(w, old.tank_file) for w in residents],
        "wishes": [row_of(w, old.tank_file) for w in wishes],
        "limits": (limits if isinstance(limits, dict) else {}) | {"start": start},
    }


def _names(old: OldPlan, question: Question) -> dict[str, str]:
    """Return the common names of all animals by key, the new ones after the old."""
    both = (old.question, question)
    return {w.key: w.species.common_name for q in both for w in (*q.residents, *q.wishes)}


def _beside(old: OldPlan, question: Question, keys: Mapping[str, str], made: Plan) -> tuple[Beside, ...]:
    """Return the lines of both plans side by side, in the order of the old one."""
    after = standings(made)
    was = {w.key: w.species.common_name for w in (*old.question.residents, *old.question.wishes)}
    now = {w.key: w.species.common_name for w in (*question.residents, *question.wishes)}
    rows = []
    for key, standing in old.standings.items():
        new = keys.get(key, "")
        name = was[key] if now.get(new, was[key]) == was[key] else f"{was[key]}, now {now[new]}"
        then = after.get(new)
        rows.append(Beside(new or key, name, standing, then, changed(standing, then)))
    return tuple(rows)
