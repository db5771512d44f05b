"""`plan` and `demo` in the terminal, over a stand-in for the planner."""

import datetime as dt
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import pypdf
import pytest
from tests.report.sample import clashing_plan, sample_plan
from typer.testing import Result

from slackwater.plan.records import Plan
from slackwater.report import sheet_bytes
from slackwater.report.jsonback import plan_from_dict
from slackwater.report.sheet import PaperName
from slackwater.service import planning, tankfile_copy

Run = Callable[..., Result]


class Planner:
    """Plans and writes nothing, but remembers what it was asked."""

    def __init__(self, made: Plan) -> None:
        self.made = made
        self.asked: list[Any] = []

    def plan_file(
        self, source: Path, today: dt.date, tick: Callable[[str], None], _title: str | None = None
    ) -> Plan:
        tick("order of release")
        self.asked += [source, today]
        return self.made

    def write_plan(self, made: Plan, out: Path, paper: str, question: dict[str, object]) -> tuple[Path, ...]:
        assert made is self.made
        assert question == {"slackwater": 1}
        self.asked += [out, paper]
        return (out / "plan.pdf", out / "plan.ics")


@pytest.fixture
def planner(monkeypatch: pytest.MonkeyPatch) -> Planner:
    planner = Planner(sample_plan())
    monkeypatch.setattr(planning, "plan_file", planner.plan_file)
    monkeypatch.setattr(planning, "write_plan", planner.write_plan)
    monkeypatch.setattr(tankfile_copy, "copy_of", lambda _file: {"slackwater": 1})
    return planner


def test_plan_shows_verdict_calendar_and_worst_off(run: Run, planner: Planner) -> None:
    told = run("plan", "reef.yaml", "-o", "there", "--paper", "us-letter").stdout
    assert planner.made.verdict.split()[0] in told
    for title in ("Calendar", "Worst off", "Written"):
        assert f"\n{title}\n" in told
    assert "plan.pdf" in told
    assert planner.asked[0] == Path("reef.yaml")
    assert planner.asked[2:] == [Path("there"), "us-letter"]


def test_plan_as_json(run: Run, planner: Planner) -> None:
    told = json.loads(run("plan", "reef.yaml", "--json").stdout)
    assert told["plan"]["verdict"] == planner.made.verdict


def test_no_plan_is_an_answer(run: Run, planner: Planner) -> None:
    planner.made = clashing_plan()
    told = " ".join(run("plan", "reef.yaml").stdout.split())
    assert planner.made.clashes[0].sentence.split()[0] in told
    assert "What would settle it" in told


def test_the_demonstration_is_a_file_of_the_package(run: Run, planner: Planner) -> None:
    run("demo")
    assert planner.asked[0].name == "demo.yaml"
    assert planner.asked[2] == Path("out/demo")


@pytest.mark.slow
def test_the_demonstration_writes_what_it_says(run: Run, tmp_path: Path) -> None:
    told = run("demo", "-o", str(tmp_path / "demo")).stdout
    assert "Calendar" in told
    for name in ("plan.pdf", "plan.ics", "plan.json", "tank.png"):
        assert (tmp_path / "demo" / name).stat().st_size > 0
    plan = plan_from_dict(json.loads((tmp_path / "demo" / "plan.json").read_text(encoding="utf-8")))
    for paper in get_args(PaperName):  # two pages, and one for the sitter
        assert len(pypdf.PdfReader(io.BytesIO(sheet_bytes(plan, paper))).pages) == 3


def test_a_plan_is_kept_with_its_tank(run: Run, planner: Planner, tmp_path: Path) -> None:
    path = tmp_path / "reef.yaml"
    path.write_text("slackwater: 1\ncompany: [yellow tang]\n", encoding="utf-8")
    run("tanks", "--add", str(path))
    assert "No plan is kept" in run("tanks", "reef", "--plans").stdout
    assert "Kept as plan 1 of reef." in run("plan", "reef.yaml", "--keep", "reef").stdout
    kept = json.loads(run("tanks", "reef", "--plans", "--json").stdout)["plans"]
    assert [(row["number"], row["changed"]) for row in kept] == [(1, [])]
    assert kept[0]["verdict"] == planner.made.verdict
    assert "no tank goes by" in run("plan", "reef.yaml", "--keep", "hall", code=2).stderr
