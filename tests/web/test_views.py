"""Numbers and words as pages print them."""

from __future__ import annotations

import pytest

from slackwater.web.views import pressure_step, rate_word, rates_word


@pytest.mark.parametrize(
    ("per_hour", "word", "step"),
    [
        (0.0, "under 0.1", 0),
        (0.1, "0.1", 1),
        (0.34, "0.3", 2),
        (2.04, "2.0", 3),
        (9.99, "10.0", 4),
        (25.4, "25", 5),
    ],
)
def test_attacks_per_hour_in_two_figures_and_five_steps(per_hour: float, word: str, step: int) -> None:
    assert rate_word(per_hour) == word
    assert pressure_step(per_hour) == step


@pytest.mark.parametrize(
    ("pair", "words"),
    [
        ((0.0, 0.05), "under 0.1"),
        ((0.02, 0.4), "0\N{EN DASH}0.4"),
        ((0.2, 12.3), "0.2\N{EN DASH}12"),
        ((1.0, 1.01), "1.0"),
    ],
)
def test_a_range_of_attacks(pair: tuple[float, float], words: str) -> None:
    assert rates_word(pair) == words
