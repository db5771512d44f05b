"""`rank` and `remedy`: who leads whom, and what to do when one turns on another."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.plan import PaperOption
from slackwater.cli.show import AsJson, as_json, bar, heading, paragraphs, points, table
from slackwater.errors import InputError, shown

if TYPE_CHECKING:
    from slackwater.service.ranking import RankAnswer
    from slackwater.service.remedy import RemedyAnswer, RungRow

TallyFile = Annotated[
    Path, typer.Argument(metavar="TALLY", help="A CSV tally: date, who, whom, count, kind, minutes.")
]

_MOST_SHOWN = 3


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "rank",
        short_help="Who ranks above whom, from a tally.",
        epilog="Example: slackwater rank tally.csv",
    )(rank)
    app.command(
        "remedy",
        short_help="What to do when one turns on another.",
        epilog="Example: slackwater remedy reef.yaml tally.csv -o out/remedy",
    )(remedy)


def rank(tally: TallyFile, *, json: AsJson = False) -> None:
    """Say who ranks above whom, who deals the chases, who bears them, and when two changed places.

    Chases and bites count; displays and locked jaws tell of no winner. Small tallies say so.
    """
    from slackwater.service.ranking import rank_file

    answer = rank_file(tally, _now(None).date())
    if json:
        as_json(answer)
        return
    _show_rank(answer)


def remedy(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The tank file, YAML or JSON.")],
    tally: TallyFile,
    who: Annotated[str | None, typer.Option("--who", help="Who chases; found if left out.")] = None,
    whom: Annotated[str | None, typer.Option("--whom", help="Who is chased; found if left out.")] = None,
    on: Annotated[
        str | None,
        typer.Option("--on", help="The day on which it is asked; today if left out.", metavar="DATE"),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("-o", "--out", help="Folder for the watching card, message and record.")
    ] = None,
    *,
    paper: PaperOption = "a4",
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say whether a quarrel settles, what lies behind it, and the mildest thing that may stop it.

    Every rung comes with its trial time, when to go on, and what it does to the others. Signs on a
    body are told as signs: what ails an animal is for a veterinarian.
    """
    from slackwater.service.remedy import Asked, remedy_files, write_remedy

    with notes(house, beside=file), bar("judging each rung"):
        made = remedy_files(file, tally, Asked(_now(on), who, whom))
        written = write_remedy(made, out, paper) if out else ()
    if json:
        as_json(made.answer)
        return
    _show_remedy(made.answer)
    if written:
        heading("Written")
        points([str(path) for path in written])


def _now(said: str | None) -> dt.datetime:
    """Return the moment of asking; of a day that is named, its end."""
    if said is None:
        return dt.datetime.now().astimezone()
    try:
        on = dt.date.fromisoformat(said)
    except ValueError:
        limit, remedy = "it is no day of the calendar", "Write it as 2027-01-31."
        raise InputError(field="--on", given=shown(said), limit=limit, remedy=remedy) from None
    return dt.datetime.combine(on, dt.time(23, 59), tzinfo=dt.UTC)


def _show_rank(answer: RankAnswer) -> None:
    paragraphs(answer.sentence)
    heads = ("", "place", "nine in ten", "score", "Elo", "deals", "bears")
    rows = [
        (
            r.name,
            str(r.place),
            _span(r.place_low, r.place_high),
            f"{r.norm:.2f}",
            f"{answer.elo[r.name]:.0f}",
            f"{r.delivered_share:.0%}",
            f"{r.received_share:.0%}",
        )
        for r in answer.ranks
    ]
    heading("Order")
    table(heads, rows, right=(1, 2, 3, 4, 5, 6))
    heading("What can be said of it")
    points(answer.notes)
    paragraphs(f"\n{answer.says_who}")


def _span(low: int, high: int) -> str:
    return str(low) if low == high else f"{low} to {high}"


def _show_remedy(answer: RemedyAnswer) -> None:
    paragraphs(*answer.message)
    worse = [f"{row.animal} is {row.word}" for row in answer.company if row.word != "at ease"]
    paragraphs(f"\nBy the model, as things stand: {'; '.join(worse) or 'all are at ease'}.")
    heading("What lies behind it")
    found = [f for f in answer.findings if f.word != "unlikely"] or answer.findings[:1]
    for one in found[:_MOST_SHOWN]:
        reasons = [("for" if e.speaks_for else "against", e.text) for e in one.evidence]
        paragraphs(f"{one.cause}: {one.word}")
        table(("", ""), reasons)
    heading("The ladder")
    heads = ("", "", "try for", "chases left", "works", "")
    table(heads, [_rung(row) for row in answer.rungs if row.suits != "cannot help"], right=(3,))
    for row in answer.rungs:
        if row.standing in {"begin here", "running", "then"}:
            _show_rung(row)
    heading("Whom to move, if one must go")
    paragraphs(answer.whom_to_move.sentence, answer.beyond)
    points(answer.notes)
    paragraphs(f"\n{answer.says_who}")


def _rung(row: RungRow) -> tuple[str, ...]:
    left = "" if row.chases_left is None else f"{row.chases_left:.0%}"
    works = f"{row.chance_low:.0%} to {row.chance_high:.0%}"
    return row.name, row.standing, _days(row), left, works, row.why


def _days(row: RungRow) -> str:
    low, high = f"{row.trial_low_d:.0f}", f"{row.trial_high_d:.0f}"
    return f"{high} {'day' if high == '1' else 'days'}" if low == high else f"{low} to {high} days"


def _show_rung(row: RungRow) -> None:
    heading(f"{row.standing[:1].upper()}{row.standing[1:]}: {row.name}")
    paragraphs(row.do, f"Go on if: {row.stop}." if row.stop else "")
    told = [f"{e.animal}: {e.would_be} instead of {e.was}" for e in row.effects if e.was != e.would_be]
    side = [f"Besides: {text}." for text in row.side_effects]
    needed = [f"Needed: {', '.join(row.gear)}."] if row.gear else []
    points([*(f"By the model {text}." for text in told), *side, *needed, *row.cautions])
