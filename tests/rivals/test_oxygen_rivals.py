"""Oxygen at saturation against the Gibbs SeaWater toolbox, where it is installed."""

import pytest

from slackwater.water.oxygen import OXYGEN_G_MOL, oxygen_mg_l_garcia1992, oxygen_umol_kg_garcia1992

gsw = pytest.importorskip("gsw", reason="gsw is a rival for developers and is not installed")

REFERENCE_SALINITY_G_KG = 35.16504 / 35.0


@pytest.mark.parametrize("salinity", [0.0, 15.0, 30.0, 35.0, 40.0])
@pytest.mark.parametrize("temperature_c", [0.0, 10.0, 20.0, 26.0, 30.0, 40.0])
def test_saturation_by_mass_and_by_volume(temperature_c: float, salinity: float) -> None:
    umol_kg = float(gsw.O2sol_SP_pt(salinity, temperature_c))
    density_kg_m3 = float(gsw.rho_t_exact(REFERENCE_SALINITY_G_KG * salinity, temperature_c, 0.0))
    mg_l = umol_kg * OXYGEN_G_MOL * density_kg_m3 * 1e-6
    assert oxygen_umol_kg_garcia1992(temperature_c, salinity).value == pytest.approx(umol_kg, rel=1e-6)
    assert oxygen_mg_l_garcia1992(temperature_c, salinity).value == pytest.approx(mg_l, rel=2.5e-4)
