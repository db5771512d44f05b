"""From the counter to a plan on paper, without retyping."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect
from tests.browser.watching import OpenPage, photograph

TANK = """slackwater: 1
tank: {length: 150 cm, width: 60 cm, height: 55 cm, lid: true}
company: [{animal: ocellaris, sex: pair, length: 7 cm}]
wishes: [royal gramma, coral beauty, yellow tang]
"""
_PLAN_MS = 120_000


def test_from_the_counter_to_the_sheet(open_page: OpenPage, tmp_path: Path) -> None:
    page = open_page("/?wanted=coral+beauty&living=2+ocellaris+6+cm&tank=150+cm")
    page.get_by_role("button", name="Plan this tank").click()
    expect(page.get_by_role("heading", name="Releases, in order")).to_be_visible(timeout=_PLAN_MS)
    assert "coral beauty" in page.locator(".verdict").inner_text()
    with page.expect_download() as coming:
        page.get_by_role("link", name="Plan sheet").click()
    sheet = tmp_path / "plan.pdf"
    coming.value.save_as(sheet)
    assert sheet.read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_dropped_tank_file_is_planned(open_page: OpenPage, theme: str) -> None:
    page = open_page("/plan", theme=theme)
    page.locator("#file").set_input_files(
        {"name": "reef.yaml", "mimeType": "application/yaml", "buffer": TANK.encode()}
    )
    expect(page.locator("#tank_file")).to_have_value(TANK)
    page.get_by_role("button", name="Make the plan").click()
    expect(page.get_by_role("button", name="Stop")).to_be_visible()
    photograph(page, f"planning-1280-{theme}")
    expect(page.get_by_role("heading", name="Releases, in order")).to_be_visible(timeout=_PLAN_MS)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    for width in (1280, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        photograph(page, f"plan-{width}-{theme}")
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []


def test_a_plan_can_be_stopped(open_page: OpenPage) -> None:
    page = open_page("/plan")
    page.locator("#tank_file").fill(TANK)
    page.get_by_role("button", name="Make the plan").click()
    page.get_by_role("button", name="Stop").click()
    expect(page.locator("#tank_file")).to_have_value(TANK)
