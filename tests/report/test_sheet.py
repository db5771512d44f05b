from __future__ import annotations

import dataclasses
import io
from pathlib import Path
from typing import Any, get_args

import pypdf
import pytest

from slackwater.errors import InputError
from slackwater.plan.records import Plan
from slackwater.report import sheet_bytes, write_sheet
from slackwater.report.sheet import PaperName
from slackwater.report.words import share

PAPERS: tuple[PaperName, ...] = get_args(PaperName)
MARKUP = r"#let $x$ *star* _under_ <angle> @at \back `tick` [square] // no comment = head"


def read(made: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(made))


def text_of(made: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in read(made).pages).split())


@pytest.mark.parametrize("paper", PAPERS)
def test_eight_animals_fit_two_pages(plan: Plan, paper: PaperName) -> None:
    assert len(read(sheet_bytes(plan, paper)).pages) == 2


@pytest.mark.parametrize(
    ("paper", "width_pt", "height_pt"), [("a4", 595.28, 841.89), ("us-letter", 612, 792)]
)
def test_paper_sizes(plan: Plan, paper: PaperName, width_pt: float, height_pt: float) -> None:
    box = read(sheet_bytes(plan, paper)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((width_pt, height_pt), abs=0.1)


def test_same_bytes_twice(plan: Plan) -> None:
    assert sheet_bytes(plan) == sheet_bytes(plan)


def test_dated_by_the_plan_not_by_the_clock(plan: Plan) -> None:
    written = read(sheet_bytes(plan)).metadata
    assert written is not None
    assert written.creation_date is not None
    assert written.creation_date.date() == plan.made_on


def test_tagged_for_screen_readers(plan: Plan) -> None:
    made = sheet_bytes(plan)
    root: Any = read(made).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert b"pdfuaid" in made


def test_every_animal_is_named_three_ways(plan: Plan) -> None:
    text = text_of(sheet_bytes(plan))
    for animal in plan.animals:
        assert animal.common_name in text
        assert animal.scientific_name in text
        assert animal.said in text


def test_sections_come_in_order(plan: Plan) -> None:
    outline = _titles(read(sheet_bytes(plan)).outline)
    assert [title for title in outline if not title.startswith(("Run sheet", "The tank", "Where"))] == [
        plan.title,
        "The animals",
        "Watch for",
        "Calendar",
        "Who takes one back",
        "If the power fails",
        "If they come in another order",
        "What is uncertain",
        "Feeding card",
        "Watching card",
        "Years ahead",
        "Ladder: the first rungs",
        "Do not add",
        "Hazards and cautions",
        "Sources",
    ]
    assert sum(title.startswith("Run sheet") for title in outline) == 1


def test_metric_comes_first_with_the_other_in_brackets(plan: Plan) -> None:
    text = text_of(sheet_bytes(plan)).replace("\N{NO-BREAK SPACE}", " ")
    assert "412 L (109 US gal) net" in text
    assert "150 × 60 × 55 cm (59 × 24 × 22 in)" in text
    assert "8 cm (3.1 in)" in text


def test_markup_in_what_people_typed_stays_text(plan: Plan) -> None:
    animals = tuple(dataclasses.replace(a, said=MARKUP) for a in plan.animals[:2])
    hostile = dataclasses.replace(plan, title=MARKUP, animals=animals, verdict=MARKUP, takes_back=MARKUP)
    assert text_of(sheet_bytes(hostile)).count(MARKUP) >= 4


@pytest.mark.parametrize("title", ["", "\N{FISH} \u6c34", "nul \0 and \x1f bell \x07"])
def test_a_title_no_font_can_show_still_makes_a_sheet(plan: Plan, title: str) -> None:
    assert "Ocellaris clownfish" in text_of(sheet_bytes(dataclasses.replace(plan, title=title)))


def test_no_bearable_order_says_why_and_what_would_settle_it(clashing: Plan) -> None:
    text = text_of(sheet_bytes(clashing))
    assert "Why not, and what would settle it" in text
    assert clashing.clashes[0].sentence in text
    assert clashing.clashes[0].settle[0] in text
    for missing in ("Calendar", "If the power fails", "Sources", "Run sheet"):
        assert missing not in text


def test_an_empty_plan_still_makes_a_sheet(clashing: Plan) -> None:
    bare = dataclasses.replace(
        clashing, animals=(), clashes=(), watch_points=(), watching=(), ladder=(), ahead=(), not_to_add=(),
        hazards=(), cautions=(), uncertain=(), assumptions=(),
        question="", proof="", out_of_order="", takes_back="",
    )  # fmt: skip
    assert text_of(sheet_bytes(bare)).startswith(bare.title)


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_left_off_to_save_room(plan: Plan, paper: PaperName) -> None:
    text = text_of(sheet_bytes(plan, paper)).casefold()
    told = [*plan.hazards, *plan.cautions, *plan.uncertain, plan.takes_back, plan.out_of_order]
    told += [text for pair in plan.watch_points for text in pair]
    told += (
        [step.text for step in plan.ahead] + [w.see for w in plan.watching] + [w.do for w in plan.watching]
    )
    told += [f"{a.comfort.word}, {share(a.comfort.p)}" for a in plan.animals] + [c.text for c in plan.sources]
    said = [" ".join(one.rstrip(".").casefold().split()) for one in told]
    assert [one for one in said if one not in text] == []


def test_one_sign_for_all_dangers_is_told_once(plan: Plan) -> None:
    alike = tuple((what, "a torn fin") for what, _ in plan.watch_points)
    text = text_of(sheet_bytes(dataclasses.replace(plan, watch_points=alike)))
    assert text.count("a torn fin") == 1
    assert all(what in text for what, _ in alike)


def test_a_reason_that_begins_with_the_name_is_told_as_one_sentence(plan: Plan) -> None:
    kept = dataclasses.replace(
        plan.not_to_add[0], common_name="purple tang", reason="purple tang would not let X be"
    )
    text = text_of(sheet_bytes(dataclasses.replace(plan, not_to_add=(kept,))))
    assert f"purple tang {kept.scientific_name} would not let X be." in text


@pytest.mark.parametrize("count", [12, 16, 20])
def test_a_long_company_keeps_to_three_pages(plan: Plan, count: int) -> None:
    many = tuple(
        dataclasses.replace(plan.animals[i % 8], key=f"animal-{i}", said=f"fish {i}") for i in range(count)
    )
    assert len(read(sheet_bytes(dataclasses.replace(plan, animals=many))).pages) <= 3


def test_different_conditions_are_printed_with_each_release(plan: Plan) -> None:
    releases = tuple(dataclasses.replace(r, go_when=f"condition {r.number}") for r in plan.releases)
    text = text_of(sheet_bytes(dataclasses.replace(plan, releases=releases)))
    for release in releases:
        assert f"Condition {release.number}." in text


def test_write_sheet_writes_the_same(plan: Plan, tmp_path: Path) -> None:
    write_sheet(plan, tmp_path / "sheet.pdf")
    assert (tmp_path / "sheet.pdf").read_bytes() == sheet_bytes(plan)


def test_unknown_paper_is_refused_with_a_remedy(plan: Plan) -> None:
    with pytest.raises(InputError, match="a4 or us-letter"):
        sheet_bytes(plan, "a5")  # type: ignore[arg-type]


def _titles(entries: list[Any]) -> list[str]:
    nested = [_titles(entry) if isinstance(entry, list) else [str(entry.title)] for entry in entries]
    return [title for titles in nested for title in titles]
