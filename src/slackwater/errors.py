"""Every error the program raises on purpose, each a sentence in three parts.

What is wrong with the value as given; the limit and whose it is; what to do next. Arguments
go in by keyword and the class makes the sentence, so that a terminal, a page and a log all
say the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar

_LONGEST_SHOWN = 60
_MOST_BITS = 10_000


class SlackwaterError(Exception):
    """The base of all errors raised on purpose; `exit_code` is what a command ends with."""

    exit_code: ClassVar[int] = 1

    def __reduce__(self) -> tuple[object, ...]:
        """Let an error pass from one process to another: it is made anew from its parts."""
        return _made_anew, (type(self), self.args, dict(self.__dict__))


class InputError(SlackwaterError, ValueError):
    """A value that a person gave cannot be used.

    Parameters
    ----------
    field
        Where it stands, dotted for files: ``tank.length``.
    given
        The value as it was given.
    limit
        The rule it breaks, as a clause: ``it cannot be negative``.
    remedy
        What to do next, as a sentence.
    """

    exit_code: ClassVar[int] = 2

    def __init__(self, *, field: str, given: str, limit: str, remedy: str) -> None:
        self.field = field
        self.given = given
        self.limit = limit
        self.remedy = remedy
        super().__init__(f"{field} is {given}; {limit}. {remedy}")


class InputErrors(SlackwaterError):  # noqa: N818 - it is several
    """All faults found in one file, gathered so that one reading mends them all.

    Parameters
    ----------
    source
        The file, as the person named it.
    faults
        The faults, in the order of the file; at least one.
    """

    exit_code: ClassVar[int] = 2

    def __init__(self, *, source: str, faults: Sequence[InputError]) -> None:
        self.source = source
        self.faults = tuple(faults)
        count = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        lines = "".join(f"\n- {fault}" for fault in self.faults)
        super().__init__(f"{source} has {count}:{lines}")


class UnknownTaxonError(SlackwaterError, LookupError):
    """No species goes by this name.

    Parameters
    ----------
    name
        The name as it was given.
    nearest
        The names that come closest, best first; may be empty.
    """

    exit_code: ClassVar[int] = 3

    def __init__(self, *, name: str, nearest: Sequence[str] = ()) -> None:
        self.name = name
        self.nearest = tuple(nearest)
        tail = (
            f"others come close. Did you mean {_either(self.nearest)}?"
            if self.nearest
            else "none in it comes close. Enter the scientific name, or another trade name."
        )
        super().__init__(f"{name} is not a name in the species table; {tail}")


class MissingFactError(SlackwaterError, LookupError):
    """A fact that is needed is in no table, and no rule may stand in for it.

    Parameters
    ----------
    taxon
        The species, genus or family.
    trait
        The trait that has no value.
    needed_by
        What cannot be worked out without it.
    """

    exit_code: ClassVar[int] = 4

    def __init__(self, *, taxon: str, trait: str, needed_by: str) -> None:
        self.taxon = taxon
        self.trait = trait
        self.needed_by = needed_by
        super().__init__(
            f"{trait} of {taxon} is not known; {needed_by} needs it. "
            "Add it to the house notes with where it was read."
        )


class StaleEditError(SlackwaterError):
    """A record was changed by someone else since it was opened.

    Parameters
    ----------
    record
        What was being edited.
    changed_by
        Who changed it meanwhile.
    changed_at
        When they did, as it should be read.
    changes
        What they changed, a clause each; may be empty.
    """

    exit_code: ClassVar[int] = 5

    def __init__(self, *, record: str, changed_by: str, changed_at: str, changes: Sequence[str] = ()) -> None:
        self.record = record
        self.changed_by = changed_by
        self.changed_at = changed_at
        self.changes = tuple(changes)
        what = f" ({'; '.join(changes)})" if changes else ""
        super().__init__(
            f"{record} is older than what is kept; {changed_by} changed it at {changed_at}{what}. "
            "Open it again, compare the two, and save what should hold."
        )


class StoreError(SlackwaterError):
    """What is kept cannot be opened, read or written.

    Parameters
    ----------
    store
        The file or database.
    problem
        What is wrong with it, as a clause.
    remedy
        What to do next, as a sentence.
    """

    exit_code: ClassVar[int] = 6

    def __init__(self, *, store: str, problem: str, remedy: str) -> None:
        self.store = store
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{store} cannot be used; {problem}. {remedy}")


class DataTableError(SlackwaterError):
    """A table shipped with the program breaks its own rules: a mistake of ours.

    Parameters
    ----------
    file
        The table's file name.
    row
        The row, counted from 1 below the heading, or its first cell.
    column
        The column.
    problem
        What is wrong with it, as a clause.
    """

    exit_code: ClassVar[int] = 7

    def __init__(self, *, file: str, row: int | str, column: str, problem: str) -> None:
        self.file = file
        self.row = row
        self.column = column
        self.problem = problem
        super().__init__(
            f"{file}, row {row}, column {column} cannot be used; {problem}. "
            "Mend the table: the program cannot run on it."
        )


def shown(value: object) -> str:
    """Return a value as it was given, on one line and short enough for a sentence."""
    huge = isinstance(value, int) and value.bit_length() > _MOST_BITS
    text = "a huge number" if huge else "" if value is None else str(value)
    plain = "".join(c if c.isprintable() else " " for c in text[:200]).strip()
    return f"{plain[:57]}..." if len(plain) > _LONGEST_SHOWN else plain or "empty"


def _made_anew(
    kind: type[SlackwaterError], args: tuple[object, ...], parts: dict[str, Any]
) -> SlackwaterError:
    return kind(**parts) if parts else kind(*args)


def _either(names: Sequence[str]) -> str:
    """Join names as a choice: ``a``, ``a or b``, ``a, b or c``."""
    *others, last = names
    return f"{', '.join(others)} or {last}" if others else last
