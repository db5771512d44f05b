"""Lines that name several animals."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slackwater.service.said_lines import kinds_in, said_in
from slackwater.taxa.names import entries

JOINED = sorted({entry.name for entry in entries() if " and " in entry.name or " & " in entry.name})
PLAIN = [
    "royal gramma",
    "2 firefish goby",
    "a six line",
    "yellow tang 8 cm",
    "pair of ocellaris",
    "3 chromis",
]


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ("royal gramma", ("royal gramma",)),
        ("royal gramma, 2 firefish and a six line", ("royal gramma", "2 firefish", "a six line")),
        ("royal gramma; six line", ("royal gramma", "six line")),
        ("royal gramma, and a six line", ("royal gramma", "a six line")),
        ("royal gramma + 2 chromis", ("royal gramma", "2 chromis")),
        ("ocellaris, 6,5 cm", ("ocellaris 6,5 cm",)),
        ("ocellaris, pair, 6 cm", ("ocellaris pair 6 cm",)),
        ("qqq and royal gramma", ("qqq and royal gramma",)),
        ("royal gramma,", ("royal gramma",)),
    ],
)
def test_a_line_falls_into_kinds(line: str, kinds: tuple[str, ...]) -> None:
    assert kinds_in(line) == kinds


def test_there_are_names_with_and_in_them() -> None:
    assert len(JOINED) > 20


@pytest.mark.parametrize("name", JOINED)
def test_a_name_with_and_in_it_stays_whole(name: str) -> None:
    assert kinds_in(f"2 {name} 5 cm") == (f"2 {name} 5 cm",)


@given(st.lists(st.sampled_from(PLAIN), min_size=1, max_size=5))
def test_what_was_joined_comes_apart_again(kinds: list[str]) -> None:
    assert list(kinds_in(", ".join(kinds))) == kinds


@given(st.lists(st.lists(st.sampled_from(PLAIN), min_size=1, max_size=3), min_size=1, max_size=3), st.data())
def test_one_of_a_line_is_put_otherwise_and_the_others_stay(
    kinds: list[list[str]], data: st.DataObject
) -> None:
    told = said_in([", ".join(line) for line in kinds])
    assert [said.words for said in told] == [kind for line in kinds for kind in line]
    one = data.draw(st.sampled_from(told))
    again = list(kinds_in(one.instead("yellow goby")))
    assert again[one.place] == "yellow goby"
    again[one.place] = one.words
    assert tuple(again) == one.parts
