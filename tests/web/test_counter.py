"""At the counter: three facts, and an answer."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from slackwater.service.checking import check
from slackwater.service.checking_together import check_together
from slackwater.service.counter import Told
from slackwater.service.tankfile import load
from slackwater.web.pages import counter as page

ASKED = {"wanted": "royal gramma", "living": ["six line", "2 ocellaris 6 cm"], "tank": "120 cm"}


def test_the_empty_counter_asks_for_three_facts(client: TestClient) -> None:
    text = client.get("/").text
    assert "Who is wanted?" in text
    assert "Who lives there?" in text
    assert "Which tank?" in text


def test_the_answer_is_that_of_the_command(client: TestClient) -> None:
    told = Told(length_cm=120.0, residents=("six line", "2 ocellaris 6 cm"))
    answer = check("royal gramma", told)
    text = client.get("/counter", params=ASKED).text
    sentence = answer.sentence.removeprefix(answer.decision.value.capitalize())
    assert sentence in text.replace("&#39;", "'")
    assert answer.come_back_if in text


def test_the_page_holds_the_answer_to_its_address(client: TestClient) -> None:
    text = client.get("/", params=ASKED | {"wait": "1"}).text
    assert 'value="royal gramma"' in text
    assert "Worst off" in text
    assert "Taken for granted" in text


def test_a_page_does_not_wait_for_its_answer(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page, "PATIENCE_S", 0.0)
    text = client.get("/", params=ASKED | {"feeds": "5"}).text
    assert "data-pending" in text
    assert 'value="royal gramma"' in text
    assert "Worst off" in client.get("/counter", params=ASKED | {"feeds": "5"}).text


def test_what_was_assumed_is_weighed_after_the_answer(client: TestClient) -> None:
    quick = client.get("/counter", params=ASKED).text
    assert "data-unweighed" in quick
    assert "Another answer would" not in quick
    granted = client.get("/counter/granted", params=ASKED).text
    assert "Another answer would" in granted
    assert 'data-field="rock"' in granted
    assert "data-unweighed" not in granted


def test_a_name_of_many_is_asked_back(client: TestClient) -> None:
    text = client.get("/counter", params={"wanted": "2 chromis 4cm", "tank": "120 cm"}).text
    assert "Chromis viridis" in text
    assert 'data-value="2 Chromis viridis 4 cm"' in text
    assert "Worst off" not in text


def test_an_impossible_fact_is_said(client: TestClient) -> None:
    text = client.get("/counter", params={"wanted": "royal gramma", "tank": "1 cm"}).text
    assert "it must lie between 20 and 1500 cm" in text.lower()


def test_the_tank_file_can_be_read_again(client: TestClient) -> None:
    told = client.get("/counter/tank.yaml", params=ASKED | {"since": "6 weeks", "cover": "open"})
    tank_file = load(told.text)
    assert told.headers["content-disposition"] == 'attachment; filename="tank.yaml"'
    assert tank_file.tank.length_cm == 120.0
    assert tank_file.tank.lid is False
    assert [row.animal for row in tank_file.wishes] == ["Gramma loreto"]
    assert [(row.animal, row.count) for row in tank_file.company] == [
        ("Pseudocheilinus hexataenia", 1),
        ("Amphiprion ocellaris", 2),
    ]
    assert all(row.since for row in tank_file.company)


def test_a_tank_file_of_unclear_facts_is_a_fault(client: TestClient) -> None:
    assert client.get("/counter/tank.yaml", params={"wanted": "chromis"}).status_code == 422


def test_a_tank_goes_on_without_retyping(client: TestClient) -> None:
    text = unescape(client.get("/counter", params=ASKED).text)
    (written,) = set(re.findall(r'<textarea name="tank" hidden>(.*?)</textarea>', text, re.DOTALL))
    assert load(written).tank.length_cm == 120.0
    drawn = client.post("/tank", data={"tank": written})
    assert drawn.status_code == 200
    kept = client.post("/tanks", data={"tank": written, "name": "From the counter"})
    assert kept.url.path.startswith("/tanks/")
    assert "From the counter" in kept.text


SEVERAL = {"wanted": ["royal gramma and 2 firefish goby", "six line"], "tank": "150 cm"}


def test_several_are_answered_each_and_together(client: TestClient) -> None:
    text = unescape(client.get("/counter", params=SEVERAL).text)
    answer = check_together(
        ["royal gramma", "2 firefish goby", "six line"], Told(length_cm=150.0), weighs=False
    )
    assert "Each of them" in text
    assert "not proven" in text
    for one in answer.newcomers:
        assert one.sentence in text
    first = "None of these" if answer.decision == "not this one" else answer.decision.value.capitalize()
    assert f"<strong>{first}</strong>{answer.sentence.removeprefix(first)}" in text


def test_without_script_every_line_comes_back_and_one_more(client: TestClient) -> None:
    text = client.get("/", params=SEVERAL | {"wait": "1"}).text
    values = re.findall(r'name="wanted" value="([^"]*)"', text)
    assert values == ["royal gramma and 2 firefish goby", "six line", ""]
    assert "Each of them" in text


def test_all_of_several_go_on_as_wishes(client: TestClient) -> None:
    text = unescape(client.get("/counter", params=SEVERAL).text)
    (written,) = set(re.findall(r'<textarea name="tank_file" hidden>(.*?)</textarea>', text, re.DOTALL))
    assert [row.animal for row in load(written).wishes] == [
        "Gramma loreto",
        "Nemateleotris magnifica",
        "Pseudocheilinus hexataenia",
    ]
    assert client.get("/counter/tank.yaml", params=SEVERAL).text == written


def test_the_api_answers_several_together(client: TestClient) -> None:
    told = client.post("/api/check", json={"wanted": "royal gramma and 2 firefish goby", "tank": "150 cm"})
    assert [one["common_name"] for one in told.json()["newcomers"]] == ["royal gramma", "firefish"]
