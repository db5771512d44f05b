"""Long work: each in a process of its own, so that it can be stopped and holds up nobody.

Nothing is kept here but the last few results: what should stay is downloaded or stored.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import secrets
from collections import OrderedDict
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass, field
from enum import StrEnum
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any

from slackwater.errors import SlackwaterError

Tick = Callable[[str], None]
Job = Callable[..., Any]
"""A function at the top of a module: called with its arguments and `tick=`, in another process."""

MOST_AT_ONCE = 2
MOST_KEPT = 40


class State(StrEnum):
    """How far a work has come."""

    WAITING = "waiting"
    WORKING = "working"
    DONE = "done"
    FAILED = "failed"
    STOPPED = "stopped"


@dataclass
class Work:
    """One piece of long work.

    `about` is whatever its page needs beside the result; `then` makes the result that is kept here
    from that of the work, and does so whether or not a page waits.
    """

    key: str
    state: State = State.WAITING
    step: str = "waiting for a free hand"
    result: Any = None
    fault: SlackwaterError | None = None
    about: object = None
    then: Callable[[Any], Awaitable[Any]] | None = None
    process: BaseProcess | None = None
    changed: asyncio.Event = field(default_factory=asyncio.Event)

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in {State.DONE, State.FAILED, State.STOPPED}

    async def next_change(self, patience_s: float) -> None:
        """Wait until something changes, or patience ends."""
        with suppress(TimeoutError):
            await asyncio.wait_for(self.changed.wait(), patience_s)

    def moved(self, state: State, step: str) -> None:
        """Say that something changed, to all who wait for it."""
        self.state, self.step = state, step
        self.changed.set()
        self.changed = asyncio.Event()


class Works:
    """Starts, follows and stops long work; made and used inside one event loop."""

    def __init__(self, house: Path | None = None) -> None:
        self.house = house
        self._kept: OrderedDict[str, Work] = OrderedDict()
        self._free = asyncio.Semaphore(MOST_AT_ONCE)
        self._followers: set[asyncio.Task[None]] = set()

    def start(
        self,
        job: Job,
        *args: object,
        about: object = None,
        then: Callable[[Any], Awaitable[Any]] | None = None,
    ) -> Work:
        """Begin a piece of work and return it at once."""
        work = Work(secrets.token_urlsafe(9), about=about, then=then)
        self._kept[work.key] = work
        self._forget()
        follower = asyncio.create_task(self._follow(work, job, args))
        self._followers.add(follower)
        follower.add_done_callback(self._followers.discard)
        return work

    def get(self, key: str) -> Work:
        """Return a piece of work.

        Raises
        ------
        LookupError
            If it is not kept, or not any more.
        """
        return self._kept[key]

    def stop(self, work: Work) -> None:
        """Stop a piece of work; what was done is lost."""
        if work.is_over:
            return
        if work.process is not None and work.process.is_alive():
            work.process.terminate()
        work.moved(State.STOPPED, "stopped")

    def close(self) -> None:
        """Stop all work."""
        for work in self._kept.values():
            self.stop(work)
        for follower in self._followers:
            follower.cancel()

    def _forget(self) -> None:
        over = [key for key, work in self._kept.items() if work.is_over]
        for key in over[: max(0, len(self._kept) - MOST_KEPT)]:
            del self._kept[key]

    async def _follow(self, work: Work, job: Job, args: tuple[object, ...]) -> None:
        async with self._free:
            if work.is_over:
                return
            ours, theirs = _CONTEXT.Pipe(duplex=False)
            work.process = _CONTEXT.Process(target=_run, args=(theirs, self.house, job, args), daemon=True)
            work.process.start()
            theirs.close()
            work.moved(State.WORKING, "starting")
            try:
                await self._listen(work, ours)
            finally:
                ours.close()
                await asyncio.to_thread(work.process.join, _PATIENCE_S)

    async def _listen(self, work: Work, ours: Connection) -> None:
        while not work.is_over:
            try:
                kind, told = await asyncio.to_thread(ours.recv)
            except EOFError:
                if not work.is_over:
                    work.fault = _BROKEN
                    work.moved(State.FAILED, "broken off")
                return
            if work.is_over:
                return
            if kind == "result" and work.then is not None:
                kind, told = await _followed(work.then, told)
            _take(work, kind, told)


async def _followed(then: Callable[[Any], Awaitable[Any]], result: object) -> tuple[str, Any]:
    """Return what comes after a piece of work in place of its result, or why it could not."""
    try:
        return "result", await then(result)
    except SlackwaterError as fault:
        return "fault", fault


def _take(work: Work, kind: str, told: Any) -> None:  # noqa: ANN401 - a step, a fault or any result
    if kind == "step":
        work.moved(State.WORKING, told)
    elif kind == "fault":
        work.fault = told
        work.moved(State.FAILED, "it could not be done")
    else:
        work.result = told
        work.moved(State.DONE, "done")


def _run(theirs: Connection, house: Path | None, job: Job, args: tuple[object, ...]) -> None:
    """Do the work in its own process, and tell how it goes."""
    from slackwater.service.house import house_notes

    try:
        with house_notes(house):
            theirs.send(("result", job(*args, tick=lambda step: theirs.send(("step", step)))))
    except SlackwaterError as fault:
        theirs.send(("fault", fault))


_PATIENCE_S = 5.0
_CONTEXT = multiprocessing.get_context("spawn")
_BROKEN = SlackwaterError(
    "The work broke off; that is a mistake of ours. Try again, and if it breaks off again, report it."
)
