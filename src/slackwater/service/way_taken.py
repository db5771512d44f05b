"""A way to yes, taken: the plan that follows from it, beside the list as it stood."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from slackwater.errors import InputError
from slackwater.plan.changes import done
from slackwater.plan.compose import make_plan
from slackwater.plan.dates import schedule
from slackwater.plan.records import Plan
from slackwater.plan.replan import Beside, Standing, standings
from slackwater.plan.sequence import fixed_steps
from slackwater.plan.whatif import MOST_WAYS, Tick, Way, WhatIf, left_of, ways_to_yes
from slackwater.rules import Rules, load_rules
from slackwater.service.planning import PaperName, question_of, title_of, write_plan
from slackwater.service.replanning import write_beside
from slackwater.service.replanning_words import changed
from slackwater.service.tankfile import load
from slackwater.service.tankfile_copy import Plain
from slackwater.service.way_file import written
from slackwater.society.harm import ease


@dataclass(frozen=True)
class WayTaken:
    """The plan of one way, its changes in words, and every animal before and after.

    `question` is the tank file with the changes made, and `course` what no tank file holds of them.
    """

    plan: Plan
    changes: tuple[str, ...]
    beside: tuple[Beside, ...]
    question: Plain
    course: Plain


def take_way(
    source: Path | str, today: dt.date, number: int, tick: Tick = lambda _: None, most: int = MOST_WAYS
) -> WayTaken:
    """Return the plan of one of the ways that make the list of a tank file work.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    number
        Which way, counted from 1, as `whatif` lists them.
    tick
        Called with a word on how far the work has come.
    most
        How many ways to seek; at least `number` are sought.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used, or there is no such way.
    """
    rules = load_rules()
    tank_file = load(source)
    asked = question_of(tank_file, today, title_of(source))
    found = ways_to_yes(asked, rules, tick, max(most, number))
    way = _way(found, number)
    now = written(tank_file, found.question, done(found.question, way.changes))
    made = make_plan(now.question, rules, tick)
    words = tuple(change.words for change in way.changes)
    return WayTaken(made, words, _beside(found, made, now.renamed, rules), now.tank_file, now.course)


def write_way(taken: WayTaken, out: Path, paper: PaperName = "a4") -> tuple[Path, ...]:
    """Write the plan of a way into a folder, with `beside.json`, the list as it stood beside it.

    Returns
    -------
    tuple of Path
        The files of the plan, then beside.json.
    """
    told = {"beside": taken.beside, "changes": taken.changes}
    files = write_plan(taken.plan, out, paper, taken.question, taken.course)
    return (*files, write_beside(told, out))


def _way(found: WhatIf, number: int) -> Way:
    if not 1 <= number <= len(found.ways):
        count = len(found.ways)
        raise InputError(
            field="the way to take",
            given=f"{number}",
            limit=f"{count} were found" if count != 1 else "one was found",
            remedy="Look at `whatif` first, and take one that it lists.",
        )
    return found.ways[number - 1]


def _beside(found: WhatIf, made: Plan, renamed: Mapping[str, str], rules: Rules) -> tuple[Beside, ...]:
    before, after = _as_it_stood(found, rules), standings(made)
    names = {line.key: line.common_name for line in made.animals}
    q = found.question
    was = {w.key: w.species.common_name for w in (*q.residents, *q.wishes)}
    rows = []
    for key, standing in before.items():
        new = renamed.get(key, "")
        now, then = names.get(new, was[key]), after.get(new)
        name = was[key] if now == was[key] else f"{was[key]}, now {now}"
        rows.append(Beside(key, name, standing, then, changed(standing, then)))
    return tuple(rows)


def _as_it_stood(found: WhatIf, rules: Rules) -> dict[str, Standing]:
    """Return how every line would have stood without any change, by key."""
    q = found.question
    left = left_of(q, found.verdict, rules).burdens
    slots = schedule(q, fixed_steps(q), rules)
    dates = {q.wishes[item].key: slot.release for slot in slots for item in slot.items}
    return {
        w.key: Standing(dates.get(w.key), w.count, w.length_cm, ease(left[w.key], rules).value, left[w.key])
        for w in (*q.residents, *q.wishes)
    }
