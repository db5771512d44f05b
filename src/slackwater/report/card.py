"""The card on the cabinet as one printed page of A5, readable in black and white by a stranger."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections import defaultdict
from importlib import resources
from typing import Any

from slackwater.plan.emergency import cold_sentence
from slackwater.plan.water_records import CabinetCard
from slackwater.report.typesetting import Fit, pdf_bytes
from slackwater.report.words import hours, listed, sentence

_FIT = Fit(sizes_pt=(9.4, 9.0, 8.6, 8.2, 7.8, 7.4, 7.0), pages=(1,))


def card_bytes(card: CabinetCard, made_on: dt.date) -> bytes:
    """Return the card as a tagged PDF of one page.

    Parameters
    ----------
    card
        What stands on it.
    made_on
        The day by which the file is dated; the same card and day give the same bytes.
    """
    template = (resources.files("slackwater.report") / "card.typ").read_bytes()
    made_at = dt.datetime.combine(made_on, dt.time(), tzinfo=dt.UTC)
    return pdf_bytes({"main.typ": template}, json.dumps(card_data(card)), made_at, _FIT)


def card_data(card: CabinetCard) -> dict[str, Any]:
    """Return every text of the card by its place."""
    return {
        "title": card.title,
        "tank": card.tank,
        "hours": hours(card.hours_low, card.hours_low),
        "span": _span(card),
        "first": listed(list(card.first)),
        "power": dataclasses.asdict(card.power),
        "others": [dataclasses.asdict(other) for other in card.others],
        "hazards": [sentence(line) for line in _together(card.hazards)],
        "blanks": [*card.blanks],
        "assumed": sentence(f"Assumed: {card.assumed}"),
        "foot": card.foot,
    }


def _span(card: CabinetCard) -> str:
    return (
        f"{hours(card.hours_low, card.hours_high)} down to 3 mg/L: count on the lower figure. "
        f"With a battery air pump at least {hours(card.air_hours, card.air_hours)}. {cold_sentence(card)}"
    )


def _together(lines: tuple[str, ...]) -> list[str]:
    """Return animals with the same hazard in one line."""
    whose: defaultdict[str, list[str]] = defaultdict(list)
    for line in lines:
        who, _, what = line.partition(": ")
        whose[what].append(who if not whose[what] else who[:1].lower() + who[1:])
    return [f"{listed(who)}: {what}" for what, who in whose.items()]
