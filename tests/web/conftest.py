"""An in-process client of the pages."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from slackwater.web.app import WebOptions, create_app

HOST = "testserver"


@pytest.fixture(scope="session")
def client() -> Iterator[TestClient]:
    """Return a client that behaves like a page of the server itself."""
    app = create_app(WebOptions(hosts={HOST}, largest_body_bytes=100_000, warm=False))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as found:
        yield found


@pytest.fixture(scope="session")
def stranger(client: TestClient) -> TestClient:
    """Return a client that says nothing of itself, as a foreign page or a program may."""
    return TestClient(client.app)
