"""`feed` and `ahead`: what a tank eats, and what the years bring."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.show import AsJson, as_json, files, heading, paragraphs, points, table
from slackwater.cli.telling import TankFile, today

if TYPE_CHECKING:
    from slackwater.plan.records import Assumption, FedRow
    from slackwater.service.feeding import FeedAnswer
    from slackwater.service.years import AheadAnswer

Out = Annotated[
    Path | None, typer.Option("-o", "--out", help="Folder for a drawing; none is made without it.")
]


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "feed",
        short_help="Rations, feeds, stations, and who comes off worst.",
        epilog="Example: slackwater feed reef.yaml -o out",
    )(feed)
    app.command(
        "ahead",
        short_help="The years ahead: growth, maturity, limits.",
        epilog="Example: slackwater ahead reef.yaml -o out",
    )(ahead)


def feed(file: TankFile, out: Out = None, *, house: House = None, json: AsJson = False) -> None:
    """Say what a tank eats once all its animals are there.

    Grams and portions, how many feeds at how many stations, what share of its need reaches each,
    from how many feeds the slowest keeps its weight, and who goes short beside full neighbours.
    """
    from slackwater.service.feeding import feed_file, write_feed_figures

    with notes(house, beside=file):
        answer = feed_file(file, today())
    written = write_feed_figures(answer, out) if out else ()
    if json:
        as_json(answer)
        return
    _show_feed(answer)
    _show_written(written)


def ahead(file: TankFile, out: Out = None, *, house: House = None, json: AsJson = False) -> None:
    """Say what the years bring to a tank.

    Length and mass by month, when each animal outgrows the tank, matures, or comes to swallow
    another, with the month in which to be ready for it.
    """
    from slackwater.service.years import ahead_file, write_ahead_figures

    with notes(house, beside=file):
        answer = ahead_file(file, today())
    written = write_ahead_figures(answer, out) if out else ()
    if json:
        as_json(answer)
        return
    _show_ahead(answer)
    _show_written(written)


def _show_feed(answer: FeedAnswer) -> None:
    paragraphs(answer.sentence)
    heading("Who gets how much")
    heads = ("animal", "g a day", "of its need", "enough from", "how")
    table(heads, [_fed(row) for row in answer.card.rows], right=(1, 2))
    paragraphs(
        "\nOf its need: what reaches the worst-off of a kind now; feeds a day: "
        f"{answer.feeds_per_day:g}, stations: {answer.stations}."
    )
    heading("Feeding card")
    points(answer.card.lines)
    _show_rests_on(answer.assumptions, answer.says_who)


def _fed(row: FedRow) -> tuple[str, ...]:
    name = f"{row.count} {row.common_name}" if row.count > 1 else row.common_name
    enough = "no number of feeds" if row.keeps_weight_from is None else f"{row.keeps_weight_from} a day"
    return name, f"{row.food_g_d:.2g}", f"{100.0 * (1.0 - row.missed):.0f} %", enough, row.how


def _show_ahead(answer: AheadAnswer) -> None:
    from slackwater.report.growthfilm import FRAMES, length_at, when
    from slackwater.report.words import day, horizon

    paragraphs(answer.sentence)
    heading("Length in cm")
    rows = [
        (_grown(line.common_name, line.sex, line.count), *(f"{length_at(line, m):.1f}" for m in FRAMES))
        for line in answer.growth
    ]
    table(("animal", *(when(m) for m in FRAMES)), rows, right=(1, 2, 3, 4))
    heading("What it brings")
    table(("", ""), [(horizon(look.months), look.text) for look in answer.looks])
    if answer.milestones:
        heading("Dates to be reminded of")
        table(("", ""), [(day(m.date), m.text) for m in answer.milestones])
    _show_rests_on(answer.assumptions, answer.says_who)


def _grown(name: str, sex: str, count: int) -> str:
    told = f"{count} {name}" if count > 1 else name
    return f"{told}, {sex}" if sex in {"male", "female"} else told


def _show_rests_on(assumptions: tuple[Assumption, ...], says_who: str) -> None:
    heading("Rests on")
    points([*(f"{row.what}: {row.taken} ({row.cost})" for row in assumptions), says_who])


def _show_written(written: tuple[Path, ...]) -> None:
    if written:
        files(written)
