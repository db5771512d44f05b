"""The company of a tank file as rows, and back."""

from __future__ import annotations

import pytest
import yaml

from slackwater.errors import InputErrors
from slackwater.service.company_table import LIVES, WANTED, CompanyRow, company_rows, with_company
from slackwater.service.tankfile import load

TANK = """
slackwater: 1
tank: {length: 100 cm, width: 45 cm, height: 45 cm}
rock: {layout: two islands}
company:
  - {animal: six line, length: 6 cm, since: 2026-01-01, seen: {chases: 12, minutes: 60}}
  - {animal: ocellaris, sex: pair}
wishes: [{animal: royal gramma, wish: 8, price: 30 EUR}]
"""


def test_rows_tell_what_the_file_says() -> None:
    six_line, pair, gramma = company_rows(TANK)
    assert six_line == CompanyRow(LIVES, "six line", length="6 cm", since="2026-01-01")
    assert (pair.sex, pair.place) == ("pair", LIVES)
    assert (gramma.place, gramma.wish, gramma.price) == (WANTED, "8", "30 EUR")


def test_the_same_rows_make_the_same_tank() -> None:
    assert load(with_company(TANK, company_rows(TANK))) == load(TANK)


def test_counted_chases_stay_with_their_animal() -> None:
    rows = [row for row in company_rows(TANK) if row.animal != "ocellaris"]
    changed = yaml.safe_load(with_company(TANK, rows))
    assert changed["company"] == [
        {"animal": "six line", "length": "6 cm", "since": "2026-01-01", "seen": {"chases": 12, "minutes": 60}}
    ]
    assert changed["rock"] == {"layout": "two islands"}


def test_a_row_goes_over_from_wanted_to_living_there() -> None:
    rows = [*company_rows(TANK)[:2], CompanyRow(LIVES, "royal gramma", since="2026-11-01")]
    changed = yaml.safe_load(with_company(TANK, rows))
    assert "wishes" not in changed
    assert changed["company"][2] == {"animal": "royal gramma", "since": "2026-11-01"}


def test_rows_without_a_name_and_choices_of_nothing_are_left_out() -> None:
    rows = [CompanyRow(WANTED, "  ", count="3"), CompanyRow(WANTED, "royal gramma", sex="not told")]
    assert yaml.safe_load(with_company(TANK, rows))["wishes"] == [{"animal": "royal gramma"}]


def test_what_was_typed_wrongly_is_told_when_the_file_is_read() -> None:
    with pytest.raises(InputErrors, match="length"):
        load(with_company(TANK, [CompanyRow(LIVES, "six line", length="-3 cm")]))


def test_two_of_a_name_each_keep_what_was_counted_of_them() -> None:
    twice = TANK.replace(
        "  - {animal: ocellaris, sex: pair}", "  - {animal: six line, seen: {chases: 3, minutes: 20}}"
    )
    company = yaml.safe_load(with_company(twice, company_rows(twice)))["company"]
    assert [one["seen"] for one in company] == [{"chases": 12, "minutes": 60}, {"chases": 3, "minutes": 20}]
