"""Each page at three widths, light and dark: photographed, no wider than its window, open to all."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from tests.browser.watching import OpenPage, Seen, photograph

PAGES = {
    "look": "/look",
    "counter-empty": "/",
    "counter": "/?wanted=royal+gramma&living=six+line&living=2+ocellaris+6+cm&tank=120+cm",
    "counter-asks": "/?wanted=royal+gramma&living=2+chromis+4cm&tank=120+cm",
    "counter-fault": "/?wanted=royal+gramma&tank=1+cm",
    "plan-form": "/plan/example",
    "species": "/species?said=blue+tang",
    "one-species": "/species/Gramma_loreto",
    "trust": "/trust",
    "api": "/api",
}
WIDTHS = (390, 820, 1280)
BETWEEN = 820
"""A width whose page has nothing that the other two do not have: it is only photographed. [px]"""


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_fits_and_shuts_nobody_out(open_page: OpenPage, name: str, width: int, theme: str) -> None:
    page = open_page(PAGES[name], width=width, theme=theme)
    page.wait_for_load_state("networkidle")
    photograph(page, f"{name}-{width}-{theme}")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    if width != BETWEEN:
        found = Axe().run(page).response["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []


def test_a_page_that_is_not_there_is_a_page(open_page: OpenPage, seen: Seen) -> None:
    seen.offline_ok = True  # the browser tells of the status 404
    page = open_page("/nowhere")
    assert "no page of this program" in page.locator("main").inner_text()


def test_light_and_dark_can_be_chosen_and_stay(open_page: OpenPage) -> None:
    page = open_page("/look")
    button = page.get_by_role("button", name="Light or dark")
    paper = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    button.click()
    page.get_by_role("button", name="Light", exact=True).click()
    page.reload()
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") != paper
