"""Quick answers: service functions run beside the event loop, in threads that are kept warm."""

from __future__ import annotations

import asyncio
import logging
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

THREADS = 2
REMEMBERED = 200
"""Answers that are not worked out again. [-]"""

PATIENCE_S = 0.12
"""How long a page waits for its answer before it is shown without. [s]"""

_log = logging.getLogger(__name__)


class Desk:
    """Answers with the shop's house notes, a few at a time.

    Parameters
    ----------
    house
        The file of house notes, read anew for each answer, so that a change holds at once.
    """

    def __init__(self, house: Path | None = None) -> None:
        self.house = house
        self._answers: OrderedDict[Hashable, asyncio.Future[Any]] = OrderedDict()
        self._threads = ThreadPoolExecutor(THREADS, thread_name_prefix="desk")
        self._readers = ThreadPoolExecutor(THREADS, thread_name_prefix="reader")

    async def ask(self, what: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what a service function that judges answers, without holding up anyone else."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._threads, partial(self._answered, what, *args, **kwargs))

    async def look_up(self, what: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what a service function that only reads tables answers; no judgement is in its way."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._readers, partial(self._answered, what, *args, **kwargs))

    async def once(self, key: Hashable, what: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what a service function answers; the same question asked again is not worked out again.

        Parameters
        ----------
        key
            All that the answer hangs on but the house notes, which are looked at here.
        what, args, kwargs
            As for `ask`.
        """
        full = (key, _age(self.house))
        if full not in self._answers:
            self._answers[full] = asyncio.ensure_future(self.ask(what, *args, **kwargs))
            if len(self._answers) > REMEMBERED:
                self._answers.popitem(last=False)
        self._answers.move_to_end(full)
        try:
            found: T = await asyncio.shield(self._answers[full])
        except Exception:
            self._answers.pop(full, None)
            raise
        return found

    def warm(self, *more: Callable[[], object]) -> None:
        """Begin to load and compile what the first answer needs, and whatever else is given."""
        self._threads.submit(_warmed)
        for one in more:
            self._readers.submit(one)

    def close(self) -> None:
        """Let the threads go."""
        self._threads.shutdown(wait=False, cancel_futures=True)
        self._readers.shutdown(wait=False, cancel_futures=True)

    def _answered(self, what: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        from slackwater.service.house import house_notes

        with house_notes(self.house):
            return what(*args, **kwargs)


def _age(house: Path | None) -> tuple[int, int]:
    """Return what changes whenever the house notes do; a file that is gone has its own answer."""
    try:
        told = house.stat() if house else None
    except OSError:
        return (-1, -1)
    return (told.st_mtime_ns, told.st_size) if told else (0, 0)


def _warmed() -> None:
    """Ask what nobody asked, so that tables are read and kernels loaded before somebody does."""
    from slackwater.errors import SlackwaterError
    from slackwater.service.checking import check
    from slackwater.service.counter import Told

    try:
        check("Gramma loreto", Told(length_cm=120.0, residents=("Amphiprion ocellaris",)))
    except SlackwaterError:
        _log.exception("the first answer failed")
