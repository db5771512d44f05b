"""Published optima of the linear ordering problem.

Source: the IO set of LOLIB (Reinelt; Marti, Reinelt and Duarte 2009), input-output tables of
several economies. The optima are quoted from a secondary table; the library's own pages were not
opened. A table's value is the sum above its diagonal, maximised over all orders of its rows and
columns together, so the cost of i before j is what then falls below: `table[j, i]`.
"""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from slackwater.plan.order import best_order

FOLDER = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "ordering"
OPTIMA = {
    "t59i11xx": 8_261_545,
    "t65w11xx": 138_181_029,
    "t59n11xx": 20_928,
    "t70w11xx": 224_319_954,
    "t75u11xx": 52_708_323,
    "be75eec": 236_464,
    "be75np": 716_994,
    "stabu75": 553_303,
}

pytestmark = pytest.mark.skipif(
    not FOLDER.is_dir(), reason="the ordering tables lie beside the repository and are not carried in it"
)


def table_of(name: str) -> NDArray[np.float64]:
    items, *cells = (FOLDER / f"{name}.txt").read_text(encoding="ascii").split()
    return np.array(cells, dtype=np.float64).reshape(int(items), int(items))


@pytest.mark.parametrize("name", OPTIMA)
def test_the_published_optimum_is_reached_and_proven(name: str) -> None:
    table = table_of(name)
    answer = best_order(table.T)
    above = np.triu(table[np.ix_(answer.order, answer.order)], 1).sum()
    assert above == OPTIMA[name]
    assert answer.proven


@pytest.mark.parametrize("name", OPTIMA)
def test_above_and_below_share_out_all_but_the_diagonal(name: str) -> None:
    table = table_of(name)
    answer = best_order(table.T)
    assert answer.cost + OPTIMA[name] == table.sum() - table.trace()
