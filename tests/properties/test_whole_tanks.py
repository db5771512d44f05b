"""In whole tanks what should help the worst-off mostly does; `make trust` measures more of them."""

from __future__ import annotations

import pytest
from scripts.trust_shape import LEVERS, WORSE_BY, Tried, random_tank, records, section, tried

FEW = 10


@pytest.fixture(scope="module")
def rows() -> list[Tried]:
    return list(tried(FEW))


@pytest.mark.slow
def test_most_changes_do_not_hurt_the_worst_off(rows: list[Tried]) -> None:
    # The aim is 95 %, measured over many more tanks by `make trust`.
    assert len(rows) > 4 * FEW
    assert sum(not row.is_worse for row in rows) >= 0.9 * len(rows)


@pytest.mark.slow
def test_some_changes_help(rows: list[Tried]) -> None:
    assert sum(row.after < row.before - WORSE_BY for row in rows) >= 0.2 * len(rows)


@pytest.mark.slow
def test_every_case_that_is_worse_is_printed(rows: list[Tried]) -> None:
    found = records([*rows, Tried(99, "one more feed", 0.1, 0.3, "Gramma loreto", "fought")])
    assert found["by_change"].keys() == LEVERS.keys()
    assert sum(row["cases"] for row in found["by_change"].values()) == len(rows) + 1
    assert "| 99 | one more feed | 0.100 to 0.300 | Gramma loreto | fought |" in section(found)
    assert len(found["worse"]) == 1 + sum(row.is_worse for row in rows)


def test_a_random_tank_is_the_same_each_time() -> None:
    assert random_tank(3).parties == random_tank(3).parties
    assert random_tank(3).parties != random_tank(4).parties
