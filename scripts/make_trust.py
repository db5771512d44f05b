"""Write docs/can-you-trust-it.md, its figures and docs/trust/trust.json.

    python -m scripts.make_trust        # `make trust`: sits the exam again, about a minute

What was fitted and cross-validated is read from `data/fit.json` (made by `make fit`); what was
compared with open data from docs/trust/facts.md; all else is worked out here.
"""

from __future__ import annotations

import itertools
import json
import math
from collections import defaultdict
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from scripts import trust_published, trust_shape
from slackwater.report.svg import Node, node
from slackwater.service import exam, sitting

ROOT = Path(__file__).parents[1]
CASES = ROOT / "tests/cases/open.yaml"
PAGE = ROOT / "docs/can-you-trust-it.md"
FOLDER = ROOT / "docs/trust"
TARGETS = (
    ("outcomes, high confidence", "outcomes", 0.92),
    ("comparisons, high confidence", "comparisons", 0.95),
    ("peaceful lists called settled", "peaceful_called_settled", 0.95),
)
BANDS = (0.0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.6, 0.8, 1.0)
INK, FILL = "#1f2933", "#8fb0bf"


def fitted() -> dict[str, Any]:
    """Return the stored record of the fit, empty if there is none."""
    file = resources.files("slackwater.data").joinpath("fit.json")
    return json.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def reliability(answers: Sequence[exam.Answer]) -> list[tuple[float, float, int]]:
    """Return forecast and observed share of serious harm by band of forecast, with counts."""
    harm = [a for a in answers if a.kind == "harm"]
    rows = []
    for low, high in itertools.pairwise(BANDS):
        inside = [a for a in harm if low <= a.p < high or (high == 1.0 and a.p == 1.0)]
        if inside:
            said = sum(a.p for a in inside) / len(inside)
            came = sum(a.expected == "serious" for a in inside) / len(inside)
            rows.append((said, came, len(inside)))
    return rows


def diagram(rows: Sequence[tuple[float, float, int]]) -> Node:
    """Return the reliability diagram: what was forecast against what the judges say."""
    size, edge = 300.0, 40.0
    parts = [
        node("rect", x=edge, y=10, width=size, height=size, fill="none", stroke=INK, stroke_width=1),
        node("line", x1=edge, y1=10 + size, x2=edge + size, y2=10, stroke="#9aa5b1", stroke_dasharray="4 4"),
    ]
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        x, y = edge + size * share, 10 + size * (1 - share)
        parts.append(_text(f"{100 * share:.0f}", x, 10 + size + 16, "middle"))
        parts.append(_text(f"{100 * share:.0f}", edge - 6, y + 4, "end"))
    for said, came, count in rows:
        x, y = edge + size * said, 10 + size * (1 - came)
        radius = 3.0 + 1.2 * math.sqrt(count)
        parts.append(node("circle", cx=x, cy=y, r=radius, fill=FILL, stroke=INK, stroke_width=1))
        parts.append(_text(str(count), x, y + 4, "middle"))
    parts.append(_text("forecast chance of serious harm [%]", edge + size / 2, 10 + size + 36, "middle"))
    parts.append(_text("judged serious [%]; numbers in circles: cases", edge, 6, "start"))
    return _svg(parts, 360.0, 362.0, "Reliability of forecasts of serious harm")


def by_family(answers: Sequence[exam.Answer]) -> Node:
    """Return the share right by family, high confidence, as bars with counts."""
    found: dict[str, list[bool]] = defaultdict(list)
    for a in answers:
        if a.confidence == "high":
            found[a.family].append(a.right)
    rows = sorted(found.items(), key=lambda row: (sum(row[1]) / len(row[1]), row[0]))
    height, left, wide = 16.0, 190.0, 260.0
    parts = []
    for n, (family, right) in enumerate(rows):
        y = 10 + n * height
        share = sum(right) / len(right)
        parts.append(_text(family, left - 6, y + 11, "end"))
        parts.append(node("rect", x=left, y=y + 2, width=wide * share, height=height - 5, fill=FILL))
        parts.append(_text(f"{sum(right)} of {len(right)}", left + wide + 6, y + 11, "start"))
    return _svg(parts, left + wide + 70, 20 + height * len(rows), "Share right by family")


def _text(text: str, x: float, y: float, anchor: str) -> Node:
    return node("text", text, x=x, y=y, font_size=11, text_anchor=anchor, fill=INK, font_family="sans-serif")


def _svg(parts: Sequence[Node], width: float, height: float, title: str) -> Node:
    return node(
        "svg",
        node("title", title),
        node("rect", x=0, y=0, width=width, height=height, fill="#ffffff"),
        *parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width:g} {height:g}",
        width=width,
        height=height,
    )


