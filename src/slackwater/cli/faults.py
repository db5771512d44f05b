"""The one table from errors to what a command says and ends with."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup

from slackwater.errors import (
    DataTableError,
    InputError,
    InputErrors,
    MissingFactError,
    SlackwaterError,
    StaleEditError,
    StoreError,
    UnknownTaxonError,
)

STORE_FAULT = 6

EXIT_CODES: dict[type[Exception], int] = {
    InputError: 2,
    InputErrors: 2,
    UnknownTaxonError: 3,
    MissingFactError: 4,
    StaleEditError: 5,
    StoreError: STORE_FAULT,
    DataTableError: 7,
    SlackwaterError: 1,
}
"""What a command ends with, the nearest class first."""


class Commands(TyperGroup):
    """The commands; what goes wrong on purpose is told in a sentence on standard error."""

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401 - the parser's own context, whatever comes back
        """Run a command, and turn an error into its sentence and exit code."""
        try:
            return super().invoke(ctx)
        except SlackwaterError as fault:
            raise _told(fault, exit_code(fault)) from fault
        except BrokenPipeError:
            raise
        except OSError as fault:
            raise _told(_as_store_fault(fault), STORE_FAULT) from fault


def exit_code(fault: SlackwaterError) -> int:
    """Return what a command ends with after an error."""
    return next(EXIT_CODES[kind] for kind in type(fault).__mro__ if kind in EXIT_CODES)


def _told(fault: SlackwaterError, code: int) -> typer.Exit:
    typer.echo(str(fault), err=True)
    return typer.Exit(code)


def _as_store_fault(fault: OSError) -> StoreError:
    problem = (fault.strerror or "it cannot be read or written").lower()
    return StoreError(
        store=str(fault.filename or "a file"),
        problem=problem,
        remedy="Check the folder, its room and its rights, and run the command again.",
    )
