"""Time the order of releases: subsets, certificates, branching, and the published tables.

Run `python benchmarks/bench_order.py [repeats]`; the least of the repeats is printed. The companies
are invented. The published tables are timed when they lie beside the repository.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.order import Ordering, best_order, worst_first_order

Matrix = NDArray[np.float64]

TABLES = Path(__file__).resolve().parents[1].parent / "shared" / "data" / "ordering"


def company(items: int, seed: int = 0) -> Matrix:
    """Return invented costs: temper by likeness by size, in six families."""
    rng = np.random.default_rng(seed)
    family = rng.integers(0, 6, items)
    temper, length_cm = rng.lognormal(0.0, 1.0, items), rng.uniform(4.0, 25.0, items)
    likeness = np.where(np.equal.outer(family, family), 1.0, 0.1)
    return temper[:, None] * likeness * np.minimum(3.0, np.divide.outer(length_cm, length_cm) ** 1.5)


def noise(items: int, seed: int = 0) -> Matrix:
    """Return costs without any order in them, the hardest kind."""
    return np.random.default_rng(seed).random((items, items))


def published(path: Path) -> Matrix:
    """Return the costs of a published table, whose sum above the diagonal is to be greatest."""
    items, *cells = path.read_text(encoding="ascii").split()
    return np.array(cells, dtype=np.float64).reshape(int(items), int(items)).T


def least_seconds(work: Callable[[], object], repeats: int) -> float:
    """Return the least time that `work` took. [s]"""
    seconds = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return min(seconds)


def line(name: str, cost: Matrix, repeats: int) -> None:
    """Print one row: name, items, time, method, gap."""
    answers: list[Ordering] = []
    seconds = least_seconds(lambda: answers.append(best_order(cost)), repeats)
    answer = answers[0]
    assert all(other == answer for other in answers)
    state = "proven" if answer.proven else f"gap {answer.gap:.2%}"
    print(f"{name:<12}{len(cost):>5}{1000 * seconds:>12.1f} ms   {answer.method:<16}{state}")


def worst_first_line(items: int, repeats: int) -> None:
    """Print one row for filling from the back, with sums as burdens."""
    felt = company(items)

    def burden(item: int, others: frozenset[int]) -> float:
        return float(felt[list(others), item].sum())

    seconds = least_seconds(lambda: worst_first_order(burden, items), repeats)
    print(f"{'worst first':<12}{items:>5}{1000 * seconds:>12.1f} ms   filled from the back")


def main() -> None:
    """Print the whole table."""
    repeats = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    best_order(company(21))  # the solver is imported on first use
    for items in (8, 12, 16, 18, 20):
        line("noise", noise(items), repeats)
    for items in (24, 30, 40, 60):
        line("company", company(items), repeats)
    for items in (24, 30, 40):
        line("noise", noise(items), repeats)
    worst_first_line(40, repeats)
    for path in sorted(TABLES.glob("*.txt")):
        line(path.stem, published(path), repeats)


if __name__ == "__main__":
    main()
