"""Dominance indices against published and archived matrices (F1-F6) and hand arithmetic (E1-E7).

`dominance.yaml` names the source of every matrix and says which values were published or archived
by others and which are arithmetic of this project. The archive's h' of matrices with pairs that
never met is a mean over draws: 5e-3. Everything else is held to 1e-3, or to the digits printed.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml
from numpy.typing import NDArray

from slackwater.society import ranks
from slackwater.society.elo import Curve, Elo, ratings

Array = NDArray[np.float64]
FIXTURES: dict[str, Any] = yaml.safe_load(Path(__file__).with_name("dominance.yaml").read_text("utf-8"))
CHECKS = [
    (name, kept, what)
    for name, row in FIXTURES.items()
    for kept in ("archive", "package", "own")
    for what in row.get(kept, {})
]
PRINTED_TO_TWO = {"scores_plain", "norm_plain", "p_t", "t_tri"}


def found(wins: Array, what: str) -> object:
    plain = ranks.david_scores(ranks.shares(wins, corrected=False))
    told = ranks.indices(wins)
    threes = told.triangles
    return {
        "total": wins.sum(),
        "consistency": told.consistency,
        "t_tri": threes.transitivity,
        "p_t": 1.0 - threes.circles / threes.settled if threes.settled else None,
        "settled": threes.settled,
        "circles": threes.circles,
        "h": told.h,
        "h_prime": told.h_prime,
        "kendall": told.kendall,
        "unknown": told.unknown,
        "tied": told.tied,
        "steepness": told.steepness,
        "steepness_plain": float(ranks.steepness(ranks.normalised(plain))),
        "scores": told.scores,
        "scores_plain": plain,
        "norm": told.norm,
        "norm_plain": ranks.normalised(plain),
    }[what]


@pytest.mark.parametrize(("name", "kept", "what"), CHECKS)
def test_the_published_and_the_hand_worked_values(name: str, kept: str, what: str) -> None:
    row = FIXTURES[name]
    within = 0.0051 if kept == "package" and what in PRINTED_TO_TWO else 1e-3
    assert found(np.array(row["wins"], float), what) == pytest.approx(row[kept][what], abs=within)


@pytest.mark.parametrize("name", ["F3", "F4 badgers", "F4 elephants", "F5", "E5"])
def test_drawing_the_unknown_pairs_comes_to_the_formula(name: str) -> None:
    wins = np.array(FIXTURES[name]["wins"], float)
    drawn = ranks.linearity_test(wins, draws=20_000, seed=3)
    assert drawn.h == pytest.approx(ranks.devries_h(wins), abs=5e-3)


@pytest.mark.parametrize(
    ("curve", "winner", "loser"), [(Curve.NORMAL, 1096, 1404), (Curve.LOGISTIC, 1095, 1405)]
)
def test_one_step_of_elo_as_a_public_package_tests_it(curve: Curve, winner: int, loser: int) -> None:
    """F6: 1000 beats 1500 at k = 100 (unit test of a public R package)."""
    moved = Elo(curve).gain(1000.0, 1500.0)
    assert (round(1000 + moved), round(1500 - moved)) == (winner, loser)


ALBERS = "bccgcdcdbedfdegfeacgcbgfafbffgdafecebadafeeafacgbabegaeggabaegbcdg"


def test_the_sequence_of_albers_and_de_vries() -> None:
    """F7: the invented sequence of albers2001; the targets are own arithmetic, none was printed."""
    run = list(zip(ALBERS[::2], ALBERS[1::2], strict=True))
    assert len(run) == 33
    whole = ratings(run, "abcdefg", Elo(whole=True))
    assert whole == {"a": 704, "b": 1203, "c": 1148, "d": 1116, "e": 982, "f": 1004, "g": 843}
    logistic = ratings(run, "abcdefg", Elo(Curve.LOGISTIC))
    kept = {"b": 1203.52, "c": 1148.84, "d": 1115.95, "f": 1004.74, "e": 981.69, "g": 841.64, "a": 703.62}
    assert logistic == pytest.approx(kept, abs=5.1e-3)


def test_four_wins_by_hand() -> None:
    """E7: A>B, B>C, A>C, C>A."""
    run = [("A", "B"), ("B", "C"), ("A", "C"), ("C", "A")]
    logistic = ratings(run, "ABC", Elo(Curve.LOGISTIC))
    assert logistic == pytest.approx({"A": 1011.548, "B": 1007.146, "C": 981.306}, abs=1e-3)
    normal = ratings(run, "ABC")
    assert normal == pytest.approx({"A": 1011.769, "B": 1007.016, "C": 981.215}, abs=1e-3)
