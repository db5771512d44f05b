"""Quick answers: service functions run beside the event loop, in threads that are kept warm."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

THREADS = 2
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
        self._threads = ThreadPoolExecutor(THREADS, thread_name_prefix="desk")

    async def ask(self, what: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Return what a service function answers, without holding up anyone else."""
        loop = asyncio.get_running_loop()
        return await loop.run_in_executor(self._threads, partial(self._answered, what, *args, **kwargs))

    def warm(self) -> None:
        """Begin to load and compile what the first answer needs."""
        self._threads.submit(_warmed)

    def close(self) -> None:
        """Let the threads go."""
        self._threads.shutdown(wait=False, cancel_futures=True)

    def _answered(self, what: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        from slackwater.service.house import house_notes

        with house_notes(self.house):
            return what(*args, **kwargs)


def _warmed() -> None:
    """Ask what nobody asked, so that tables are read and kernels loaded before somebody does."""
    from slackwater.errors import SlackwaterError
    from slackwater.service.checking import check
    from slackwater.service.counter import Told

    try:
        check("Gramma loreto", Told(length_cm=120.0, residents=("Amphiprion ocellaris",)))
    except SlackwaterError:
        _log.exception("the first answer failed")
