"""What would make a list work: from a tank file to the smallest ways, in plain records."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.changes import done
from slackwater.plan.clash import bearable, trouble
from slackwater.plan.question import Question
from slackwater.plan.records import Assumption
from slackwater.plan.room import too_large_now
from slackwater.plan.whatif import MOST_WAYS, Tick, Way, WhatIf, ways_to_yes, works
from slackwater.plan.wording import listed
from slackwater.rules import Rules, load_rules
from slackwater.service.house import notes_behind
from slackwater.service.planning import read_question
from slackwater.society.explain import Explanation, explain
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement
from slackwater.taxa.facts import load_facts


@dataclass(frozen=True)
class ChangeRow:
    """One thing to change: its kind, what to do, what is given up, and its effort. [evening]"""

    kind: str
    do: str
    gives_up: str
    effort: float


@dataclass(frozen=True)
class WayRow:
    """A smallest set of changes, what it costs the keeper [evening], and how the worst-off fares then.

    `p` is that animal's chance of harm over its worst 90 days, by all but too little room. [0 to 1]
    """

    changes: tuple[ChangeRow, ...]
    effort: float
    worst: str
    p: float
    word: str
    works: bool
    because: str
    sentence: str


@dataclass(frozen=True)
class WhatIfAnswer:
    """What would make a list work.

    `ways` are the smallest sets of changes, the least effort first; `nearest` is what comes
    nearest where none works; `tried` counts the sets that were judged, and `is_whole` is false
    where the search was stopped before its end.
    """

    title: str
    sentence: str
    works_now: bool
    order: tuple[str, ...]
    worst: str
    p: float
    word: str
    ways: tuple[WayRow, ...]
    nearest: WayRow | None
    tried: int
    is_whole: bool
    note: str
    assumptions: tuple[Assumption, ...]
    house_notes: tuple[str, ...] = ()


def whatif_file(
    source: Path | str,
    today: dt.date,
    tick: Tick = lambda _: None,
    most: int = MOST_WAYS,
    title: str | None = None,
) -> WhatIfAnswer:
    """Return what would make the list of a tank file work.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    tick
        Called with a word on how far the search has come.
    most
        How many ways to seek; each differs from the others in kind.
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    rules = load_rules()
    found = ways_to_yes(read_question(source, today, title), rules, tick, most)
    return _answer(found, rules)


def _answer(found: WhatIf, rules: Rules) -> WhatIfAnswer:
    q = found.question
    worst, p = _worst(found.verdict)
    ways = tuple(_way(way, found, rules) for way in found.ways)
    nearest = _way(found.nearest, found, rules) if found.nearest else None
    works_now = works(q, found.verdict, rules)
    return WhatIfAnswer(
        title=q.title,
        sentence=_sentence(found, ways, nearest, rules),
        works_now=works_now,
        order=_order(q),
        worst=worst,
        p=p,
        word=ease(p, rules).value,
        ways=ways,
        nearest=nearest,
        tried=found.tried,
        is_whole=found.is_whole,
        note="" if found.is_whole else _stopped(found.tried),
        assumptions=q.assumptions,
        house_notes=notes_behind(w.species.name for w in (*q.residents, *q.wishes)),
    )


def _stopped(tried: int) -> str:
    count = "1 try" if tried == 1 else f"{tried} tries"
    return f"Stopped after {count}: this is the best so far."


def _order(question: Question) -> tuple[str, ...]:
    names = {w.key: w.species.common_name for w in question.wishes}
    return tuple(" with ".join(names[key] for key in step) for step in question.course.steps)


def _worst(verdict: Judgement) -> tuple[str, float]:
    """Return the common name of the worst-off animal, and its chance of harm. [0 to 1]"""
    lots = [(float(verdict.community_draws(lot).mean()), lot) for lot in verdict.lots]
    if not lots:
        return "", 0.0
    p, lot = max(lots, key=lambda pair: pair[0])
    return lot.animal.species.common_name, p


def _way(way: Way, found: WhatIf, rules: Rules) -> WayRow:
    rows = tuple(ChangeRow(c.kind.value, c.words, c.gives_up, c.effort) for c in way.changes)
    worst, p = _worst(way.verdict)
    word = ease(p, rules).value
    todo = " and ".join(row.do for row in rows)
    does = works(done(found.question, way.changes), way.verdict, rules)
    then = _then(worst, word, works=does)
    sentence = f"{todo[:1].upper()}{todo[1:]}: {then}. Given up: {'; '.join(row.gives_up for row in rows)}."
    return WayRow(rows, way.effort, worst, p, word, does, _because(found.verdict, way.verdict), sentence)


def _then(worst: str, word: str, *, works: bool) -> str:
    """Return how the worst-off animal fares once a way is taken."""
    if not worst:
        return "nobody is left to bear anything"
    return f"the worst-off, {worst}, is then {word}" if works else f"{worst} is still {word}"


def _because(before: Judgement, after: Judgement) -> str:
    """Return how often the worst attacker chases its victim then, where both still live together."""
    attacker, victim, outcome = trouble(before)
    if outcome != "fought" or not {attacker, victim} <= set(after.species):
        return ""
    then, now = (_chases(verdict, attacker, victim) for verdict in (before, after))
    told = then.sentence.partition(";")[0]
    return f"{told[:1].upper()}{told[1:]}; with this, about {now.rate:.1f} times."


def _chases(verdict: Judgement, attacker: str, victim: str) -> Explanation:
    """Return why one species troubles another, of the pair for which it is worst."""
    animals = verdict.situation.animals
    pairs = [
        explain(verdict, a, b)
        for a in animals
        for b in animals
        if a is not b and (a.species.name, b.species.name) == (attacker, victim)
    ]
    return max(pairs, key=lambda told: told.rate)


def _sentence(found: WhatIf, ways: tuple[WayRow, ...], nearest: WayRow | None, rules: Rules) -> str:
    order = ", then ".join(_order(found.question))
    if works(found.question, found.verdict, rules):
        return f"It works as it is, in this order: {order}." if order else "It works as it is."
    why = _no_room(found, rules) or _why(found.verdict)
    if ways:
        if len(ways) == 1:
            return f"Not as it stands: {why}. There is one way to make it work."
        return f"Not as it stands: {why}. {len(ways)} ways make it work, the least effort first."
    if nearest:
        return (
            f"Not as it stands: {why}. No way of up to three changes was found; what comes nearest is shown."
        )
    return f"Not as it stands: {why}. Nothing was found that could be changed."


def _no_room(found: WhatIf, rules: Rules) -> str:
    """Return in a clause for whom the tank is too small at once, where everyone could bear the others."""
    large = too_large_now(found.question, rules)
    if not large or not bearable(found.verdict, rules):
        return ""
    names = dict.fromkeys(w.species.common_name for w in large)
    return f"the tank is too small for {listed(list(names))} from the first day"


def _why(verdict: Judgement) -> str:
    """Return the trouble of a company in a clause."""
    attacker, victim, outcome = trouble(verdict)
    facts = load_facts()
    whom = facts.species(victim).common_name
    who = facts.species(attacker).common_name if attacker else ""
    own = attacker == victim
    by = "its own kind" if own else who
    return {
        "eaten": f"{who} would eat {whom}",
        "fought": f"{whom} would be chased too much by {by}",
        "bitten": f"{whom} would be bitten too often by {by}",
        "outcompeted": f"{whom} would not get enough of the food",
        "jumped": f"{whom} would jump out of the open tank",
        "unmet need": f"{whom} would lack something it needs",
    }.get(outcome, f"{whom} would not do well")
