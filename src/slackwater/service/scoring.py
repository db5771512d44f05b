"""The score of answers to judged cases: by kind, level, lever and family, and who harms whom."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

_STEPS = {"none": 0, "mild": 1, "serious": 2, "peaceful": 0, "uneasy": 1, "trouble": 2}


@dataclass(frozen=True)
class Answer:
    """One expectation beside what the model says.

    `p_back` is the chance of harm the other way round, for harm of one species by another.
    """

    case: str
    family: str
    lever: str
    confidence: str
    kind: str
    asked: str
    expected: str
    got: str
    p: float
    reason: str
    p_back: float | None = None

    @property
    def right(self) -> bool:
        """Whether the model says what was expected."""
        return self.expected == self.got

    @property
    def steps(self) -> int:
        """How many steps the answer lies from what was expected."""
        if self.expected in _STEPS and self.got in _STEPS:
            return abs(_STEPS[self.expected] - _STEPS[self.got])
        return int(not self.right)


@dataclass(frozen=True)
class Direction:
    """Who harms whom in one case, as judged, with the model's chances of harm both ways."""

    case: str
    aggressor: str
    victim: str
    onto_victim: float
    onto_aggressor: float

    @property
    def right(self) -> bool:
        """Whether the model too gives the aggressor the strictly greater chance of doing harm."""
        return self.onto_victim > self.onto_aggressor


def directions(answers: Sequence[Answer]) -> list[Direction]:
    """Return every direction that the cases tell, in their order.

    Notes
    -----
    Of two species in one case, the aggressor is the one judged to do the graver harm where both
    ways are judged, and the one judged to do mild or serious harm where only one way is. Two ways
    judged alike, a single way judged none, and harm within a species tell no direction.
    """
    judged: dict[tuple[str, str, str], Answer] = {}
    for a in answers:
        if a.kind == "harm" and a.p_back is not None:
            by, to = a.asked.split(" -> ")
            judged[a.case, by, to] = a
    return [
        Direction(case, by, to, a.p, a.p_back or 0.0)
        for (case, by, to), a in judged.items()
        if _STEPS[a.expected] > _judged_back(judged, case, by, to)
    ]


def _judged_back(judged: Mapping[tuple[str, str, str], Answer], case: str, by: str, to: str) -> int:
    back = judged.get((case, to, by))
    return _STEPS[back.expected] if back else 0


def score(answers: Sequence[Answer]) -> dict[str, Any]:
    """Return the score by kind, level, lever and family, and who harms whom.

    Returns
    -------
    dict
        `outcomes` and `comparisons`, each with its share right, that of always answering the
        commonest word of each kind of question, and both by kind, lever and family;
        `direction`: who harms whom (see :func:`directions`); `peaceful_called_settled`;
        `mild_and_uneasy`, right, and `within_one_step`; `serious_recalled` and
        `none_called_serious` of harm; `brier` of serious harm.
    """
    outcomes = [a for a in answers if a.kind != "comparison"]
    compared = [a for a in answers if a.kind == "comparison"]
    harm = [a for a in outcomes if a.kind == "harm"]
    peaceful = [a for a in outcomes if a.kind == "community" and a.expected == "peaceful"]
    between = [a for a in outcomes if a.expected in {"mild", "uneasy"}]
    squares = [(a.p - float(a.expected == "serious")) ** 2 for a in harm]
    return {
        "outcomes": _scored(outcomes, lambda a: f"{a.kind} {a.expected}"),
        "comparisons": _scored(compared, lambda a: a.expected),
        "direction": _share([d.right for d in directions(answers)]),
        "peaceful_called_settled": _right(peaceful),
        "mild_and_uneasy": _right(between),
        "within_one_step": _count([a.steps <= 1 for a in between]),
        "serious_recalled": _count([a.right for a in harm if a.expected == "serious"]),
        "none_called_serious": _count([a.got == "serious" for a in harm if a.expected == "none"]),
        "brier": round(sum(squares) / len(squares), 4) if squares else None,
    }


def _scored(answers: Sequence[Answer], level: Callable[[Answer], str]) -> dict[str, Any]:
    words = _common_words(answers)

    def by(key: Callable[[Answer], str]) -> dict[str, dict[str, Any]]:
        return {n: _right(g) | {"commonest": _commonest(g, words)} for n, g in _groups(answers, key)}

    return {
        **_right(answers),
        "commonest": _commonest(answers, words),
        "by_kind": by(lambda a: a.kind),
        "by_level": {name: _right(group) for name, group in _groups(answers, level)},
        "by_lever": by(lambda a: a.lever),
        "by_family": by(lambda a: a.family),
    }


def _right(answers: Sequence[Answer]) -> dict[str, Any]:
    return _share([a.right for a in answers])


def _share(right: Sequence[bool]) -> dict[str, Any]:
    count = sum(right)
    return {"n": len(right), "right": count, "share": round(count / len(right), 4) if right else None}


def _count(claims: Sequence[bool]) -> dict[str, Any]:
    count = sum(claims)
    return {"n": len(claims), "count": count, "share": round(count / len(claims), 4) if claims else None}


def _common_words(answers: Sequence[Answer]) -> dict[str, str]:
    """Return the commonest word of each kind of question, the first in the alphabet among equals."""
    by_kind: dict[str, Counter[str]] = defaultdict(Counter)
    for a in answers:
        by_kind[a.kind][a.expected] += 1
    return {kind: min(counts, key=lambda w: (-counts[w], w)) for kind, counts in by_kind.items()}


def _commonest(answers: Sequence[Answer], words: Mapping[str, str]) -> float | None:
    """Return the share right of always answering each kind's commonest word."""
    if not answers:
        return None
    return round(sum(a.expected == words[a.kind] for a in answers) / len(answers), 4)


def _groups(answers: Sequence[Answer], key: Callable[[Answer], str]) -> Iterator[tuple[str, list[Answer]]]:
    found: dict[str, list[Answer]] = defaultdict(list)
    for a in answers:
        found[key(a)].append(a)
    yield from ((name, found[name]) for name in sorted(found))
