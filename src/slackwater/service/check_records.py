"""The answer of a counter check, as one record."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slackwater.plan.records import Assumption


class Decision(StrEnum):
    """What comes of a counter check."""

    YES = "yes"
    YES_IF = "yes, if"
    NOT_THIS_ONE = "not this one"


@dataclass(frozen=True)
class Fare:
    """How the worst-off animal of one line fares, and from whom.

    `p` is the chance of harm over its worst 90 days by all but too little room, which is
    `cramped`; `low` and `high` bound nine in ten of the draws; `before` is p without the
    newcomer [0 to 1]. `two_outcomes` says that it may go well or ill, by the individual, and
    `sure` how many draws agree on whether it copes: sure, fairly sure, unsure.
    """

    key: str
    scientific_name: str
    common_name: str
    is_newcomer: bool
    p: float
    word: str
    low: float
    high: float
    before: float | None
    cramped: float
    outcome: str
    by: str | None
    chases_per_hour: float
    two_outcomes: bool
    sentence: str
    chases_low_per_hour: float
    chases_high_per_hour: float
    sure: str


@dataclass(frozen=True)
class Change:
    """Something that can be done, and how the worst-off animal fares then."""

    condition: str
    p: float
    word: str
    works: bool


@dataclass(frozen=True)
class CheckAnswer:
    """The answer of a counter check.

    `not_before_days` is the earliest day of release, counted from today; `order` says after whom;
    `house_notes` are those that the answer rests on.
    """

    said: str
    scientific_name: str
    common_name: str
    count: int
    length_cm: float
    decision: Decision
    sentence: str
    not_before_days: int
    order: str
    conditions: tuple[str, ...]
    worst: Fare
    animals: tuple[Fare, ...]
    tried: tuple[Change, ...]
    next_step: str
    outgrown: str
    already: tuple[str, ...]
    come_back_if: str
    assumptions: tuple[Assumption, ...]
    question: str
    cautions: tuple[str, ...]
    house_notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class NewcomerAnswer:
    """What is said of one of several newcomers.

    `not_before_days` is the earliest day of its release, counted from today; `order` says after whom.
    """

    key: str
    said: str
    scientific_name: str
    common_name: str
    count: int
    length_cm: float
    decision: Decision
    sentence: str
    not_before_days: int
    order: str


@dataclass(frozen=True)
class JointAnswer:
    """The answer to several newcomers at once: for all of them, and for each in the order told.

    `left_out` are the common names of those without whom the others can go in; the other fields
    are those of `CheckAnswer`.
    """

    decision: Decision
    sentence: str
    newcomers: tuple[NewcomerAnswer, ...]
    left_out: tuple[str, ...]
    conditions: tuple[str, ...]
    worst: Fare
    animals: tuple[Fare, ...]
    tried: tuple[Change, ...]
    next_step: str
    already: tuple[str, ...]
    come_back_if: str
    assumptions: tuple[Assumption, ...]
    question: str
    cautions: tuple[str, ...]
    house_notes: tuple[str, ...] = ()
