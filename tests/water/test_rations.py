"""Rations: the energy budget as food and portions, against worked values."""

from __future__ import annotations

import csv

import pytest

from slackwater.errors import DataTableError, InputError
from slackwater.water.foods import load_foods, read_foods
from slackwater.water.rations import dry_feed_g_d, food_g_d, need_lupatsch2013, packets, portions


@pytest.mark.parametrize(
    ("mass_g", "gain_mg", "energy_kj", "protein_g", "dry_g"),
    [
        # Equations of the summary, worked out by hand: 43.2 (W/1000)^0.8 + 35.7 * 5.39 W^0.284 / 1000.
        (1.0, 5.39, 0.364, 0.0073, 0.018),
        (5.0, 8.51, 0.927, 0.0167, 0.046),
        (10.0, 10.37, 1.455, 0.0246, 0.073),
        (50.0, 16.4, 4.52, 0.065, 0.23),
    ],
)
def test_the_published_budget(
    mass_g: float, gain_mg: float, energy_kj: float, protein_g: float, dry_g: float
) -> None:
    need = need_lupatsch2013(mass_g)
    assert need.gain_mg_d == pytest.approx(gain_mg, rel=2e-3)
    assert need.energy_kj_d == pytest.approx(energy_kj, rel=2e-3)
    assert need.protein_g_d == pytest.approx(protein_g, rel=8e-3)
    assert dry_feed_g_d(mass_g).value == pytest.approx(dry_g, rel=2e-2)
    assert need.in_range == (mass_g <= 1.3)


def test_wet_food_is_dry_food_over_its_dry_fraction() -> None:
    # 10 g: 1.455 kJ/d over 20 kJ/g is 0.0728 g dry; over 0.16 it is 0.455 g, over 0.92 it is 0.079 g.
    assert food_g_d(10.0, 0.16, 0.105).value == pytest.approx(0.455, rel=2e-3)
    assert food_g_d(10.0, 0.92, 0.45).value == pytest.approx(0.0791, rel=2e-3)


def test_food_poor_in_protein_is_eaten_for_its_protein() -> None:
    # 0.0246 g of protein at 2 % is 1.23 g, more than the energy asks for.
    assert food_g_d(10.0, 0.16, 0.02).value == pytest.approx(1.23, rel=5e-3)


def test_grazers_and_swimmers_eat_more() -> None:
    assert food_g_d(10.0, 0.16, 0.105, 2.0).value == pytest.approx(2.0 * 0.455, rel=2e-3)


def test_portions_and_packets() -> None:
    assert portions(10.5, 3.5) == 3.0
    assert portions(0.0, 3.5) == 0.0
    # Portions for a sitter are days times feeds.
    assert packets(14, 2.0) == 28
    assert packets(10, 0.4) == 4
    assert packets(3, 0.5) == 2
    assert packets(0, 2.0) == 0


@pytest.mark.parametrize(
    "ask",
    [
        lambda: food_g_d(0.0, 0.16, 0.1),
        lambda: food_g_d(10.0, 0.0, 0.1),
        lambda: food_g_d(10.0, 16.0, 0.1),
        lambda: food_g_d(10.0, 0.16, 0.0),
        lambda: food_g_d(10.0, 0.16, 0.1, 0.0),
        lambda: portions(1.0, 0.0),
        lambda: packets(-1, 2.0),
        lambda: packets(3, 0.0),
    ],
)
def test_values_that_cannot_be_are_refused(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(InputError):
        ask()


def test_foods_hold_less_protein_than_dry_matter_and_say_who() -> None:
    foods = load_foods()
    assert {"nori", "brine shrimp", "mysids", "fish flesh", "pellets", "pods"} == set(foods)
    for food in foods.values():
        assert 0.0 < float(food.protein_share.value) < float(food.dry_share.value) < 1.0
        for figure in (food.dry_share, food.protein_share, food.portion_g):
            assert figure.low is not None
            assert figure.high is not None
            assert figure.low <= float(figure.value) <= figure.high
            assert figure.source


ROW = "mysids,{figure},{value},0.1,0.2,1,common-practice,cp,,Frozen mysids"
HEAD = "food,figure,value,low,high,unit,kind,source,locator,meaning"


@pytest.mark.parametrize(("figure", "value"), [("dry_share", "0.16"), ("dry_share", "much")])
def test_a_broken_table_of_foods_is_named(figure: str, value: str) -> None:
    lines = [HEAD, ROW.format(figure=figure, value=value)]
    with pytest.raises(DataTableError) as caught:
        read_foods(csv.DictReader(lines))
    assert caught.value.row == "mysids"
