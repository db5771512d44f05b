"""What holds for all tests."""

from pathlib import Path

import pytest

from slackwater.settings import HOUSE_VARIABLE, STORE_VARIABLE, WHO_VARIABLE


@pytest.fixture(autouse=True)
def _no_house_notes_of_this_machine(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep whoever runs the tests from changing the answers by files of their own, and those from harm."""
    monkeypatch.delenv(HOUSE_VARIABLE, raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "nobody"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "nothing"))
    monkeypatch.delenv(STORE_VARIABLE, raising=False)
    monkeypatch.setenv(WHO_VARIABLE, "ada")
