"""What the tests in a browser share: a server in a process of its own, and what a page was seen to do."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from urllib.error import URLError

from playwright.sync_api import ConsoleMessage, Page, Request

ROOT = Path(__file__).resolve().parents[2]
PHOTOGRAPHS = ROOT / "out" / "look"
CHROMIUM = Path(os.environ.get("CHROMIUM") or shutil.which("chromium") or "/usr/bin/chromium")
_PATIENCE_S = 60.0

OpenPage = Callable[..., Page]


@dataclass
class Server:
    """A server that can be ended and begun again at the same address."""

    port: int = 0
    process: subprocess.Popen[str] | None = None
    folder: tempfile.TemporaryDirectory[str] = field(default_factory=tempfile.TemporaryDirectory)

    @property
    def store(self) -> str:
        """Where its tanks are kept: a file of its own."""
        return str(Path(self.folder.name) / "kept.db")

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start it and wait for its first answer."""
        program = [sys.executable, "-c", "from slackwater.cli import main; main()"]
        command = [*program, "serve", "--port", str(self.port)]
        told = os.environ | {"SLACKWATER_STORE": self.store, "SLACKWATER_WHO": "livestock desk"}
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT, env=told)
        assert self.process.stdout is not None
        said = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", said)
        assert found, said
        self.port = int(found[1])
        _wait_for(f"{self.address}/counter?wanted=royal+gramma&tank=120+cm")

    def stop(self) -> None:
        """End it."""
        if self.process is not None:
            self.process.terminate()
            self.process.wait(timeout=15)
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None

    def close(self) -> None:
        """End it for good, and take away what it kept."""
        self.stop()
        self.folder.cleanup()


@dataclass
class Seen:
    """What a page said on its console, and whom it asked."""

    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)
    offline_ok: bool = False

    def console(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and not self.offline_ok:
            self.said.append(message.text)

    def request(self, request: Request) -> None:
        self.asked.append(request.url)


def photograph(page: Page, name: str) -> Path:
    """Keep a photograph of a whole page in out/look."""
    PHOTOGRAPHS.mkdir(parents=True, exist_ok=True)
    path = PHOTOGRAPHS / f"{name}.png"
    page.screenshot(path=str(path), full_page=True)
    return path


def until(page: Page, question: str, answer: object = True) -> None:  # noqa: FBT002 - the usual answer
    """Wait until a question put to the page is answered so; no `eval` in the page, which its policy bars."""
    end = time.monotonic() + _PATIENCE_S
    while page.evaluate(question) != answer:
        assert time.monotonic() < end, question
        page.wait_for_timeout(20)


def paste(page: Page, selector: str, text: str) -> None:
    """Paste as a browser does it, with the text as a spreadsheet copies it."""
    page.evaluate(
        f"""() => {{
            const data = new DataTransfer();
            data.setData('text', "{text}");
            const how = {{ clipboardData: data, bubbles: true, cancelable: true }};
            document.querySelector('{selector}').dispatchEvent(new ClipboardEvent('paste', how));
        }}"""
    )


def _wait_for(url: str) -> None:
    end = time.monotonic() + _PATIENCE_S
    while True:
        try:
            with urllib.request.urlopen(url, timeout=_PATIENCE_S) as told:  # noqa: S310 - our own server
                assert told.status == 200
                return
        except URLError:
            assert time.monotonic() < end
            time.sleep(0.1)
