"""The rows of the food bar nobody that the race feeds, and bar every company that they are made for."""

from __future__ import annotations

import numpy as np
import pytest
from tests.rivals.test_choice_rivals import random_list

from slackwater.plan.search import Search, Terms, search_of
from slackwater.rules import load_rules

WISHES = 12


@pytest.fixture(scope="module", params=[5, 23])
def search(request: pytest.FixtureRequest) -> Search:
    return search_of(random_list(request.param, WISHES), Terms(), load_rules())


def _parts(seed: int, count: int) -> list[frozenset[int]]:
    draw = np.random.default_rng(seed)
    return [
        frozenset(draw.choice(WISHES, int(draw.integers(2, WISHES + 1)), replace=False).tolist())
        for _ in range(count)
    ]


def _bars(search: Search, wishes: frozenset[int]) -> bool:
    """Say whether any row made from these companies bars one, by plain sums."""
    rows = [*search.food.always(), *(r for part in _parts(1, 12) for r in search.food.against(part))]
    return any(
        row.line in wishes
        and sum(row.push[n] for n in wishes) >= row.least
        and sum(row.weights[n] for n in wishes) > 0
        for row in rows
    )


def test_no_row_bars_a_company_that_is_fed(search: Search) -> None:
    fed = [part for part in _parts(2, 120) if not search.starves(part)]
    assert len(fed) > 5
    assert not any(_bars(search, part) for part in fed)


def test_a_company_that_starves_is_barred_by_its_own_rows(search: Search) -> None:
    starved = [part for part in _parts(3, 60) if search.starves(part)]
    assert len(starved) > 5
    for part in starved:
        rows = search.food.against(part)
        assert rows
        assert all(row.excess(sorted(part)) > 0 for row in rows)
        assert all(sum(row.push[n] for n in part) >= row.least for row in rows)
