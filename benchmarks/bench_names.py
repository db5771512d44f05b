"""How fast and how right a messy name is understood: ours, and the likeness of whole names, in one run.

The names are the 150 scribbles of the tests. Run it with ``python benchmarks/bench_names.py`` from the
top of the repository.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz, process

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from tests.taxa.test_messy_names import MESSY

from slackwater.taxa.names import Candidate, Meaning, Verdict, entries, understand

SURE_FROM, ASKED_FROM = 95.0, 76.0
QUANTILES = (0.5, 0.95, 1.0)


def by_whole_name(said: str) -> Meaning:
    """Return what the likest whole name means, its words in any order."""
    hits = process.extract(
        said.lower(), NAMES, scorer=fuzz.token_sort_ratio, limit=5, score_cutoff=ASKED_FROM
    )
    found = {ANIMALS[at]: score for _, score, at in reversed(hits)}
    candidates = tuple(Candidate(name, score, "") for name, score in found.items() if name)
    if not hits:
        return Meaning(said, Verdict.UNKNOWN, ())
    if not ANIMALS[hits[0][2]]:
        return Meaning(said, Verdict.NOT_A_FISH, ())
    sure = hits[0][1] >= SURE_FROM and len(candidates) == 1
    return Meaning(said, Verdict.ONE if sure else Verdict.ASK, candidates)


def print_figures(title: str, understanding: Callable[[str], Meaning]) -> None:
    """Print how many are right, how many silently wrong, and the time each takes."""
    times_ms, right, silent = [], 0, 0
    for messy in MESSY:
        start = time.perf_counter()
        meaning = understanding(messy.said)
        times_ms.append(1e3 * (time.perf_counter() - start))
        right += messy.is_right(meaning)
        silent += messy.is_silently_wrong(meaning)
    middle, most, worst = np.quantile(times_ms, QUANTILES)
    print(f"{title}: {right} of {len(MESSY)} right, {silent} silently wrong; ", end="")
    print(f"median {middle:.2f} ms, 95 in 100 under {most:.2f} ms, longest {worst:.1f} ms")


if __name__ == "__main__":
    start = time.perf_counter()
    ENTRIES = entries()
    understand("nothing of the kind")
    print(f"{len(ENTRIES)} names loaded in {time.perf_counter() - start:.2f} s")
    NAMES = [entry.name for entry in ENTRIES]
    ANIMALS = [entry.scientific_name for entry in ENTRIES]
    print_figures("by words", understand)
    print_figures("by whole names", by_whole_name)
