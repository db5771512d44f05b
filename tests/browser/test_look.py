"""Each page at three widths, light and dark: photographed, no wider than its window, open to all."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from tests.browser.tanks_kept import Kept, keep
from tests.browser.watching import OpenPage, Seen, Server, photograph, until

PAGES = {
    "look": "/look",
    "counter-empty": "/",
    "counter": "/?wanted=royal+gramma&living=six+line&living=2+ocellaris+6+cm&tank=120+cm",
    "counter-several": "/?wanted=royal+gramma%2C+2+firefish+goby&wanted=six+line&tank=120+cm",
    "counter-asks": "/?wanted=royal+gramma&living=2+chromis+4cm&tank=120+cm",
    "counter-fault": "/?wanted=royal+gramma&tank=1+cm",
    "tank": "/tank",
    "company-unkept": "/company",
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
    _looked_at(open_page, PAGES[name], name, (width, theme))


KEPT = ("", "/rock", "/diary", "/revisions", "/links")
"""Below a tank with data: a company, a quarrel that was written down, a link."""


@pytest.fixture(scope="module")
def tank(server: Server) -> Kept:
    kept = keep(server)
    kept.quarrel()
    kept.token()
    return kept


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("below", KEPT)
def test_a_page_of_a_tank_fits(open_page: OpenPage, tank: Kept, below: str, width: int, theme: str) -> None:
    _looked_at(open_page, f"{tank.path}{below}", f"tank-N-{below.strip('/') or 'company'}", (width, theme))


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_the_tanks_and_the_page_of_a_keeper_fit(
    open_page: OpenPage, tank: Kept, width: int, theme: str
) -> None:
    _looked_at(open_page, "/tanks", "tanks", (width, theme))
    _looked_at(open_page, tank.token(), "keeper", (width, theme))


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


def _looked_at(open_page: OpenPage, path: str, name: str, how: tuple[int, str]) -> None:
    """Photograph a page; it is no wider than its window, and axe finds nothing."""
    width, theme = how
    page = open_page(path, width=width, theme=theme)
    script = page.evaluate("document.querySelector('script[type=module]')?.src ?? ''")
    if script and not script.endswith("/shell.js"):
        until(page, "!!document.documentElement.dataset.ready")
    page.wait_for_load_state("networkidle")
    photograph(page, f"{name}-{width}-{theme}")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    if width != BETWEEN:
        found = Axe().run(page).response["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []
