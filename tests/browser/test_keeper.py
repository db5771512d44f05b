"""The keeper's week: a diary on a phone, and a link that opens until it is withdrawn."""

from __future__ import annotations

from playwright.sync_api import Page, expect
from tests.browser.tanks_kept import Kept, keep
from tests.browser.watching import OpenPage, Seen, Server, photograph, until

_PATIENCE_MS = 60_000


def open_diary(open_page: OpenPage, tank: Kept) -> Page:
    page = open_page(f"{tank.path}/diary", width=390, height=844)
    until(page, "document.documentElement.dataset.ready", "diary")
    return page


def tap(page: Page, *labels: str) -> None:
    for label in labels:
        page.locator("#taps").get_by_role("button", name=label, exact=True).tap()


def test_a_week_of_the_diary_on_a_phone(open_page: OpenPage, server: Server) -> None:
    page = open_diary(open_page, keep(server))
    tap(page, "six line", "royal gramma")
    entries = page.locator(".entries-list li")
    expect(entries).to_have_count(1, timeout=_PATIENCE_MS)
    expect(entries.first).to_contain_text("ix line chases royal gramma")
    page.get_by_role("button", name="Watch for 10 minutes").tap()
    tap(page, "six line", "royal gramma")
    counted = page.locator("#counting button")
    for _ in range(3):
        counted.tap()
    expect(counted).to_contain_text("chase: 4")
    photograph(page, "watch-390-light")
    page.get_by_role("button", name="End the watch").tap()
    expect(entries).to_have_count(2, timeout=_PATIENCE_MS)
    expect(entries.first).to_contain_text("4 times")
    page.get_by_label("Or in words").fill("ate gramma mysis")
    page.get_by_role("button", name="Write it down").tap()
    expect(entries).to_have_count(3, timeout=_PATIENCE_MS)
    page.get_by_role("button", name="Take back entry 1", exact=True).tap()
    expect(page.locator(".toast")).to_contain_text("Taken back")
    expect(entries).to_have_count(2, timeout=_PATIENCE_MS)


def test_words_that_are_refused_come_back(open_page: OpenPage, server: Server, seen: Seen) -> None:
    seen.offline_ok = True  # the browser tells of the status 422
    page = open_diary(open_page, keep(server))
    page.get_by_label("Or in words").fill("sang gramma")
    page.get_by_role("button", name="Write it down").tap()
    expect(page.get_by_label("Or in words")).to_have_value("sang gramma", timeout=_PATIENCE_MS)
    expect(page.locator("#state")).not_to_be_empty()


def test_a_link_opens_until_it_is_withdrawn(open_page: OpenPage, server: Server, seen: Seen) -> None:
    tank = keep(server)
    tank.quarrel()
    adviser = open_page(f"{tank.path}/links")
    adviser.get_by_label("with the diary").check()
    adviser.get_by_role("button", name="Make a link").click()
    address = adviser.locator(".token").get_attribute("href")
    assert address is not None
    photograph(adviser, "links-made-1280-light")
    phone = open_page(address, width=390)
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Invented tank")
    expect(phone.locator("main")).to_contain_text("ix line chases royal gramma 9 times")
    assert "livestock desk" not in phone.locator("body").inner_text()
    adviser.goto(f"{server.address}{tank.path}/links")
    adviser.get_by_role("button", name="Withdraw link 1").click()
    expect(adviser.locator("main")).to_contain_text("withdrawn")
    seen.offline_ok = True  # the browser tells of the status 404
    phone.reload()
    expect(phone.get_by_role("heading", level=1)).to_have_text("This link does not open")


def test_an_entry_waits_for_the_server(open_page: OpenPage, server: Server, seen: Seen) -> None:
    seen.offline_ok = True
    page = open_diary(open_page, keep(server))
    server.stop()
    tap(page, "six line", "royal gramma")
    expect(page.locator("#state")).to_contain_text("1 kept here", timeout=_PATIENCE_MS)
    page.get_by_label("Or in words").fill("ate gramma mysis")
    page.get_by_role("button", name="Write it down").tap()
    server.start()
    expect(page.locator(".entries-list li")).to_have_count(2, timeout=_PATIENCE_MS)


def test_stones_outlive_the_server_and_a_reload(open_page: OpenPage, server: Server, seen: Seen) -> None:
    seen.offline_ok = True
    page = open_page("/tank")
    until(page, "document.documentElement.dataset.ready", "tank")
    server.stop()
    until(page, "document.documentElement.dataset.wire", "lost")
    told = "document.querySelector('[data-view=above] [data-stone=\"1\"]').getAttribute('aria-label')"
    page.locator("[data-view=above] [data-stone='1']").focus()
    before = page.evaluate(told)
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
    moved = page.evaluate(told)
    assert moved != before
    server.start()
    until(page, "document.documentElement.dataset.wire", "open")
    page.reload()
    until(page, "document.documentElement.dataset.ready", "tank")
    assert page.evaluate(told) == moved
