"""Write docs/data.md from the tables: what is known, of how many, on what it rests.

Run by `make docs`; with --check it only says whether the page is as it should be.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from slackwater.rules import load_rules
from slackwater.sources import load_sources
from slackwater.taxa.facts import FactTable, load_facts, load_traits
from slackwater.taxa.names import entries

OWN_AND_INHERITED = (
    "Own: species with a row of their own. Inherited: species that take the value of their genus or "
    "family, and say so wherever it is shown."
)

PAGE = Path(__file__).parents[1] / "docs/data.md"


def page() -> str:
    """Return the whole page."""
    facts = load_facts()
    parts = [
        "# The data",
        "Made by `make docs` from the tables in `src/slackwater/data`; do not edit.",
        _overview(facts),
        "## Families",
        _families(facts),
        "## Traits",
        OWN_AND_INHERITED,
        _traits(facts),
        "## Rules",
        "Every coefficient of the model, what it is, and what it rests on.",
        _rules(),
        "## Sources",
        _sources(),
    ]
    return "\n\n".join(parts) + "\n"


def _rows(facts: FactTable) -> list[tuple[str, str, str, str]]:
    return [
        (fact.taxon, trait, fact.kind, fact.source)
        for taxon in facts.taxa
        for trait in facts.traits
        for fact in facts.rows(taxon, trait)
        if fact.taxon == taxon
    ]


def _overview(facts: FactTable) -> str:
    rows = _rows(facts)
    kinds = Counter(kind for _, _, kind, _ in rows)
    named = sum(
        1
        for name in facts.species_names
        if (known := facts.find(name, "described")) and known.fact.value == "named"
    )
    lines = [
        f"- {len(facts.species_names)} species, {named} of them named only (own size and shape)",
        f"- {len(rows)} facts: " + ", ".join(f"{n} {kind}" for kind, n in kinds.most_common()),
        f"- {len(entries())} names, of which {sum(e.kind == 'ask' for e in entries())} are asked back",
    ]
    return "\n".join(lines)


def _table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines)


def _families(facts: FactTable) -> str:
    count = Counter(facts.family_of(name) for name in facts.species_names)
    rows = [(family, str(number)) for family, number in sorted(count.items())]
    return _table(("family", "species"), rows)


def _traits(facts: FactTable) -> str:
    rows = []
    for trait in load_traits().values():
        known = sum(1 for name in facts.species_names if facts.find(name, trait.name))
        mine = sum(1 for name in facts.species_names if _has_own(facts, name, trait.name))
        rows.append((trait.name, trait.unit, str(mine), str(known - mine), trait.meaning))
    return _table(("trait", "unit", "own", "inherited", "meaning"), rows)


def _has_own(facts: FactTable, name: str, trait: str) -> bool:
    return any(fact.taxon == name for fact in facts.rows(name, trait))


def _rules() -> str:
    rules = load_rules()
    rows = []
    for name in rules:
        r = rules.rule(name)
        rows.append((r.name, f"{r.value:g}", r.unit, r.kind, r.source, r.meaning))
    return _table(("rule", "value", "unit", "kind", "source", "meaning"), rows)


def _sources() -> str:
    rows = [(s.key, s.authors, str(s.year or ""), s.title, s.container) for s in load_sources().values()]
    return _table(("key", "authors", "year", "title", "where, and what was read"), sorted(rows))


if __name__ == "__main__":
    made = page()
    if "--check" in sys.argv:
        sys.exit(0 if PAGE.read_text(encoding="utf-8") == made else "docs/data.md is stale: make docs")
    PAGE.write_text(made, encoding="utf-8")
