"""Tanks for the tests in a browser, kept and written to as the pages do it. All are invented."""

from __future__ import annotations

import datetime as dt
import itertools
import json
import re
import urllib.request
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from tests.browser.watching import Server

TANK = """slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm}
rock: {layout: two islands}
company:
  - {animal: six line, length: 6 cm}
  - {animal: royal gramma, length: 6 cm}
  - {animal: ocellaris, count: 2}
wishes: [coral beauty]
"""
_PATIENCE_S = 60.0
_FORM = "application/x-www-form-urlencoded"
_names = itertools.count(1)


@dataclass(frozen=True)
class Kept:
    """A tank on a server."""

    server: Server
    path: str

    def send(self, path: str, told: object) -> str:
        """Send JSON to a path below the tank's, and return the answer."""
        body = json.dumps(told).encode()
        return _sent(f"{self.server.address}{self.path}{path}", body, "application/json").body

    def saw(self, days_ago: float, **told: object) -> None:
        """Write one entry of the diary."""
        at = dt.datetime.now(dt.UTC) - dt.timedelta(days=days_ago)
        self.send("/diary", {"entries": [{"at": at.isoformat(), **told}]})

    def token(self) -> str:
        """Make a link for the keeper, with the diary, and return its path."""
        body = urlencode({"days": "30", "diary": "yes"}).encode()
        made = _sent(f"{self.server.address}{self.path}/links", body, _FORM).body
        found = re.search(r"/k/[\w.]+", made)
        assert found is not None
        return found[0]

    def quarrel(self) -> None:
        """Write a quarrel of six days that is settling."""
        for days, count in ((6, 9), (5, 7), (4, 5), (3, 4), (2, 3), (1, 2)):
            chase = {"who": "six line", "whom": "royal gramma", "how": "chase", "count": count}
            self.saw(days, chases=[chase], minutes=10.0)
        self.saw(0.5, words="ate gramma mysis")


def keep(server: Server, text: str = TANK) -> Kept:
    """Keep a tank under a name of its own."""
    form: Mapping[str, str] = {"name": f"Invented tank {next(_names)}", "tank": text}
    answer = _sent(f"{server.address}/tanks", urlencode(form).encode(), _FORM)
    return Kept(server, answer.url.removeprefix(server.address))


@dataclass(frozen=True)
class _Answer:
    url: str
    body: str


def _sent(url: str, body: bytes, kind: str) -> _Answer:
    headers = {"content-type": kind, "sec-fetch-site": "same-origin"}
    request = urllib.request.Request(url, body, headers)  # noqa: S310 - our own server
    with urllib.request.urlopen(request, timeout=_PATIENCE_S) as told:  # noqa: S310
        return _Answer(told.url, told.read().decode())
