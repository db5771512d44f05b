"""`whatif`, `replan` and `afterwards`: what would make it work, and what to do when life happens."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.plan import Paper, PaperOption
from slackwater.cli.show import AsJson, as_json, bar, files, heading, paragraphs, points, table
from slackwater.cli.telling import TankFile, today
from slackwater.errors import InputError, shown

if TYPE_CHECKING:
    from slackwater.plan.replan import Beside, Standing
    from slackwater.service.afterwards import Afterwards
    from slackwater.service.replanning import Replanned
    from slackwater.service.whatif import WayRow, WhatIfAnswer


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "whatif",
        short_help="The smallest changes that make a list work.",
        epilog="Example: slackwater whatif reef.yaml",
    )(whatif)
    app.command(
        "replan",
        short_help="Make a plan anew after what happened.",
        epilog="Example: slackwater replan out/plan.json happened.yaml -o out/anew",
    )(replan)
    app.command(
        "afterwards",
        short_help="What would have changed a death.",
        epilog='Example: slackwater afterwards reef.yaml --died "royal gramma" --on 2026-10-14',
    )(afterwards)


def whatif(
    file: TankFile,
    most: Annotated[
        int, typer.Option("--most", min=1, max=10, help="How many different ways to seek.", metavar="N")
    ] = 3,
    take: Annotated[
        int | None, typer.Option("--take", min=1, max=10, help="Make the plan of this way.", metavar="N")
    ] = None,
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder for that plan.")] = Path("out/way"),
    *,
    paper: PaperOption = "a4",
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say what would make a list work: the smallest sets of changes, each with what is given up.

    Effort is counted in evenings of work or their price. No part of a way can be left out. A long
    search may be stopped with Ctrl-C; what was found so far is then shown. With --take the plan of
    one way is made, its deeds among the releases, and shown beside the list as it stood.
    """
    if take is not None:
        _take(file, take, out, (paper, house), json=json)
        return
    from slackwater.service.whatif import whatif_file

    with notes(house, beside=file), bar("looking for ways") as shown_bar:
        answer = whatif_file(file, today(), lambda step: shown_bar.step(label=step), most)
    if json:
        as_json(answer)
        return
    _show_whatif(answer)


def _take(file: Path, number: int, out: Path, how: tuple[Paper, Path | None], *, json: bool) -> None:
    from slackwater.service.way_taken import take_way, write_way

    paper, house = how
    with notes(house, beside=file), bar("looking for ways") as shown_bar:
        taken = take_way(file, today(), number, lambda step: shown_bar.step(label=step))
        written = write_way(taken, out, paper)
    if json:
        as_json(taken)
        return
    paragraphs(taken.plan.title, taken.plan.verdict)
    heading("What is changed")
    points(taken.changes)
    _show_beside(taken.beside, written)


def replan(
    plan: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan.json of the old plan.")],
    happened: Annotated[Path, typer.Argument(metavar="HAPPENED", help="What happened since, YAML or JSON.")],
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder for the new plan.")] = Path("out/anew"),
    *,
    paper: PaperOption = "a4",
    house: House = None,
    json: AsJson = False,
) -> None:
    """Make a plan anew after a delay, a death, a substitution, or an animal of another size.

    What was done stays, and as little as needed changes: no release moves forward, and the order
    is kept where every animal can still bear it. The two plans are shown side by side.
    """
    from slackwater.service.replanning import replan_files, write_replan

    with notes(house, beside=plan), bar("planning anew") as shown_bar:
        made = replan_files(plan, happened, today(), lambda step: shown_bar.step(label=step))
        written = write_replan(made, out, paper)
    if json:
        as_json(made.found)
        return
    _show_replan(made, written)


def afterwards(
    file: TankFile,
    died: Annotated[str, typer.Option("--died", help="Who died; it still stands in the file's company.")],
    on: Annotated[
        str | None, typer.Option("--on", help="Day of its death; today if left out.", metavar="DATE")
    ] = None,
    *,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say fairly which of order, size, rock, feeding or a box would have changed a death.

    It blames nobody and finds no cause: that is for a veterinarian.
    """
    from slackwater.service.afterwards import afterwards_file

    with notes(house, beside=file):
        answer = afterwards_file(file, died, today(), _date(on))
    if json:
        as_json(answer)
        return
    _show_afterwards(answer)


def _date(said: str | None) -> dt.date | None:
    if said is None:
        return None
    try:
        return dt.date.fromisoformat(said)
    except ValueError:
        limit, remedy = "it is no day of the calendar", "Write it as 2027-01-31."
        raise InputError(field="--on", given=shown(said), limit=limit, remedy=remedy) from None


def _show_whatif(answer: WhatIfAnswer) -> None:
    paragraphs(answer.title, answer.sentence)
    for number, way in enumerate(answer.ways, start=1):
        _show_way(f"Way {number}: {_evenings(way.effort)}", way)
    if answer.nearest is not None:
        _show_way(f"Nearest: {_evenings(answer.nearest.effort)}", answer.nearest)
    if answer.note:
        paragraphs(f"\n{answer.note}")
    if answer.assumptions and not answer.works_now:
        heading("Assumed")
        table(("", "", ""), [(row.what, row.taken, row.cost) for row in answer.assumptions])
    points(answer.house_notes)


def _show_way(title: str, way: WayRow) -> None:
    heading(title)
    points([change.do for change in way.changes])
    paragraphs(
        f"Given up: {'; '.join(change.gives_up for change in way.changes)}.",
        f"{_worst_then(way)} {way.because}".rstrip(),
    )


def _worst_then(way: WayRow) -> str:
    return f"Worst off is then {way.worst}: {way.word}." if way.worst else "Nobody is left then."


def _evenings(effort: float) -> str:
    return "about an evening" if effort == 1.0 else f"about {effort:.2g} evenings"


def _show_replan(made: Replanned, written: Sequence[Path]) -> None:
    paragraphs(made.found.plan.title, made.found.plan.verdict)
    heading("What changed, and why")
    points(made.found.sentences)
    _show_beside(made.found.beside, written)


def _show_beside(beside: Sequence[Beside], written: Sequence[Path]) -> None:
    heading("Before and now")
    table(("", "before", "now", "what changed"), [_beside(row) for row in beside])
    files(written)


def _beside(row: Beside) -> tuple[str, str, str, str]:
    return row.name, _standing(row.before), _standing(row.after), row.changed


def _standing(one: Standing | None) -> str:
    from slackwater.report.words import day

    if one is None:
        return ""
    return f"{'there' if one.date is None else day(one.date)}, {one.word}"


def _show_afterwards(answer: Afterwards) -> None:
    paragraphs(answer.paragraph, answer.how_sure)
    if answer.otherwise:
        heading("What would have changed it")
        rows = [(row.lever, row.what, row.word, row.would) for row in answer.otherwise]
        table(("", "", "it would have been", ""), rows)
    heading("Next")
    paragraphs(answer.next_step)
    points(answer.house_notes)
