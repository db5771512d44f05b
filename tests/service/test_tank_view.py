"""The tank on a screen: its stones go out and come back, and pressure follows them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from slackwater.errors import InputErrors
from slackwater.service.tank_view import (
    LEAST_PER_H,
    MOST_PER_H,
    Pressed,
    TankView,
    _shades,
    asked_of,
    open_view,
    pressed,
    sent_stones,
)

TODAY = dt.date(2026, 11, 25)
TANK = """
slackwater: 1
tank: {length: 100 cm, width: 45 cm, height: 45 cm, lid: true}
rock: {layout: two islands}
company: [{animal: six line, length: 6 cm, since: 2026-01-01}]
wishes: [{animal: royal gramma, length: 5 cm}, {animal: firefish goby, length: 5 cm}]
"""


@pytest.fixture(scope="module")
def view() -> TankView:
    return open_view(TANK, TODAY)


def ask(view: TankView, **told: object) -> Pressed:
    return pressed(view, asked_of({"stones": sent_stones(view.stones), **told}))


def per_h(found: Pressed) -> dict[str, float]:
    return {row.name: row.per_h for row in found.rows}


def test_the_stones_of_a_layout_come_back_as_the_same_rock(view: TankView) -> None:
    stones = [told.stone() for told in asked_of({"stones": sent_stones(view.stones)}).stones]
    for sent, kept in zip(stones, view.stones, strict=True):
        assert (sent.x_cm, sent.y_cm, sent.base_cm) == pytest.approx(
            (kept.x_cm, kept.y_cm, kept.base_cm), abs=0.06
        )
        assert sent.size_cm == pytest.approx(kept.size_cm, abs=0.06)


def test_the_worst_off_is_first_and_all_are_there(view: TankView) -> None:
    rates = [row.per_h for row in ask(view).rows]
    assert len(rates) == 3
    assert rates == sorted(rates, reverse=True)


def test_without_stones_the_newcomers_are_pressed_more(view: TankView) -> None:
    bare, built = per_h(ask(view, stones=[])), per_h(ask(view))
    assert bare["royal gramma"] > built["royal gramma"]
    assert bare["firefish"] > built["firefish"]


def test_the_same_question_has_the_same_answer(view: TankView) -> None:
    one, two = ask(view), ask(view)
    assert per_h(one) == per_h(two)
    assert np.array_equal(one.above, two.above)


def test_the_map_of_all_is_nowhere_below_that_of_one(view: TankView) -> None:
    everyone = ask(view)
    for row in everyone.rows:
        assert (ask(view, whose=row.key).above <= everyone.above).all()


def test_at_rest_the_squares_are_smaller_and_have_contours(view: TankView) -> None:
    moving, resting = ask(view), ask(view, at_rest=True)
    assert (moving.edge_cm, resting.edge_cm) == (10.0, 5.0)
    assert moving.contours == {}
    assert set(resting.contours) == {"above", "front"}


def test_grown_animals_are_another_company(view: TankView) -> None:
    assert per_h(ask(view, size="grown")) != per_h(ask(view))


def test_the_scale_of_shades_is_fixed() -> None:
    rates = np.array([[0.0, LEAST_PER_H, MOST_PER_H, 10.0 * MOST_PER_H, np.nan]])
    assert _shades(rates).tolist() == [[0, 0, 255, 255, 0]]
    # Half way in logarithms: sqrt(0.03 * 30) = 0.95 an hour.
    assert _shades(np.array([[0.9487]]))[0, 0] == 128


@pytest.mark.parametrize(
    "stone",
    [
        {"form": "castle"},
        {"length": 0.0},
        {"length": float("nan")},
        {"x": 1e9},
        {"tilt": 90.0},
        {"bell": 1},
    ],
)
def test_what_is_no_stone_is_refused(view: TankView, stone: dict[str, Any]) -> None:
    with pytest.raises(InputErrors, match="the page sent"):
        ask(view, stones=[sent_stones(view.stones)[0] | stone])


def test_too_many_stones_are_refused(view: TankView) -> None:
    with pytest.raises(InputErrors, match="the page sent"):
        ask(view, stones=sent_stones(view.stones)[:1] * 201)


def test_no_file_of_this_machine_is_read(tmp_path: Path) -> None:
    list_of_a_shop = tmp_path / "stock.csv"
    list_of_a_shop.write_text("not,a,stock,list\n", encoding="utf-8")
    assert open_view(f"{TANK}stock: {list_of_a_shop}\n", TODAY).company
