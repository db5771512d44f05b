"""Quick answers beside the event loop, worked out once."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from slackwater.errors import InputError
from slackwater.web.desk import REMEMBERED, Desk


def test_the_same_question_is_worked_out_once() -> None:
    asked: list[int] = []

    def work(number: int) -> int:
        asked.append(number)
        return 2 * number

    async def both() -> tuple[int, int, int]:
        desk = Desk()
        found = await asyncio.gather(
            desk.once("a", work, 1), desk.once("a", work, 1), desk.once("b", work, 2)
        )
        desk.close()
        return found[0], found[1], found[2]

    assert asyncio.run(both()) == (2, 2, 4)
    assert sorted(asked) == [1, 2]


def test_a_fault_is_told_to_all_and_not_remembered() -> None:
    def faulty() -> int:
        raise InputError(field="x", given="y", limit="z", remedy="Do.")

    async def twice() -> int:
        desk = Desk()
        for _ in range(2):
            with pytest.raises(InputError):
                await desk.once("a", faulty)
        found = await desk.once("a", lambda: 3)
        desk.close()
        return found

    assert asyncio.run(twice()) == 3


def test_house_notes_that_change_are_another_question(tmp_path: Path) -> None:
    house = tmp_path / "house.yaml"
    house.write_text("slackwater: 1\n", encoding="utf-8")

    async def before_and_after() -> tuple[int, int]:
        desk = Desk(house)
        first = await desk.once("a", lambda: 1)
        house.write_text("slackwater: 1\nfacts: []\n", encoding="utf-8")
        second = await desk.once("a", lambda: 2)
        desk.close()
        return first, second

    assert asyncio.run(before_and_after()) == (1, 2)


def test_only_so_many_are_remembered() -> None:
    async def many() -> int:
        desk = Desk()
        for n in range(REMEMBERED + 5):
            await desk.once(n, lambda n: n, n)
        found = len(desk._answers)
        desk.close()
        return found

    assert asyncio.run(many()) == REMEMBERED
