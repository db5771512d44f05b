"""What was not told: the one question whose answer could turn the verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.sequence import coarse
from slackwater.rules import Rules
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass

_MOST_TRIED = 5
HARDLY = 0.01


@dataclass(frozen=True)
class Doubt:
    """An unknown, the question that settles it, and the tank as it might be instead."""

    ask: str
    other: Question


def doubts(question: Question) -> tuple[Doubt, ...]:
    """Return the unknowns of a question, each with one other way it might be."""
    found: list[Doubt] = []
    if not question.length_told:
        shorter = question.glass.scaled(0.8)
        found.append(Doubt("How long is the tank inside?", _reglassed(question, shorter)))
    if not question.rock_told or len(question.rockworks) > 1:
        found.append(Doubt("Is the rock one wall or several islands, and how much?", _rerocked(question)))
    for n, wanted in enumerate(question.residents):
        if not wanted.length_told:
            found.append(
                Doubt(
                    f"How long is the {wanted.species.common_name} now?",
                    _resized(question, n, 1.3 * wanted.length_cm),
                )
            )
    return tuple(found[:_MOST_TRIED])


def _reglassed(question: Question, glass: Glass) -> Question:
    if question.rockworks[0].stones:
        return replace(question, glass=glass)
    rocks = tuple(preset(r.word, glass, r.sand_cm, v) for v, r in enumerate(question.rockworks[:1]))
    return replace(question, glass=glass, rockworks=rocks)


def _rerocked(question: Question) -> Question:
    word = "sparse" if question.rock_word in {"moderate", "dense"} else "moderate"
    sand = question.rockworks[0].sand_cm
    return replace(question, rockworks=(preset(word, question.glass, sand, 0),))


def _resized(question: Question, number: int, length_cm: float) -> Question:
    old: Wanted = question.residents[number]
    residents = list(question.residents)
    residents[number] = replace(old, length_cm=length_cm)
    return replace(question, residents=tuple(residents))


def the_question(question: Question, days: dict[str, float], rules: Rules) -> str:
    """Return the one question to ask, with what its answer could change.

    The unknown that moves the worst-off animal's chance of harm most, at search resolution; one
    that turns the mood comes first.
    """
    base = coarse(question, days, rules)
    moved = []
    for doubt in doubts(question):
        other = coarse(doubt.other, days, rules)
        turns = other.mood is not base.mood
        moved.append((turns, abs(other.worst_p - base.worst_p), doubt.ask, other))
    if not moved:
        return ""
    turns, gap, ask, other = max(moved, key=lambda m: (m[0], m[1]))
    if turns:
        return f"{ask} The answer could turn the tank from {base.mood} to {other.mood}."
    if gap < HARDLY:
        return f"{ask} (Whatever the answer, the verdict is likely to stand.)"
    return f"{ask} The answer moves the worst-off animal's chance of harm by {100 * gap:.0f} points."
