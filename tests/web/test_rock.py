"""The rock of a kept tank: saved as revisions, joined with what others saved, or refused."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from starlette.testclient import TestClient

from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app

TANK = (
    "slackwater: 1\ntank: {length: 90 cm, width: 45 cm, height: 45 cm}\ncompany: [{animal: six line}]\n"
    "rock:\n  - {x: 25 cm, y: 22 cm, length: 30 cm, width: 20 cm, height: 18 cm}\n"
    "  - {x: 60 cm, y: 22 cm, length: 20 cm, width: 16 cm, height: 14 cm}\n"
)


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    settings = Settings(None, None, store=str(tmp_path / "kept.db"), who="livestock desk")
    app = create_app(WebOptions(hosts={"testserver"}, warm=False, settings=settings))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as found:
        yield found


@pytest.fixture
def tank(client: TestClient) -> str:
    kept = client.post("/tanks", data={"name": "Long tank", "tank": TANK}, follow_redirects=False)
    return str(kept.headers["location"])


def boot_of(html: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(html.split('id="boot">')[1].split("</script>", maxsplit=1)[0])
    return told


def moved(boot: dict[str, Any], **to: object) -> dict[str, Any]:
    """Return what a page sends that moved the first stone."""
    first, *others = boot["stones"]
    return {"tank": boot["tank"], "revision": boot["revision"], "stones": [first | to, *others]}


def test_the_rock_of_a_kept_tank_is_a_page(client: TestClient, tank: str) -> None:
    page = client.get(f"{tank}/rock")
    assert page.status_code == 200
    assert "<title>Rock of Long tank" in page.text
    assert f'href="{tank}/rock" aria-current="page"' in page.text
    assert boot_of(page.text)["revision"] == 1
    assert client.get("/tanks/77/rock").status_code == 422


def test_moved_stones_are_a_revision(client: TestClient, tank: str) -> None:
    told = moved(boot_of(client.get(f"{tank}/rock").text), x=30.0) | {"why": "a way behind"}
    assert client.post(tank, json=told).json()["revision"] == 2
    boot = boot_of(client.get(f"{tank}/rock").text)
    assert [stone["x"] for stone in boot["stones"]] == [30.0, 60.0]
    assert "a way behind" in client.get(f"{tank}/revisions").text
    assert "six line" in boot["tank"]


def test_stones_and_a_company_saved_by_two_are_joined(client: TestClient, tank: str) -> None:
    told = moved(boot_of(client.get(f"{tank}/rock").text), x=30.0)
    rows = [["lives there", "six line", "", "", "6 cm", "", "", ""]]
    assert client.post(tank, json={"tank": TANK, "rows": rows, "revision": 1}).status_code == 200
    assert client.post(tank, json=told).json()["revision"] == 3
    text = boot_of(client.get(f"{tank}/rock").text)["tank"]
    assert yaml.safe_load(text)["rock"]["pieces"][0]["x"] == "30 cm"
    assert yaml.safe_load(text)["company"][0]["length"] == "6 cm"


def test_stones_moved_by_two_are_refused_and_told(client: TestClient, tank: str) -> None:
    boot = boot_of(client.get(f"{tank}/rock").text)
    assert client.post(tank, json=moved(boot, x=30.0)).status_code == 200
    refused = client.post(tank, json=moved(boot, x=20.0))
    assert refused.status_code == 409
    assert "livestock desk" in refused.json()["message"]
    assert boot_of(client.get(f"{tank}/rock").text)["stones"][0]["x"] == 30.0


def test_a_stone_that_cannot_be_there_is_refused(client: TestClient, tank: str) -> None:
    boot = boot_of(client.get(f"{tank}/rock").text)
    refused = client.post(tank, json=moved(boot, x=2.0))
    assert refused.status_code == 422
    assert "through the glass" in refused.json()["message"]


def test_the_tank_file_is_given_with_the_stones_as_they_stand(client: TestClient) -> None:
    page = client.post("/tank", data={"tank": TANK})
    boot = boot_of(page.text)
    assert "Download the tank file" in page.text
    stones = moved(boot | {"revision": 0}, x=31.0)["stones"]
    given = client.post("/tank/file", data={"tank": TANK, "stones": json.dumps(stones)})
    assert given.headers["content-disposition"] == 'attachment; filename="tank.yaml"'
    assert yaml.safe_load(given.text)["rock"]["pieces"][0]["x"] == "31 cm"
    assert client.post("/tank/file", data={"tank": TANK}).text == TANK
    assert client.post("/tank/file", data={"tank": TANK, "stones": "{"}).status_code == 422


def test_food_and_stones_placed_by_two_are_joined(client: TestClient, tank: str) -> None:
    boot = boot_of(client.get(f"{tank}/rock").text)
    food = boot["things"] | {"stations": [{"x": 20.0, "y": 10.0, "base": 40.0}]}
    sheet = boot["things"] | {"divider": {"at": 43.0, "sheet": "clear", "right": []}}
    assert client.post(tank, json=moved(boot, x=22.0)).status_code == 200
    for things in (food, sheet):
        sent = {"tank": boot["tank"], "revision": boot["revision"], "things": things}
        assert client.post(tank, json=sent).status_code == 200
    now = boot_of(client.get(f"{tank}/rock").text)
    assert now["revision"] == 4
    assert now["stones"][0]["x"] == 22.0
    assert now["things"]["stations"] == food["stations"]
    assert now["things"]["divider"] == sheet["divider"]


def test_food_placed_by_two_is_refused_and_told(client: TestClient, tank: str) -> None:
    boot = boot_of(client.get(f"{tank}/rock").text)
    answers = []
    for x in (20.0, 50.0):
        things = boot["things"] | {"stations": [{"x": x, "y": 10.0, "base": 40.0}]}
        sent = {"tank": boot["tank"], "revision": boot["revision"], "things": things}
        answers.append(client.post(tank, json=sent).status_code)
    assert answers == [200, 409]


def test_the_tank_file_is_given_with_what_stands_beside_the_stones(client: TestClient) -> None:
    boot = boot_of(client.post("/tank", data={"tank": TANK}).text)
    box = {"x": 12.0, "y": 8.0, "base": 30.0, "length": 14.0, "width": 10.0, "height": 10.0}
    things = json.dumps(boot["things"] | {"box": box})
    given = yaml.safe_load(client.post("/tank/file", data={"tank": TANK, "things": things}).text)
    assert given["box"]["x"] == "12 cm"
    assert given["rock"]["pieces"][0]["length"] == "30 cm"
    assert client.post("/tank/file", data={"tank": TANK, "things": "[]"}).status_code == 422
    assert client.post("/tank/file", data={"tank": TANK, "things": '{"box": 3}'}).status_code == 422
