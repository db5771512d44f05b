"""Food, a divider and a box in a browser: placed by mouse, keys and touch, undone, saved, loaded anew."""

from __future__ import annotations

import json
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect
from tests.browser.tanks_kept import keep
from tests.browser.watching import OpenPage, Server, photograph, until

TANK = """slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
rock:
  - {x: 25 cm, y: 30 cm, length: 24 cm, width: 20 cm, height: 16 cm}
  - {x: 95 cm, y: 30 cm, length: 20 cm, width: 16 cm, height: 14 cm}
keeping: {stations: [{x: 30 cm, y: 12 cm, base: 40 cm}]}
company: [{animal: six line, length: 6 cm}]
wishes: [{animal: royal gramma, length: 5 cm, box_days: 4}, {animal: ocellaris, length: 5 cm}]
"""

SIX_LINE, GRAMMA, CLOWN = "pseudocheilinus-hexataenia", "gramma-loreto", "amphiprion-ocellaris"


def thing(page: Page, view: str, name: str) -> Locator:
    return page.get_by_role("group", name=view).get_by_role("button", name=name)


def put_in(page: Page, what: str) -> None:
    page.locator("#form").select_option(label=what)
    page.get_by_role("button", name="Put it in").click()


def ready(page: Page) -> None:
    until(page, "document.documentElement.dataset.ready", "tank")


def boot(page: Page) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(page.locator("#boot").inner_text())
    return told


def drag(page: Page, what: Locator, by: tuple[float, float]) -> None:
    """Drag a thing by its middle, in centimetres to the right and up."""
    what.scroll_into_view_if_needed()
    spot = what.locator("circle.finger").bounding_box()
    assert spot is not None
    scale = float(what.evaluate("(one) => one.ownerSVGElement.getScreenCTM().a"))
    x, y = spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + by[0] * scale, y - by[1] * scale, steps=6)
    page.mouse.up()


def touch_drag(page: Page, what: Locator, by: tuple[float, float]) -> None:
    """Drag a thing with a finger: real touches of the browser."""
    what.scroll_into_view_if_needed()
    spot = what.locator("circle.finger").bounding_box()
    assert spot is not None
    scale = float(what.evaluate("(one) => one.ownerSVGElement.getScreenCTM().a"))
    x, y = spot["x"] + spot["width"] / 2, spot["y"] + spot["height"] / 2
    line = page.context.new_cdp_session(page)

    def send(kind: str, share: float) -> None:
        points = (
            [] if kind == "touchEnd" else [{"x": x + share * by[0] * scale, "y": y - share * by[1] * scale}]
        )
        line.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    send("touchStart", 0.0)
    for step in (0.25, 0.5, 0.75, 1.0):
        send("touchMove", step)
    send("touchEnd", 1.0)


def test_food_divider_and_box_are_placed_undone_saved_and_still_there(
    open_page: OpenPage, server: Server
) -> None:
    page = open_page(f"{keep(server, TANK).path}/rock")
    ready(page)
    food = thing(page, "From above", "Food, place 1")
    expect(food).to_have_attribute("aria-label", "Food, place 1, 30 cm from left, 12 cm from front, 40 cm up")
    drag(page, food, (20.0, 6.0))
    expect(food).to_have_attribute("aria-label", "Food, place 1, 50 cm from left, 18 cm from front, 40 cm up")
    page.get_by_role("button", name="Undo").click()
    expect(food).to_have_attribute("aria-label", "Food, place 1, 30 cm from left, 12 cm from front, 40 cm up")
    page.get_by_role("button", name="Redo").click()
    drag(page, thing(page, "From the front", "Food, place 1"), (0.0, -10.0))
    expect(food).to_have_attribute("aria-label", "Food, place 1, 50 cm from left, 18 cm from front, 30 cm up")

    put_in(page, "place for food")
    second = thing(page, "From above", "Food, place 2")
    second.focus()
    for key in ("Shift+ArrowRight", "Shift+ArrowRight", "Shift+ArrowRight", "Shift+ArrowRight", "ArrowUp"):
        second.press(key)
    expect(second).to_have_attribute(
        "aria-label", "Food, place 2, 80 cm from left, 16 cm from front, 45 cm up"
    )
    expect(page.locator("#besides")).to_contain_text("2 places for food, worth")

    put_in(page, "opaque divider")
    sheet = thing(page, "From the front", "Divider")
    drag(page, sheet, (-6.0, 0.0))
    expect(sheet).to_have_attribute("aria-label", "Divider, opaque, 54 cm from left")
    for animal, side in ((SIX_LINE, "left"), (CLOWN, "right"), (GRAMMA, "left")):
        page.locator(f'[data-side="{animal}"]').select_option(side)
    rate = page.locator(f'#pressed tr[data-key="{GRAMMA}"] [data-part="per_h"]')
    until(page, "document.documentElement.dataset.fine", "5")
    expect(rate).not_to_have_text("under 0.1")
    page.locator(f'[data-side="{GRAMMA}"]').select_option("right")
    expect(rate).to_have_text("under 0.1")

    put_in(page, "acclimation box")
    box = thing(page, "From the front", "Acclimation box")
    drag(page, box, (80.0, 0.0))
    box.press("PageDown")
    label = str(box.get_attribute("aria-label"))
    assert "its foot" in label
    expect(page.locator("#besides")).to_contain_text("Attacks an hour where the box is: 2 royal gramma")

    page.reload()
    ready(page)
    expect(box).to_have_attribute("aria-label", label)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#saved")).to_contain_text("Revision 2")
    ready(page)
    told = boot(page)["things"]
    assert told["stations"] == [{"x": 50.0, "y": 18.0, "base": 30.0}, {"x": 80.0, "y": 16.0, "base": 45.0}]
    assert (told["divider"]["at"], told["divider"]["sheet"], len(told["divider"]["right"])) == (
        54.0,
        "opaque",
        2,
    )
    expect(box).to_have_attribute("aria-label", label)
    second.focus()
    second.press("Delete")
    expect(second).to_have_count(0)
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_finger_moves_them_on_a_phone(open_page: OpenPage, server: Server, theme: str) -> None:
    page = open_page(f"{keep(server, TANK).path}/rock", width=390, theme=theme)
    ready(page)
    put_in(page, "clear divider")
    put_in(page, "acclimation box")
    for name, by in (
        ("Food, place 1", (10.0, 0.0)),
        ("Divider", (8.0, 0.0)),
        ("Acclimation box", (30.0, 5.0)),
    ):
        what = thing(page, "From above", name)
        before = what.get_attribute("aria-label")
        touch_drag(page, what, by)
        expect(what).not_to_have_attribute("aria-label", str(before))
        spot = what.locator("circle.finger").bounding_box()
        assert spot is not None
        assert min(spot["width"], spot["height"]) >= 43.0
    page.get_by_role("button", name="Undo").click()
    until(page, "document.documentElement.dataset.fine", "5")
    for width in (390, 820, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        photograph(page, f"furniture-{width}-{theme}")
        assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []
