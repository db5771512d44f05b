"""From a tank file and a tally to what to do."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from pypdf import PdfReader
from tests.plan.diaries import BEAUTY, FLAME, NOW, Diary, angels, falling, steady

from slackwater.errors import InputError, InputErrors
from slackwater.plan.rungs import Rung
from slackwater.report.jsonfile import dumps
from slackwater.service.remedy import Asked, remedy_entries, remedy_files, write_remedy
from slackwater.society.diary import Seen

TANK = """
slackwater: 1
tank: {length: 120 cm, width: 50 cm, height: 50 cm, lid: true}
rock: {layout: moderate}
company:
  - {animal: royal gramma, length: 7 cm, since: 2026-06-10}
  - {animal: coral beauty, length: 9 cm, since: 2026-08-01}
  - {animal: flame angel, length: 7 cm, since: 2027-03-01}
"""
TALLY = """date,who,whom,count,kind,minutes
2027-03-02T09:00,coral beauty,flame angel,5,chase,10
2027-03-02T19:00,coral beauty,flame angel,6,chase,10
2027-03-03T09:00,coral beauty,flame angel,5,chase,10
2027-03-03T19:00,coral beauty,flame angel,6,chase,10
2027-03-04T19:00,coral beauty,flame angel,5,chase,10
"""
THEN = Asked(dt.datetime(2027, 3, 4, 23, tzinfo=dt.UTC))


@pytest.fixture
def tally(tmp_path: Path) -> Path:
    path = tmp_path / "tally.csv"
    path.write_text(TALLY, encoding="utf-8")
    return path


def test_the_answer_from_two_files(tally: Path) -> None:
    answer = remedy_files(TANK, tally, THEN).answer
    assert (answer.who, answer.whom) == (BEAUTY, FLAME)
    assert len(answer.message) == 5
    assert [row.rung for row in answer.rungs] == [rung.value for rung in Rung]
    assert sum(row.standing == "begin here" for row in answer.rungs) == 1
    assert {row.animal for row in answer.company} == {"royal gramma", BEAUTY, FLAME}
    assert answer.findings[0].cause == "newcomer"
    assert "its own temper: rougher than" in " ".join(answer.record.lines)
    assert "assumed" in answer.says_who


def test_it_is_plain_json(tally: Path) -> None:
    plain = json.loads(dumps(remedy_files(TANK, tally, THEN).answer))
    assert plain["begin"] in [rung.value for rung in Rung]
    assert plain["settling"]["outlook"] == "not settling"
    assert plain["timeout"]["returns"] > plain["timeout"]["begins"]


def test_who_is_not_in_the_company_is_named_and_left_out(tally: Path) -> None:
    tally.write_text(TALLY + "2027-03-04T19:30,six line,flame angel,1,chase,10\n", encoding="utf-8")
    answer = remedy_files(TANK, tally, THEN).answer
    assert any("six line stands in the diary" in note for note in answer.notes)


def test_faults_of_either_file_are_told(tally: Path) -> None:
    with pytest.raises(InputErrors, match="company"):
        remedy_files(TANK.replace("royal gramma", "qqqzzz"), tally, THEN)
    with pytest.raises(InputErrors, match="future"):
        remedy_files(TANK, tally, Asked(dt.datetime(2027, 3, 2, tzinfo=dt.UTC)))
    with pytest.raises(InputError, match="a whale"):
        remedy_files(TANK, tally, Asked(THEN.now, "a whale"))


def test_the_papers_are_written_all_or_none(tally: Path, tmp_path: Path) -> None:
    made = remedy_files(TANK, tally, THEN)
    written = write_remedy(made, tmp_path / "out")
    assert [path.name for path in written] == ["watch.pdf", "message.txt", "record.txt"]
    pdf = PdfReader(written[0])
    text = " ".join((page.extract_text() or "") for page in pdf.pages)
    assert len(pdf.pages) == 1
    assert "What to count" in text
    assert "4 Mar 2027" in text.replace("\N{NO-BREAK SPACE}", " ")
    assert written[1].read_text(encoding="utf-8").count("\n") == 5
    again = write_remedy(made, tmp_path / "again", "us-letter")
    assert again[0].read_bytes() != written[0].read_bytes()
    assert write_remedy(made, tmp_path / "third")[0].read_bytes() == written[0].read_bytes()


_DOSES = ("mg/l", "ppm", "dose", "copper", "formalin", "antibiotic", "medicate", "velvet", "white spot")


@pytest.mark.parametrize("counts", [steady(), falling()])
def test_no_disease_is_named_and_no_dose_given(counts: dict[float, int]) -> None:
    from slackwater.society.diary import BodyPart, Mark, Sign

    spots: Seen = Mark(FLAME, BodyPart.WHOLE, Sign.SPOTS)
    diary = Diary().chased((BEAUTY, FLAME), counts).saw(6.0, spots)
    answer = remedy_entries(angels("2027-03-01"), diary.entries, Asked(NOW)).answer
    text = dumps(answer).lower()
    assert not [word for word in _DOSES if word in text]
    assert "veterinarian" in text
