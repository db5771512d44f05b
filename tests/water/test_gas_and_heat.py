"""Oxygen through pumps, cooling, rations, growth, drift: sums by hand, there and back, refusals."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import DataTableError, InputError
from slackwater.sources import load_sources
from slackwater.water import parameters
from slackwater.water.cooling import (
    cooling_e_fold_h,
    cooling_hours,
    hours_to_temperature,
    temperature_c_after,
)
from slackwater.water.drift import (
    after_changes_mg_l,
    after_exchange_mg_l,
    alkalinity_loss_dkh_d,
    changes_needed,
    nitrate_mg_l_d,
    oxygen_for_nitrification_mg_d,
    phosphate_mg_l_d_yellowtail2009,
    settled_mg_l,
)
from slackwater.water.gas_exchange import (
    Aeration,
    Surface,
    oxygen_balance,
    oxygen_uptake_l_h,
    transfer_velocity_cm_h_jaehne1987,
    uptake_l_h_from_log,
)
from slackwater.water.growth import Growth, length_cm_bertalanffy1938, length_cm_later
from slackwater.water.power_cut import StillWater, hours_to_fall
from slackwater.water.rations import dry_feed_g_d, need_lupatsch2013

STILL = StillWater(volume_l=300.0, full_mg_l=6.659, start_mg_l=6.19, uptake_l_h=14.27, demand_mg_h=157.7)


def test_oxygen_falls_as_the_hours_of_a_power_cut_say() -> None:
    balance = oxygen_balance(STILL.volume_l, STILL.full_mg_l, STILL.demand_mg_h, STILL.uptake_l_h)
    assert balance.settles_mg_l == pytest.approx(-4.39, rel=5e-3)
    assert balance.e_fold_h == pytest.approx(21.0, rel=5e-3)
    for level_mg_l in (4.0, 3.0, 2.0):
        hours = hours_to_fall(STILL, level_mg_l)
        assert balance.after_h(STILL.start_mg_l, hours) == pytest.approx(level_mg_l)
    assert balance.after_h(STILL.start_mg_l, 100.0) == 0.0


def test_pumps_keep_oxygen_near_full() -> None:
    """k600 10 cm/h on 0.6 m2, 1500 L/h over a weir that makes good a half, demand 197: 6.42 mg/L, 96 %."""
    uptake = oxygen_uptake_l_h(Aeration(0.6, 10.0, flow_l_h=1500.0, yield_share=0.5), 26.0)
    assert uptake.in_range
    balance = oxygen_balance(300.0, 6.659, 197.0, uptake.value)
    assert balance.settles_mg_l == pytest.approx(6.42, abs=0.01)


def test_a_glassy_surface_passes_more_at_a_low_schmidt_number() -> None:
    glassy, agitated = (
        transfer_velocity_cm_h_jaehne1987(2.0, 424.15, s) for s in (Surface.GLASSY, Surface.AGITATED)
    )
    assert agitated == pytest.approx(2.0 * (600.0 / 424.15) ** 0.5)
    assert glassy > agitated


@given(st.floats(1.0, 500.0), st.floats(0.1, 5.0))
def test_uptake_is_found_from_a_log(uptake_l_h: float, start_mg_l: float) -> None:
    balance = oxygen_balance(300.0, 6.66, 0.0, uptake_l_h)
    log = [(hour, balance.after_h(start_mg_l, hour)) for hour in (0.0, 0.5, 1.0, 2.0)]
    assert uptake_l_h_from_log(log, 6.66, 300.0) == pytest.approx(uptake_l_h, rel=1e-3)


@pytest.mark.parametrize(
    "log",
    [
        [(0.0, 3.0), (1.0, 4.0)],
        [(0.0, 3.0), (1.0, 4.0), (2.0, 7.0)],
        [(0.0, 3.0), (0.0, 4.0), (1.0, 5.0)],
        [(0.0, 5.0), (1.0, 4.0), (2.0, 3.0)],
    ],
)
def test_a_log_that_tells_nothing_is_refused(log: list[tuple[float, float]]) -> None:
    with pytest.raises(InputError, match="three or more readings"):
        uptake_l_h_from_log(log, 6.66, 300.0)


@pytest.mark.parametrize(
    ("place", "field"), [(0, "volume_l"), (1, "full_mg_l"), (2, "demand_mg_h"), (3, "uptake_l_h")]
)
def test_an_impossible_balance_is_refused(place: int, field: str) -> None:
    sizes = [300.0, 6.66, 100.0, 14.0]
    sizes[place] = -1.0
    with pytest.raises(InputError, match=f"{field} is -1"):
        oxygen_balance(*sizes)


def test_a_floating_bag() -> None:
    """4 L, 0.15 m2, 80 W/(m2 K): 22.7 min; 1 L, 0.06 m2: 14.2 min."""
    assert 60.0 * cooling_e_fold_h(4.0, 0.15, 80.0, 25.0, 35.0).value == pytest.approx(22.7, rel=1e-2)
    assert 60.0 * cooling_e_fold_h(1.0, 0.06, 80.0, 25.0, 35.0).value == pytest.approx(14.2, rel=1e-2)


def test_cooling_there_and_back() -> None:
    hours = hours_to_temperature(26.0, 18.0, 22.0, 24.0)
    assert temperature_c_after(26.0, 18.0, hours, 24.0) == pytest.approx(22.0)
    assert hours_to_temperature(26.0, 18.0, 27.0, 24.0) == 0.0
    assert hours_to_temperature(26.0, 23.0, 22.0, 24.0) == math.inf
    assert hours_to_temperature(20.0, 26.0, 25.5, 0.4) == pytest.approx(0.4 * math.log(12.0))
    hard, easy = cooling_hours((300.0, 2.4), 26.0, 18.0, 22.0)
    assert 0.0 < hard < easy
    with pytest.raises(InputError, match="e_fold_h is 0"):
        temperature_c_after(26.0, 18.0, 1.0, 0.0)
    with pytest.raises(InputError, match="level_c is 27"):
        cooling_hours((300.0, 2.4), 26.0, 18.0, 27.0)


def test_a_budget_says_when_it_is_drawn_out() -> None:
    assert need_lupatsch2013(1.0).in_range
    assert not need_lupatsch2013(10.0).in_range
    assert dry_feed_g_d(10.0).value == pytest.approx(1.455182018 / 20.0)


def test_growth_goes_on_from_any_length() -> None:
    growth = Growth(13.318994, 1.153928, -0.021803)
    now = length_cm_bertalanffy1938(growth, 1.0)
    assert length_cm_later(growth, now, 12.0) == pytest.approx(length_cm_bertalanffy1938(growth, 2.0))
    assert length_cm_later(growth, 7.0, 12.0) == pytest.approx(11.326, rel=1e-3)
    assert length_cm_later(growth, 15.0, 12.0) == 15.0
    assert length_cm_bertalanffy1938(growth, -5.0) == 0.0
    with pytest.raises(InputError, match="final_cm is 0"):
        Growth(0.0, 1.0)


def test_changes_of_water() -> None:
    """40 mg/L: 16.384 after four changes of a fifth, 17.97 by as much in a stream."""
    assert after_changes_mg_l(40.0, 0.2, 4) == pytest.approx(16.384, rel=1e-9)
    assert after_exchange_mg_l(40.0, 0.8 * 300.0, 300.0) == pytest.approx(17.97, rel=1e-3)
    settled = settled_mg_l(21.38, 0.15)
    assert settled.before_mg_l == pytest.approx(142.5, rel=1e-3)
    assert settled.after_mg_l == pytest.approx(121.2, rel=1e-3)
    assert settled_mg_l(10.0, 0.5, new_mg_l=5.0).after_mg_l == 15.0


@given(st.floats(0.1, 500.0), st.floats(0.05, 0.95), st.floats(0.01, 0.99))
def test_as_many_changes_as_are_needed_and_no_more(mg_l: float, share: float, part: float) -> None:
    count = changes_needed(mg_l, part * mg_l, share)
    assert after_changes_mg_l(mg_l, share, count) <= part * mg_l * (1.0 + 1e-6)
    assert after_changes_mg_l(mg_l, share, count - 1) > part * mg_l * (1.0 - 1e-6)


def test_drift_by_hand() -> None:
    """0.207 g N a day in 300 L: 0.946 g of oxygen, 0.276 dKH, 21.4 mg/L of nitrate a week."""
    assert oxygen_for_nitrification_mg_d(207.0) == pytest.approx(946.0, rel=1e-3)
    assert alkalinity_loss_dkh_d(0.69) == pytest.approx(0.2762, rel=1e-3)
    assert 7.0 * nitrate_mg_l_d(207.0, 300.0) == pytest.approx(21.4, rel=2e-3)
    assert nitrate_mg_l_d(50.0, 300.0, sand_m2=1.0) < 0.0
    assert 7.0 * phosphate_mg_l_d_yellowtail2009(5.0, 300.0) == pytest.approx(1.97, rel=2e-3)


@pytest.mark.parametrize(
    ("wanted", "share", "field"),
    [(0.0, 0.2, "wanted_mg_l"), (10.0, 0.0, "changed_share"), (10.0, 1.5, "changed_share")],
)
def test_changes_that_never_end_are_refused(wanted: float, share: float, field: str) -> None:
    with pytest.raises(InputError, match=f"{field} is"):
        changes_needed(40.0, wanted, share)


def test_all_water_changed_once_is_enough() -> None:
    assert changes_needed(40.0, 10.0, 1.0) == 1
    assert changes_needed(10.0, 40.0, 0.2) == 0


def test_every_figure_says_on_what_it_rests() -> None:
    figures = parameters.load_parameters()
    assert len(figures) >= 40
    for name, figure in figures.items():
        assert figure.source in load_sources(), name
        assert parameters.low(name) <= parameters.number(name) <= parameters.high(name), name
        assert figure.note.endswith("]"), name


def test_a_broken_row_of_figures_is_named() -> None:
    row = {"name": "x", "value": "1", "low": "", "high": "", "unit": "1", "kind": "guess"}
    with pytest.raises(DataTableError, match="row x"):
        parameters._sourced(row | {"source": "own", "locator": "", "meaning": "m"})


def test_figures_stand_once(monkeypatch: pytest.MonkeyPatch) -> None:
    header = "name,value,low,high,unit,kind,source,locator,meaning\n"
    line = "x,1,,,1,estimated,assumed,,m\n"

    class _Table:
        def joinpath(self, _name: str) -> "_Table":
            return self

        def read_text(self, encoding: str) -> str:
            return (header + 2 * line).encode().decode(encoding)

    monkeypatch.setattr("slackwater.water.parameters.resources.files", lambda _package: _Table())
    parameters.load_parameters.cache_clear()
    with pytest.raises(DataTableError, match="it stands there twice"):
        parameters.load_parameters()
    parameters.load_parameters.cache_clear()
