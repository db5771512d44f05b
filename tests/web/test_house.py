"""House notes hold on every page, and are marked."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from slackwater.web.app import WebOptions, create_app

NOTES = """slackwater: 1
facts:
  - {taxon: Gramma loreto, trait: adult_length_cm, value: 9 cm, who: a shop, why: measured three of ours}
names:
  - {name: purple pete, animal: Gramma loreto, who: the invented shop, why: a regular calls it so}
"""


def test_notes_hold_and_are_marked_and_a_change_holds_at_once(tmp_path: Path) -> None:
    house = tmp_path / "house.yaml"
    house.write_text(NOTES, encoding="utf-8")
    app = create_app(WebOptions(hosts={"testserver"}, house=house, warm=False))
    with TestClient(app, headers={"sec-fetch-site": "same-origin"}) as client:
        page = client.get("/species/Gramma_loreto").text
        assert "measured three of ours" in page
        assert 'class="house"' in page
        told = client.get("/counter", params={"wanted": "purple pete", "tank": "120 cm"}).text
        assert "royal gramma" in told
        assert "House note:" in told
        house.write_text(NOTES.replace("9 cm", "8.5 cm"), encoding="utf-8")
        assert "8.5 cm" in client.get("/species/Gramma_loreto").text
