"""The tank page and its wire."""

from __future__ import annotations

import json
from typing import Any

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from slackwater.report.colour import muted
from slackwater.web.pages.tank import invented


def boot_of(html: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(html.split('id="boot">')[1].split("</script>", maxsplit=1)[0])
    return told


def frame_of(data: bytes) -> tuple[dict[str, Any], bytes]:
    size = int.from_bytes(data[:4])
    return json.loads(data[4 : 4 + size]), data[4 + size :]


def test_aninvented_tank_says_so(client: TestClient) -> None:
    page = client.get("/tank")
    assert page.status_code == 200
    assert "An invented tank" in page.text
    boot = boot_of(page.text)
    assert boot["glass"] == {"length": 150.0, "width": 60.0, "height": 55.0}
    assert len(boot["stones"]) == 12
    assert page.text.count('class="swimmer"') == 2 * 10  # ten animals, two views


def test_the_tank_told_at_the_counter_is_drawn(client: TestClient) -> None:
    page = client.get("/tank", params={"tank": "90 cm", "living": "ocellaris", "wanted": "royal gramma"})
    assert boot_of(page.text)["glass"]["length"] == 90.0
    assert "An invented tank" not in page.text


def test_a_tank_file_is_sent_and_drawn(client: TestClient) -> None:
    text = "slackwater: 1\ntank: {length: 80 cm}\nwishes: [{animal: royal gramma}]\n"
    page = client.post("/tank", data={"tank": text})
    assert page.status_code == 200
    assert boot_of(page.text)["tank"] == text


def test_a_tank_file_with_faults_is_answered_in_words(client: TestClient) -> None:
    page = client.post("/tank", data={"tank": "slackwater: 1\ntank: {length: -3 cm}\n"})
    assert page.status_code == 422
    assert "length" in page.text


def test_stones_are_answered_by_a_frame(client: TestClient) -> None:
    stones = boot_of(client.get("/tank").text)["stones"]
    with client.websocket_connect("/tank/wire") as wire:
        wire.send_text(invented())
        wire.send_text(json.dumps({"stones": stones, "number": 7}))
        head, shades = frame_of(wire.receive_bytes())
    assert head["number"] == 7
    assert len(head["rows"]) == 8
    assert len(shades) == head["above"][0] * head["above"][1] + head["front"][0] * head["front"][1]


def test_what_is_no_question_ends_the_wire(client: TestClient) -> None:
    with client.websocket_connect("/tank/wire") as wire:
        wire.send_text(invented())
        wire.send_text('{"stones": 3}')
        with pytest.raises(WebSocketDisconnect) as ended:
            wire.receive_bytes()
    assert ended.value.code == 1008


def test_a_foreign_page_has_no_wire(stranger: TestClient) -> None:
    with (
        pytest.raises(WebSocketDisconnect),
        stranger.websocket_connect("/tank/wire", headers={"origin": "https://elsewhere.example"}),
    ):
        pass


def test_a_day_is_sent_as_positions(client: TestClient) -> None:
    boot = boot_of(client.get("/tank").text)
    answer = client.post("/tank/day", json={"tank": boot["tank"], "stones": boot["stones"]})
    head, positions = frame_of(answer.content)
    assert len(head["keys"]) == 10
    assert len(positions) == head["moments"] * 10 * 3 * 2
    assert "not the judgement" in head["said"]
    assert (len(answer.content) - len(positions)) % 4 == 0


def test_a_day_of_nothing_is_refused_in_words(client: TestClient) -> None:
    answer = client.post("/tank/day", json={"stones": []})
    assert answer.status_code == 422
    assert "tank" in answer.text


def test_a_foreign_page_cannot_ask_for_a_day(stranger: TestClient) -> None:
    answer = stranger.post("/tank/day", json={}, headers={"origin": "https://elsewhere.example"})
    assert answer.status_code == 403


def test_holes_food_and_the_divider_are_drawn(client: TestClient) -> None:
    text = (
        "slackwater: 1\ntank: {length: 100 cm, width: 45 cm, height: 45 cm}\nrock: {layout: moderate}\n"
        "divider: {at: 50 cm}\n"
        "company: [{animal: six line, side: left}, {animal: royal gramma, side: right}]\n"
    )
    page = client.post("/tank", data={"tank": text}).text
    things = boot_of(page)["things"]
    assert len(things["stations"]) == 1
    assert things["divider"] == {"at": 50.0, "sheet": "opaque", "right": ["gramma-loreto"]}
    assert page.count('data-layer="things"') == 2
    with client.websocket_connect("/tank/wire") as wire:
        wire.send_text(text)
        wire.send_text(json.dumps({"stones": boot_of(page)["stones"]}))
        head, _ = frame_of(wire.receive_bytes())
    assert head["holes"]
    assert all(0.0 <= x <= 100.0 and width > 0.0 for x, _, _, width in head["holes"])


def test_animals_wear_their_own_muted_colours(client: TestClient) -> None:
    text = client.get("/tank").text
    assert text.count(f'fill="{muted("orange")}"') == 2  # a pair of ocellaris drawn once for each view
    assert text.count('href="#n1s"') == 2
    assert " style=" not in text


def test_the_young_are_dressed_anew_when_grown(client: TestClient) -> None:
    young = {"tank": "400 cm", "wanted": "Acanthurus olivaceus 6 cm"}
    text = client.get("/tank", params=young).text
    assert 'class="as-today"' in text
    assert 'id="g1s"' in text
    assert 'id="g1s"' not in client.get("/tank", params=young | {"wanted": "Acanthurus olivaceus 25 cm"}).text
