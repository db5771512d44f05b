"""Kept tanks: listed, written, saved beside what others saved, and told live."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import astuple
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from slackwater.service.company_table import COLUMNS, company_rows
from slackwater.settings import Settings
from slackwater.web.app import WebOptions, create_app
from slackwater.web.pages.tank import invented

TANK = (
    "slackwater: 1\ntank: {length: 90 cm}\ncompany: [{animal: six line}]\nwishes: [{animal: royal gramma}]\n"
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
    assert kept.status_code == 303
    return str(kept.headers["location"])


def boot_of(html: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(html.split('id="boot">')[1].split("</script>", maxsplit=1)[0])
    return told


def rows(*animals: str) -> list[list[str]]:
    return [["lives there", animal, "", "", "", "", "", ""] for animal in animals]


def table_of(text: str) -> list[list[str]]:
    return [list(astuple(row)) for row in company_rows(text)]


def test_no_tank_is_an_invitation(client: TestClient) -> None:
    assert "No tank is kept yet" in client.get("/tanks").text


def test_a_tank_is_kept_and_listed(client: TestClient, tank: str) -> None:
    assert "Long tank" in client.get("/tanks").text
    page = client.get(f"{tank}?wait=yes")
    assert page.status_code == 200
    assert "Who troubles whom" in page.text
    assert boot_of(page.text)["revision"] == 1


def test_a_name_that_is_taken_is_told(client: TestClient, tank: str) -> None:
    again = client.post("/tanks", data={"name": "Long tank", "tank": TANK})
    assert again.status_code == 422
    assert "goes by that name already" in again.text
    assert tank


def test_a_company_is_saved_with_who_and_why(client: TestClient, tank: str) -> None:
    told = {"tank": TANK, "rows": rows("six line", "ocellaris"), "revision": 1, "why": "a gift"}
    assert client.post(tank, json=told).json()["revision"] == 2
    page = client.get(f"{tank}/revisions").text
    assert "livestock desk" in page
    assert "a gift" in page


def test_edits_of_two_that_do_not_touch_are_both_kept(client: TestClient, tank: str) -> None:
    one = {"tank": TANK, "rows": [*rows("six line"), ["wanted", "royal gramma", "", "", "5 cm", "", "", ""]]}
    two = {"tank": TANK.replace("90 cm", "120 cm"), "revision": 1}
    assert client.post(tank, json=one | {"revision": 1}).status_code == 200
    assert client.post(tank, json=two).status_code == 200
    text = boot_of(client.get(f"{tank}?wait=yes").text)["tank"]
    assert "120 cm" in text
    assert "5 cm" in text


def test_two_who_write_in_different_rows_are_both_kept(client: TestClient) -> None:
    client.post("/tanks", data={"name": "Invented", "tank": invented()})
    told = boot_of(client.get("/tanks/1").text)
    mine, theirs = (table_of(told["tank"]) for _ in range(2))
    mine[1][COLUMNS.index("length")], theirs[2][COLUMNS.index("wish")] = "5 cm", "9"
    for table in (theirs, mine):
        saved = client.post("/tanks/1", json={"tank": told["tank"], "rows": table, "revision": 1})
        assert saved.status_code == 200, saved.text
    assert saved.json()["rows"][1][COLUMNS.index("length")] == "5 cm"
    assert saved.json()["rows"][2][COLUMNS.index("wish")] == "9"


def test_two_who_write_in_one_cell_are_told(client: TestClient) -> None:
    client.post("/tanks", data={"name": "Invented", "tank": invented()})
    told = boot_of(client.get("/tanks/1").text)
    answers = []
    for length in ("5 cm", "7 cm"):
        table = table_of(told["tank"])
        table[1][COLUMNS.index("length")] = length
        answers.append(client.post("/tanks/1", json={"tank": told["tank"], "rows": table, "revision": 1}))
    assert [one.status_code for one in answers] == [200, 409]
    assert "5 cm" in answers[1].json()["message"]


def test_edits_of_the_same_place_are_refused_and_told(client: TestClient, tank: str) -> None:
    client.post(tank, json={"tank": TANK.replace("90 cm", "100 cm"), "revision": 1})
    late = client.post(tank, json={"tank": TANK.replace("90 cm", "120 cm"), "revision": 1})
    assert late.status_code == 409
    assert "livestock desk" in late.json()["message"]


def test_a_company_is_judged_while_it_is_written(client: TestClient) -> None:
    answer = client.post("/company/judged", json={"tank": TANK, "rows": rows("six line", "royal gramma")})
    assert answer.status_code == 200
    assert 'data-attacker="pseudocheilinus-hexataenia"' in answer.text


def test_those_of_one_kind_trouble_each_other_in_a_loop(client: TestClient) -> None:
    two = ["lives there", "yellow tang", "2", "", "", "", "", ""]
    page = client.post("/company/judged", json={"tank": TANK, "rows": [two]}).text
    found = re.search(r'd="M([\d.]+) ([\d.]+) Q[\d.]+ (-?[\d.]+) ([\d.]+) ([\d.]+)"', page)
    assert found is not None
    start_x, start_y, bend_y, end_x, end_y = (float(value) for value in found.groups())
    assert end_x - start_x > 20.0
    assert start_y == end_y > bend_y


def test_what_cannot_be_is_told_beside_the_table(client: TestClient) -> None:
    answer = client.post("/company/judged", json={"tank": TANK, "rows": rows("no such fish at all")})
    assert answer.status_code == 422
    assert "no such fish at all" in answer.text


def test_names_are_text_and_never_markup(client: TestClient) -> None:
    answer = client.post("/company/judged", json={"tank": TANK, "rows": rows("<script>alert(1)</script>")})
    assert "<script>" not in answer.text


def test_an_arrow_opens_its_reasons(client: TestClient) -> None:
    told = {"tank": TANK, "attacker": "pseudocheilinus-hexataenia", "victim": "gramma-loreto"}
    answer = client.post("/company/why", json=told)
    assert "temper" in answer.text
    assert "says who?" in answer.text
    assert re.search(r"leaves [Rr]oyal gramma \(<i>Gramma loreto</i>\)", answer.text)


def test_another_page_hears_of_a_save(client: TestClient, tank: str) -> None:
    change = boot_of(client.get(f"{tank}?wait=yes").text)["change"]
    with client.websocket_connect(f"{tank}/live") as line:
        line.send_text(str(change))
        client.post(tank, json={"tank": TANK.replace("90 cm", "110 cm"), "revision": 1})
        news = json.loads(line.receive_text())
    assert (news["revision"], news["by"]) == (2, "livestock desk")
    assert "110 cm" in news["text"]


def test_a_tank_that_is_not_kept_is_told(client: TestClient) -> None:
    assert client.get("/tanks/99").status_code == 422


def test_a_name_that_may_mean_two_is_asked_beside_the_table(client: TestClient) -> None:
    text = "slackwater: 1\ntank: {length: 90 cm}\ncompany: [{animal: firefish}]\n"
    page = client.post("/tanks", data={"name": "Unclear", "tank": text})
    assert page.status_code == 200
    assert 'value="firefish"' in page.text
    assert "firefish" in page.text.split('id="answer"')[1]


def test_a_company_whose_judgement_takes_long_is_shown_before_it(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("slackwater.web.pages.kept.PATIENCE_S", 0.0)
    page = client.get("/company").text
    assert "data-pending" in page
    assert "How everyone fares" not in page
    told = client.post("/company/judged", json={"tank": boot_of(page)["tank"]}).text
    assert "How everyone fares" in told
