"""`water`, `card` and `receive` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdf
import pytest
from typer.testing import Result

Run = Callable[..., Result]

TANK = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
water: {temperature: 26 C, salinity: 35, ph: 8.2, running_since: 2025-01-01}
company: [{animal: ocellaris, count: 2, sex: pair, length: 6 cm}]
wishes: [{animal: yellow tang, length: 9 cm}]
"""


@pytest.fixture
def tank(tmp_path: Path) -> str:
    path = tmp_path / "reef.yaml"
    path.write_text(TANK, encoding="utf-8")
    return str(path)


def test_water_tells_load_filter_oxygen_and_power_cut(run: Run, tank: str) -> None:
    told = run("water", tank).stdout
    for title in ("Load on the filter", "Largest next addition", "Ammonia", "Without power", "Cooling"):
        assert f"\n{title}\n" in told
    assert "At pH 8.2 6.6 %" in " ".join(told.split())
    assert "count on the lower" in told
    assert "Yellow tang suffers first" in " ".join(told.split())


def test_water_as_json(run_json: Callable[..., Any], tank: str) -> None:
    told = run_json("water", tank, "--json")
    assert [line["when"] for line in told["loads"]] == ["now", "with the wishes", "once all are grown"]
    assert [line["level_mg_l"] for line in told["power"]["levels"]] == [4.0, 3.0, 2.3]
    assert told["ammonia"]["ph_told"] is True


def test_a_dose_test_replaces_the_assumed_filter(run: Run, tank: str) -> None:
    told = " ".join(run("water", tank, "--dose-test", "1.0", "0.6", "12").stdout.split())
    assert "By the dose test the filter oxidises 1.4 mg N/L a day." in told
    assert "if young" not in told


def test_an_impossible_dose_test_is_a_fault(run: Run, tank: str) -> None:
    assert "later_mg_l" in run("water", tank, "--dose-test", "1.0", "1.6", "12", code=2).stderr


def test_water_draws_the_hours(run: Run, tank: str, tmp_path: Path) -> None:
    out = tmp_path / "there" / "hours.svg"
    assert "hours.svg" in "".join(run("water", tank, "--out", str(out)).stdout.split())
    assert out.read_text(encoding="utf-8").startswith("<svg")


def test_a_warm_room(run: Run, tank: str) -> None:
    assert "stays above 22 C" in " ".join(run("water", tank, "--room", "24C").stdout.split())
    assert "--room" in run("water", tank, "--room", "cosy", code=2).stderr


def test_the_card_is_one_page(run: Run, tank: str, tmp_path: Path) -> None:
    out = tmp_path / "card.pdf"
    told = run("card", tank, "-o", str(out)).stdout
    assert "count on the lower" in told
    assert len(pypdf.PdfReader(out).pages) == 1


def test_the_card_as_json(run_json: Callable[..., Any], tank: str, tmp_path: Path) -> None:
    told = run_json("card", tank, "-o", str(tmp_path / "card.pdf"), "--json")
    assert told["power"]["title"] == "Power cut"


def test_a_long_journey_has_no_drip(run: Run, tank: str) -> None:
    told = " ".join(run("receive", tank, "--salinity", "30", "--closed", "30").stdout.split())
    assert "No drip" in told
    assert "5.0 units up is too much for a day" in told
    assert "18.0 L in a bag that grows" in told


def test_a_short_journey(run: Run, tank: str) -> None:
    told = " ".join(run("receive", tank).stdout.split())
    assert told.startswith("A short journey")
    assert "veterinarian" in told


def test_receive_as_json(run_json: Callable[..., Any], tank: str) -> None:
    told = run_json("receive", tank, "--closed", "30", "--ph", "6.8", "--json")
    assert told["figures"]["is_long"] is True
    assert told["figures"]["free_times"] > 15.0


def test_a_gravity_in_place_of_the_salinity_is_asked(run: Run, tank: str) -> None:
    assert "reads like a specific gravity" in run("receive", tank, "--salinity", "1.025", code=2).stderr
