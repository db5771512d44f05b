"""How things look in the terminal: plain sentences, quiet tables, and a bar for long work."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

if TYPE_CHECKING:
    from rich.console import Console, RenderableType
    from rich.progress import Progress, TaskID

AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON.")]

_PATIENCE_S = 1.0
_WIDEST = 100


def console(*, error: bool = False) -> Console:
    """Return a terminal without colours of its own; meaning never rests on them."""
    from rich.console import Console

    found = Console(stderr=error, highlight=False, markup=False, emoji=False, soft_wrap=False)
    found.width = min(found.width, _WIDEST)
    return found


def as_json(value: object) -> None:
    """Print a record as JSON: sorted keys, three significant digits."""
    from slackwater.report.jsonfile import dumps

    typer.echo(dumps(value), nl=False)


def say(what: RenderableType, style: str = "") -> None:
    """Print something, without blanks at the ends of its lines."""
    terminal = console()
    with terminal.capture() as caught:
        terminal.print(what, style=style or None)
    typer.echo("\n".join(line.rstrip() for line in caught.get().splitlines()))


def paragraphs(*texts: str) -> None:
    """Print paragraphs, wrapped to the terminal; empty ones are left out."""
    for text in texts:
        if text:
            say(text)


def heading(text: str) -> None:
    """Print a heading, with a line of air before it."""
    say(f"\n{text}", style="bold")


def points(texts: Sequence[str]) -> None:
    """Print short texts, one a line, hanging under a dash."""
    table(("", ""), [("-", text) for text in texts if text])


def files(written: Iterable[Path]) -> None:
    """Print where files lie, whole and one a line, so that a path can be copied."""
    heading("Written")
    for path in written:
        typer.echo(f"-  {path}")


def table(heads: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> None:
    """Print rows in columns, without lines between them.

    Parameters
    ----------
    heads
        The heads; all empty for none.
    rows
        The cells.
    right
        The columns that hold figures.
    """
    from rich.table import Table

    found = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=any(heads))
    for number, head in enumerate(heads):
        justify: Literal["left", "right"] = "right" if number in right else "left"
        found.add_column(head, justify=justify, header_style="bold", overflow="fold")
    for row in rows:
        found.add_row(*row)
    say(found)


class Bar:
    """A bar on standard error that shows itself only when the work takes more than a second."""

    def __init__(self, label: str, total: int | None) -> None:
        self._label, self._total = label, total
        self._begun, self._done = time.monotonic(), 0
        self._shown: tuple[Progress, TaskID] | None = None

    def step(self, count: int = 1, label: str = "") -> None:
        """Count some work as done, or say what is being done now."""
        self._done += count
        self._label = label or self._label
        late = time.monotonic() - self._begun > _PATIENCE_S
        if self._shown is None and late and sys.stderr.isatty():
            self._show()
        if self._shown is not None:
            progress, task = self._shown
            progress.update(task, completed=self._done, description=self._label)

    def _show(self) -> None:
        from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

        columns = (TextColumn("{task.description}"), BarColumn(bar_width=30), TimeElapsedColumn())
        progress = Progress(*columns, console=console(error=True), transient=True)
        progress.start()
        self._shown = (progress, progress.add_task(self._label, total=self._total))

    def end(self) -> None:
        """Take the bar off the screen."""
        if self._shown is not None:
            self._shown[0].stop()


@contextmanager
def bar(label: str, total: int | None = None) -> Iterator[Bar]:
    """Show how far long work has come; with no total it only shows that something moves."""
    shown = Bar(label, total)
    try:
        yield shown
    finally:
        shown.end()
