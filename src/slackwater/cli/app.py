"""The commands, gathered; nothing heavy is imported before a command runs."""

from __future__ import annotations

from typing import Annotated

import typer

from slackwater import __version__
from slackwater.cli import (
    animals,
    changing,
    choosing,
    counter,
    diary,
    exam,
    keeping,
    plan,
    quarrel,
    rock,
    serving,
    tools,
    water,
    years,
)
from slackwater.cli.faults import Commands

app = typer.Typer(
    name="slackwater",
    cls=Commands,
    help="Plan and keep marine tanks whose fish leave one another in peace.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"max_content_width": 96},
    epilog="It reminds and never rules: local law, and the veterinarian on anything that looks like disease.",
)


def _print_version(asked: bool) -> None:  # noqa: FBT001 - called by the parser
    if asked:
        typer.echo(__version__)
        raise typer.Exit


@app.callback()
def _program(
    *,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_print_version, is_eager=True, help="Print the version and end."),
    ] = False,
) -> None:
    """Plan and keep marine tanks whose fish leave one another in peace."""


for group in (
    plan,
    choosing,
    changing,
    quarrel,
    diary,
    counter,
    rock,
    years,
    exam,
    animals,
    water,
    keeping,
    serving,
    tools,
):
    group.add_to(app)


def main() -> None:
    """Run the program on what was typed."""
    app(prog_name="slackwater")
