"""A page for each release of a plan."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from pypdf import PdfReader
from tests.report.sample import sample_plan

from slackwater.plan.watch_sheet import sheet_for_release
from slackwater.service.evenings import evenings_file, write_evenings

TODAY = dt.date(2026, 11, 24)
TANK = """
slackwater: 1
tank: {length: 100 cm, width: 50 cm, height: 50 cm, lid: true}
rock: {layout: moderate}
company:
  - {animal: ocellaris, count: 2, sex: pair, length: 6 cm, since: 2026-03-01}
wishes:
  - {animal: royal gramma}
"""


def text_of(path: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages).replace("\N{NO-BREAK SPACE}", " ")


def test_every_release_has_its_page(tmp_path: Path) -> None:
    plan = sample_plan()
    written = write_evenings(plan, tmp_path / "out")
    assert [path.name for path in written] == [f"release-{r.number}.pdf" for r in plan.releases]
    for path, release in zip(written, plan.releases, strict=True):
        assert len(PdfReader(path).pages) == 1
        assert "What to count" in text_of(path)
        assert all(step.clock in text_of(path) for step in release.run_sheet)


def test_the_days_to_write_on_begin_with_the_release() -> None:
    plan = sample_plan()
    release = plan.releases[0]
    sheet = sheet_for_release(plan, release)
    assert sheet.dates[0] == release.date
    assert len(sheet.dates) == 7
    assert sheet.steps == release.run_sheet
    assert sheet.levels == plan.watching


@pytest.mark.slow
def test_from_a_tank_file(tmp_path: Path) -> None:
    (page,) = evenings_file(TANK, TODAY, tmp_path / "out")
    text = text_of(page)
    assert "What to count" in text
    assert "royal gramma" in text


def test_where_nobody_is_let_go_there_is_no_page(tmp_path: Path) -> None:
    alone = TANK.split("wishes:", maxsplit=1)[0]
    assert evenings_file(alone, TODAY, tmp_path / "out") == ()
    assert not (tmp_path / "out").exists()
