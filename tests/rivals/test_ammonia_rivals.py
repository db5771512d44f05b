"""Ammonium on every pH scale against PyCO2SYS, where it is installed."""

import math

import pytest

from slackwater.water.ammonia import pk_clegg1995
from slackwater.water.ph_scales import PhScale

pyco2 = pytest.importorskip("PyCO2SYS", reason="PyCO2SYS is a rival for developers and is not installed")

SALINITIES = [5.0, 20.0, 30.0, 35.0, 40.0]
TEMPERATURES_C = [0.0, 10.0, 20.0, 26.0, 33.0]
SCALES = {PhScale.TOTAL: 1, PhScale.SEAWATER: 2, PhScale.FREE: 3, PhScale.NBS: 4}


@pytest.mark.parametrize("scale", SCALES)
def test_ammonium_on_every_scale(scale: PhScale) -> None:
    for temperature_c in TEMPERATURES_C:
        for salinity in SALINITIES:
            found = pyco2.sys(
                par1=8.1,
                par1_type=3,
                temperature=temperature_c,
                salinity=salinity,
                opt_pH_scale=SCALES[scale],
            )
            theirs = -math.log10(float(found["k_ammonia"]))
            assert pk_clegg1995(temperature_c, salinity, scale).value == pytest.approx(theirs, abs=1e-9)
