"""How soon a moved stone is seen in the map, alone and among four; a day's frames; memory by client.

    python benchmarks/web/bench_tank.py [--moves 100]

A move is a real pointer event in Chromium; its time ends when the map that follows it is painted,
in squares of 10 cm. Server and browser share this machine, so times are those of both.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
from contextlib import ExitStack
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright
from websockets.sync.client import ClientConnection, connect
from websockets.typing import Origin

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.browser.conftest import SWITCHES
from tests.browser.watching import CHROMIUM, Server, until

AIM_ALONE_MS, AIM_ALONE_P95_MS, AIM_FOUR_MS, AIM_FRAMES, AIM_CLIENT_MB = 120, 200, 350, 55, 0.2
OTHERS, CLIENTS = 3, 12
_STEP_PX = 3.0
_DAY_MS = 5000

_WATCH = """() => {
  window.taken = [];
  let begun = 0;
  addEventListener('pointermove', (event) => { begun ||= event.timeStamp; }, true);
  new MutationObserver(() => {
    if (!begun || document.documentElement.dataset.fine !== '10') return;
    const since = begun;
    begun = 0;
    requestAnimationFrame(() => { window.taken.push(performance.now() - since); });
  }).observe(document.documentElement, { attributeFilter: ['data-frames'] });
}"""

_DRAG_ON = """() => {
  const stone = document.querySelector('[data-view=above] .stone');
  let n = 0;
  setInterval(() => {
    n += 1;
    const key = n % 20 < 10 ? 'ArrowRight' : 'ArrowLeft';
    stone.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
  }, 100);
}"""


def opened(browser: Browser, address: str) -> Page:
    """Open the invented tank in a window of its own, and wait for its fine map."""
    page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
    page.goto(f"{address}/tank")
    until(page, "document.documentElement.dataset.fine", "5")
    return page


def dragged(page: Page, moves: int) -> list[float]:
    """Return how long each move of a drag took to be seen in the map. [ms]"""
    page.evaluate(_WATCH)
    box = page.locator("[data-view=above] .stone").last.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(1, moves + 1):
        page.mouse.move(x + _STEP_PX * (n % 40), y)
        until(page, "window.taken.length", n)
    page.mouse.up()
    taken: list[float] = page.evaluate("window.taken")
    return taken


def frames(page: Page) -> float:
    """Return the frames a second of a day of the walkers. [1/s]"""
    page.get_by_role("button", name="Watch a day").click()
    until(page, "document.getElementById('play').textContent", "Pause")
    page.wait_for_timeout(_DAY_MS)
    return float(page.evaluate("document.documentElement.dataset.rate"))


def client_mb(server: Server, tank: str, question: str) -> float:
    """Return the memory of the server for each further client that has had its answer. [MB]"""
    with ExitStack() as stack:
        stack.enter_context(_client(server, tank, question))
        before = _resident_mb(server)
        for _ in range(CLIENTS):
            stack.enter_context(_client(server, tank, question))
        return (_resident_mb(server) - before) / CLIENTS


def _client(server: Server, tank: str, question: str) -> ClientConnection:
    url = f"{server.address.replace('http', 'ws')}/tank/wire"
    line = connect(url, origin=Origin(server.address), proxy=None)
    line.send(tank)
    line.send(question)
    line.recv()
    return line


def _resident_mb(server: Server) -> float:
    assert server.process is not None
    told = Path(f"/proc/{server.process.pid}/status").read_text(encoding="ascii")
    return float(told.split("VmRSS:")[1].split()[0]) / 1024.0


def main() -> None:
    """Print the figures beside their aims."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--moves", type=int, default=100)
    moves = told.parse_args().moves
    print(f"load average {os.getloadavg()[0]:.1f}, {os.cpu_count()} processors")
    server = Server()
    server.start()
    try:
        with sync_playwright() as program:
            browser = program.chromium.launch(executable_path=str(CHROMIUM), args=list(SWITCHES))
            _measure(browser, server, moves)
            browser.close()
    finally:
        server.close()
    print(f"load average {os.getloadavg()[0]:.1f} at the end")


def _measure(browser: Browser, server: Server, moves: int) -> None:
    page = opened(browser, server.address)
    boot = json.loads(page.locator("#boot").inner_text())
    question = json.dumps(
        {"stones": boot["stones"], "whose": "", "size": "today", "at_rest": False, "number": 1}
    )
    _say("drag to map, alone", dragged(page, moves), f"{AIM_ALONE_MS}, {AIM_ALONE_P95_MS}")
    print(f"a day: {frames(opened(browser, server.address)):.0f} frames a second (aim {AIM_FRAMES})")
    each_mb = client_mb(server, boot["tank"], question)
    print(f"each further client: {each_mb:.2f} MB over {CLIENTS} (aim {AIM_CLIENT_MB})")
    for _ in range(OTHERS):
        opened(browser, server.address).evaluate(_DRAG_ON)
    _say("drag to map, among four", dragged(opened(browser, server.address), moves), f"{AIM_FOUR_MS}, -")


def _say(what: str, taken_ms: list[float], aims: str) -> None:
    p95 = statistics.quantiles(taken_ms, n=20)[-1]
    middle = statistics.median(taken_ms)
    print(f"{what}: median {middle:.0f} ms, p95 {p95:.0f} ms over {len(taken_ms)} moves (aims {aims})")


if __name__ == "__main__":
    main()
