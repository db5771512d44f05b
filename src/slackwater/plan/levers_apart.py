"""Living apart: a divider across the tank, and a resident in the sump."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from slackwater.plan import changes as make
from slackwater.plan.aside import bears_the_sump
from slackwater.plan.changes import Change, Kind
from slackwater.plan.dividing import in_the_way
from slackwater.plan.question import Question, Wanted
from slackwater.plan.room import room_beside
from slackwater.rules import Rules
from slackwater.society.company import Place
from slackwater.society.space import too_small

if TYPE_CHECKING:
    from slackwater.plan.levers import Bench

_SHARES = (1 / 2, 1 / 3)
_MOST_PARTED = 4


def sumps(bench: Bench) -> Iterator[Change]:
    """Yield the residents that chase and could live in the sump for good."""
    q = bench.question
    if not q.sump_l:
        return
    for r in q.residents:
        chases = r.key in bench.trouble.culprits and r.place is Place.TANK
        if chases and bears_the_sump(q, r, bench.rules):
            name = r.species.common_name
            words = f"keep {name} in the sump for good, with shelter, a guard before the pump and a lid"
            given = f"the sight of {name}, and half of the sump"
            edit = make.in_the_sump(r.key)
            yield Change(Kind.SUMP, r.key, words, given, bench.effort("sump"), edit)


def dividers(bench: Bench) -> Iterator[Change]:
    """Yield the sheets that part those in trouble from the others and leave everyone room on a side."""
    q = bench.question
    if q.divider_cm is not None:
        return
    for apart in _parted(bench):
        for share in _SHARES:
            at_cm = float(round((1.0 - share) * q.glass.length_cm))
            if _may_stand(q, at_cm, apart, bench.rules):
                yield _divider(bench, at_cm, apart)


def _divider(bench: Bench, at_cm: float, apart: frozenset[str]) -> Change:
    q = bench.question
    names = dict.fromkeys(w.species.common_name for w in (*q.residents, *q.wishes) if w.key in apart)
    words = (
        f"part the tank with an opaque drilled sheet {at_cm:.0f} cm from the left pane, "
        f"{' and '.join(names)} to its right"
    )
    given = "the whole length for everyone, and the company as one; both sides need flow, food and a lid"
    return Change(Kind.DIVIDER, "", words, given, bench.effort("divider"), make.parted(at_cm, apart))


def _parted(bench: Bench) -> list[frozenset[str]]:
    """Return whom to part from the others, by keys: those that chase, together or alone, then victims."""
    there = [w.key for w in (*bench.question.residents, *bench.question.wishes) if w.place is Place.TANK]
    culprits = [key for key in there if key in bench.trouble.culprits]
    victims = [key for key in there if key in bench.trouble.victims]
    tried = dict.fromkeys(frozenset(keys) for keys in (culprits, *((k,) for k in (*culprits, *victims))))
    return [keys for keys in tried if keys and len(keys) < len(there)][:_MOST_PARTED]


def _may_stand(question: Question, at_cm: float, right: frozenset[str], rules: Rules) -> bool:
    """Return whether a sheet stands clear of listed stones, and everyone has room and food beside it."""
    least_cm = rules["sheet_shortest_cm"]
    if not least_cm <= at_cm <= question.glass.length_cm - least_cm:
        return False
    if question.rock_word == "as listed" and in_the_way(question.rockworks[0], at_cm):
        return False
    fed = {place[0] < at_cm for place in question.keeping.places_cm}
    if len(fed) == 1:
        return False
    parted = make.parted(at_cm, right)(question)
    lines = [w for w in (*parted.residents, *parted.wishes) if w.place is Place.TANK]
    return not any(_loses_room(w, parted, rules) for w in lines)


def _loses_room(wanted: Wanted, parted: Question, rules: Rules) -> bool:
    """Return whether the whole tank is large enough for a kind and its side is not."""
    whole, side = room_beside(parted, None), room_beside(parted, wanted.side)
    return not too_small(wanted.species, whole, rules) and too_small(wanted.species, side, rules)
