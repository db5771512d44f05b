"""`plan` and `demo`: the whole plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.show import AsJson, bar, files, heading, paragraphs, points, table
from slackwater.cli.signing import signed

if TYPE_CHECKING:
    from slackwater.plan.records import Plan, Release

Paper = Literal["a4", "us-letter"]
PaperOption = Annotated[Paper, typer.Option("--paper", help="Paper of the plan sheet.")]
_DEMO = "demo.yaml"
_DEMO_TITLE = "An invented tank"


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "plan", short_help="The whole plan of a tank.", epilog="Example: slackwater plan reef.yaml -o out"
    )(plan)
    app.command("demo", epilog="Example: slackwater demo -o out/demo")(demo)


def plan(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The tank file, YAML or JSON.")],
    out: Annotated[
        Path, typer.Option("-o", "--out", help="Folder for the sheet, calendar, JSON and drawing.")
    ] = Path("out"),
    *,
    paper: PaperOption = "a4",
    keep: Annotated[
        str, typer.Option("--keep", help="Keep the plan with this kept tank.", metavar="TANK")
    ] = "",
    house: House = None,
    json: AsJson = False,
) -> None:
    """Make the whole plan of a tank: plan sheet, calendar, JSON and a drawing.

    House notes are those of --house, or of SLACKWATER_HOUSE, or house.yaml beside the tank file.
    """
    with notes(house, beside=file):
        _make(file, out, paper, as_json=json, keep=keep)


def demo(
    *,
    out: Annotated[Path, typer.Option("-o", "--out", help="Folder for what is made.")] = Path("out/demo"),
    paper: PaperOption = "a4",
    json: AsJson = False,
) -> None:
    """Plan an invented tank, to see what comes out."""
    with resources.as_file(resources.files("slackwater.data") / _DEMO) as file:
        _make(file, out, paper, as_json=json, title=_DEMO_TITLE)


def _make(
    file: Path, out: Path, paper: Paper, *, as_json: bool, title: str | None = None, keep: str = ""
) -> None:
    """Plan a file, write what was made, and show the plan."""
    from slackwater.report import plan_json
    from slackwater.service.planning import plan_file, write_plan
    from slackwater.service.tankfile_copy import copy_of

    today = dt.datetime.now().astimezone().date()
    with bar("planning") as shown:
        made = plan_file(file, today, lambda step: shown.step(label=step), title)
        shown.step(label="the printed sheet")
        asked = copy_of(file)
        written = write_plan(made, out, paper, asked)
    kept = _kept(keep, made, asked) if keep else ""
    if as_json:
        typer.echo(plan_json(made, asked), nl=False)
        return
    _show(made, written)
    paragraphs(kept)


def _kept(tank: str, made: Plan, asked: Mapping[str, object]) -> str:
    from slackwater.service.keeping import kept
    from slackwater.service.kept_plans import keep_made_plan

    with kept() as store:
        number = keep_made_plan(store, tank, made, asked, signed(None)).number
    return f"Kept as plan {number} of {tank}."


def _show(made: Plan, written: Sequence[Path]) -> None:
    paragraphs(made.title, made.verdict)
    _show_clashes(made)
    if made.releases:
        _show_calendar(made.releases)
    heading("Worst off")
    paragraphs(_worst(made))
    if made.question:
        heading("The one question to ask")
        paragraphs(made.question)
    files(written)


def _show_clashes(made: Plan) -> None:
    if not made.clashes and not made.left_out:
        return
    heading("Left out")
    points([*made.left_out, *(clash.sentence for clash in made.clashes)])
    settle = [text for clash in made.clashes for text in clash.settle]
    if settle:
        heading("What would settle it")
        points(settle)


def _show_calendar(releases: Sequence[Release]) -> None:
    """Show the releases; what holds for each of them is said once."""
    from slackwater.report.words import day

    heading("Calendar")
    conditions = list(dict.fromkeys(release.go_when for release in releases))
    rows = [
        (day(r.date), "; ".join((r.title, *r.deeds)), "" if len(conditions) == 1 else r.go_when)
        for r in releases
    ]
    if len(conditions) == 1:
        table(("", "release"), [row[:2] for row in rows])
        paragraphs(f"Go on when {conditions[0]}.")
    else:
        table(("", "release", "go when"), rows)


def _worst(made: Plan) -> str:
    worst = next((line for line in made.animals if line.key == made.worst_key), None)
    if worst is None:
        return "Nobody: the tank is empty."
    fares = worst.comfort
    return f"{worst.common_name} is {fares.word}: {fares.sentence.rstrip('.')}."
