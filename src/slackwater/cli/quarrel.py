"""`rank`, `remedy` and `due`: who leads whom, what to do when one turns on another, whom to call."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.plan import PaperOption
from slackwater.cli.show import AsJson, as_json, bar, files, heading, paragraphs, points, table
from slackwater.cli.signing import ByOption, OutcomeWord, signed
from slackwater.errors import InputError, shown

if TYPE_CHECKING:
    from slackwater.service.follow_up import TankDue
    from slackwater.service.ranking import RankAnswer
    from slackwater.service.remedy import Asked, Remedied, RemedyAnswer, RungRow

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
    app.command(
        "evenings",
        short_help="A page for the evening of each release.",
        epilog="Example: slackwater evenings reef.yaml -o out/evenings",
    )(evenings)
    app.command(
        "due",
        short_help="Whom to call, what to ask, and how good forecasts were.",
        epilog="Example: slackwater due",
    )(due)


def rank(
    tally: Annotated[
        str,
        typer.Argument(
            metavar="TALLY|TANK",
            help="A CSV tally (date, who, whom, count, kind, minutes), a diary file, or a kept tank by name.",
        ),
    ],
    *,
    json: AsJson = False,
) -> None:
    """Say who ranks above whom, who deals the chases, who bears them, and when two changed places.

    Chases and bites count; displays and locked jaws tell of no winner. Small tallies say so.
    """
    from slackwater.service.keeping import kept
    from slackwater.service.kept_quarrels import rank_tank
    from slackwater.service.ranking import rank_file

    now = _now(None)
    if _is_file(tally):
        answer = rank_file(Path(tally), now.date(), _zone(now))
    else:
        with kept() as store:
            answer = rank_tank(store, tally, _zone(now))
    if json:
        as_json(answer)
        return
    _show_rank(answer)


def remedy(
    tank: Annotated[
        str,
        typer.Argument(metavar="FILE|TANK", help="A tank file, YAML or JSON, or a kept tank by its name."),
    ],
    tally: Annotated[
        Path | None,
        typer.Argument(metavar="TALLY", help="For a tank file: a CSV tally or diary, as `rank` reads it."),
    ] = None,
    who: Annotated[str | None, typer.Option("--who", help="Who chases; found if left out.")] = None,
    whom: Annotated[str | None, typer.Option("--whom", help="Who is chased; found if left out.")] = None,
    on: Annotated[
        str | None,
        typer.Option("--on", help="The day on which it is asked; today if left out.", metavar="DATE"),
    ] = None,
    begin: Annotated[
        str | None,
        typer.Option(
            "--begin", help="Write into a kept tank's diary that this rung is begun.", metavar="RUNG"
        ),
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
    from slackwater.service.remedy import Asked, write_remedy

    now = _now(on)
    asked = Asked(now, who, whom, _zone(now))
    with notes(house, beside=Path(tank) if tally else None), bar("judging each rung"):
        made, looks = _remedied(tank, tally, asked, begin)
        written = write_remedy(made, out, paper) if out else ()
    if json:
        as_json(made.answer)
        return
    _show_remedy(made.answer)
    if begin:
        paragraphs(f"\nWritten into the diary of {tank}; {looks} looks are due, see: slackwater due {tank}")
    if written:
        files(written)


def _remedied(tank: str, tally: Path | None, asked: Asked, begin: str | None) -> tuple[Remedied, int]:
    from slackwater.service.keeping import kept
    from slackwater.service.kept_quarrels import climb, remedy_tank
    from slackwater.service.remedy import remedy_files
    from slackwater.service.tanks import By
    from slackwater.settings import load_settings

    if tally is not None:
        if begin:
            remedy = "Keep the tank first: slackwater tanks --add FILE."
            raise InputError(
                field="--begin", given=begin, limit="only a kept tank has a diary", remedy=remedy
            )
        return remedy_files(Path(tank), tally, asked), 0
    if _is_file(tank):
        limit = "a tank file alone does not tell who chases whom"
        raise InputError(field="TALLY", given="left out", limit=limit, remedy="Add a CSV tally.")
    with kept() as store:
        made = remedy_tank(store, tank, asked)
        if not begin:
            return made, 0
        done = climb(store, tank, made, By(load_settings().who, asked.now), begin)
    return made, len(done.looks)


def evenings(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The tank file, YAML or JSON.")],
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder for the pages.")] = Path("out/evenings"),
    *,
    paper: PaperOption = "a4",
    house: House = None,
    json: AsJson = False,
) -> None:
    """Write a page for each release of a plan: the evening by the clock, what to count, room to write."""
    from slackwater.service.evenings import evenings_file

    with notes(house, beside=file), bar("planning") as shown_bar:
        written = evenings_file(file, _now(None).date(), out, paper, lambda step: shown_bar.step(label=step))
    if json:
        as_json([str(path) for path in written])
        return
    paragraphs("" if written else "Nobody is let go in this plan.")
    points([str(path) for path in written])


def due(
    tank: Annotated[
        str | None, typer.Argument(metavar="TANK", help="A kept tank; all of them if left out.")
    ] = None,
    *,
    called: Annotated[
        str | None, typer.Option("--called", help="The call about this animal was made.", metavar="ANIMAL")
    ] = None,
    outcome: Annotated[OutcomeWord, typer.Option("--outcome", help="What came of the call.")] = "all well",
    note: Annotated[str, typer.Option("--note", help="What was said.")] = "",
    by: ByOption = None,
    json: AsJson = False,
) -> None:
    """Say whom to call and what to ask about this very animal, and which trials have run out.

    What came of a call is kept with --called; one to be made again stays due. Forecasts that have
    come due are held against what happened; few of them make no rate.
    """
    from slackwater.service.follow_up import answer_call_about, due_at_tank, due_everywhere, forecasts_scored
    from slackwater.service.keeping import kept
    from slackwater.store import Outcome

    now = _now(None)
    with kept() as store:
        if tank and called:
            answer_call_about(store, tank, called, Outcome(outcome), signed(by, note))
        found = (due_at_tank(store, tank, now),) if tank else due_everywhere(store, now)
        scored = forecasts_scored(store)
    if json:
        as_json({"due": found, "forecasts": scored})
        return
    _show_due(found)
    heading("How good forecasts were")
    paragraphs(scored.sentence)
    points([one.sentence for one in scored.classes])


def _show_due(found: Sequence[TankDue]) -> None:
    if not any(one.calls or one.trials or one.looks for one in found):
        paragraphs("Nobody is due.")
    for one in found:
        heading(f"{one.tank}, {one.keeper}" if one.keeper else one.tank)
        rows = [
            (call.label, _late(call.overdue_days), " ".join((*call.ask, call.known))) for call in one.calls
        ]
        rows += [(", ".join(t.animals), _late(t.overdue_days), t.ask) for t in one.trials]
        rows += [
            (", ".join(look.animals), f"{look.due_at:%Y-%m-%d}", " ".join(look.asks)) for look in one.looks
        ]
        table(("", "", ""), rows)


def _late(days: int) -> str:
    if days == 0:
        return "today"
    return f"{days} {'day' if days == 1 else 'days'} late"


def _is_file(said: str) -> bool:
    return said.lower().endswith((".csv", ".yaml", ".yml", ".json")) or Path(said).is_file()


def _zone(now: dt.datetime) -> dt.tzinfo:
    return now.tzinfo or dt.UTC


def _now(said: str | None) -> dt.datetime:
    """Return the moment of asking by this computer's clock; of a day that is named, its end."""
    now = dt.datetime.now().astimezone()
    if said is None:
        return now
    try:
        on = dt.date.fromisoformat(said)
    except ValueError:
        limit, remedy = "it is no day of the calendar", "Write it as 2027-01-31."
        raise InputError(field="--on", given=shown(said), limit=limit, remedy=remedy) from None
    return dt.datetime.combine(on, dt.time(23, 59), tzinfo=now.tzinfo)


