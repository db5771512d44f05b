"""How soon a moved stone is seen in the map, alone and among four; a day's frames; memory by client.

    python benchmarks/web/bench_tank.py [--maps 100]

Moves are real pointer events in Chromium, faster than answers come; a time begins with the event
whose place was asked about and ends when its map is painted, in squares of 10 cm. Server and
browser share this machine, so times are those of both.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import time
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright
from websockets.sync.client import connect
from websockets.typing import Origin

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.browser.conftest import SWITCHES
from tests.browser.watching import CHROMIUM, Server, until

AIM_ALONE_MS, AIM_ALONE_P95_MS, AIM_FOUR_MS, AIM_FRAMES, AIM_CLIENT_MB = 120, 200, 350, 55, 0.2
OTHERS, CLIENTS = 3, 12
_STEP_PX = 3.0
_DAY_MS = 5000
_PAUSE_MS = 8
_LONGEST_S = 60.0

_WATCH = """
window.taken = [];
let pointed = 0;
let asked = null;
const heard = new WeakSet();
const send = WebSocket.prototype.send;
addEventListener('pointermove', (event) => { pointed = event.timeStamp; }, true);
WebSocket.prototype.send = function (told) {
  if (!heard.has(this)) {
    heard.add(this);
    this.addEventListener('message', () => {
      const since = asked;
      asked = null;
      if (since) requestAnimationFrame(() => { window.taken.push(performance.now() - since); });
    });
  }
  asked = pointed && told.includes('"at_rest":false') ? pointed : null;
  send.call(this, told);
};
"""
"""Takes the time from the pointer event that a question carries to the frame that shows its answer."""

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
    page.add_init_script(_WATCH)
    page.goto(f"{address}/tank")
    until(page, "document.documentElement.dataset.fine", "5")
    return page


def dragged(page: Page, answers: int) -> list[float]:
    """Drag a stone to and fro until so many maps have come, and return how long each took. [ms]"""
    box = page.locator("[data-view=above] .stone").last.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    end = time.monotonic() + _LONGEST_S
    n = 0
    while page.evaluate("window.taken.length") < answers and time.monotonic() < end:
        n += 1
        page.mouse.move(x + _STEP_PX * abs(n % 80 - 40), y)
        page.wait_for_timeout(_PAUSE_MS)
    page.mouse.up()
    taken: list[float] = page.evaluate("window.taken")
    return taken[:answers]


def frames(page: Page) -> float:
    """Return the frames a second of a day of the walkers. [1/s]"""
    page.get_by_role("button", name="Watch a day").click()
    until(page, "document.getElementById('play').textContent", "Pause")
    page.wait_for_timeout(_DAY_MS)
    return float(page.evaluate("document.documentElement.dataset.rate"))


def client_mb(server: Server, tank: str, question: str) -> float:
    """Return the memory of the server for each further client that has had its answer. [MB]"""
    with ExitStack() as stack:
        _asks(stack, server, tank, question)
        before = _resident_mb(server)
        for _ in range(CLIENTS):
            _asks(stack, server, tank, question)
        return (_resident_mb(server) - before) / CLIENTS


def _asks(stack: ExitStack, server: Server, tank: str, question: str) -> None:
    url = f"{server.address.replace('http', 'ws')}/tank/wire"
    line = stack.enter_context(connect(url, origin=Origin(server.address), proxy=None))
    line.send(tank)
    line.send(question)
    line.recv()


def _resident_mb(server: Server) -> float:
    assert server.process is not None
    told = Path(f"/proc/{server.process.pid}/status").read_text(encoding="ascii")
    return float(told.split("VmRSS:")[1].split()[0]) / 1024.0


def main() -> None:
    """Print the figures beside their aims."""
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--maps", type=int, default=100)
    maps = told.parse_args().maps
    print(f"load average {os.getloadavg()[0]:.1f}, {os.cpu_count()} processors")
    server = Server()
    server.start()
    try:
        with sync_playwright() as program:
            browser = program.chromium.launch(executable_path=str(CHROMIUM), args=list(SWITCHES))
            _measure(browser, server, maps)
            browser.close()
    finally:
        server.close()
    print(f"load average {os.getloadavg()[0]:.1f} at the end")


def _measure(browser: Browser, server: Server, maps: int) -> None:
    page = opened(browser, server.address)
    boot = json.loads(page.locator("#boot").inner_text())
    question = json.dumps(
        {"stones": boot["stones"], "whose": "", "size": "today", "at_rest": False, "number": 1}
    )
    _say("drag to map, alone", dragged(page, maps), f"{AIM_ALONE_MS}, {AIM_ALONE_P95_MS}")
    print(f"a day: {frames(opened(browser, server.address)):.0f} frames a second (aim {AIM_FRAMES})")
    each_mb = client_mb(server, boot["tank"], question)
    print(f"each further client: {each_mb:.2f} MB over {CLIENTS} (aim {AIM_CLIENT_MB})")
    others = [opened(browser, server.address) for _ in range(OTHERS)]
    for other in others:
        other.evaluate(_DRAG_ON)
    page = opened(browser, server.address)
    before, begun = _frames_of(others), time.monotonic()
    _say("drag to map, among four", dragged(page, maps), f"{AIM_FOUR_MS}, -")
    each = (_frames_of(others) - before) / OTHERS / (time.monotonic() - begun)
    print(f"  the other three had {each:.1f} maps a second each")


def _frames_of(pages: Sequence[Page]) -> int:
    return sum(int(page.evaluate("document.documentElement.dataset.frames")) for page in pages)


def _say(what: str, taken_ms: list[float], aims: str) -> None:
    p95 = statistics.quantiles(taken_ms, n=20)[-1]
    middle = statistics.median(taken_ms)
    print(f"{what}: median {middle:.0f} ms, p95 {p95:.0f} ms over {len(taken_ms)} maps (aims {aims})")


if __name__ == "__main__":
    main()
