"""Density, heat and conductivity of seawater against the Gibbs SeaWater toolbox, where it is installed."""

import pytest

from slackwater.water.salinity import conductivity_ms_cm_lewis1980, salinity_lewis1980
from slackwater.water.seawater import (
    REFERENCE_G_KG,
    density_kg_m3_feistel2008,
    specific_heat_j_kg_k_feistel2008,
    thermal_expansion_per_k_feistel2008,
)

gsw = pytest.importorskip("gsw", reason="gsw is a rival for developers and is not installed")

SALINITIES = [5.0, 20.0, 30.0, 35.0, 40.0]
TEMPERATURES_C = [0.0, 10.0, 20.0, 26.0, 33.0]


@pytest.mark.parametrize("salinity", SALINITIES)
@pytest.mark.parametrize("temperature_c", TEMPERATURES_C)
def test_the_gibbs_function(temperature_c: float, salinity: float) -> None:
    at = (REFERENCE_G_KG * salinity, temperature_c, 0.0)
    ours = (density_kg_m3_feistel2008, specific_heat_j_kg_k_feistel2008, thermal_expansion_per_k_feistel2008)
    theirs = (gsw.rho_t_exact, gsw.cp_t_exact, gsw.alpha_wrt_t_exact)
    for our, their in zip(ours, theirs, strict=True):
        assert our(temperature_c, salinity).value == pytest.approx(float(their(*at)), rel=1e-12)


@pytest.mark.parametrize("salinity", SALINITIES)
@pytest.mark.parametrize("temperature_c", TEMPERATURES_C)
def test_conductivity(temperature_c: float, salinity: float) -> None:
    conductivity = float(gsw.C_from_SP(salinity, temperature_c, 0.0))
    assert salinity_lewis1980(conductivity, temperature_c).value == pytest.approx(salinity, rel=1e-6)
    assert conductivity_ms_cm_lewis1980(salinity, temperature_c).value == pytest.approx(
        conductivity, rel=1e-6
    )
