"""What a page weighs and how soon it is there, in a real browser, and how soon an answer is.

    python benchmarks/web/bench_pages.py [--loads 5]

The server and Chromium share this machine, so times are those of both; bytes are those on the wire.
`/look` judges nothing: it is the page that the others are read beside. A cold load has an empty
cache; a phone is one with 4 Mb/s, 100 ms and a fourth of the processor.
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
TARGETS = (TARGET_KB, None, TARGET_PAINT_MS, TARGET_READY_MS, None, TARGET_PHONE_MS)
WHAT = ("weight", "requests", "paint", "ready", "phone paint", "phone ready")
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
        page.get_by_label("Who is wanted, 1").fill(name)
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
    missed = []
    for path in (*PAGES, *(f"{tank.path}{below}" for below in KEPT), tank.token()):
        figures = _figures(browser, f"{address}{path}", loads)
        verdict = _verdict(figures)
        missed += [path] if verdict else []
        print(f"{path[:42]:42}" + "".join(f"{figure:12.0f}" for figure in figures) + f"  {verdict or 'pass'}")
    told = "".join(f"{f'{t:g}' if t else '':>12}" for t in TARGETS)
    print(f"{'target':42}{told}  {f'{len(missed)} pages miss' if missed else 'pass'}")


def _figures(browser: Browser, url: str, loads: int) -> tuple[float, ...]:
    """Return what a page weighs, and medians of its times, in the order of the targets."""
    wide = [load(browser, url) for _ in range(loads)]
    phone = [load(browser, url, phone=True) for _ in range(max(1, loads // 2))]
    return (
        wide[0].kb,
        wide[0].requests,
        _median([one.paint_ms for one in wide]),
        _median([one.ready_ms for one in wide]),
        _median([one.paint_ms for one in phone]),
        _median([one.ready_ms for one in phone]),
    )


def _verdict(figures: Sequence[float]) -> str:
    """Return which targets are missed, empty if none is."""
    missed = [word for word, f, t in zip(WHAT, figures, TARGETS, strict=True) if t and f > t]
    return f"MISS: {', '.join(missed)}" if missed else ""


def _print_answers(browser: Browser, address: str) -> None:
    first_s, later_s = answers(browser, address)
    middle_s, worst_s = _median(later_s), max(later_s)
    print(f"\nfirst answer {first_s:.2f} s (target {TARGET_FIRST_S:g}): {_met(first_s, TARGET_FIRST_S)}")
    said = f"later ones {middle_s:.2f} s, at most {worst_s:.2f} s (target {TARGET_LATER_S:g})"
    print(f"{said}: {_met(middle_s, TARGET_LATER_S)}")


def _met(value: float, target: float) -> str:
    return "pass" if value <= target else "MISS"


def _slow(session: CDPSession) -> None:
    speed = 4_000_000 / 8
    conditions = {"offline": False, "latency": 100, "downloadThroughput": speed, "uploadThroughput": speed}
    session.send("Network.emulateNetworkConditions", conditions)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})


def _median(values: Sequence[float]) -> float:
    return statistics.median(values)


if __name__ == "__main__":
    main()
