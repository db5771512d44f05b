"""A hydrometer's reading in a tank file: recognised, asked, turned into a salinity, never guessed."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from slackwater.errors import InputErrors
from slackwater.service.tankfile import load
from slackwater.service.water import question_in


def tank(water: str) -> str:
    return f"slackwater: 1\nwater: {{{water}}}\nwishes: [royal gramma]\n"


def fault_of(water: str) -> str:
    with pytest.raises(InputErrors) as caught:
        load(tank(water))
    (fault,) = caught.value.faults
    return str(fault)


def test_a_gravity_written_as_salinity_is_asked_with_what_it_may_mean() -> None:
    told = fault_of("salinity: 1.025")
    assert "it looks like a specific gravity" in told
    for meant in ("36 on a 60/60 F", "33 on a 25/25 C", "specific_gravity: 1.025"):
        assert meant in told


def test_a_salinity_written_as_gravity_is_asked() -> None:
    assert "it looks like a salinity. Write salinity: 35" in fault_of("specific_gravity: 35")


def test_a_gravity_without_its_scale_is_asked() -> None:
    assert "what it means depends on the scale" in fault_of("specific_gravity: 1.025")


def test_gravity_and_salinity_together_are_too_much() -> None:
    assert "told as well" in fault_of("specific_gravity: 1.025, hydrometer: 25/25 C, salinity: 35")


@pytest.mark.parametrize("reading", ["1.5", "0.98", "heavy"])
def test_no_seawater_reads_so(reading: str) -> None:
    assert "between 1.002 and 1.036" in fault_of(f"specific_gravity: {reading}")


@pytest.mark.parametrize("marking", ["25/25 C", "25/25"])
def test_with_its_scale_it_becomes_a_salinity(marking: str) -> None:
    # seawater of 35 at 25 C weighs 1.02637 times as much as pure water at 25 C
    question = question_in(
        tank(f"specific_gravity: 1.02637, hydrometer: {marking}, temperature: 25 C"), dt.date(2027, 1, 9)
    )
    assert question.salinity == pytest.approx(35.0, abs=0.05)
    assert question.keeping.salinity == question.salinity


def test_warm_water_is_corrected_for_glass() -> None:
    cold, warm = (
        load(
            tank(f"specific_gravity: 1.025, hydrometer: 60/60 F, temperature: {t} C")
        ).water.practical_salinity
        for t in (20, 28)
    )
    assert cold is not None
    assert warm is not None
    assert warm > cold + 1.0


def test_ph_and_quarantine_reach_the_question() -> None:
    text = tank("ph: 8.3") + "keeping: {quarantine: {tanks: 1, volume: 80 L, days: 42}}\n"
    question = question_in(text, dt.date(2027, 1, 9))
    assert question.ph == 8.3
    assert question.quarantine is not None
    assert question.quarantine.volume_l == 80.0


def test_without_a_scale_each_meaning_is_that_of_the_reading_on_that_scale_at_25_c() -> None:
    """Seawater of 35 at 25 C reads 1.02637 on 25/25 C: by the density of EOS-80, as above."""
    told = fault_of("specific_gravity: 1.02637")
    assert "35 on 25/25 C" in told
    for salinity, marking in re.findall(r"(\d+) on (\S+ [CF])", told):
        question = question_in(
            tank(f"specific_gravity: 1.02637, hydrometer: {marking}, temperature: 25 C"), dt.date(2027, 1, 9)
        )
        assert question.salinity == pytest.approx(float(salinity), abs=0.5)
