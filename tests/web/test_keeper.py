"""The keeper's page and its links."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app

TANK = "slackwater: 1\ntank: {length: 90 cm}\ncompany: [{animal: six line}]\n"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    settings = Settings(None, None, store=str(tmp_path / "kept.db"), who="livestock desk")
    app = create_app(WebOptions(hosts={"testserver"}, warm=False, settings=settings))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as found:
        found.post("/tanks", data={"name": "Long tank", "tank": TANK, "keeper": "An invented keeper"})
        yield found


def link(client: TestClient, **form: str) -> str:
    page = client.post("/tanks/1/links", data={"days": "30", **form})
    found = re.search(r"/k/[\w.]+", page.text)
    assert found is not None
    return found[0]


def test_a_link_is_shown_once_and_opens(client: TestClient) -> None:
    address = link(client)
    assert address not in client.get("/tanks/1/links").text
    page = client.get(address)
    assert page.status_code == 200
    assert "Long tank" in page.text
    assert "invented keeper" not in page.text
    assert "livestock desk" not in page.text


def test_nobody_keeps_or_passes_on_what_it_shows(client: TestClient) -> None:
    headers = client.get(link(client)).headers
    assert headers["cache-control"] == "no-store"
    assert headers["referrer-policy"] == "no-referrer"
    assert "default-src 'none'" in headers["content-security-policy"]


def test_a_withdrawn_link_says_no_more_than_a_false_one(client: TestClient) -> None:
    address = link(client)
    client.post("/tanks/1/links/1/withdraw")
    withdrawn, false = client.get(address), client.get("/k/1.1.1.aa")
    assert withdrawn.status_code == false.status_code == 404
    assert withdrawn.text == false.text


def test_the_page_only_reads(client: TestClient) -> None:
    address = link(client, diary="yes")
    assert client.post(address).status_code == 405
    assert "<form" not in client.get(address).text
    assert "<script" not in client.get(address).text


def test_days_that_cannot_be_are_told(client: TestClient) -> None:
    assert client.post("/tanks/1/links", data={"days": "many"}).status_code == 422
