"""What was not told: what each assumption costs, and the one question that could turn the verdict."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.sequence import coarse
from slackwater.rules import Rules
from slackwater.society.judge import Judgement
from slackwater.tank.rock import preset
from slackwater.tank.shapes import Glass

_MOST_TRIED = 7
HARDLY = 0.01


@dataclass(frozen=True)
class Doubt:
    """An unknown, the question that settles it, what else it might be, and the tank as it then is.

    `what` is the name of the assumption that stands in for the answer.
    """

    what: str
    ask: str
    words: str
    other: Question


def doubts(question: Question) -> tuple[Doubt, ...]:
    """Return the unknowns of a question, each with one other way it might be."""
    assumed = {row.what for row in question.assumptions}
    found: list[Doubt] = []
    if not question.length_told:
        shorter = question.glass.scaled(0.8)
        words = f"in a tank of {shorter.length_cm:.0f} cm"
        found.append(
            Doubt("tank length", "How long is the tank inside?", words, _reglassed(question, shorter))
        )
    if not question.rock_told or len(question.rockworks) > 1:
        word, other = _rerocked(question)
        ask = "Is the rock one wall or several islands, and how much?"
        found.append(Doubt("rock", ask, f"with {word} rock", other))
    for what, ask, words, keeping in (
        ("feeds", "How often is it fed?", "with one feed a day", {"feeds_per_day": 1.0}),
        ("lid", "Is the tank covered without gaps?", "without a lid", {"lid": False}),
    ):
        if what in assumed:
            other = replace(question, keeping=replace(question.keeping, **keeping))
            found.append(Doubt(what, ask, words, other))
    for n, wanted in enumerate(question.residents):
        if not wanted.length_told:
            name, length_cm = wanted.species.common_name, 1.3 * wanted.length_cm
            words, other = f"with {name} of {length_cm:.0f} cm", _resized(question, n, length_cm)
            found.append(Doubt("lengths", f"How long is the {name} now?", words, other))
    return tuple(found[:_MOST_TRIED])


def _reglassed(question: Question, glass: Glass) -> Question:
    if question.rockworks[0].stones:
        return replace(question, glass=glass)
    rocks = tuple(preset(r.word, glass, r.sand_cm, v) for v, r in enumerate(question.rockworks[:1]))
    return replace(question, glass=glass, rockworks=rocks)


def _rerocked(question: Question) -> tuple[str, Question]:
    word = "sparse" if question.rock_word in {"moderate", "dense"} else "moderate"
    sand = question.rockworks[0].sand_cm
    return word, replace(question, rockworks=(preset(word, question.glass, sand, 0),))


def _resized(question: Question, number: int, length_cm: float) -> Question:
    old: Wanted = question.residents[number]
    residents = list(question.residents)
    residents[number] = replace(old, length_cm=length_cm)
    return replace(question, residents=tuple(residents))


@dataclass(frozen=True)
class Asked:
    """The one question to ask, and what each assumption costs, by its name."""

    question: str
    costs: dict[str, str]


def what_is_unknown(question: Question, days: dict[str, float], rules: Rules) -> Asked:
    """Return the one question to ask, and what each unknown could change.

    Each unknown is answered in one other way, at search resolution. The question is that of the
    answer that moves the worst-off animal's chance of harm most; one that turns the mood comes
    first.

    Parameters
    ----------
    question
        The tank, its residents and the wishes.
    days
        Day of release by key. [d]
    rules
        The coefficients.
    """
    base = coarse(question, days, rules)
    tried = [(doubt, coarse(doubt.other, days, rules)) for doubt in doubts(question)]
    ranked = sorted(tried, key=lambda one: _shift(base, one[1]), reverse=True)
    costs: dict[str, str] = {}
    for doubt, other in ranked:
        costs.setdefault(doubt.what, _cost(base, doubt, other))
    return Asked(_asked(base, *ranked[0]) if ranked else "", costs)


def _shift(base: Judgement, other: Judgement) -> tuple[bool, float]:
    return other.mood is not base.mood, abs(other.worst_p - base.worst_p)


def _cost(base: Judgement, doubt: Doubt, other: Judgement) -> str:
    turns, gap = _shift(base, other)
    if turns:
        return f"{doubt.words} the tank would be {other.mood}, not {base.mood}"
    if gap < HARDLY:
        return f"{doubt.words} little would change"
    less = "more" if other.worst_p > base.worst_p else "less"
    return f"{doubt.words} the worst-off would bear {less} by {100.0 * gap:.0f} points"


def _asked(base: Judgement, doubt: Doubt, other: Judgement) -> str:
    turns, gap = _shift(base, other)
    if turns:
        return f"{doubt.ask} The answer could turn the tank from {base.mood} to {other.mood}."
    if gap < HARDLY:
        return f"{doubt.ask} (Whatever the answer, the verdict is likely to stand.)"
    return f"{doubt.ask} The answer moves the worst-off animal's chance of harm by {100 * gap:.0f} points."
