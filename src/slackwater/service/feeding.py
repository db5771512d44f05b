"""What a tank eats: rations, feeds and stations, and who comes off worst in the race for the food."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.feeding import feeding_card
from slackwater.plan.question import Question
from slackwater.plan.records import Assumption, FeedingCard
from slackwater.rules import load_rules
from slackwater.service.planning import read_question
from slackwater.service.written import write_all

SAYS_WHO = (
    "Rations: the energy budget of [lupatsch2013], measured on anemonefish of 0.2 to 1.3 g at 27 C and "
    "carried over to all others; foods as in foods.csv. The race for the food is assumed throughout."
)


@dataclass(frozen=True)
class FeedAnswer:
    """How a company is fed: the keeper's feeds and stations, the card, and what it rests on."""

    title: str
    feeds_per_day: float
    stations: int
    sentence: str
    card: FeedingCard
    assumptions: tuple[Assumption, ...]
    says_who: str


def feed_file(source: Path | str, today: dt.date, title: str | None = None) -> FeedAnswer:
    """Return how the company of a tank file is fed once all are there, at their lengths now or to buy.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    question = read_question(source, today, title)
    card = feeding_card(question, load_rules())
    keeping = question.keeping
    return FeedAnswer(
        title=question.title,
        feeds_per_day=keeping.feeds_per_day,
        stations=keeping.stations,
        sentence=_sentence(question, card),
        card=card,
        assumptions=tuple(a for a in question.assumptions if a.what in {"feeds", "lengths"}),
        says_who=SAYS_WHO,
    )


def _sentence(question: Question, card: FeedingCard) -> str:
    """Return the answer in a sentence: enough, or what to change."""
    keeping = question.keeping
    feeds, stations = _count(card.feeds_per_day, "feed"), _count(card.stations, "station")
    if card.feeds_per_day <= keeping.feeds_per_day and card.stations <= keeping.stations:
        return f"{feeds[:1].upper()}{feeds[1:]} a day at {stations} will do."
    now = f"{_count(keeping.feeds_per_day, 'feed')} at {_count(keeping.stations, 'station')}"
    return f"Feed {feeds} a day at {stations}, instead of {now}."


def _count(number: float, of: str) -> str:
    return f"{number:g} {of}" + ("" if number == 1 else "s")


def write_feed_figures(answer: FeedAnswer, out: Path) -> tuple[Path, ...]:
    """Write who gets how much of the food, as bars, into a folder."""
    from slackwater.report.foodfigure import food_svg

    at = f"{_count(answer.feeds_per_day, 'feed')} a day at {_count(answer.stations, 'station')}"
    return write_all(out, {"feed.svg": food_svg(answer.card, f"{answer.title}, {at}")})
