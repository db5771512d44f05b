"""Animals and questions of invented tanks for the planner's tests."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from slackwater.plan.question import Question, Wanted
from slackwater.society.company import Sex
from slackwater.taxa.facts import load_facts

Asker = Callable[..., Question]


def wanted(name: str, length_cm: float, *, count: int = 1, sex: str = "unknown", wish: float = 5.0) -> Wanted:
    """Return a wish for animals of one species."""
    species = load_facts().species(name)
    key = name.lower().replace(" ", "-")
    return Wanted(key, species.common_name, species, count, Sex(sex), length_cm, wish=wish, length_told=True)


def resident(name: str, length_cm: float, since: dt.date, *, count: int = 1, sex: str = "unknown") -> Wanted:
    """Return animals that live in the tank."""
    species = load_facts().species(name)
    key = "here-" + name.lower().replace(" ", "-")
    return Wanted(
        key,
        species.common_name,
        species,
        count,
        Sex(sex),
        length_cm,
        since=since,
        resident=True,
        length_told=True,
    )
