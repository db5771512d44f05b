"""Nothing gets in that does not belong, and nothing goes out without its headers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from slackwater.web.guard import SECURITY_HEADERS

PAGES = ("/", "/look", "/api", "/nowhere", "/counter?wanted=qqqzzz")
CHECK = {"wanted": "royal gramma", "tank": "120 cm"}


@pytest.mark.parametrize("path", PAGES)
def test_every_answer_carries_the_headers(client: TestClient, path: str) -> None:
    told = client.get(path)
    for name, value in SECURITY_HEADERS.items():
        assert told.headers[name] == value


def test_the_policy_makes_no_exception(client: TestClient) -> None:
    policy = client.get("/").headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "http" not in policy
    assert "*" not in policy
    assert "data:" not in policy


@pytest.mark.parametrize("path", PAGES)
def test_no_page_has_anything_inline(client: TestClient, path: str) -> None:
    text = client.get(path).text
    assert "<style" not in text
    assert " style=" not in text
    assert " onclick=" not in text
    assert all("src=" in tag.split(">")[0] for tag in text.split("<script")[1:])


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"sec-fetch-site": "same-origin"}, 200),
        ({"sec-fetch-site": "same-origin", "origin": "http://testserver"}, 200),
        ({"origin": "http://testserver"}, 200),
        ({}, 200),
        ({"sec-fetch-site": "cross-site"}, 403),
        ({"sec-fetch-site": "same-site"}, 403),
        ({"sec-fetch-site": "none"}, 403),
        ({"origin": "http://elsewhere.example"}, 403),
        ({"origin": "https://testserver"}, 403),
        ({"origin": "null"}, 403),
        ({"sec-fetch-site": "same-origin", "origin": "http://elsewhere.example"}, 403),
    ],
)
def test_a_write_comes_from_our_own_page_or_from_a_program(
    stranger: TestClient, headers: dict[str, str], status: int
) -> None:
    assert stranger.post("/api/check", json=CHECK, headers=headers).status_code == status


def test_a_form_of_nobody_is_refused(stranger: TestClient) -> None:
    told = stranger.post("/api/check", content="wanted=x", headers={"content-type": "text/plain"})
    assert told.status_code == 403
    assert "only pages of this server" in told.text


def test_another_host_is_refused(client: TestClient) -> None:
    for host in ("elsewhere.example", "testserver.elsewhere.example", "", "testserver@elsewhere"):
        told = client.get("/", headers={"host": host})
        assert told.status_code == 421
        assert "this machine only" in told.text


def test_the_port_is_no_part_of_the_host(client: TestClient) -> None:
    assert client.get("/look", headers={"host": "testserver:8640"}).status_code == 200


def test_a_foreign_page_gets_no_socket(stranger: TestClient) -> None:
    with (
        pytest.raises(WebSocketDisconnect) as refused,
        stranger.websocket_connect("/", headers={"origin": "http://elsewhere.example"}),
    ):
        pass
    assert refused.value.code == 1008


def test_what_is_too_large_is_refused_by_its_length(client: TestClient) -> None:
    told = client.post("/api/check", json=CHECK | {"rock": "x" * 200_000})
    assert told.status_code == 413
    assert "100 kB is the most that is taken" in told.text


def test_what_hides_its_length_is_counted(client: TestClient) -> None:
    def bits() -> Iterator[bytes]:
        for _ in range(30):
            yield b"x" * 10_000

    headers: Any = {"content-type": "application/json"}
    told = client.post("/api/check", content=bits(), headers=headers)
    assert told.status_code == 413


def test_a_length_that_is_none_is_refused(client: TestClient) -> None:
    told = client.post("/api/check", content=b"{}", headers={"content-length": "many"})
    assert told.status_code == 413
