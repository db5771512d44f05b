"""Letting in: the figures of one bag against the tank of a file, and the safe way."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.filter import water_of
from slackwater.plan.outlook import hazards
from slackwater.plan.quarantine import quarantine_lines
from slackwater.plan.receiving_card import long_way, short_way
from slackwater.rules import load_rules
from slackwater.service.water import question_in
from slackwater.water.receiving import Bag, Receiving, receiving

STEEP_UP = 2.0


@dataclass(frozen=True)
class BagTold:
    """A bag as told; a salinity left out is that of the tank, a pH left out the usual one."""

    volume_l: float
    temperature_c: float
    salinity: float | None
    closed_h: float
    ph: float | None = None


@dataclass(frozen=True)
class ReceivingAnswer:
    """Which way is safe, the figures behind it, what holds in quarantine, and what can hurt a hand."""

    sentence: str
    way: tuple[str, ...]
    figures: Receiving
    quarantine: tuple[str, ...]
    cautions: tuple[str, ...]


def receive_into(source: Path | str, today: dt.date, told: BagTold) -> ReceivingAnswer:
    """Return how an animal in a bag is let into the tank of a file.

    Raises
    ------
    InputError, InputErrors
        If the file or a value cannot be used.
    """
    question = question_in(source, today)
    salinity = question.salinity if told.salinity is None else told.salinity
    bag = Bag(told.volume_l, told.temperature_c, salinity, told.closed_h, told.ph)
    found = receiving(bag, water_of(question, load_rules()))
    way = long_way() if found.is_long else short_way()
    return ReceivingAnswer(_sentence(found), way, found, quarantine_lines(question), hazards(question))


def _sentence(found: Receiving) -> str:
    if found.is_long:
        start = (
            "A long journey: no drip in the bag's water, opening it makes its ammonia "
            f"{found.free_times:.0f} times as harmful."
        )
    else:
        start = "A short journey: float, drip, let in."
    if found.salinity_step <= STEEP_UP:
        return start
    return f"{start} {found.salinity_step:.1f} units up is too much for a day: raise it by 1 to 2 a day."
