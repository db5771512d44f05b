"""What holds for all tests."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck
from hypothesis import settings as how

from slackwater.settings import HOUSE_VARIABLE, STORE_VARIABLE, WHO_VARIABLE

# No test asserts how long something takes: machines differ, and other work runs beside.
how.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
how.load_profile("untimed")


@pytest.fixture(autouse=True)
def _no_house_notes_of_this_machine(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep whoever runs the tests from changing the answers by files of their own, and those from harm."""
    monkeypatch.delenv(HOUSE_VARIABLE, raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "nobody"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "nothing"))
    monkeypatch.delenv(STORE_VARIABLE, raising=False)
    monkeypatch.setenv(WHO_VARIABLE, "ada")
