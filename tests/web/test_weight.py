"""What the first load of each page weighs on the wire: its HTML and all files that it asks for, packed.

The limit is our own (docs/web.md). Headers are counted as HTTP/1.1 writes them.
"""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from slackwater.web.pages.tank import invented

LIMIT_KB = 40.0
COUNTER = "/?wanted=royal+gramma&living=six+line&living=2+ocellaris+6+cm&tank=120+cm"
PAGES = ("/", COUNTER, "/species", "/species/Gramma_loreto", "/plan", "/trust", "/look", "/tank", "/company")
KEPT = ("", "/rock", "/diary", "/revisions", "/links", "/plan")
_ASKED = re.compile(r'(?:src|href)="(/static/[^"]+)"')
_IN_SHEET = re.compile(r'url\("?([^")]+)"?\)')


def weight_kb(client: TestClient, path: str) -> float:
    """Return the kilobytes of a page with everything that it asks for. [kB]"""
    page = client.get(path, headers={"accept-encoding": "br"})
    assert page.status_code == 200
    asked = set(_ASKED.findall(page.text))
    for sheet in [url for url in asked if url.endswith(".css")]:
        root = sheet.rpartition("/")[0]
        asked |= {f"{root}/{name}" for name in _IN_SHEET.findall(client.get(sheet).text)}
    return _sent_kb(client, path) + sum(_sent_kb(client, url) for url in asked)


def _sent_kb(client: TestClient, path: str) -> float:
    with client.stream("GET", path, headers={"accept-encoding": "br"}) as told:
        body = b"".join(told.iter_raw())
    lines = [f"{name}: {value}" for name, value in told.headers.items()]
    head = "\r\n".join(["HTTP/1.1 200 OK", "date: Thu, 01 Jan 1970 00:00:00 GMT", *lines, "", ""])
    return (len(body) + len(head)) / 1000.0


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_light(client: TestClient, path: str) -> None:
    assert weight_kb(client, path) <= LIMIT_KB


@pytest.mark.parametrize("below", KEPT)
def test_a_page_of_a_kept_tank_is_light(client: TestClient, below: str) -> None:
    kept = client.post("/tanks", data={"name": f"Invented tank, weighed{below}", "tank": invented()})
    assert weight_kb(client, f"{kept.url.path}{below}") <= LIMIT_KB


def test_the_weight_counts_type_styles_and_script(client: TestClient) -> None:
    assert weight_kb(client, "/look") > 25.0
