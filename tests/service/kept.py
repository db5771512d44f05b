"""A kept tank with a company of our own invention, for the tests of what is kept."""

from __future__ import annotations

import datetime as dt

from slackwater.service.diary import Draft, add
from slackwater.service.tanks import By
from slackwater.society.diary import Chases, Watch
from slackwater.store import Store

NOW = dt.datetime(2027, 1, 10, 18, tzinfo=dt.UTC)
ADA = By("ada", NOW)
REEF = """\
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm}
company:
  - {animal: yellow tang, length: 10 cm, since: 2026-09-01}
  - {animal: ocellaris, count: 2, sex: pair, since: 2026-05-10}
  - {animal: six line, since: 2026-12-20}
"""


def chase(
    who: str = "yellow tang", whom: str = "six line", count: int = 1, minutes: float | None = 10
) -> Watch:
    """Return a tally of one pair."""
    return Watch(minutes, (Chases(who, whom, count),))


def write(store: Store, *drafts: Draft, by: By = ADA) -> None:
    """Write drafts into the diary of `reef`."""
    add(store, "reef", drafts, by)
