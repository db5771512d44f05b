"""What all in a tank share: oxygen by night once everyone is grown, and holes to hide in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.water_report import pumped_mg_l
from slackwater.rules import Rules

_HIDERS = frozenset({"hole", "cave"})


@dataclass(frozen=True)
class Shared:
    """Something of which each line takes a part, and how much of it there is.

    `takes` and `most` are in one unit, lines in the order of residents, then wishes.
    """

    rule: str
    takes: tuple[float, ...]
    most: float

    def left(self, residents: int) -> float:
        """Return what wishes may take together; residents who have more than there is keep it."""
        return max(self.most - sum(self.takes[:residents]), 0.0)


def shared_by_all(question: Question, rules: Rules) -> tuple[Shared, ...]:
    """Return what the animals of a question share in its tank.

    Parameters
    ----------
    question
        The tank, its residents and all wishes.
    rules
        The least oxygen, and the holes that an animal needs.

    Notes
    -----
    Oxygen settles at saturation less demand over uptake, so each animal takes its own part of the
    drop, at adult length, with good pumps: who would be short even then is refused. Holes count by
    animal that lives in one; where only a word for the rock is known their number is assumed.
    """
    lines = (*question.residents, *question.wishes)
    return (_oxygen(question, lines, rules), _holes(question, lines, rules))


def _oxygen(question: Question, lines: Sequence[Wanted], rules: Rules) -> Shared:
    without = pumped_mg_l(question, (), rules)
    grown = [replace(w, length_cm=max(w.length_cm, w.species.number("adult_length_cm"))) for w in lines]
    drops = tuple(without - pumped_mg_l(question, (one,), rules) for one in grown)
    return Shared("oxygen", drops, without - rules["oxygen_kept"])


def _holes(question: Question, lines: Sequence[Wanted], rules: Rules) -> Shared:
    hides = tuple(float(w.count) if w.species.word("home_kind") in _HIDERS else 0.0 for w in lines)
    return Shared("holes", hides, len(question.rockworks[0].holes) / rules["holes_each"])
