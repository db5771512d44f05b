"""How many of a kind: how a group of each size would fare, released together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.room import too_small_for
from slackwater.plan.tank_rows import shared_by_all
from slackwater.plan.trials import Borne, Trials
from slackwater.rules import Rules, load_rules
from slackwater.society.space import room_of, too_small

Tick = Callable[[str], None]

MOST = 12
_PAIR = 2


@dataclass(frozen=True)
class GroupSize:
    """One size of a group: how its worst-off fares, the worst-off of the others, and whether it fits."""

    count: int
    p: float
    word: str
    outcome: str
    others_p: float | None
    others_word: str | None
    is_bearable: bool
    has_room: bool


@dataclass(frozen=True)
class HowMany:
    """The curve over group sizes, the sizes that do, and the answer in a sentence."""

    scientific_name: str
    common_name: str
    sizes: tuple[GroupSize, ...]
    good: tuple[int, ...]
    sentence: str
    note: str


def how_many(
    question: Question, wanted: Wanted, rules: Rules | None = None, tick: Tick = lambda _: None
) -> HowMany:
    """Return how a group of 1 to 12 of a kind would fare in a tank, released on one day.

    Parameters
    ----------
    question
        The tank and its residents.
    wanted
        The kind, its length and sex; its count is left out.
    rules
        The coefficients; those of the package if left out.
    tick
        Called with the name of each step of the work.
    """
    rules = rules or load_rules()
    trials = Trials(replace(question, wishes=()), rules, rules["choose_worst"])
    sizes = []
    for count in range(1, MOST + 1):
        tick(f"{count} together")
        sizes.append(_size(trials, replace(wanted, count=count), count))
    good = tuple(size.count for size in sizes if size.is_bearable and size.has_room)
    return HowMany(
        scientific_name=wanted.species.name,
        common_name=wanted.species.common_name,
        sizes=tuple(sizes),
        good=good,
        sentence=_sentence(question, wanted, tuple(sizes), good, rules),
        note=_note(wanted),
    )


def _note(wanted: Wanted) -> str:
    usual = wanted.species.text("company_note")
    told = "Released on one day, at one size. Room, holes and oxygen are those of grown animals."
    return f"{told} Usual: {usual.rstrip('.')}." if usual else told


def _has_room(question: Question, wanted: Wanted, rules: Rules) -> bool:
    """Say whether tank, holes and oxygen serve a group once it is grown."""
    beside = replace(question, wishes=(wanted,))
    here = len(question.residents)
    fits = all(s.takes[here] <= s.left(here) for s in shared_by_all(beside, rules))
    return fits and not too_small_for(wanted.species, wanted.count, room_of(question.glass), rules)


def _size(trials: Trials, wanted: Wanted, count: int) -> GroupSize:
    trial = trials.beside((wanted,)).of(frozenset({0}))
    own = next(b for b in trial.borne if b.key == wanted.key)
    others: list[Borne] = [b for b in trial.borne if b.key != wanted.key]
    worst = max(others, key=lambda b: b.p, default=None)
    return GroupSize(
        count=count,
        p=own.p,
        word=own.word,
        outcome=own.outcome,
        others_p=worst.p if worst else None,
        others_word=worst.word if worst else None,
        is_bearable=trial.is_bearable,
        has_room=_has_room(trials.question, wanted, trials.rules),
    )


def _sentence(
    question: Question, wanted: Wanted, sizes: tuple[GroupSize, ...], good: tuple[int, ...], rules: Rules
) -> str:
    name = wanted.species.common_name
    if too_small(wanted.species, room_of(question.glass), rules):
        need = wanted.species.number("min_length_cm")
        return f"None: a grown {name} needs a tank of {need:.0f} cm and its width and water."
    if not good and not any(size.has_room for size in sizes):
        return f"None: the tank has too little room, oxygen or holes even for one grown {name}."
    if not good:
        best = min((s for s in sizes if s.has_room), key=lambda size: size.p)
        return f"No number does well here; {best.count} fares best and is {best.word}."
    told = f"{_ranges(good)} of {name} would do."
    bad = [size for size in sizes if not size.is_bearable]
    tight = [size for size in sizes if size.is_bearable and not size.has_room]
    if bad:
        worst = max(bad, key=lambda size: size.p)
        told += f" Not {_ranges(tuple(size.count for size in bad))}: {_why(worst)}."
    if tight:
        told += f" Not {_ranges(tuple(size.count for size in tight))}: too many for this tank once grown."
    return told


def _why(size: GroupSize) -> str:
    if size.p < (size.others_p or 0.0):
        return f"of {size.count} the others would be {size.others_word}"
    return f"of {size.count} the worst-off would be {size.word} ({size.outcome})"


def _ranges(counts: tuple[int, ...]) -> str:
    """Return numbers in words, runs as `2 to 5`."""
    runs: list[list[int]] = []
    for count in counts:
        if runs and count == runs[-1][-1] + 1:
            runs[-1].append(count)
        else:
            runs.append([count])
    parts = [f"{run[0]} to {run[-1]}" if len(run) > _PAIR else " or ".join(map(str, run)) for run in runs]
    return " or ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))
