"""The adviser's afternoon: from the counter to a kept tank, its company, its reasons and its rock."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page, expect
from tests.browser.tanks_kept import keep
from tests.browser.watching import OpenPage, Server, paste, photograph, until

FIRST_COUNTER = "/?wanted=royal+gramma&living=six+line&living=2+ocellaris+6+cm&tank=120+cm"
_PATIENCE_MS = 60_000
_FINE = "document.documentElement.dataset.fine"


def topmost(page: Page) -> Locator:
    """Return the stone that lies on top, seen from above."""
    above = page.get_by_role("group", name=re.compile("From above"))
    which = above.locator(".stone").last.get_attribute("data-stone")
    return above.locator(f"[data-stone='{which}']")


def label(stone: Locator) -> str:
    return stone.get_attribute("aria-label") or ""


def figures(page: Page) -> str:
    return page.locator("#pressed tbody").inner_text()


def drag(page: Page, which: Locator, dx: float, dy: float) -> None:
    box = which.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx, y + dy, steps=12)
    page.mouse.up()


def open_rock(open_page: OpenPage, path: str = "/tank", **how: object) -> Page:
    page = open_page(path, **how)
    until(page, "document.documentElement.dataset.ready", "tank")
    until(page, _FINE, "5")
    return page


def test_from_the_counter_to_a_company_that_is_kept(open_page: OpenPage) -> None:
    page = open_page(FIRST_COUNTER)
    page.get_by_label("Keep it under a name").fill("Tank of an afternoon")
    page.get_by_role("button", name="Keep this tank").click()
    expect(page.get_by_role("heading", name="Tank of an afternoon")).to_be_visible(timeout=_PATIENCE_MS)
    until(page, "document.documentElement.dataset.ready", "company")
    last = page.locator("#company tbody tr").count()
    row = f"#company tbody tr:nth-child({last}) input[aria-label=animal]"
    paste(page, row, "firefish goby\\t2\\tpair\\t6 cm\\nkole tang\\t1\\tnot told\\t9 cm\\n")
    until(page, "!document.querySelector('#answer.stale')")
    expect(page.locator("#answer")).to_contain_text("kole tang", timeout=_PATIENCE_MS)
    page.get_by_label("Why", exact=True).fill("told on the telephone")
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#state")).to_have_text("Saved as revision 2.", timeout=_PATIENCE_MS)
    page.reload()
    animals = "[...document.querySelectorAll('#company [aria-label=animal]')].map(cell => cell.value)"
    assert page.evaluate(animals)[2:4] == ["firefish goby", "kole tang"]
    page.locator("g.arrow").first.click()
    expect(page.locator("#why")).to_contain_text("says who?", timeout=_PATIENCE_MS)
    photograph(page, "why-1280-light")
    page.get_by_role("button", name="Close").click()
    page.get_by_role("link", name="Revisions").click()
    expect(page.locator("main")).to_contain_text("told on the telephone")


def test_a_stone_is_dragged_and_put_back(open_page: OpenPage) -> None:
    page = open_rock(open_page)
    stone = topmost(page)
    before, numbers = label(stone), figures(page)
    drag(page, stone, -220, 40)
    assert label(stone) != before
    until(page, "document.getElementById('undo').disabled", answer=False)
    until(page, f"document.querySelector('#pressed tbody').innerText === {numbers!r}", answer=False)
    page.get_by_role("button", name="Undo").click()
    assert label(stone) == before
    until(page, f"document.querySelector('#pressed tbody').innerText === {numbers!r}")
    page.get_by_role("button", name="Redo").click()
    assert label(stone) != before


def test_a_stone_is_moved_by_the_keyboard_alone(open_page: OpenPage) -> None:
    page = open_rock(open_page)
    while page.evaluate("document.activeElement.dataset?.stone ?? ''") == "":
        page.keyboard.press("Tab")
    count = page.evaluate("document.querySelectorAll('[data-view=above] .stone').length")
    told = "document.activeElement.getAttribute('aria-label')"
    seen = [page.evaluate(told)]
    for key in ("ArrowRight", "Shift+ArrowRight", "r", "+", "PageUp"):
        page.keyboard.press(key)
        seen.append(page.evaluate(told))
    assert len(set(seen)) == len(seen)
    page.keyboard.press("Delete")
    stones = "document.querySelectorAll('[data-view=above] .stone').length"
    assert page.evaluate(stones) == count - 1
    assert page.evaluate("document.getElementById('spoken').textContent") == "Stone removed"
    for _ in range(len(seen)):
        page.keyboard.press("Control+z")
    assert page.evaluate(stones) == count
    assert page.evaluate("document.getElementById('undo').disabled")


def test_a_stone_follows_a_finger(open_page: OpenPage) -> None:
    page = open_rock(open_page, width=390, height=844)
    stone = topmost(page)
    before = label(stone)
    box = stone.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    session = page.context.new_cdp_session(page)
    for kind, dx in (("touchStart", 0), ("touchMove", 20), ("touchMove", 50), ("touchEnd", None)):
        points = [] if dx is None else [{"x": x + dx, "y": y}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    assert label(stone) != before


def test_a_company_by_the_keyboard_alone(open_page: OpenPage, server: Server) -> None:
    page = open_page(keep(server).path)
    until(page, "document.documentElement.dataset.ready", "company")
    while page.evaluate("document.activeElement.ariaLabel") != "length":
        page.keyboard.press("Tab")
    page.keyboard.press("Control+a")
    page.keyboard.type("7 cm")
    page.keyboard.press("Enter")
    page.keyboard.press("Control+a")
    page.keyboard.type("5 cm")
    until(
        page,
        "[...document.querySelectorAll('[aria-label=length]')].slice(0, 2).map(c => c.value)",
        ["7 cm", "5 cm"],
    )
    until(page, "!document.querySelector('#answer.stale')")
    while not page.evaluate("!!document.activeElement.closest('g.arrow')"):
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator("#why")).to_contain_text("says who?", timeout=_PATIENCE_MS)
    page.keyboard.press("Escape")
    assert not page.locator("#why").is_visible()


def test_a_day_is_drawn_smoothly(open_page: OpenPage) -> None:
    page = open_rock(open_page, motion="no-preference")
    page.get_by_role("button", name="Watch a day").click()
    expect(page.get_by_role("button", name="Pause")).to_be_visible(timeout=_PATIENCE_MS)
    page.wait_for_timeout(4000)
    rate = float(page.evaluate("document.documentElement.dataset.rate"))
    print(f"a day at {rate:.0f} frames a second (aim 55)")  # noqa: T201 - told with -s
    assert "chases in" in page.locator("#day-said").inner_text()
    page.get_by_role("button", name="Pause").click()
    hour = page.locator("#hour").inner_text()
    page.wait_for_timeout(200)
    assert page.locator("#hour").inner_text() == hour != "0:00"
    photograph(page, "day-1280-light")
    assert rate >= 45.0


def test_a_day_stands_still_where_motion_is_unwelcome(open_page: OpenPage) -> None:
    page = open_rock(open_page)
    page.get_by_role("button", name="Watch a day").click()
    expect(page.get_by_role("button", name="Go on")).to_be_visible(timeout=_PATIENCE_MS)
    assert page.locator("#hour").inner_text() == "0:00"
