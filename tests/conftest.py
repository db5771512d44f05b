"""What holds for all tests."""

from pathlib import Path

import pytest

from slackwater.settings import HOUSE_VARIABLE


@pytest.fixture(autouse=True)
def _no_house_notes_of_this_machine(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Keep whoever runs the tests from changing the answers by house notes of their own."""
    monkeypatch.delenv(HOUSE_VARIABLE, raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "nobody"))
