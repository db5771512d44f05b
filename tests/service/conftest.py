from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.service.kept import ADA, REEF

from slackwater.service.tanks import add_tank
from slackwater.store import Store, open_store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Return an open store with a tank called reef."""
    opened = open_store(str(tmp_path / "kept" / "slackwater.db"))
    add_tank(opened, "reef", REEF, ADA, keeper="Ines")
    yield opened
    opened.close()