def _show_rank(answer: RankAnswer) -> None:
    paragraphs(answer.sentence)
    heads = ("", "place", "nine in ten", "score", "Elo", "deals", "bears", "an hour")
    rows = [
        (
            r.name,
            str(r.place),
            _span(r.place_low, r.place_high),
            f"{r.norm:.2f}",
            f"{answer.elo[r.name]:.0f}",
            f"{r.delivered_share:.0%}",
            f"{r.received_share:.0%}",
            f"{answer.borne_per_h.get(r.name, 0.0):.1f}" if answer.borne_per_h else "",
        )
        for r in answer.ranks
    ]
    heading("Order")
    table(heads, rows, right=(1, 2, 3, 4, 5, 6, 7))
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
    shown = {row.rung for row in answer.rungs if row.standing in {"begin here", "running", "then"}}
    if "timeout" in shown:
        _show_timeout(answer)
    if shown & {"timeout", "trap", "rehome"}:
        heading(f"How to catch {answer.who}")
        points([*answer.trap.steps, answer.trap.stop, *answer.trap.cautions])
    heading("Whom to move, if one must go")
    paragraphs(answer.whom_to_move.sentence, answer.beyond)
    points(answer.notes)
    paragraphs(f"\n{answer.says_who}")


def _show_timeout(answer: RemedyAnswer) -> None:
    plan = answer.timeout
    heading(f"The timeout: {plan.days:.0f} days, back on {plan.returns}")
    paragraphs(f"Where: {plan.where}. {plan.why}")
    points([*plan.meanwhile, *plan.return_order, plan.stop])


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
