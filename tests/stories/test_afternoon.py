"""One adviser's afternoon, through the service layer: a list, a doubt, a refusal, a plan to hand over.

All animals, tanks and dates are invented.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from slackwater.errors import InputErrors
from slackwater.service.planning import plan_file, write_plan
from slackwater.taxa.names import Verdict, understand

TODAY = dt.date(2026, 11, 24)

TANK = """
slackwater: 1
tank: {length: 48 in, width: 20 in, height: 20 in, lid: true}
keeping: {feeds_per_day: 2, quarantine: {tanks: 1, days: 30}}
company:
  - {animal: pair of ocelaris, length: 6 cm, since: 2026-03-01}
wishes:
%s
limits: {start: 2027-01-09, away: [2027-04-01/2027-04-14]}
"""


def test_an_afternoon_at_the_counter(tmp_path: Path) -> None:
    # Two o'clock: a scribbled list. The adviser asks back where a word means two animals.
    assert understand("flame").verdict is Verdict.ASK
    with pytest.raises(InputErrors) as asked:
        plan_file(TANK % "  - {animal: flame}\n  - {animal: royal gramma}", TODAY)
    assert "Centropyge loricula" in str(asked.value)

    # The customer means the dwarf angel. Inches are fine; nobody was told the length of anything.
    wishes = "\n".join(
        f"  - {{animal: {name}, wish: {wish}}}"
        for name, wish in (("flame angel", 9), ("royal gramma", 7), ("firefish goby", 8))
    )
    plan = plan_file(TANK % wishes, TODAY)
    assert plan.tank.length_cm == pytest.approx(121.92)
    assert {a.scientific_name for a in plan.animals} == {
        "Amphiprion ocellaris",
        "Centropyge loricula",
        "Gramma loreto",
        "Nemateleotris magnifica",
    }
    assert not plan.no_order_bearable

    # The shy firefish comes before the dwarf angel, and nothing falls into the holiday.
    order = [key for release in plan.releases for key in release.keys]
    assert order.index("nemateleotris-magnifica") < order.index("centropyge-loricula")
    away = (dt.date(2027, 4, 1), dt.date(2027, 4, 14))
    for release in plan.releases:
        assert release.quarantine_from is not None
        assert not release.quarantine_from <= away[0] <= release.date
        assert not away[0] <= release.date <= away[1]

    # Half past three: the customer adds a lionfish. The answer is no, with a way to yes.
    second = plan_file(TANK % (wishes + "\n  - {animal: volitans lionfish, wish: 3}"), TODAY)
    assert second.no_order_bearable
    assert second.left_out == ("volitans lionfish (Pterois volitans)",)
    assert second.clashes[0].settle[0] == "Leave out red lionfish."

    # Four o'clock: the first plan is printed and handed over.
    files = write_plan(plan, tmp_path / "hand over")
    assert [f.name for f in files] == ["plan.pdf", "plan.ics", "plan.json", "tank.png"]
    assert all(f.stat().st_size > 1000 for f in files)