def page(answers: Sequence[exam.Answer], facts: dict[str, Any]) -> str:
    """Return the page."""
    lines = [
        "# Can you trust it?",
        "Made by `make trust`; do not edit. The same facts stand in [trust.json](trust/trust.json).",
        INTRO,
        "## How it judges",
        _scores(facts),
        _recalled(facts),
        "![Reliability](trust/reliability.svg)",
        "![By family](trust/families.svg)",
        "## The misses, high confidence",
        _misses(answers),
        "## What holds and what does not of what was published",
        trust_published.section(facts["published"]),
        "## What should help the worst-off",
        trust_shape.section(facts["shape"]),
        "## Facts against open data",
        _facts_page(),
        "## Limits and assumptions",
        LIMITS,
    ]
    return "\n\n".join(lines) + "\n"


LIMITS = """- No dose-response from chases to harm exists for any fish; its coefficients are assumed, then
  fitted to judgements.
- Tempers and group rules are common practice; individuals differ by half to double and more.
- Homes are shares over likely places, not one place; the drawing shows one likely home.
- Where only a word for the rock is known, three layouts of our own stand for it.
- Disease, stress before the sale, water and light are outside the judgement of company."""

INTRO = """No answer here was measured on a tank. The judged cases are common practice written from memory by
one adviser, and the model was fitted to the very cases it is scored on, except where it says
cross-validated: there every family was answered with coefficients found without it."""


def _scores(facts: dict[str, Any]) -> str:
    lines = [
        "| what | as fitted | cross-validated | always the commonest word | aim |",
        "|---|---|---|---|---|",
    ]
    for name, key, aim in TARGETS:
        here = facts["as_fitted"]["high"][key]
        there = (facts.get("cross_validated") or {}).get("high", {}).get(key)
        common = here.get("commonest")
        lines.append(
            f"| {name} | {_percent(here)} | {_percent(there)} | {_plain(common)} | {100 * aim:.0f} % |"
        )
    return "\n".join(lines)


def _recalled(facts: dict[str, Any]) -> str:
    high = facts["as_fitted"]["high"]
    said = [
        f"Serious cases recalled: {_level(high, 'harm serious')}.",
        f"Cases without harm answered so: {_level(high, 'harm none')}.",
        f"Brier score of serious harm: {high['brier']} (cross-validated {_cv(facts, 'brier')}).",
    ]
    return " ".join(said)


def _percent(scored: dict[str, Any] | None) -> str:
    if not scored or scored["share"] is None:
        return "not done"
    return f"{100 * scored['share']:.1f} % of {scored['n']}"


def _plain(share: float | None) -> str:
    return f"{100 * share:.1f} %" if share is not None else ""


def _level(scored: dict[str, Any], level: str) -> str:
    row = scored["outcomes"]["by_level"].get(level)
    return f"{row['right']} of {row['n']}" if row else "none"


def _cv(facts: dict[str, Any], key: str) -> str:
    return str((facts.get("cross_validated") or {}).get("high", {}).get(key, "not done"))


def _misses(answers: Sequence[exam.Answer]) -> str:
    lines = ["| case | what | judged | answer | because |", "|---|---|---|---|---|"]
    lines += [
        f"| {a.case} | {a.kind} {a.asked} | {a.expected} | {a.got} | {a.reason} |"
        for a in answers
        if a.confidence == "high" and not a.right
    ]
    return "\n".join(lines)


def _facts_page() -> str:
    path = FOLDER / "facts.md"
    if not path.exists():
        return "Not done yet."
    text = path.read_text(encoding="utf-8")
    return "\n".join(line for line in text.splitlines() if not line.startswith(("# ", "## "))).strip()


def main() -> None:
    """Sit the exam and write the page, the figures and the record."""
    answers = sitting.sit(exam.read_cases([CASES]), jobs=2).answers
    stored = fitted()
    facts = {
        "as_fitted": {
            level: exam.score([a for a in answers if a.confidence == level]) for level in ("high", "medium")
        },
        "cross_validated": stored.get("cross_validated"),
        "fingerprint": stored.get("fingerprint"),
        "reliability": reliability(answers),
        "published": trust_published.records(),
        "shape": trust_shape.records(list(trust_shape.tried())),
    }
    FOLDER.mkdir(exist_ok=True)
    (FOLDER / "reliability.svg").write_text(f"{diagram(reliability(answers))}\n", encoding="utf-8")
    (FOLDER / "families.svg").write_text(f"{by_family(answers)}\n", encoding="utf-8")
    text = json.dumps(facts, indent=1, sort_keys=True)
    (FOLDER / "trust.json").write_text(f"{text}\n", encoding="utf-8")
    PAGE.write_text(page(answers, facts), encoding="utf-8")


if __name__ == "__main__":
    main()
