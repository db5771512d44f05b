"""What is sent to the pages and is not what they send themselves is told in three parts, never a failure."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app

TANK = "slackwater: 1\ntank: {length: 120 cm}\ncompany: [{animal: six line}]\nwishes: [royal gramma]\n"
TAKES_JSON = ("/tank/day", "/tank/advice", "/company/text", "/company/judged", "/company/why", "/tanks/1")
TAKES_A_FORM = ("/tank", "/tank/file", "/plan", "/tanks", "/tanks/1/plan", "/tanks/1/links")
NO_BLOCKS = (b"", b"{", b"null", b"[]", b'"words"', b"\xff\xfe", b'{"a":' * 3000)
HUGE = "9" * 24


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    settings = Settings(None, None, store=str(tmp_path_factory.mktemp("store") / "kept.db"), who="desk")
    app = create_app(WebOptions(hosts={"testserver"}, warm=False, settings=settings))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as found:
        found.post("/tanks", data={"name": "Long tank", "tank": TANK}, follow_redirects=False)
        yield found


@pytest.mark.parametrize("address", TAKES_JSON)
@pytest.mark.parametrize("body", NO_BLOCKS, ids=range(len(NO_BLOCKS)))
def test_no_json_is_told(client: TestClient, address: str, body: bytes) -> None:
    answer = client.post(address, content=body)
    assert answer.status_code == 422, answer.text
    assert "what was sent" in answer.text
    assert "Reload the page" in answer.text


@pytest.mark.parametrize("address", TAKES_A_FORM)
def test_a_form_that_is_no_text_is_told(client: TestClient, address: str) -> None:
    headers = {"content-type": "application/x-www-form-urlencoded"}
    answer = client.post(address, content=b"\xff\xfe", headers=headers)
    assert answer.status_code == 422
    assert "no text in UTF-8" in answer.text


@pytest.mark.parametrize(
    "told",
    [
        {"tank": TANK, "rows": "none"},
        {"tank": TANK, "rows": ["none"]},
        {"tank": TANK, "attacker": "nobody", "victim": None},
        {"tank": None},
        {"tank": TANK, "stones": 3},
    ],
    ids=str,
)
def test_parts_of_another_kind_are_told(client: TestClient, told: dict[str, object]) -> None:
    answer = client.post("/company/why", json=told)
    assert answer.status_code == 422, answer.text


@pytest.mark.parametrize("revision", ["one", [], {}, None, 1e308, HUGE])
def test_a_revision_that_is_no_number_is_told(client: TestClient, revision: object) -> None:
    answer = client.post("/tanks/1", json={"tank": TANK, "revision": revision})
    assert answer.status_code == 422, answer.text
    assert "; " in answer.json()["message"]


@pytest.mark.parametrize("number", [HUGE, "2147483648", "-1", "0"])
@pytest.mark.parametrize("place", ["", "/diary", "/plan", "/rock", "/links", "/revisions"])
def test_a_number_that_no_tank_can_have_is_no_tank(client: TestClient, number: str, place: str) -> None:
    answer = client.get(f"/tanks/{number}{place}")
    assert answer.status_code in {404, 422}
    assert "No tank goes by" in answer.text
