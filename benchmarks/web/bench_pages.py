"""What a page weighs and how soon it is there, in a real browser, and how soon an answer is.

    python benchmarks/web/bench_pages.py [--loads 5]

The server and Chromium share this machine, so times are those of both; bytes are those on the wire.
A cold load has an empty cache; a phone is one with 4 Mb/s, 100 ms and a fourth of the processor.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, CDPSession, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.browser.conftest import SWITCHES
from tests.browser.tanks_kept import keep
from tests.browser.watching import CHROMIUM, Server, until

COUNTER = "/?wanted=royal+gramma&living=six+line&living=2+ocellaris+6+cm&tank=120+cm"
PAGES = (
    "/",
    COUNTER,
    "/species",
    "/species/Gramma_loreto",
    "/plan/example",
    "/trust",
    "/look",
    "/tank",
    "/company",
    "/tanks",
)
KEPT = ("", "/rock", "/diary", "/revisions", "/links")
WANTED = ("coral beauty", "royal gramma", "yellow tang", "firefish goby", "kole tang", "flame angel")
TARGET_KB, TARGET_PAINT_MS, TARGET_READY_MS, TARGET_PHONE_MS = 40.0, 300.0, 600.0, 2000.0
TARGET_FIRST_S, TARGET_LATER_S = 2.0, 0.3
_ANSWERED = "!!document.querySelector('#answer .verdict strong') && !document.querySelector('#answer.stale')"
_PAINT = "(performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0)"
_READY = "performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd"


@dataclass(frozen=True)
class Load:
    """One load: kilobytes on the wire, requests, first paint and readiness in milliseconds."""

    kb: float
    requests: int
    paint_ms: float
    ready_ms: float


def load(browser: Browser, url: str, *, phone: bool = False) -> Load:
    """Open an address with an empty cache; modules have run when it is ready."""
    width = 390 if phone else 1280
    context = browser.new_context(viewport={"width": width, "height": 844})
    page = context.new_page()
    session = context.new_cdp_session(page)
    session.send("Network.enable")
    sizes: list[float] = []
    session.on("Network.loadingFinished", lambda event: sizes.append(event["encodedDataLength"]))
    if phone:
        _slow(session)
    page.goto(url, wait_until="networkidle")
    until(page, f"{_PAINT} > 0")
    found = Load(sum(sizes) / 1000.0, len(sizes), page.evaluate(_PAINT), page.evaluate(_READY))
    context.close()
    return found


def answers(browser: Browser, address: str) -> tuple[float, list[float]]:
    """Return how long the first answer to typed words takes, and later ones, with the typing's pause. [s]"""
    page = browser.new_page()
    page.goto(f"{address}/?living=2+ocellaris+6+cm&living=six+line&tank=120+cm")
    until(page, "document.documentElement.dataset.ready", "counter")
    taken = []
    for name in WANTED:
        begun = time.perf_counter()
        page.get_by_label("Who is wanted?").fill(name)
        page.wait_for_timeout(1)
        until(page, _ANSWERED)
        taken.append(time.perf_counter() - begun)
    page.close()
    return taken[0], taken[1:]


def main() -> None:
    """Print the figures beside their targets."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--loads", type=int, default=5)
    loads = told.parse_args().loads
    print(f"load average {os.getloadavg()[0]:.1f}, {os.cpu_count()} processors")
    server = Server()
    server.start()
    try:
        with sync_playwright() as program:
            browser = program.chromium.launch(executable_path=str(CHROMIUM), args=list(SWITCHES))
            _print_pages(browser, server.address, loads)
            _print_answers(browser, server.address)
            browser.close()
    finally:
        server.close()


def _print_pages(browser: Browser, address: str, loads: int) -> None:
    heads = ("kB", "requests", "paint", "ready", "phone paint", "ready")
    print(f"{'page [ms]':42}" + "".join(f"{head:>12}" for head in heads))
    tank = keep(Server(port=int(address.rpartition(":")[2])))
    tank.quarrel()
    for path in (*PAGES, *(f"{tank.path}{below}" for below in KEPT), tank.token()):
        wide = [load(browser, f"{address}{path}") for _ in range(loads)]
        phone = [load(browser, f"{address}{path}", phone=True) for _ in range(max(1, loads // 2))]
        figures = (
            wide[0].kb,
            wide[0].requests,
            _median([one.paint_ms for one in wide]),
            _median([one.ready_ms for one in wide]),
            _median([one.paint_ms for one in phone]),
            _median([one.ready_ms for one in phone]),
        )
        print(f"{path[:42]:42}" + "".join(f"{figure:12.0f}" for figure in figures))
    targets = (
        f"{TARGET_KB:g}",
        "",
        f"{TARGET_PAINT_MS:g}",
        f"{TARGET_READY_MS:g}",
        "",
        f"{TARGET_PHONE_MS:g}",
    )
    print(f"{'target':42}" + "".join(f"{target:>12}" for target in targets))


def _print_answers(browser: Browser, address: str) -> None:
    first_s, later_s = answers(browser, address)
    worst_s = max(later_s)
    print(f"\nfirst answer {first_s:.2f} s (target {TARGET_FIRST_S:g})")
    print(f"later ones {_median(later_s):.2f} s, at most {worst_s:.2f} s (target {TARGET_LATER_S:g})")


def _slow(session: CDPSession) -> None:
    speed = 4_000_000 / 8
    conditions = {"offline": False, "latency": 100, "downloadThroughput": speed, "uploadThroughput": speed}
    session.send("Network.emulateNetworkConditions", conditions)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})


def _median(values: Sequence[float]) -> float:
    return statistics.median(values)


if __name__ == "__main__":
    main()
