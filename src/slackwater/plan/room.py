"""Room: what a group needs beyond one animal, and which wishes a tank is too small for at once."""

from __future__ import annotations

import math

from slackwater.plan.question import Question, Wanted
from slackwater.rules import Rules
from slackwater.society.company import Place
from slackwater.society.space import Room, cramped_at, room_of, too_small
from slackwater.taxa.facts import Species

_FORGIVEN = 0.70
_FIRST_DAYS = 90.0


def group_volume_l(species: Species, count: int, rules: Rules) -> float:
    """Return the tank volume that a group of grown animals needs. [L]

    Notes
    -----
    The volume of the fact table serves the smallest company of its kind; each animal more takes a
    share of it more (assumed).
    """
    more = max(count - max(species.number("company_min"), 1.0), 0.0)
    return float(species.number("min_volume_l") * (1.0 + rules["group_room"] * more))


def too_small_for(species: Species, count: int, room: Room, rules: Rules) -> bool:
    """Return whether a tank is too small for a group of grown animals of one species.

    Volume is forgiven as much as for a single animal, since rules of thumb quote it loosely.
    """
    lacks = _FORGIVEN * group_volume_l(species, count, rules) / room.volume_l - 1.0
    return too_small(species, room, rules) or lacks > rules["space_grace"]


def too_large_now(question: Question, rules: Rules) -> tuple[Wanted, ...]:
    """Return the wishes that a tank is too small for from the first day on, at the size to buy.

    Those that it would do more than jostle within their first 90 days by want of room alone; who
    outgrows it later is let in, and said to outgrow it.
    """
    return tuple(w for w in question.wishes if w.place is Place.TANK and _is_cramped(w, question, rules))


def _is_cramped(wanted: Wanted, question: Question, rules: Rules) -> bool:
    room = room_beside(question, wanted.side)
    per_day = cramped_at(wanted.species, wanted.length_cm, room, rules)
    harmed = -math.expm1(-_FIRST_DAYS * per_day)
    return too_small(wanted.species, room, rules) and harmed >= rules["ease.jostled"]


def room_beside(question: Question, side: str | None) -> Room:
    """Return the room of a tank, or of a side of its divider for who lives there."""
    if question.divider_cm is None or side is None:
        return room_of(question.glass)
    left = question.divider_cm / question.glass.length_cm
    return room_of(question.glass, left if side == "left" else 1.0 - left)
