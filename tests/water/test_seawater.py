"""Salinity from what is read, density, pH scales, ammonia: ranges, refusals, and sums by hand."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.errors import InputError
from slackwater.water.altitude import oxygen_mg_l_at, pressure_atm_iso2533, pressure_factor_benson1984
from slackwater.water.ammonia import (
    Criterion,
    WaterSample,
    pk_bell2007,
    pk_clegg1995,
    pk_epa1989,
    tan_limit_mg_l,
    unionised_fraction,
    unionised_mg_l,
    unionised_share,
)
from slackwater.water.basis import Basis, converted, meq_l_of_dkh, mg_l_of_mg_kg
from slackwater.water.computed import Computed
from slackwater.water.oxygen import oxygen_mg_l_benson1984, oxygen_mg_l_garcia1992, oxygen_ml_l_weiss1970
from slackwater.water.ph_scales import PhScale, ph_above_total
from slackwater.water.salinity import (
    Marking,
    conductivity_ms_cm_lewis1980,
    glass_reading,
    salinity_after_evaporation,
    salinity_from_glass,
    salinity_from_gravity,
    salinity_lewis1980,
    specific_gravity_millero1981,
    warm_water_error,
)
from slackwater.water.seawater import (
    density_kg_m3_feistel2008,
    density_kg_m3_millero1981,
    specific_heat_j_kg_k_feistel2008,
)

MARKINGS = st.sampled_from(Marking)
salinities = st.floats(2.0, 42.0)
temperatures_c = st.floats(0.0, 35.0)


def test_two_equations_of_state_agree() -> None:
    """They differ by some 0.005 kg/m3 at the usual salt and warmth."""
    for salinity in (30.0, 35.0, 38.0):
        for temperature_c in (20.0, 25.0, 28.0):
            old = density_kg_m3_millero1981(temperature_c, salinity).value
            assert density_kg_m3_feistel2008(temperature_c, salinity).value == pytest.approx(old, abs=0.006)


@pytest.mark.parametrize(
    ("marking", "slope", "start"),
    [
        (Marking.SIXTY_F, 1298.4, 34.402),
        (Marking.TWENTY_C, 1309.9, 34.731),
        (Marking.TWENTY_FIVE_C, 1320.7, 35.035),
    ],
)
def test_gravity_against_straight_lines(marking: Marking, slope: float, start: float) -> None:
    """Lines fitted to the ratio of densities between S 28 and 38, good to 0.005."""
    for gravity in (1.0225, 1.0240, 1.0264, 1.0280):
        line = start + slope * (gravity - 1.0264)
        assert salinity_from_gravity(gravity, marking).value == pytest.approx(line, abs=0.006)


@given(salinities, temperatures_c, MARKINGS)
def test_glass_is_read_there_and_back(salinity: float, temperature_c: float, marking: Marking) -> None:
    reading = glass_reading(salinity, temperature_c, marking).value
    back = salinity_from_glass(reading, temperature_c, marking)
    assert back.value == pytest.approx(salinity, abs=1e-6)
    assert back.in_range


@given(salinities, temperatures_c)
def test_conductivity_there_and_back(salinity: float, temperature_c: float) -> None:
    conductivity = conductivity_ms_cm_lewis1980(salinity, temperature_c).value
    assert salinity_lewis1980(conductivity, temperature_c).value == pytest.approx(salinity, abs=1e-6)


def test_a_cold_scale_in_warm_water_shows_three_too_few() -> None:
    """At 25 C a 60/60 F glass shows 1.02459 for 35, which looks like 32.1."""
    assert glass_reading(35.0, 25.0, Marking.SIXTY_F).value == pytest.approx(1.02459, abs=2e-5)
    assert warm_water_error(35.0, 25.0, Marking.SIXTY_F).value == pytest.approx(-2.9, abs=0.1)
    assert warm_water_error(35.0, 25.0, Marking.TWENTY_FIVE_C).value == pytest.approx(0.0, abs=1e-6)


def test_what_was_measured_beyond_the_equations_is_said() -> None:
    assert not salinity_lewis1980(1.5, 25.0).in_range
    assert not salinity_from_gravity(1.034, Marking.TWENTY_FIVE_C).in_range
    assert not density_kg_m3_millero1981(41.0, 35.0).in_range
    assert not specific_heat_j_kg_k_feistel2008(26.0, 43.0).in_range
    assert not oxygen_ml_l_weiss1970(26.0, 41.0).in_range
    assert not oxygen_mg_l_benson1984(41.0, 35.0).in_range
    assert not pk_epa1989(26.0, 35.0).in_range
    assert not pk_bell2007(36.0, 35.0).in_range
    assert not ph_above_total(PhScale.NBS, 26.0, 1.0).in_range
    assert not unionised_fraction(WaterSample(8.1, 26.0, 41.0)).in_range


def test_nearly_fresh_water_has_a_salinity_too() -> None:
    """Only a person is asked what 1.02 means, not the search: rho(1.03, 25 C) / rho(0, 25 C) = 1.00078."""
    assert salinity_from_gravity(1.0, Marking.TWENTY_FIVE_C).value == pytest.approx(0.0, abs=1e-6)
    assert salinity_from_gravity(1.00078, Marking.TWENTY_FIVE_C).value == pytest.approx(1.03, abs=0.01)


@pytest.mark.parametrize("salinity", [1.02, 1.0264])
def test_a_gravity_given_as_salinity_is_asked_back(salinity: float) -> None:
    with pytest.raises(InputError, match="reads like a specific gravity") as caught:
        oxygen_mg_l_garcia1992(26.0, salinity)
    assert "Then say so" in caught.value.remedy
    with pytest.raises(InputError, match="reads like a specific gravity"):
        WaterSample(8.1, 26.0, salinity)


@pytest.mark.parametrize(("gravity", "like"), [(35.0, "salinity"), (1026.0, "density"), (1026.4, "point")])
def test_a_salinity_given_as_gravity_is_asked_back(gravity: float, like: str) -> None:
    with pytest.raises(InputError, match=f"reads like .*{like}"):
        salinity_from_gravity(gravity, Marking.TWENTY_FIVE_C)


def test_other_slips_are_asked_back() -> None:
    with pytest.raises(InputError, match="reads like microsiemens"):
        salinity_lewis1980(53_000.0, 25.0)
    with pytest.raises(InputError, match="even pure water reads"):
        salinity_from_gravity(0.995, Marking.TWENTY_FIVE_C)
    with pytest.raises(InputError, match="one holds nitrogen, the other phosphorus"):
        converted(1.0, Basis.NO3, Basis.PO4)
    with pytest.raises(InputError, match="evaporated_l is 300"):
        salinity_after_evaporation(35.0, 300.0, 300.0)


@pytest.mark.parametrize("ph", [0.0, 4.9, 10.6, 14.0, math.nan])
def test_an_impossible_ph_is_refused(ph: float) -> None:
    with pytest.raises(InputError, match="ph is"):
        WaterSample(ph, 26.0, 35.0)


def test_height_takes_oxygen() -> None:
    """At 25 C 0.9403 at 500 m, 0.8834 at 1000 m, 0.7777 at 2000 m: own arithmetic by the same equations."""
    for altitude_m, share in ((0.0, 1.0), (500.0, 0.9403), (1000.0, 0.8834), (2000.0, 0.7777)):
        factor = pressure_factor_benson1984(25.0, pressure_atm_iso2533(altitude_m).value)
        assert factor.value == pytest.approx(share, rel=1e-3)
        full = oxygen_mg_l_garcia1992(25.0, 35.0).value
        assert oxygen_mg_l_at(25.0, 35.0, altitude_m).value == pytest.approx(share * full, rel=1e-3)
    with pytest.raises(InputError, match="altitude_m is 9000"):
        pressure_atm_iso2533(9000.0)


def test_three_fits_of_oxygen_agree_within_three_in_a_thousand() -> None:
    for temperature_c in (10.0, 20.0, 26.0, 30.0):
        for salinity in (0.0, 30.0, 35.0, 40.0):
            best = oxygen_mg_l_garcia1992(temperature_c, salinity).value
            assert oxygen_mg_l_benson1984(temperature_c, salinity).value == pytest.approx(best, rel=3e-3)
            weiss_mg_l = 1.42903 * oxygen_ml_l_weiss1970(temperature_c, salinity).value
            assert weiss_mg_l == pytest.approx(best, rel=3.5e-3)


EPA_TABLE = {
    # From memory: (criterion, S, pH): total ammonia as NH3 at 0, 10, 15, 20, 25, 30 C.
    (Criterion.HOUR, 30.0, 8.0): (31.0, 15.0, 10.0, 7.3, 5.0, 3.5),
    (Criterion.HOUR, 30.0, 8.2): (20.0, 9.6, 6.7, 4.6, 3.3, 2.3),
    (Criterion.FOUR_DAYS, 30.0, 8.0): (4.7, 2.2, 1.6, 1.1, 0.75, 0.53),
    (Criterion.FOUR_DAYS, 30.0, 8.2): (3.0, 1.4, 1.0, 0.69, 0.50, 0.34),
    (Criterion.HOUR, 20.0, 8.0): (29.0, 14.0, 9.8, 6.7, 4.8, 3.3),
}


@pytest.mark.parametrize(("criterion", "salinity", "ph"), EPA_TABLE)
def test_the_criterion_as_it_was_printed(criterion: Criterion, salinity: float, ph: float) -> None:
    for temperature_c, total in zip((0, 10, 15, 20, 25, 30), EPA_TABLE[criterion, salinity, ph], strict=True):
        share = unionised_share(pk_epa1989(float(temperature_c), salinity).value, ph)
        assert criterion.limit_mg_l / share == pytest.approx(total, rel=0.042)


def test_the_alarm_by_ph() -> None:
    """0.035 mg NH3/L as total ammonia nitrogen at 26 C and S 35 on the NBS scale: own arithmetic."""
    for ph, tan_mg_l in ((8.0, 0.67), (8.1, 0.54), (8.2, 0.44), (8.3, 0.35)):
        water = WaterSample(ph, 26.0, 35.0)
        assert tan_limit_mg_l(water).value == pytest.approx(tan_mg_l, abs=0.006)
        assert unionised_mg_l(tan_limit_mg_l(water).value, water).value == pytest.approx(0.035)


def test_the_scale_matters_by_a_third() -> None:
    by_scale = [
        unionised_fraction(WaterSample(8.1, 26.0, 35.0, s)).value for s in (PhScale.NBS, PhScale.TOTAL)
    ]
    assert by_scale[1] / by_scale[0] == pytest.approx(1.36, abs=0.03)


def test_opening_a_bag_makes_ammonia_worse() -> None:
    """From pH 6.8 to 8.1 on the total scale at 25 C and S 35: 0.357 % to 6.67 %, 18.69 times."""
    before, after = (
        unionised_fraction(WaterSample(ph, 25.0, 35.0, PhScale.TOTAL)).value for ph in (6.8, 8.1)
    )
    assert after / before == pytest.approx(18.69, rel=1e-3)


def test_another_fit_of_the_pk_agrees_on_the_free_scale() -> None:
    for temperature_c in (20.0, 25.0, 28.0):
        best = pk_clegg1995(temperature_c, 35.0, PhScale.FREE).value
        assert pk_bell2007(temperature_c, 35.0).value == pytest.approx(best, abs=0.03)


def test_bases_there_and_back() -> None:
    """By hand: 62.0049 g of nitrate hold 14.0067 g of nitrogen; 8 dKH are 8 x 20 / 56.0774 meq/L."""
    assert converted(1.0, Basis.N, Basis.NO3) == pytest.approx(62.0049 / 14.0067)
    assert converted(converted(3.0, Basis.NH4, Basis.NO2), Basis.NO2, Basis.NH4) == pytest.approx(3.0)
    assert converted(1.0, Basis.P, Basis.PO4) == pytest.approx(3.066, rel=1e-3)
    assert meq_l_of_dkh(8.0) == pytest.approx(8.0 * 20.0 / 56.0774)
    assert mg_l_of_mg_kg(400.0, 1023.3) == pytest.approx(409.32)


def test_evaporation_leaves_the_salt() -> None:
    assert salinity_after_evaporation(35.0, 300.0, 6.0) == pytest.approx(35.0 * 300.0 / 294.0)
    assert specific_gravity_millero1981(35.0, 25.0, 25.0).value > 1.026


@pytest.mark.parametrize(
    ("pk", "celsius", "salinity"),
    [
        (pk_clegg1995, (-2.0, 40.0), (0.0, 40.0)),
        (pk_bell2007, (5.0, 35.0), (0.0, 45.0)),
        (pk_epa1989, (0.0, 30.0), (10.0, 30.0)),
    ],
)
def test_each_fit_ends_where_it_was_fitted(
    pk: Callable[[float, float], Computed], celsius: tuple[float, float], salinity: tuple[float, float]
) -> None:
    within = [pk(t, s).in_range for t in celsius for s in salinity]
    assert all(within)
    middle_c, middle_s = sum(celsius) / 2.0, sum(salinity) / 2.0
    beyond = [(celsius[1] + 0.01, middle_s), (middle_c, salinity[1] + 0.01)]
    beyond += [(celsius[0] - 0.01, middle_s)] if celsius[0] >= 0.0 else []
    beyond += [(middle_c, salinity[0] - 0.01)] if salinity[0] > 0.0 else []
    assert not any(pk(t, s).in_range for t, s in beyond)
