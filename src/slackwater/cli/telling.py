"""How a tank is told in the terminal: by a file, or by the facts of a counter check."""

from __future__ import annotations

import datetime as dt
import functools
import inspect
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, get_type_hints

import typer

if TYPE_CHECKING:
    from slackwater.service.counter import Told

TankFile = Annotated[Path, typer.Argument(metavar="FILE", help="The tank file, YAML or JSON.")]

Length = Annotated[
    str | None, typer.Option("--length", help="Inner length of the tank: 120cm, 48in, 4ft.", metavar="LENGTH")
]
Volume = Annotated[
    str | None, typer.Option("--volume", help="What the tank holds: 240L, 75gal.", metavar="VOLUME")
]
With = Annotated[
    list[str] | None,
    typer.Option(
        "--with",
        help='Who lives there, once for each kind: --with "2 ocellaris 6cm" --with "six line".',
        metavar="ANIMALS",
    ),
]
Rock = Annotated[
    str | None,
    typer.Option(
        "--rock",
        help="none, sparse, moderate, dense, wall, two islands or bommies.",
        metavar="WORD",
    ),
]
Feeds = Annotated[float | None, typer.Option("--feeds", help="Feeds a day.", metavar="N")]
Since = Annotated[
    str | None,
    typer.Option(
        "--since", help="How long they have been there: 30, 6 weeks; 0 for the same day.", metavar="DAYS"
    ),
]

Command = Callable[..., None]


def today() -> dt.date:
    """Return the day by the clock of this machine."""
    return dt.datetime.now().astimezone().date()


def tells_a_tank(command: Command) -> Command:
    """Give a command the options that tell of a tank; it is called with what they tell as `told`.

    Parameters
    ----------
    command
        A command that takes `told` by keyword.
    """
    own = inspect.signature(command)
    named, asked = _parameters(command), _parameters(told_of)
    before = [p for p in named if p.kind is not inspect.Parameter.KEYWORD_ONLY]
    after = [p for p in named if p.kind is inspect.Parameter.KEYWORD_ONLY]

    @functools.wraps(command)
    def told_first(**given: object) -> None:
        told = told_of(**{p.name: given.pop(p.name) for p in asked})  # type: ignore[arg-type]
        command(told=told, **given)

    whole = own.replace(parameters=[*before, *asked, *after])
    told_first.__signature__ = whole  # type: ignore[attr-defined]
    told_first.__annotations__ = {p.name: p.annotation for p in whole.parameters.values()}
    return told_first


def _parameters(command: Callable[..., object]) -> list[inspect.Parameter]:
    """Return what the parser asks for, its types worked out; `told` is made of it."""
    hints = get_type_hints(command, localns={"Told": object}, include_extras=True)
    listed = inspect.signature(command).parameters.values()
    return [p.replace(annotation=hints[p.name]) for p in listed if p.name != "told"]


def told_of(
    length: Length = None,
    volume: Volume = None,
    residents: With = None,
    rock: Rock = None,
    feeds: Feeds = None,
    since: Since = None,
) -> Told:
    """Return what the options tell of a tank."""
    from slackwater import units
    from slackwater.service.counter import Told

    return Told(
        length_cm=None if length is None else units.length_cm(length, "--length"),
        volume_l=None if volume is None else units.volume_l(volume, "--volume"),
        residents=tuple(residents or ()),
        rock=rock,
        feeds_per_day=feeds,
        since_days=None if since is None else units.duration_days(since, "--since", zero=True),
    )
