"""A kept tank in a browser: stones moved and saved, a release dragged to a later week."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.browser.watching import OpenPage, photograph, until

TANK = """slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
company: [{animal: ocellaris, sex: pair, length: 7 cm}]
wishes: [{animal: royal gramma}, {animal: coral beauty}]
keeping: {quarantine: {tanks: 1, volume: 60 L, days: 30}}
"""
_PLAN_MS = 180_000


def keep(page: Page, name: str) -> str:
    """Keep an invented tank and return its address."""
    page.locator("[name=name]").fill(name)
    page.locator("#text").fill(TANK)
    page.get_by_role("button", name="Keep this tank").click()
    page.wait_for_url("**/tanks/*")
    return page.url


def no_finding(page: Page) -> None:
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []


def test_moved_stones_are_saved_and_still_there(open_page: OpenPage) -> None:
    page = open_page("/tanks")
    address = keep(page, "Tank of stones")
    page.goto(f"{address}/rock")
    until(page, "document.documentElement.dataset.ready", "tank")
    save = page.get_by_role("button", name="Save")
    expect(save).to_be_disabled()
    stone = page.get_by_role("group", name="From above").get_by_role("button", name="Stone").last
    before = stone.get_attribute("aria-label")
    stone.focus()
    stone.press("Shift+ArrowLeft")
    expect(save).to_be_enabled()
    page.reload()
    expect(save).to_be_enabled()
    save.click()
    expect(page.locator("#saved")).to_contain_text("Revision 2")
    expect(save).to_be_disabled()
    labels = page.get_by_role("group", name="From above").get_by_role("button", name="Stone")
    assert before not in [labels.nth(n).get_attribute("aria-label") for n in range(labels.count())]
    for width in (1280, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        photograph(page, f"kept-rock-{width}")
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    no_finding(page)


def test_two_see_each_others_stones(open_page: OpenPage) -> None:
    one = open_page("/tanks")
    address = keep(one, "Tank of two")
    path = f"/tanks/{address.rpartition('/')[2]}/rock"
    one.goto(f"{address}/rock")
    two = open_page(path)
    for page in (one, two):
        until(page, "document.documentElement.dataset.ready", "tank")
        stone = page.get_by_role("group", name="From above").get_by_role("button", name="Stone").last
        stone.focus()
        stone.press("ArrowLeft" if page is one else "ArrowRight")
    one.get_by_role("button", name="Save").click()
    expect(one.locator("#saved")).to_contain_text("Revision 2")
    expect(two.locator("#others")).to_contain_text("meanwhile")
    told = json.loads(two.locator("#boot").inner_text())
    assert told["revision"] == 1


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_release_dragged_to_a_later_week_is_planned_so(open_page: OpenPage, theme: str) -> None:
    page = open_page("/tanks", theme=theme)
    address = keep(page, f"Tank to plan, {theme}")
    page.goto(f"{address}/plan")
    page.get_by_role("button", name="Make the plan").click()
    expect(page.get_by_role("heading", name="Releases, in order")).to_be_visible(timeout=_PLAN_MS)
    last = page.locator(".strip .release").last
    day = date.fromisoformat(str(last.get_attribute("data-day")))
    last.scroll_into_view_if_needed()
    spot = last.locator(".mark").bounding_box()
    assert spot is not None
    x, y = spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2
    week = float(str(page.locator(".strip svg").get_attribute("data-week")))
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 2 * week, y, steps=6)
    page.mouse.up()
    expect(page.locator("#move [name=weeks]")).to_have_value("2")
    last.press("ArrowRight")
    expect(page.locator("#move [name=weeks]")).to_have_value("3")
    expect(page.locator("#then")).to_contain_text("Not judged yet")
    photograph(page, f"strip-moved-1280-{theme}")
    page.get_by_role("button", name="Plan it so").click()
    expect(page.get_by_role("heading", name="What changed")).to_be_visible(timeout=_PLAN_MS)
    moved = date.fromisoformat(str(page.locator(".strip .release").last.get_attribute("data-day")))
    assert moved >= day + timedelta(weeks=3)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    for width in (1280, 820, 390):
        page.set_viewport_size({"width": width, "height": 900})
        photograph(page, f"kept-plan-{width}-{theme}")
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    no_finding(page)
