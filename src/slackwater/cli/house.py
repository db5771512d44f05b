"""The option `--house`, common to all commands that speak of animals."""

from __future__ import annotations

from contextlib import AbstractContextManager
from pathlib import Path
from typing import Annotated

import typer

House = Annotated[
    Path | None,
    typer.Option("--house", help="The shop's own notes on animals; else SLACKWATER_HOUSE.", metavar="FILE"),
]


def notes(told: Path | None, beside: Path | None = None) -> AbstractContextManager[None]:
    """Answer with the house notes asked for, or with those found beside a file or at home."""
    from slackwater.service.house import find_house_file, house_notes

    return house_notes(find_house_file(told, beside))
