"""What else could live here: kinds that would fit next, and popular ones that would break the tank."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from slackwater.plan.outlook import not_to_add
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import NotRow
from slackwater.plan.screen import Screened, newcomer, screen
from slackwater.plan.trials import Trial, Trials
from slackwater.rules import Rules, load_rules
from slackwater.society.nips import KINDS, nips
from slackwater.society.space import room_of, too_small
from slackwater.taxa.facts import Species, load_facts

Tick = Callable[[str], None]

MOST_ROWS = 10
_MOST_OF_A_FAMILY = 3
_MOST_TRIED = 40
_ROBUST = {"tough": 2, "hardy": 2, "fair": 1}
_RAISED = {"usual": 2, "some": 1}
_NEST = "new"


@dataclass(frozen=True)
class Fit:
    """A kind that would fit next: how it would fare, how the worst-off of the others, and why."""

    scientific_name: str
    common_name: str
    length_cm: float
    p: float
    word: str
    others_p: float
    others_word: str
    reason: str


@dataclass(frozen=True)
class Also:
    """What else could live in a tank, and what had better not; `screened` counts the kinds looked at."""

    fits: tuple[Fit, ...]
    breaks: tuple[NotRow, ...]
    screened: int
    tried: int


def settled(question: Question) -> Question:
    """Return the tank with its wishes living there since the day of the plan."""
    here = tuple(replace(w, resident=True, since=question.made_on) for w in question.wishes)
    return replace(question, residents=(*question.residents, *here), wishes=())


def also(question: Question, rules: Rules | None = None, tick: Tick = lambda _: None) -> Also:
    """Return the ten kinds that would fit next and the ten popular ones that would break the tank.

    Parameters
    ----------
    question
        The tank; its wishes are taken to live there already.
    rules
        The coefficients; those of the package if left out.
    tick
        Called with the name of each step of the work.

    Notes
    -----
    All kinds are screened at once; the likeliest are put to the full model one by one, last to be
    released, until ten are borne. Among kinds that fit, the robust, the tank-raised and those
    that fill a free level come first, few of one family.
    """
    rules = rules or load_rules()
    here = settled(question)
    tick("all kinds at once")
    kinds = _candidates(here, rules)
    seen = screen(here, kinds, rules)
    tick("those that fit, one by one")
    trials = Trials(here, rules, rules["choose_worst"])
    fits: list[Fit] = []
    tried = 0
    for tried, kind in enumerate(_likeliest(here, seen, rules), start=1):
        wanted = _wanted(kind)
        trial = trials.beside((wanted,)).of(frozenset({0}))
        if trial.is_bearable:
            fits.append(_fit(here, wanted, trial))
        if len(fits) >= MOST_ROWS or tried >= _MOST_TRIED:
            break
    tick("those that would break it")
    breaks = not_to_add(here, {}, rules, MOST_ROWS)
    return Also(tuple(fits), breaks[:MOST_ROWS], len(kinds), tried)


def _candidates(question: Question, rules: Rules) -> tuple[Species, ...]:
    """Return the kinds that the tank is large enough for and that are not there yet."""
    facts, room = load_facts(), room_of(question.glass)
    here = {w.species.name for w in question.residents}
    kinds = (facts.species(name) for name in facts.species_names if name not in here)
    return tuple(kind for kind in kinds if not too_small(kind, room, rules))


def _likeliest(question: Question, seen: Screened, rules: Rules) -> Iterator[Species]:
    """Return the kinds that pass the quick look, the most welcome first, few of a family."""
    levels = {w.species.word("level") for w in question.residents}
    worst = seen.worst
    passes = np.flatnonzero(~seen.eats & ~seen.eaten & (worst < rules["bearable"]))
    ranked = sorted(
        passes.tolist(),
        key=lambda n: (
            -_welcome(seen.species[n], question, levels),
            round(float(worst[n]), 3),
            seen.species[n].name,
        ),
    )
    families: Counter[str] = Counter()
    genera: set[str] = set()
    for n in ranked:
        kind = seen.species[n]
        if families[kind.family] < _MOST_OF_A_FAMILY and kind.genus not in genera:
            families[kind.family] += 1
            genera.add(kind.genus)
            yield kind


def _welcome(kind: Species, question: Question, levels: set[str]) -> int:
    """Return how welcome a kind is: robust, raised, well described, a free level, spares the rest."""
    spared = (*question.keeping.corals, *question.keeping.inverts)
    harmless = not any(nips(kind, k) != "no" for k in KINDS if k in spared)
    return (
        _ROBUST.get(kind.word("hardiness"), 0)
        + _RAISED.get(kind.word("captive_bred"), 0)
        + (0 if kind.text("described") == "named" else 2)
        + (1 if kind.word("level") not in levels else 0)
        + (1 if kind.number("company_min") <= 1.0 else 0)
        + (3 if harmless else 0)
    )


def _wanted(kind: Species) -> Wanted:
    guest = newcomer(kind)
    return Wanted(_NEST, kind.common_name, kind, 1, guest.party.sex, guest.length_cm)


_LIVES = {
    "bottom": "lives on the bottom",
    "low": "lives low in the tank",
    "middle": "lives at middle height",
    "top": "lives near the surface",
    "all": "uses all heights",
}


def _fit(question: Question, wanted: Wanted, trial: Trial) -> Fit:
    own = next(b for b in trial.borne if b.key == wanted.key)
    others = max((b for b in trial.borne if b.key != wanted.key), key=lambda b: b.p, default=own)
    free = wanted.species.word("level") not in {w.species.word("level") for w in question.residents}
    reason = f"{own.word} itself; {_LIVES[wanted.species.word('level')]}"
    if free:
        reason += ", where nobody lives yet"
    reason += f"; grows to {wanted.species.number('adult_length_cm'):.0f} cm"
    return Fit(
        wanted.species.name,
        wanted.species.common_name,
        wanted.length_cm,
        own.p,
        own.word,
        others.p,
        others.word,
        reason,
    )
