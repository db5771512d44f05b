"""A customer with an impossible list, and what becomes of the plan when life happens.

The shop and the tank are invented.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from slackwater.service.afterwards import afterwards_file
from slackwater.service.planning import plan_file, write_plan
from slackwater.service.replanning import replan_files, write_replan
from slackwater.service.tankfile_copy import copy_of
from slackwater.service.whatif import whatif_file

TODAY = dt.date(2026, 11, 24)

TANK = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 45 cm, lid: true}
rock: {layout: moderate}
keeping: {feeds_per_day: 2, stations: 1, quarantine: {tanks: 1, volume: 60 L, days: 28}}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-05-10}
wishes:
WISHES
limits: {start: 2027-01-09}
"""

IMPOSSIBLE = """\
  - {animal: royal gramma, wish: 9}
  - {animal: yellow coris, wish: 7}
  - {animal: volitans lionfish, wish: 6}"""

POSSIBLE = """\
  - {animal: royal gramma, wish: 9}
  - {animal: yellow coris, wish: 7}
  - {animal: six line, wish: 5}"""


@pytest.mark.slow
def test_life_happens(tmp_path: Path) -> None:
    # Saturday: a list that nobody can make work as it stands. It comes with ways to yes.
    answer = whatif_file(TANK.replace("WISHES", IMPOSSIBLE), TODAY)
    assert not answer.works_now
    assert "lionfish would eat" in answer.sentence
    assert answer.ways
    assert all(way.works for way in answer.ways)
    assert all(change.gives_up for way in answer.ways for change in way.changes)
    assert any("lionfish" in way.sentence for way in answer.ways)

    # The customer takes the six line in place of the lionfish, and goes home with a plan.
    text = TANK.replace("WISHES", POSSIBLE)
    plan = plan_file(text, TODAY, title="an invented tank")
    assert not plan.left_out
    written = write_plan(plan, tmp_path / "first", question=copy_of(text))
    titles = [release.title for release in plan.releases]
    assert titles[-1] == "sixline wrasse"

    # January: the first animal went in as planned, but the flight with the others is a week late.
    first = plan.releases[0]
    later = (first.date + dt.timedelta(days=2)).isoformat()
    name = next(line.said for line in plan.animals if line.key == first.keys[0])
    happened = f"today: {later}\ndelay: 1 week\nreleased: [{{animal: {name}, on: {first.date}}}]\n"
    second = replan_files(written[2], happened, TODAY)
    assert second.found.keeps_order
    assert [release.title for release in second.found.plan.releases] == titles[1:]
    for new, old in zip(second.found.plan.releases, plan.releases[1:], strict=True):
        assert (new.date - old.date).days == 7
    files = write_replan(second, tmp_path / "second")

    # Spring: the shop has only a melanurus or a gramma of another size; the plan bends again.
    still = second.found.plan.releases[0]
    said = next(line.said for line in second.found.plan.animals if line.key == still.keys[0])
    bent = replan_files(files[2], f"today: {later}\nsizes: [{{animal: {said}, length: 8 cm}}]\n", TODAY)
    assert any("8 cm" in line for line in bent.found.sentences)
    beside = json.loads(files[-1].read_text(encoding="utf-8"))
    assert len(beside["beside"]) == len(plan.animals)

    # A keeper who did it the other way round comes in with a death. The answer is fair.
    other = TANK.replace("WISHES", "  - yellow coris").replace(
        "since: 2026-05-10}",
        "since: 2026-05-10}\n  - {animal: six line, length: 7 cm, since: 2026-06-10}\n"
        "  - {animal: royal gramma, length: 5 cm, since: 2026-11-01}",
    )
    told = afterwards_file(other, "royal gramma", TODAY, dt.date(2026, 11, 12))
    assert told.by == "sixline wrasse"
    assert told.otherwise[0].lever == "order"
    assert told.otherwise[0].would == "would probably have changed it"
    assert "fault" not in told.paragraph
