"""How many of a kind: how a group of each size would fare, released together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.trials import Borne, Trials
from slackwater.rules import Rules, load_rules
from slackwater.society.space import room_of, too_small

Tick = Callable[[str], None]

MOST = 12
_PAIR = 2


@dataclass(frozen=True)
class GroupSize:
    """One size of a group: how its worst-off fares, and the worst-off of the others."""

    count: int
    p: float
    word: str
    outcome: str
    others_p: float | None
    others_word: str | None
    is_bearable: bool


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
    good = tuple(size.count for size in sizes if size.is_bearable)
    if too_small(wanted.species, room_of(question.glass), rules):
        good = ()
    return HowMany(
        scientific_name=wanted.species.name,
        common_name=wanted.species.common_name,
        sizes=tuple(sizes),
        good=good,
        sentence=_sentence(question, wanted, tuple(sizes), good, rules),
        note=(
            "Released on one day, at one size. Room for so many grown animals and what filter and "
            "oxygen bear are not counted here. " + wanted.species.text("company_note")
        ).strip(),
    )


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
    )


def _sentence(
    question: Question, wanted: Wanted, sizes: tuple[GroupSize, ...], good: tuple[int, ...], rules: Rules
) -> str:
    name = wanted.species.common_name
    if too_small(wanted.species, room_of(question.glass), rules):
        need = wanted.species.number("min_length_cm")
        return f"None: a grown {name} needs a tank of {need:.0f} cm and its width and water."
    if not good:
        best = min(sizes, key=lambda size: size.p)
        return f"No number does well here; {best.count} fares best and is {best.word}."
    bad = [size for size in sizes if not size.is_bearable]
    told = f"{_ranges(good)} of {name} would do."
    if bad:
        worst = max(bad, key=lambda size: size.p)
        told += f" Not {_ranges(tuple(size.count for size in bad))}: {_why(worst)}."
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
