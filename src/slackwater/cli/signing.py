"""Who does something at the terminal, when, and why; and asking before something is deleted."""

from __future__ import annotations

import datetime as dt
import sys
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from slackwater.errors import InputError

if TYPE_CHECKING:
    from slackwater.service.tanks import By

ByOption = Annotated[
    str | None, typer.Option("--by", help="Who says so; else SLACKWATER_WHO or the login.", metavar="NAME")
]
OutcomeWord = Literal["all well", "look again", "visit", "take back", "not reached", "dropped"]
Sure = Annotated[bool, typer.Option("--yes", help="Do not ask before deleting.")]


def signed(by: str | None, why: str = "") -> By:
    """Return who does something now, and why."""
    from slackwater.service.tanks import By
    from slackwater.settings import load_settings

    return By(by or load_settings().who, dt.datetime.now(dt.UTC), why)


def local(when: dt.datetime) -> str:
    """Return a moment as the clock on the wall has it."""
    return f"{when.astimezone():%Y-%m-%d %H:%M}"


def counted(number: int, noun: str) -> str:
    """Return a number with its noun: `1 entry`, `2 entries`."""
    several = f"{noun[:-1]}ies" if noun.endswith("y") else f"{noun}s"
    return f"{number} {noun if number == 1 else several}"


def ask_before_deleting(what: str, *, sure: bool) -> None:
    """Ask whether something is to be deleted.

    Raises
    ------
    InputError
        If nobody can be asked, or the answer is no.
    """
    if sure:
        return
    if not sys.stdin.isatty() or not typer.confirm(f"Delete {what} for good?", err=True):
        remedy = "Say --yes if it is to be deleted."
        raise InputError(field=what, given="not deleted", limit="it was not confirmed", remedy=remedy)
