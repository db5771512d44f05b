"""Make `data/relatedness.csv` from published dated trees: rounded divergence times as facts.

The trees stay out of the repository. Give their folder, which holds `phylogeny_sequence_only.nwk`
([rabosky2018]: tips with sequence data only) and `phylogeny.nwk` ([siqueira2020]: more tips, some
placed at random inside their genus, so used only where the first is silent):

    python scripts/make_relatedness.py ../shared/data

Within a genus the value is the median divergence of its pairs of species; between two genera, or
two families, the median over all pairs. Rounded to 1 Ma below 20, to 5 Ma above.
"""

from __future__ import annotations

import csv
import statistics
import sys
from collections import defaultdict
from pathlib import Path

from slackwater.taxa.facts import load_facts

OUT = Path(__file__).parents[1] / "src/slackwater/data/relatedness.csv"
SOURCES = (("rabosky2018", "phylogeny_sequence_only.nwk"), ("siqueira2020", "phylogeny.nwk"))
FINE_MA = 20.0

Pairs = dict[tuple[str, str], list[float]]


def pairs_of(newick: str) -> list[tuple[float, list[list[str]]]]:
    """Return for each fork its age and the tips below each branch. [Ma]"""
    forks: list[tuple[float, list[list[str]]]] = []
    stack: list[list[tuple[float, list[str]]]] = [[]]
    text = newick.strip().rstrip(";")
    at = 0
    while at < len(text):
        if text[at] == "(":
            stack.append([])
            at += 1
        elif text[at] == ",":
            at += 1
        elif text[at] == ")":
            children = stack.pop()
            age = statistics.fmean(height for height, _ in children)
            forks.append((age, [tips for _, tips in children]))
            length, at = _length(text, at + 1)
            tips = [tip for _, below in children for tip in below]
            stack[-1].append((age + length, tips))
        else:
            end = text.index(":", at)
            name = text[at:end].replace("_", " ")
            length, at = _length(text, end)
            stack[-1].append((length, [name]))
    return forks


def _length(text: str, at: int) -> tuple[float, int]:
    """Return a branch length that starts at a colon (0 if there is none) and where it ends."""
    while at < len(text) and text[at] not in ":,)":
        at += 1
    if at >= len(text) or text[at] != ":":
        return 0.0, at
    end = at + 1
    while end < len(text) and text[end] not in ",)":
        end += 1
    return float(text[at + 1 : end]), end


def medians(forks: list[tuple[float, list[list[str]]]], rank: dict[str, str]) -> dict[tuple[str, str], float]:
    """Return the median divergence of pairs of tips by the groups they belong to. [Ma]"""
    found: Pairs = defaultdict(list)
    for age, branches in forks:
        for n, here in enumerate(branches):
            for there in branches[n + 1 :]:
                for a in here:
                    for b in there:
                        if a in rank and b in rank:
                            one, two = sorted((rank[a], rank[b]))
                            found[one, two].append(age)
    return {pair: statistics.median(ages) for pair, ages in found.items()}


def rounded(age_ma: float) -> int:
    """Return an age rounded as facts are: to 1 Ma below 20, to 5 Ma above. [Ma]"""
    return max(1, round(age_ma)) if age_ma < FINE_MA else 5 * round(age_ma / 5.0)


def main(folder: Path) -> None:
    """Write the table."""
    facts = load_facts()
    rows: dict[tuple[str, str], tuple[str, int, str]] = {}
    for key, name in SOURCES:
        forks = pairs_of((folder / name).read_text(encoding="utf-8"))
        tips = {tip for _, branches in forks for branch in branches for tip in branch}
        genus = {tip: tip.split(" ")[0] for tip in tips if facts.family_of(tip)}
        family = {tip: facts.family_of(tip) for tip in genus}
        for (a, b), age in medians(forks, genus).items():
            if facts.family_of(a) == facts.family_of(b):
                rows.setdefault((a, b), ("genus", rounded(age), key))
        for (a, b), age in medians(forks, family).items():
            if a != b:
                rows.setdefault((a, b), ("family", rounded(age), key))
    with OUT.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("a", "b", "rank", "divergence_ma", "source"))
        for (a, b), (rank, age, key) in sorted(rows.items()):
            writer.writerow((a, b, rank, age, key))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
