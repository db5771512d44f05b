"""`stones`, `divider`, `box` and `aside` in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from slackwater.plan import stones as seeking

Run = Callable[..., Result]
Json = Callable[..., Any]

FILE = """
slackwater: 1
tank: {length: 90 cm, width: 45 cm, height: 40 cm, lid: true, sump: 60 L}
rock:
  pieces:
    - {kind: boulder, x: 20 cm, y: 24 cm, length: 22 cm, width: 20 cm, height: 16 cm, holes: [8 cm]}
    - {kind: boulder, x: 70 cm, y: 24 cm, length: 14 cm, width: 12 cm, height: 11 cm}
sand: {depth: 4 cm}
company:
  - {animal: domino damsel, length: 8 cm}
wishes:
  - {animal: royal gramma, length: 6 cm}
limits: {start: 2027-01-09}
"""


@pytest.fixture
def reef(tmp_path: Path) -> Path:
    path = tmp_path / "reef.yaml"
    path.write_text(FILE, encoding="utf-8")
    return path


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(seeking, "_NEXT", 40)
    monkeypatch.setattr(seeking, "_ANEW", 2)
    monkeypatch.setattr(seeking, "_CLIMBS", 1)


@pytest.mark.usefixtures("quick")
def test_stones_say_what_to_move_and_draw_maps(run: Run, reef: Path) -> None:
    out = reef.parent / "out"
    told = run("stones", str(reef), "--most", "2", "--of", "domino damsel", "-o", str(out)).stdout
    for title in ("With one stone", "With two", "What moving rock does to claims", "Mind", "Written"):
        assert f"\n{title}\n" in told
    assert "With three" not in told
    assert "owns rock" in told
    for name in ("animal-before", "animal-after", "company-before", "company-after"):
        assert (out / f"{name}.svg").read_text(encoding="utf-8").startswith("<svg")
        if name == "animal-before":
            assert "attacks per hour on domino damsel" in (out / f"{name}.svg").read_text(encoding="utf-8")
        assert (out / f"{name}.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.usefixtures("quick")
def test_stones_as_json_are_the_same_twice(run: Run, reef: Path) -> None:
    words = ("stones", str(reef), "--most", "1", "--no-anew", "--seed", "4", "--json")
    first = run(*words).stdout
    assert run(*words).stdout == first
    assert '"anew": null' in first


def test_a_divider_is_judged_designed_and_drawn(run: Run, reef: Path) -> None:
    out = reef.parent / "out"
    told = run("divider", str(reef), "--at", "45cm", "--right", "royal gramma", "-o", str(out)).stdout
    assert told.startswith("It helps: ")
    for title in ("The sheet", "The water", "Besides", "Mind", "Written"):
        assert f"\n{title}\n" in told
    assert "\nLeft: 45 cm, 81 L" in told
    assert (out / "divider.pdf").read_bytes().startswith(b"%PDF")


def test_a_divider_of_the_file_needs_no_option(run_json: Json, reef: Path) -> None:
    text = FILE.replace("8 cm}", "8 cm, side: left}").replace("6 cm}", "6 cm, side: right}")
    reef.write_text(text + "divider: {at: 46 cm, sheet: clear}\n", encoding="utf-8")
    told = run_json("divider", str(reef), "--json")
    assert (told["at_cm"], told["sheet_kind"]) == (46.0, "clear")
    assert [row["common_name"] for row in told["sides"][1]["rows"]] == ["royal gramma"]


def test_a_divider_that_nobody_places_is_asked_for(run: Run, reef: Path) -> None:
    assert "Give --at 80cm" in run("divider", str(reef), code=2).stderr


def test_an_unknown_animal_is_named_with_those_there(run: Run, reef: Path) -> None:
    told = run("divider", str(reef), "--at", "45cm", "--right", "lionfish", code=2).stderr
    assert "Write one of: domino damsel, royal gramma." in told


def test_a_box_for_a_newcomer(run: Run, reef: Path) -> None:
    told = run("box", str(reef), "--animal", "royal gramma").stdout
    assert "A box of 15 x " in told
    assert "No mirror" in told
    assert "Food at once at 2 places" in told


def test_an_animal_aside(run: Run, reef: Path) -> None:
    told = run("aside", str(reef), "--animal", "domino damsel", "--size", "60x40x35cm").stdout
    assert "\nThe sump: 60 x 40 x 35 cm, 84 L\n" in told
    assert "Guard the pump" in told
    assert "there, but it is too small for it" in told.replace("\n", " ")
    roomy = run("aside", str(reef), "--animal", "domino damsel", "--size", "120x60x60cm").stdout
    assert "too small for it" not in roomy.replace("\n", " ")
    for_good = run(
        "aside", str(reef), "--animal", "domino damsel", "--in", "second tank", "--for-good"
    ).stdout
    assert "For good it is a tank like any other" in for_good


@pytest.mark.parametrize(
    ("words", "said"),
    [(("--in", "bucket"), "held in one of two places"), (("--size", "60x40cm"), "length by width by height")],
)
def test_a_place_that_cannot_be(run: Run, reef: Path, words: tuple[str, ...], said: str) -> None:
    assert said in run("aside", str(reef), "--animal", "domino damsel", *words, code=2).stderr
