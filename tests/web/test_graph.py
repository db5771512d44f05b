"""The ring of who troubles whom: no figure lies on a name where its arrow has room elsewhere."""

from __future__ import annotations

import re

import pytest

from slackwater.service.troubles import Arrow, Fares, Troubles
from slackwater.web.graph import Box, Curve, label_places, trouble_graph

NAMES = (
    "Royal gramma",
    "Sixline wrasse",
    "Coral beauty",
    "Yellow tang",
    "Blue-green chromis",
    "Firefish",
    "Kole tang",
    "Ocellaris",
)
TEXT = re.compile(r'<text x="([-\d.]+)" y="([-\d.]+)" class="(who|rate)">([^<]+)<')


def test_a_figure_gives_way_to_a_word_that_stands_in_the_middle_of_its_arrow() -> None:
    line = Curve((0.0, 0.0), (200.0, 0.0), (400.0, 0.0))
    word = Box.around((200.0, 0.0), "a name")
    (free,) = label_places([line], ["0.25"], [])
    (moved,) = label_places([line], ["0.25"], [word])
    assert free == (200.0, 0.0)
    assert Box.around(free, "0.25").shared(word) > 0.0
    assert Box.around(moved, "0.25").shared(word) == 0.0


def test_two_arrows_that_cross_keep_their_figures_apart() -> None:
    across = Curve((0.0, 200.0), (200.0, 200.0), (400.0, 200.0))
    upward = Curve((200.0, 0.0), (200.0, 200.0), (200.0, 400.0))
    first, second = label_places([across, upward], ["1.5", "0.31"], [])
    assert Box.around(first, "1.5").shared(Box.around(second, "0.31")) == 0.0


def company(size: int) -> Troubles:
    """Return a company in which everyone troubles the next and the one opposite."""
    fares = tuple(
        Fares(str(n), name, "", 1 + n % 2, True, "jostled", 0.05, 0.02, 0.1, 1.0, "fought")
        for n, name in enumerate(NAMES[:size])
    )
    pairs = {(n, (n + step) % size) for n in range(size) for step in (1, max(size // 2, 1))}
    arrows = tuple(Arrow(str(a), str(b), 2.0 - 0.1 * a, 0.1) for a, b in sorted(pairs))
    return Troubles(fares, arrows, "settled", 1)


@pytest.mark.parametrize("size", range(2, 9))
def test_no_figure_of_a_company_lies_on_a_name(size: int) -> None:
    drawn = TEXT.findall(str(trouble_graph(company(size))))
    found = [(kind, Box.around((float(x), float(y) - 5.0), words)) for x, y, kind, words in drawn]
    names = [box for kind, box in found if kind == "who"]
    rates = [box for kind, box in found if kind == "rate"]
    assert len(names) == size
    assert len(rates) == len(company(size).arrows)
    assert [rate for rate in rates for name in names if rate.shared(name) > 0.0] == []
