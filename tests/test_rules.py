"""The coefficients by name."""

from __future__ import annotations

import pytest

from slackwater.errors import DataTableError
from slackwater.rules import Rule, Rules, _read, load_rules

ROW = {
    "rule": "bold.shy",
    "value": "0.4",
    "unit": "-",
    "kind": "estimated",
    "source": "assumed",
    "locator": "",
    "meaning": "shy",
}
SHY = Rule("bold.shy", 0.4, "-", "estimated", "assumed", "", "shy")


def test_a_row_is_read_whole() -> None:
    assert _read(ROW) == SHY


def test_a_rule_is_a_number_and_its_row_says_who() -> None:
    rules = Rules({"bold.shy": SHY})
    assert rules["bold.shy"] == 0.4
    assert rules.rule("bold.shy") is SHY
    assert (list(rules), len(rules)) == (["bold.shy"], 1)


def test_words_share_a_prefix() -> None:
    rules = Rules({"bold.shy": SHY, "bolder": SHY})
    assert rules.words("bold") == {"shy": 0.4}
    assert rules.words("bold") is rules.words("bold")


def test_replacing_a_value_keeps_the_rest_and_the_original() -> None:
    rules = Rules({"bold.shy": SHY})
    other = rules.replaced({"bold.shy": 0.7})
    assert (rules["bold.shy"], other["bold.shy"]) == (0.4, 0.7)
    assert other.rule("bold.shy").meaning == "shy"
    assert other.words("bold") == {"shy": 0.7}


def test_an_unknown_rule_is_a_fault_of_the_table() -> None:
    for ask in (lambda: load_rules()["nonesuch"], lambda: load_rules().replaced({"nonesuch": 1.0})):
        with pytest.raises(DataTableError, match="nonesuch"):
            ask()


@pytest.mark.parametrize("broken", [ROW | {"value": "much"}, {"rule": "bold.shy"}])
def test_a_broken_row_is_named(broken: dict[str, str]) -> None:
    with pytest.raises(DataTableError) as caught:
        _read(broken)
    assert caught.value.row == "bold.shy"
