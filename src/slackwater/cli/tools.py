"""`schema` and `warm`: for editors, and for the next run."""

from __future__ import annotations

import time
from typing import Annotated

import typer

from slackwater.cli.show import AsJson, as_json, paragraphs


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "schema",
        short_help="The format of the tank file.",
        epilog="Example: slackwater schema > tank.schema.json",
    )(schema)
    app.command("warm", short_help="Compile once, for quick starts.", epilog="Example: slackwater warm")(warm)


def schema(
    *,
    house: Annotated[bool, typer.Option("--house", help="The format of the house notes instead.")] = False,
    json: AsJson = True,  # noqa: ARG001 - always JSON, and says so
) -> None:
    """Print the format of the tank file as a JSON Schema, for an editor that checks as you type."""
    import json as plain

    from slackwater.service import house_file, tankfile

    told = house_file.json_schema() if house else tankfile.json_schema()
    typer.echo(plain.dumps(told, indent=2))


def warm(*, json: AsJson = False) -> None:
    """Compile what has to be compiled, once, so that the next run starts at once."""
    begun = time.perf_counter()
    from slackwater import (
        kernels,
        kernels_draws,
        kernels_rock,
        kernels_tank,
        kernels_walk,
        kernels_water,  # noqa: F401 - it compiles when imported
    )

    for loops in (kernels, kernels_draws, kernels_tank, kernels_walk, kernels_rock):
        loops.warm()
    seconds = time.perf_counter() - begun
    if json:
        as_json({"seconds": seconds})
        return
    paragraphs(f"Ready after {seconds:.1f} s.")
