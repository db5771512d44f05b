"""The years ahead of a tank: growth by month, and what it brings."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.drawing import tank_drawing
from slackwater.plan.records import AheadRow, Assumption, GrowthLine, Milestone, TankDrawing
from slackwater.plan.years import Turn, ahead, growth, milestones, turns
from slackwater.rules import load_rules
from slackwater.service.planning import read_question
from slackwater.service.written import write_all
from slackwater.society.growth import DAYS_PER_MONTH

SAYS_WHO = (
    "Growth: von Bertalanffy towards the usual length in a tank [bertalanffy1938]; half to 1.3 times "
    "the usual pace is as likely (assumed). Maturity from age, an estimate."
)


@dataclass(frozen=True)
class AheadAnswer:
    """What the years bring: three looks ahead, growth by month, dates, and what it rests on.

    Every animal is taken to be there from the start, as long as today or as when bought.
    """

    title: str
    start: dt.date
    sentence: str
    looks: tuple[AheadRow, ...]
    growth: tuple[GrowthLine, ...]
    milestones: tuple[Milestone, ...]
    tank: TankDrawing
    assumptions: tuple[Assumption, ...]
    says_who: str


def ahead_file(source: Path | str, today: dt.date, title: str | None = None) -> AheadAnswer:
    """Return the years ahead of the company of a tank file.

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
    question, rules = read_question(source, today, title), load_rules()
    return AheadAnswer(
        title=question.title,
        start=question.start,
        sentence=_sentence(turns(question, rules), question.start),
        looks=ahead(question, rules),
        growth=growth(question),
        milestones=milestones(question, {}, rules),
        tank=tank_drawing(question),
        assumptions=tuple(a for a in question.assumptions if a.what in {"lengths", "tank length"}),
        says_who=SAYS_WHO,
    )


def _sentence(brought: tuple[Turn, ...], start: dt.date) -> str:
    """Return the first day on which the tank no longer does, in a sentence."""
    breaks = [turn for turn in brought if turn.kind in {"outgrown", "swallowing"}]
    if not breaks:
        return "Nobody outgrows the tank or comes to swallow another within five years."
    first = breaks[0]
    when = start + dt.timedelta(days=round(DAYS_PER_MONTH * first.months))
    opening = f"{first.title[:1].upper()}{first.title[1:]}"
    return f"{opening} from the first day." if first.months <= 0.0 else f"{opening} about {when:%Y-%m}."


def write_ahead_figures(answer: AheadAnswer, out: Path) -> tuple[Path, ...]:
    """Write the tank to scale today and in 6, 24 and 60 months into a folder."""
    from slackwater.report.growthfilm import film_svg

    return write_all(out, {"ahead.svg": film_svg(answer.growth, answer.tank, answer.title)})
