"""Long work in processes of its own: told step by step, stopped, broken off, forgotten."""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import Callable

import pytest

from slackwater.errors import InputError
from slackwater.web import work as module
from slackwater.web.work import State, Work, Works

pytestmark = pytest.mark.slow

Tick = Callable[[str], None]


def steps(count: int, *, tick: Tick) -> int:
    for n in range(count):
        tick(f"step {n}")
    return count


def faulty(*, tick: Tick) -> None:
    tick("about to fail")
    raise InputError(field="x", given="y", limit="z", remedy="Do.")


def endless(*, tick: Tick) -> None:
    tick("begun")
    time.sleep(3600.0)


def broken(*, tick: Tick) -> None:
    tick("about to break")
    os._exit(3)


async def over(work: Work) -> Work:
    while not work.is_over:
        await work.next_change(30.0)
    return work


def test_work_tells_its_steps_and_its_result() -> None:
    async def run() -> Work:
        works = Works()
        work = await over(works.start(steps, 3))
        works.close()
        return work

    work = asyncio.run(run())
    assert (work.state, work.result) == (State.DONE, 3)


def test_a_fault_comes_back_as_it_was() -> None:
    async def run() -> Work:
        works = Works()
        return await over(works.start(faulty))

    work = asyncio.run(run())
    assert work.state is State.FAILED
    assert isinstance(work.fault, InputError)
    assert work.fault.field == "x"


def test_work_that_breaks_off_says_so() -> None:
    async def run() -> Work:
        return await over(Works().start(broken))

    work = asyncio.run(run())
    assert work.state is State.FAILED
    assert "mistake of ours" in str(work.fault)


def test_work_is_stopped_at_once_and_its_process_ends() -> None:
    async def run() -> Work:
        works = Works()
        work = works.start(endless)
        while work.step != "begun":
            await work.next_change(30.0)
        works.stop(work)
        assert work.process is not None
        await asyncio.to_thread(work.process.join, 10.0)
        assert not work.process.is_alive()
        return work

    assert asyncio.run(run()).state is State.STOPPED


def test_only_so_much_goes_on_at_once_and_the_rest_waits() -> None:
    async def run() -> list[State]:
        works = Works()
        begun = [works.start(endless) for _ in range(module.MOST_AT_ONCE)]
        for work in begun:
            while work.step != "begun":
                await work.next_change(30.0)
        waiting = works.start(steps, 1)
        await asyncio.sleep(0.2)
        states = [waiting.state]
        works.stop(begun[0])
        await over(waiting)
        works.close()
        return [*states, waiting.state, begun[1].state]

    assert asyncio.run(run()) == [State.WAITING, State.DONE, State.STOPPED]


def test_old_results_are_forgotten(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_KEPT", 2)

    async def run() -> list[bool]:
        works = Works()
        done = [await over(works.start(steps, 1)) for _ in range(4)]
        return [any(kept is work for kept in works._kept.values()) for work in done]

    assert asyncio.run(run()) == [False, False, True, True]
