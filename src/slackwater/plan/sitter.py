"""The sitter's card: what to feed, whom to count and what to leave alone while nobody is there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from slackwater.plan.feeding import in_portions
from slackwater.plan.outlook import hazards
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import FeedingCard, SitterCard
from slackwater.taxa.facts import Species
from slackwater.water.rations import packets

NEEDS_OFTEN = 3.0

_DO = (
    "One packet for each feed, nothing beside it. When in doubt feed less.",
    "Count heads at feeding; write down who is missing. It may only be hiding.",
    "Lid shut after each feed. Top up with fresh water to the mark, never with salt water.",
    "Look once: pumps running, water clear and at its usual temperature, nobody gasping at the surface.",
)
_LEAVE = (
    "Do not catch, move or buy an animal, and give no medicine.",
    "Do not add a bit more: a month's food in one day kills a tank.",
    "Hands stay out of the water; unplug first if they must go in.",
)
_FASTING = "Most grown animals stand 3 to 5 days without food: better a missed feed than two at once."


def sitter_card(question: Question, card: FeedingCard, days: Mapping[str, float]) -> SitterCard | None:
    """Return the sitter's card, None if nobody goes away or nobody is there to be fed.

    Parameters
    ----------
    question
        The question of the plan.
    card
        The feeding card of the whole company.
    days
        Day of release of the wishes, by key. [d]

    Notes
    -----
    Packets are days times feeds (common practice); the feeds are the fewest from which all keep
    their weight, as a sitter should feed less rather than more.
    """
    there = _there(question, days)
    rows = [row for row in card.rows if row.key in there]
    if not rows:
        return None
    enough = max(row.keeps_weight_from or card.feeds_per_day for row in rows)
    feeds = min(card.feeds_per_day, float(enough))
    away = sum((last - first).days + 1 for first, last in question.away)
    return SitterCard(
        periods=question.away,
        feeds_per_day=feeds,
        packets=packets(away, feeds),
        packet_g=sum(row.food_g_d for row in rows) / feeds,
        packet=in_portions(rows),
        heads=tuple((w.count, w.species.common_name) for w in there.values()),
        do=(*_DO, _fasting([w.species for w in there.values()])),
        leave=_LEAVE,
        hazards=hazards(replace(question, wishes=tuple(w for w in there.values() if not w.resident))),
    )


def _there(question: Question, days: Mapping[str, float]) -> dict[str, Wanted]:
    """Return the animals that live in the tank before the last absence ends, by key."""
    if not question.away:
        return {}
    last = question.day_of(max(end for _, end in question.away))
    wished = {w.key: w for w in question.wishes if days.get(w.key, last + 1.0) <= last}
    return {w.key: w for w in question.residents} | wished


def _fasting(company: Sequence[Species]) -> str:
    often = [
        s.common_name
        for s in company
        if s.number("feeds_needed") >= NEEDS_OFTEN or s.word("starving_risk") == "high"
    ]
    names = ", ".join(dict.fromkeys(often))
    return f"{_FASTING} But {names}: miss no day." if often else _FASTING
