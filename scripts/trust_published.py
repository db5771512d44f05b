"""The part of the trust page on published effects: the table of the tests, with figures measured anew."""

from __future__ import annotations

from collections import Counter
from typing import Any

from tests.reference.effects import FIGURES, STATES, Effect, effects

from slackwater.sources import load_sources

_NO_SINGLE_SOURCE = {"cp": "common practice", "mem": "see the note", "own": "own arithmetic"}
_COUNTED = {
    "holds": "hold",
    "in part": "hold in part",
    "missed": "are missed",
    "not modelled": "not modelled",
}


def records() -> list[dict[str, Any]]:
    """Return every published effect with its state and, where it is missed, what is found."""
    return [
        {
            "number": e.number,
            "effect": e.effect,
            "sources": [_source(key) for key in e.sources],
            "state": e.state,
            "found": FIGURES[e.number]() if e.number in FIGURES else "",
            "why": e.why,
        }
        for e in effects()
    ]


def section(rows: list[dict[str, Any]]) -> str:
    """Return the section: how many hold, what does not and by how much, then all that hold."""
    counts = Counter(row["state"] for row in rows)
    told = ", ".join(f"{counts[state]} {_COUNTED[state]}" for state in STATES)
    intro = (
        f"{len(rows)} effects from {len(_sources_used())} publications and common practice: {told}. "
        "Most publications were read as abstracts. Each effect has its number in "
        "`tests/reference/published_effects.csv`, which names its tests; what is missed is a test that "
        "must fail, so that neither can change unnoticed."
    )
    amiss = [row for row in rows if row["state"] != "holds"]
    held = [row for row in rows if row["state"] == "holds"]
    return "\n\n".join([intro, _table(amiss, ("found", "why")), "These hold:", _table(held, ("why",))])


def _table(rows: list[dict[str, Any]], columns: tuple[str, ...]) -> str:
    titles = {"found": "found here", "why": "note"}
    head = ["no.", "effect", "source", "state", *(titles[c] for c in columns)]
    lines = [_line(head), _line(["--:", *["---"] * (len(head) - 1)])]
    for row in rows:
        cells = [str(row["number"]), row["effect"], "; ".join(row["sources"]), row["state"]]
        lines.append(_line([*cells, *(row[c] for c in columns)]))
    return "\n".join(lines)


def _line(cells: list[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _source(key: str) -> str:
    """Return a source as it is cited: authors and year."""
    if key in _NO_SINGLE_SOURCE:
        return _NO_SINGLE_SOURCE[key]
    source = load_sources()[key]
    return f"{source.authors} {source.year}".strip()


def _sources_used() -> set[str]:
    used: set[str] = set()
    for effect in effects():
        used |= _published(effect)
    return used


def _published(effect: Effect) -> set[str]:
    return set(effect.sources) - set(_NO_SINGLE_SOURCE)
