"""Write docs/trust/facts.md: how the facts compare with open scientific data, and where they differ.

    python -m scripts.make_trust_facts [folder of the open data]

The data lie outside the repository (../shared/data); where they are missing the page stays as it is.
The page holds counts, shares and names, no value of a source.
"""

from __future__ import annotations

import csv
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from scripts.against_data import findings
from scripts.against_data.findings import Finding
from scripts.against_data.habits import FIERCE, TERRITORIAL, TemperOrder, share_of, temper_order
from scripts.against_data.reading import FOLDER, OpenData, read
from slackwater.taxa.facts import FactTable, load_facts

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs/trust/facts.md"
EXCEPTIONS = ROOT / "tests/tables/exceptions.csv"

_HEAD = """\
## Facts against open data

Made by `scripts/make_trust_facts.py`; do not edit.

The facts were written by hand, then compared with open scientific data that nobody looked at while
writing: gut contents and trophic guilds (Parravicini et al. 2020), counted encounters of
butterflyfishes (Keith et al. 2023), farming damselfishes (McCord et al. 2021), imports (Rhyne et al.
2017, and New Zealand 2015 to 2019), and sizes, outlines, foods and hours of activity from
collections of fish traits. Some of these may not be passed on, so the data stay outside the
repository and no value of theirs stands here. Many copy one another: agreement with several is not
several proofs.

Where the two differ the fact was looked at again. It was changed only for a reason known without
the data; otherwise it stands below with the reason why. Nothing is left out of the shares.
"""
_NOT_COMPARED = """\
### What this cannot tell

No open data hold tempers of most species, group rules, smallest tanks, hardiness, jumping or the
order of introduction: these rest on common practice and memory. Diets agree if the sources' main
food is at least a quarter of ours, a wide gate; a list of food items without amounts is wider still.
The individuals imported are those of listed species; others that may have come in are not counted.
"""


def page(facts: FactTable, data: OpenData) -> str:
    """Return the page as it should be."""
    found = findings(facts, data)
    parts = [
        _HEAD,
        "\n".join(_shares(found)),
        "### Tempers",
        _tempers(temper_order(facts, data)),
        "### Where the facts differ, and why they stand",
        "\n".join(_reasons()),
        _unexplained(found),
        _NOT_COMPARED,
    ]
    return "\n\n".join(part.strip() for part in parts) + "\n"


def _shares(found: tuple[Finding, ...]) -> Iterator[str]:
    yield "| what is compared | claims | borne out | wanted | |"
    yield "|---|--:|--:|--:|---|"
    for one in found:
        says = f"{one.says[0].upper()}{one.says[1:]}"
        verdict = "holds" if one.holds else "**missed**"
        yield f"| {says} | {len(one.claims)} | {_percent(one.share)} | {_percent(one.least, 0)} | {verdict} |"


def _percent(share: float, digits: int = 1) -> str:
    """Return a share as text; what falls short of the whole never reads as the whole."""
    return "100 %" if share == 1.0 else f"{min(100.0 * share, 99.9):.{digits}f} %"


def _tempers(order: TemperOrder) -> str:
    groups = (order.farmers, order.others)
    worst = [_percent(share_of(group, words), 0) for words in (TERRITORIAL, FIERCE) for group in groups]
    return (
        f"Over the {order.butterflyfishes} butterflyfishes with counts, attack rates on own kind and on "
        f"congeners rank as the counts do with a Spearman correlation of {order.both:.2f}; congeners alone "
        f"{order.congeners:.2f}, own kind alone {order.own_kind:.2f}: nearly all of these species bear the "
        "same word towards their own kind, so the table cannot rank them among one another there.\n\n"
        f"A strong temper or worse: {worst[0]} of {len(order.farmers)} damselfishes that farm algae, "
        f"{worst[1]} of {len(order.others)} others. A fierce one: {worst[2]} and {worst[3]}."
    )


def _excepted() -> list[dict[str, str]]:
    return list(csv.DictReader(EXCEPTIONS.read_text(encoding="utf-8").splitlines()))


def _reasons() -> Iterator[str]:
    taxa: dict[tuple[str, str], list[str]] = defaultdict(list)
    for row in _excepted():
        taxa[row["trait"], row["reason"]].append(f"*{row['taxon']}*")
    yield "| trait | species | why the fact stands |"
    yield "|---|---|---|"
    for trait, reason in sorted(taxa):
        yield f"| `{trait}` | {', '.join(taxa[trait, reason])} | {reason} |"


def _unexplained(found: tuple[Finding, ...]) -> str:
    explained = {(row["taxon"], row["trait"]) for row in _excepted()}
    rest = sorted({pair for one in found for pair in one.against} - explained)
    if not rest:
        return "Every other claim is borne out."
    listed = "; ".join(f"*{taxon}* `{trait}`" for taxon, trait in rest)
    return f"Not looked at again yet, or waiting for a change: {listed}."


def main() -> None:
    """Write the page, or say that the data are missing."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER
    try:
        data = read(folder)
    except FileNotFoundError as missing:
        sys.exit(f"{missing.filename} is missing: {PAGE.name} stays as it is")
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    PAGE.write_text(page(load_facts(), data), encoding="utf-8")


if __name__ == "__main__":
    main()
