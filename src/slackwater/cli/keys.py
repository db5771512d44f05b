"""Single keys from a terminal, none lost however fast they are typed; or from what is piped in."""

from __future__ import annotations

import codecs
import os
import select
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import typer

_ESCAPE = "\x1b"
_LONGEST_SEQUENCE_BYTES = 32
_SAME_KEY_S = 0.02


def keys() -> Iterator[str]:
    """Yield keys until the input ends; arrow keys and their like are passed over.

    What is piped in is read letter by letter, without blanks.
    """
    if not sys.stdin.isatty():
        yield from _piped()
    elif sys.platform == "win32":
        yield from _one_by_one()
    else:
        with _unbuffered(sys.stdin.fileno()) as terminal:
            yield from _typed(terminal)


def _piped() -> Iterator[str]:
    while key := sys.stdin.read(1):
        if not key.isspace():
            yield key


def _one_by_one() -> Iterator[str]:
    while True:
        try:
            yield typer.getchar()
        except (KeyboardInterrupt, EOFError):
            return


@contextmanager
def _unbuffered(terminal: int) -> Iterator[int]:
    """Let a terminal hand over each key at once, for as long as this lasts, and throw none away."""
    import termios
    import tty

    before = termios.tcgetattr(terminal)
    try:
        tty.setcbreak(terminal, termios.TCSADRAIN)
        yield terminal
    finally:
        termios.tcsetattr(terminal, termios.TCSADRAIN, before)


def _typed(terminal: int) -> Iterator[str]:
    decoder = codecs.getincrementaldecoder("utf-8")("replace")
    while True:
        try:
            raw = os.read(terminal, 1)
        except (KeyboardInterrupt, OSError):
            return
        if not raw:
            return
        key = decoder.decode(raw)
        if key == _ESCAPE and select.select([terminal], [], [], _SAME_KEY_S)[0]:
            os.read(terminal, _LONGEST_SEQUENCE_BYTES)
        elif key:
            yield key
