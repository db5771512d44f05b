"""Errors as pages and as JSON, by one table."""

from __future__ import annotations

import pickle

import pytest
from starlette.testclient import TestClient

from slackwater import errors
from slackwater.web.faults import STATUS, as_plain, status_of

ONE = errors.InputError(field="length", given="-2 cm", limit="it cannot be negative", remedy="Measure it.")
ALL = (
    ONE,
    errors.InputErrors(source="the file", faults=[ONE, ONE]),
    errors.UnknownTaxonError(name="qqq", nearest=["a", "b"]),
    errors.MissingFactError(taxon="A b", trait="length", needed_by="the drawing"),
    errors.StaleEditError(record="the tank", changed_by="someone", changed_at="noon"),
    errors.StoreError(store="x.db", problem="it is shut", remedy="Open it."),
    errors.DataTableError(file="x.csv", row=1, column="y", problem="empty"),
    errors.SlackwaterError("something else"),
)


CODES = (422, 422, 404, 409, 409, 503, 500, 400)


def test_every_error_class_has_its_status() -> None:
    kinds = {
        kind
        for kind in vars(errors).values()
        if isinstance(kind, type) and issubclass(kind, errors.SlackwaterError)
    }
    assert kinds == set(STATUS)


@pytest.mark.parametrize(("fault", "status"), list(zip(ALL, CODES, strict=True)))
def test_each_error_has_the_status_of_the_house_style(fault: errors.SlackwaterError, status: int) -> None:
    assert status_of(fault) == status


@pytest.mark.parametrize("fault", ALL, ids=lambda fault: type(fault).__name__)
def test_an_error_survives_the_way_from_another_process(fault: errors.SlackwaterError) -> None:
    again = pickle.loads(pickle.dumps(fault))  # noqa: S301 - our own bytes
    assert type(again) is type(fault)
    assert str(again) == str(fault)
    assert as_plain(again) == as_plain(fault)


def test_the_parts_of_an_error_are_told(client: TestClient) -> None:
    told = client.get("/api/species", params={"said": "qqqzzz"})
    assert told.status_code == 404
    assert told.json()["error"] == "UnknownTaxonError"
    assert told.json()["message"].startswith("qqqzzz is not a name in the species table;")


def test_all_faults_come_at_once(client: TestClient) -> None:
    told = client.post("/api/check", json={"wanted": "royal gramma", "tank": "long", "rock": "marble"})
    assert told.status_code == 422
    assert [fault["field"] for fault in told.json()["faults"]] == ["the tank", "rock"]
    assert all(fault["remedy"] for fault in told.json()["faults"])


def test_a_body_of_another_form_is_a_fault_of_ours_in_form(client: TestClient) -> None:
    told = client.post("/api/check", json={"wanted": 3})
    assert told.status_code == 422
    assert told.json()["error"] == "InputErrors"
    assert told.json()["faults"][0]["field"] == "wanted"


def test_a_page_that_is_not_there_says_so(client: TestClient) -> None:
    told = client.get("/nowhere")
    assert told.status_code == 404
    assert "no page of this program" in told.text
    assert client.get("/api/nowhere").json()["error"] == "InputError"


def test_what_people_wrote_is_text(client: TestClient) -> None:
    told = client.get("/counter", params={"wanted": "<script>alert(1)</script>"})
    assert "<script>" not in told.text
    assert "&lt;script&gt;" in told.text
