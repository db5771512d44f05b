"""A server, and Chromium in front of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from tests.browser.watching import CHROMIUM, OpenPage, Seen, Server

Motion = Literal["reduce", "no-preference"]

SWITCHES = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        item.add_marker(pytest.mark.browser)
        if not CHROMIUM.exists():
            item.add_marker(
                pytest.mark.skip(reason=f"there is no Chromium at {CHROMIUM}; CHROMIUM names another")
            )


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    found = Server()
    found.start()
    yield found
    found.close()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as program:
        browser = program.chromium.launch(executable_path=str(CHROMIUM), args=list(SWITCHES))
        yield browser
        browser.close()


@pytest.fixture
def seen() -> Seen:
    return Seen()


@pytest.fixture
def open_page(chromium: Browser, server: Server, seen: Seen) -> Iterator[OpenPage]:
    """Return a function that opens a path; at the end nothing may have been amiss."""
    contexts = []

    def opened(
        path: str, *, width: int = 1280, height: int = 900, theme: str = "light", motion: Motion = "reduce"
    ) -> Page:
        phone = width < 500
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if theme == "dark" else "light",
            has_touch=phone,
            reduced_motion=motion,
        )
        contexts.append(context)
        page = context.new_page()
        page.on("console", seen.console)
        page.on("pageerror", lambda error: seen.said.append(str(error)))
        page.on("request", seen.request)
        page.goto(f"{server.address}{path}")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert seen.said == []
    assert [url for url in seen.asked if not url.startswith(server.address)] == []
