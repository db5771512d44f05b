"""Who to take out: how the whole company would fare without each animal in turn, and who bullies next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from slackwater.plan.clash import trouble
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import rejudged, with_best_order
from slackwater.rules import Rules, load_rules
from slackwater.society.company import Sex
from slackwater.society.harm import Ease, ease
from slackwater.society.judge import Judgement

Tick = Callable[[str], None]

_PAIR = 2


@dataclass(frozen=True)
class Standing:
    """How a company stands: its mood, its worst-off, and who does most harm, if anyone does."""

    mood: str
    worst: str
    p: float
    word: str
    bully: str | None


@dataclass(frozen=True)
class Shift:
    """Someone whose comfort changes in word."""

    common_name: str
    before: str
    after: str


@dataclass(frozen=True)
class Removal:
    """The company without one animal, or all of one line."""

    key: str
    common_name: str
    taken: str
    after: Standing
    shifts: tuple[Shift, ...]
    sentence: str


@dataclass(frozen=True)
class TakingOut:
    """The company as it stands, and without each in turn, the best outcome first."""

    now: Standing
    removals: tuple[Removal, ...]
    sentence: str


def taking_out(question: Question, rules: Rules | None = None, tick: Tick = lambda _: None) -> TakingOut:
    """Return the effect on the whole company of taking out each animal in turn.

    Parameters
    ----------
    question
        The tank; where someone lives there, wishes are left out.
    rules
        The coefficients; those of the package if left out.
    tick
        Called with the name of each step of the work.
    """
    rules = rules or load_rules()
    asked = with_best_order(replace(question, wishes=()) if question.residents else question, rules)
    tick("as it is")
    verdict = rejudged(asked, rules)
    before = _words(verdict, asked)
    now = _standing(verdict)
    rows = []
    for wanted, left in _ways_out(asked):
        tick(f"without {wanted.species.common_name}")
        rows.append(_removal(asked, wanted, left, before, rules))
    rows.sort(key=lambda row: (row.after.p, row.key, row.taken))
    return TakingOut(now, tuple(rows), _advice(now, rows))


def _ways_out(question: Question) -> list[tuple[Wanted, int]]:
    """Return each line with how many of it would be left: all but one of a group, and none."""
    lines = (*question.residents, *question.wishes)
    some = [(w, w.count - 1) for w in lines if w.count > 1]
    return [*((w, 0) for w in lines), *some] if len(lines) > 1 else some


def _removal(
    question: Question, wanted: Wanted, left: int, before: dict[str, tuple[str, str]], rules: Rules
) -> Removal:
    changed = _without(question, wanted, left)
    verdict = rejudged(changed, rules)
    after = _standing(verdict)
    words = _words(verdict, changed)
    shifts = tuple(
        Shift(name, was, words[key][1])
        for key, (name, was) in before.items()
        if key in words and words[key][1] != was
    )
    name = wanted.species.common_name
    taken = (
        name
        if wanted.count == 1
        else f"one of {wanted.count} {name}"
        if left
        else f"{'both' if wanted.count == _PAIR else f'all {wanted.count}'} {name}"
    )
    return Removal(wanted.key, name, taken, after, shifts, _sentence(taken, after, shifts))


def _without(question: Question, wanted: Wanted, left: int) -> Question:
    """Return the question with fewer of one line; what is left of a pair is a single animal."""
    sex = Sex.UNKNOWN if wanted.sex is Sex.PAIR and left < _PAIR else wanted.sex
    fewer = replace(wanted, count=left, sex=sex)

    def kept(lines: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
        return tuple(fewer if w.key == wanted.key else w for w in lines if left or w.key != wanted.key)

    return replace(question, residents=kept(question.residents), wishes=kept(question.wishes))


def _standing(verdict: Judgement) -> Standing:
    if not verdict.lots:
        return Standing(verdict.mood.value, "nobody", 0.0, Ease.AT_EASE.value, None)
    worst = max(verdict.lots, key=lambda lot: float(verdict.community_draws(lot).mean()))
    p = float(verdict.community_draws(worst).mean())
    word = ease(p, verdict.rules)
    return Standing(verdict.mood.value, worst.animal.species.common_name, p, word.value, bully(verdict))


def bully(verdict: Judgement) -> str | None:
    """Return the common name of the kind that does the others most harm, None if nobody does any."""
    eater, _, outcome = trouble(verdict) if verdict.lots else ("", "", "")
    names = {lot.animal.species.name: lot.animal.species.common_name for lot in verdict.lots}
    if outcome == "eaten" and eater in names:
        return names[eater]
    dealt = {name: max(lot.by.get(name, 0.0) for lot in verdict.lots) for name in names}
    worst = max(dealt, key=lambda name: dealt[name], default="")
    return names[worst] if worst and dealt[worst] >= verdict.rules["ease.at_ease"] else None


def _words(verdict: Judgement, question: Question) -> dict[str, tuple[str, str]]:
    """Return name and word of comfort by key, of the worst-off of each line."""
    found = {}
    for wanted in (*question.residents, *question.wishes):
        lots = [lot for lot in verdict.lots if lot.animal.party.key == wanted.key]
        p = max(float(verdict.community_draws(lot).mean()) for lot in lots)
        found[wanted.key] = (wanted.species.common_name, ease(p, verdict.rules).value)
    return found


def _sentence(taken: str, after: Standing, shifts: tuple[Shift, ...]) -> str:
    told = (
        f"Without {taken} the tank is {after.mood}; {after.worst} has the least comfort and is {after.word}."
    )
    if after.bully:
        told += f" Then {after.bully} does most harm."
    moved = ", ".join(f"{s.common_name} {s.after} instead of {s.before}" for s in shifts)
    return f"{told} {moved[:1].upper()}{moved[1:]}." if moved else told


_ENOUGH = 0.02


def _advice(now: Standing, rows: list[Removal]) -> str:
    if not rows:
        return "There is only one animal; nobody can be taken out for another's sake."
    best = rows[0]
    if now.word in {Ease.AT_EASE.value, Ease.JOSTLED.value}:
        return f"Nobody need leave: {now.worst} has the least comfort and is {now.word}."
    if now.p - best.after.p < _ENOUGH:
        return f"Taking out one alone would not help {now.worst}, which is {now.word}."
    return f"Take out {best.taken}: {now.worst} is {now.word} now. {best.sentence}"
