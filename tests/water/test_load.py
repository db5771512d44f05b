"""Ammonia from fish and food, and how far apart releases must be."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.water.ammonia import Criterion, WaterSample
from slackwater.water.load import (
    Ration,
    ammonia_load,
    excretion_mg_d_roopin2008,
    tan_g_d_timmons2007,
    wave_swing_roopin2008,
)
from slackwater.water.nitrifiers import Filter
from slackwater.water.nitrogen import Step, follow, new_filter_state
from slackwater.water.spacing import (
    Releases,
    largest_first_mg_l_d,
    ripe_state,
    slowed,
    spacing,
    young_state,
)

TANK = Filter(volume_l=300.0, temperature_c=26.0)
SEA = WaterSample(8.1, 26.0, 35.0)
LOAD = 1000.0 * tan_g_d_timmons2007(5.0, 0.45) / 300.0
FISH_G = [(10.0, 1.0)] * 2 + [(5.0, 1.5)] * 6


def test_the_budget_meets_what_was_measured() -> None:
    """10 g: 1.4552 kJ/d / 20 kJ/g x 0.45 x 0.092 = 3.01 mg N/d, between fasting 1.7 and fed 6.2."""
    load = ammonia_load([(10.0, 1.0)], Ration(1.0, 0.45))
    assert load.tan_mg_d == pytest.approx(3.01, abs=0.01)
    fasting, fed = excretion_mg_d_roopin2008(10.0)
    assert fasting.value < load.tan_mg_d < fed.value
    assert (fasting.value, fed.value) == pytest.approx((1.68, 6.19), abs=0.01)
    assert load.ceiling_mg_d / load.tan_mg_d == pytest.approx(0.16 / 0.092)
    assert not load.in_range
    assert ammonia_load([(1.0, 1.0)], Ration()).in_range


def test_food_by_the_gram() -> None:
    assert tan_g_d_timmons2007(5.0, 0.45) == pytest.approx(0.2070, rel=1e-9)
    assert tan_g_d_timmons2007(10.0, 0.50) == pytest.approx(0.460, rel=1e-9)


def test_a_factor_counts_like_more_fish_and_their_order_does_not_matter() -> None:
    twice = ammonia_load([(10.0, 2.0)], Ration())
    assert twice == ammonia_load([(10.0, 1.0)] * 2, Ration())
    assert ammonia_load(FISH_G, Ration()) == ammonia_load(FISH_G[::-1], Ration())
    assert twice.per_litre(300.0) == pytest.approx(twice.tan_mg_d / 300.0)


def test_more_feeds_flatten_the_wave_and_a_fast_ends_it() -> None:
    """1.84 against 0.50: (3.68 - 1) / (3.68 + 1) = 0.573."""
    swings = [wave_swing_roopin2008(feeds) for feeds in (0.0, 0.5, 1.0, 2.0, 4.0)]
    assert swings == pytest.approx([0.0, 0.573, 0.573, 0.286, 0.143], abs=1e-3)
    fed, fasting = (ammonia_load(FISH_G, Ration(feeds)) for feeds in (1.0, 0.0))
    assert fasting.feed_g_d == fasting.ceiling_mg_d == 0.0
    assert fasting.tan_mg_d == pytest.approx(fed.tan_mg_d * (1.0 - 0.5726), rel=1e-3)


def test_an_empty_tank_gives_off_nothing() -> None:
    assert ammonia_load([], Ration()).tan_mg_d == 0.0


def test_what_no_fish_eats_is_refused() -> None:
    with pytest.raises(InputError, match="reads like a percentage"):
        Ration(protein_share=45.0)
    with pytest.raises(InputError, match="feeds_per_day is -1"):
        Ration(feeds_per_day=-1.0)
    with pytest.raises(InputError, match="factor is -1"):
        ammonia_load([(10.0, -1.0)], Ration())
    with pytest.raises(InputError, match="mass_g is 0"):
        ammonia_load([(0.0, 1.0)], Ration())
    with pytest.raises(InputError, match="volume_l is 0"):
        ammonia_load(FISH_G, Ration()).per_litre(0.0)


@pytest.mark.parametrize(("limit_mg_l", "feed_g_d"), [(0.25, 0.69), (0.5, 1.380), (1.0, 2.59)])
def test_the_largest_first_addition(limit_mg_l: float, feed_g_d: float) -> None:
    """On day 40 of the reference run, by an outside solver."""
    cycled = follow(TANK, new_filter_state(2.0), [Step(0.0, 0.0)], [40.0]).at(0)
    found = largest_first_mg_l_d(TANK, cycled, 0.0, limit_mg_l)
    assert 5.0 * found / LOAD == pytest.approx(feed_g_d, rel=1e-2)


def test_a_young_filter_asks_for_longer_gaps() -> None:
    found = spacing(TANK, Releases((0.1, 0.1, 0.1)), SEA)
    assert 1.0 <= found.ripe.gap_days <= found.young.gap_days < math.inf
    for keeps in (found.ripe, found.young):
        assert keeps.tan_peak_mg_l <= found.tan_limit_mg_l
    assert found.young.largest_first_mg_l_d < found.ripe.largest_first_mg_l_d
    assert "a dose test would tell" in found.assumed
    assert found.in_range


def test_a_step_that_is_too_large_has_no_gap() -> None:
    found = spacing(TANK, Releases((3.0, 0.1)), SEA)
    assert found.young.gap_days == math.inf
    assert found.young.tan_peak_mg_l > found.tan_limit_mg_l
    assert 0.0 < found.young.largest_first_mg_l_d < 3.0


def test_a_single_release_needs_no_gap() -> None:
    assert spacing(TANK, Releases((0.05,)), SEA).ripe.gap_days == 0.0


def test_a_dose_test_takes_the_place_of_the_band() -> None:
    weak, strong = (spacing(TANK, Releases((0.2, 0.2)), SEA, tested_mg_l_d=c) for c in (0.3, 2.0))
    assert strong.ripe == strong.young
    assert strong.ripe.gap_days <= weak.ripe.gap_days
    assert "0.3 mg N/L a day by its dose test" in weak.assumed
    with pytest.raises(InputError, match="tested_mg_l_d is -1"):
        spacing(TANK, Releases((0.2,)), SEA, tested_mg_l_d=-1.0)


def test_a_criterion_for_an_hour_allows_more_and_a_high_ph_less() -> None:
    usual = spacing(TANK, Releases((0.2, 0.2)), SEA)
    hour = spacing(TANK, Releases((0.2, 0.2)), SEA, criterion=Criterion.HOUR)
    high = spacing(TANK, Releases((0.2, 0.2)), replace(SEA, ph=8.4))
    assert hour.tan_limit_mg_l == pytest.approx(usual.tan_limit_mg_l * 0.233 / 0.035)
    assert high.tan_limit_mg_l < usual.tan_limit_mg_l
    assert hour.young.gap_days <= usual.young.gap_days <= high.young.gap_days


def test_states_of_a_filter() -> None:
    young, ripe = young_state(slowed(TANK), 0.0), ripe_state(TANK, 0.0)
    assert young.ammonia_capacity_mg_l_d < ripe.ammonia_capacity_mg_l_d
    assert young.tan_mg_l == ripe.tan_mg_l == 0.0
    bearing = ripe_state(TANK, LOAD)
    assert bearing.ammonia_capacity_mg_l_d == pytest.approx(2.719, rel=1e-2)
    assert bearing.tan_mg_l == pytest.approx(0.188, rel=2e-2)
    assert ripe_state(TANK, 50.0).tan_mg_l == 0.0
    assert largest_first_mg_l_d(TANK, ripe_state(TANK, 50.0), 50.0, 0.5) == pytest.approx(0.0, abs=1e-5)


@settings(max_examples=20)
@given(st.lists(st.floats(0.01, 0.25), min_size=2, max_size=4), st.floats(0.0, 0.5))
def test_the_gap_that_is_found_keeps_the_limit(added: list[float], present: float) -> None:
    found = spacing(TANK, Releases(tuple(added), present), SEA)
    for keeps in (found.ripe, found.young):
        assert (keeps.tan_peak_mg_l <= found.tan_limit_mg_l) == math.isfinite(keeps.gap_days)


def test_no_release_is_refused() -> None:
    with pytest.raises(InputError, match="added_mg_l_d is empty"):
        Releases(())
    with pytest.raises(InputError, match="present_mg_l_d is -1"):
        Releases((0.1,), -1.0)


def test_the_peaks_are_the_highest_of_a_course_looked_at_every_hour() -> None:
    releases = Releases((0.6 * LOAD, 0.4 * LOAD), 0.2 * LOAD)
    found = spacing(TANK, releases, SEA)
    slow = slowed(TANK)
    for keeps, filter_, start in (
        (found.ripe, TANK, ripe_state(TANK, 0.2 * LOAD)),
        (found.young, slow, young_state(slow, 0.2 * LOAD)),
    ):
        gap = min(keeps.gap_days, 60.0)
        hourly = np.arange(0.0, gap + 60.0, 1.0 / 24.0)
        course = follow(filter_, start, releases.steps(gap), hourly)
        assert keeps.tan_peak_mg_l == pytest.approx(course.tan_mg_l.max(), rel=1e-3)
        assert keeps.nitrite_peak_mg_l == pytest.approx(course.nitrite_mg_l.max(), rel=1e-3)
