"""Write docs/can-you-trust-it.md, its figures, docs/trust/trust.json and what the pages show of them.

    python -m scripts.make_trust        # `make trust`: sits the exam again, about a minute

What was fitted and cross-validated is read from `data/fit.json` (made by `make fit`); what was
compared with open data from docs/trust/facts.md; all else is worked out here.
"""

from __future__ import annotations

import csv
import itertools
import json
from collections import defaultdict
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any

from scripts import trust_published, trust_shape
from slackwater.report.trust_figures import families_figure, reliability_figure
from slackwater.service import exam, scoring, sitting

ROOT = Path(__file__).parents[1]
CASES = ROOT / "tests/cases/open.yaml"
PAGE = ROOT / "docs/can-you-trust-it.md"
FOLDER = ROOT / "docs/trust"
SHIPPED = ROOT / "src/slackwater/data/trust.json"
MISSES = ROOT / "tests/cases/misses.csv"
TARGETS = (
    ("outcomes", "high", "outcomes", "92 %"),
    ("comparisons", "high", "comparisons", "95 %"),
    ("peaceful lists called settled", "high", "peaceful_called_settled", "95 %"),
    ("who harms whom", "high", "direction", "97 %"),
    ("serious harm recalled", "high", "serious_recalled", "90 %"),
    ("no harm called serious", "high", "none_called_serious", "at most 3 %"),
    ("mild and uneasy", "medium", "mild_and_uneasy", "60 %"),
    ("mild and uneasy within one step", "medium", "within_one_step", "90 %"),
)
GROUPS = (("kind", "by_kind"), ("lever", "by_lever"), ("family", "by_family"))
BANDS = (0.0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.6, 0.8, 1.0)


def fitted() -> dict[str, Any]:
    """Return the stored record of the fit, empty if there is none."""
    file = resources.files("slackwater.data").joinpath("fit.json")
    return json.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def reliability(answers: Sequence[scoring.Answer]) -> list[tuple[float, float, int]]:
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


def by_family(answers: Sequence[scoring.Answer]) -> list[tuple[str, int, int]]:
    """Return for each family how many answers of high confidence are right, and of how many."""
    found: dict[str, list[bool]] = defaultdict(list)
    for a in answers:
        if a.confidence == "high":
            found[a.family].append(a.right)
    rows = sorted(found.items(), key=lambda row: (sum(row[1]) / len(row[1]), row[0]))
    return [(family, sum(right), len(right)) for family, right in rows]


def page(answers: Sequence[scoring.Answer], facts: dict[str, Any]) -> str:
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
        "## By kind, lever and family, high confidence",
        BY_GROUP,
        *(_by_group(facts, title, key) for title, key in GROUPS),
        "## The misses, high confidence",
        MISSED,
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
- A victim steps back once. In half a per cent of random tries one stone more then brings it a little
  more, by less than one per cent: the step leads where the stone now hides some of the pressure.
- Where only a word for the rock is known, three layouts of our own stand for it.
- Disease, stress before the sale, water and light are outside the judgement of company."""

INTRO = """No answer here was measured on a tank. The judged cases are common practice written from memory by
one adviser, and the model was fitted to the very cases it is scored on, except where it says
cross-validated: there every family was answered with coefficients found without it. The mechanisms
themselves were chosen with the misses in view, which cross-validation of coefficients cannot show;
so was the room that five coefficients have around their priors, chosen for the score of the families
left out, which flatters that score a little."""


BY_GROUP = """Right of all, as fitted and cross-validated (cv), beside what always answering the commonest
word of each kind of question would get."""

MISSED = """Every miss at high confidence, with the reason found for it: a fact that is wrong, a mechanism
that the model lacks, or a question on which keepers could differ. Since the first fit no
fact of a species was changed on account of a judged case, so the score with and without such cases is
the same."""


def _scores(facts: dict[str, Any]) -> str:
    lines = [
        "| what | confidence | as fitted | cross-validated | always the commonest word | aim |",
        "|---|---|---|---|---|---|",
    ]
    for name, level, key, aim in TARGETS:
        here = facts["as_fitted"][level][key]
        there = (facts.get("cross_validated") or {}).get(level, {}).get(key)
        common = _plain(here.get("commonest"))
        lines.append(f"| {name} | {level} | {_percent(here)} | {_percent(there)} | {common} | {aim} |")
    return "\n".join(lines)


def _by_group(facts: dict[str, Any], title: str, key: str) -> str:
    lines = [
        f"| {title} | outcomes | cv | commonest | comparisons | cv | commonest |",
        "|---|---|---|---|---|---|---|",
    ]
    here, there = facts["as_fitted"]["high"], (facts.get("cross_validated") or {}).get("high", {})
    names = sorted({*here["outcomes"][key], *here["comparisons"][key]})
    for name in names:
        cells = [
            cell
            for part in ("outcomes", "comparisons")
            for cell in _cells(here[part][key].get(name), there.get(part, {}).get(key, {}).get(name))
        ]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return "\n".join(lines)


def _cells(here: dict[str, Any] | None, there: dict[str, Any] | None) -> tuple[str, str, str]:
    if not here:
        return "", "", ""
    across = f"{there['right']}" if there else "not done"
    return f"{here['right']} of {here['n']}", across, f"{100 * here['commonest']:.0f} %"


def _recalled(facts: dict[str, Any]) -> str:
    high = facts["as_fitted"]["high"]
    return (
        f"Cases without harm answered so: {_level(high, 'harm none')}. Brier score of serious harm: "
        f"{high['brier']} (cross-validated {_cv(facts, 'brier')}; aim below 0.08). Who harms whom: of two "
        "species in one case, the one judged to do the graver harm must have the strictly greater chance "
        "of doing harm; a coin would get half."
    )


def _percent(scored: dict[str, Any] | None) -> str:
    if not scored or scored["share"] is None:
        return "not done"
    right = scored.get("right", scored.get("count"))
    return f"{100 * scored['share']:.1f} % ({right} of {scored['n']})"


def _plain(share: float | None) -> str:
    return f"{100 * share:.1f} %" if share is not None else ""


def _level(scored: dict[str, Any], level: str) -> str:
    row = scored["outcomes"]["by_level"].get(level)
    return f"{row['right']} of {row['n']}" if row else "none"


def _cv(facts: dict[str, Any], key: str) -> str:
    return str((facts.get("cross_validated") or {}).get("high", {}).get(key, "not done"))


def explained() -> dict[tuple[str, str, str], dict[str, str]]:
    """Return the table of misses by case, kind and what is asked."""
    rows = csv.DictReader(MISSES.read_text(encoding="utf-8").splitlines())
    return {(row["case"], row["kind"], row["asked"]): row for row in rows}


def missed(answers: Sequence[scoring.Answer]) -> list[scoring.Answer]:
    """Return the answers at high confidence that differ from the judges."""
    return [a for a in answers if a.confidence == "high" and not a.right]


def _miss(answer: scoring.Answer) -> dict[str, str]:
    row = explained().get((answer.case, answer.kind, answer.asked), {})
    return {
        "case": answer.case,
        "what": f"{answer.kind} {answer.asked}",
        "judged": answer.expected,
        "answer": answer.got,
        "found": answer.reason,
        "category": row.get("category", "not looked into"),
        "why": row.get("reason", ""),
    }


def _misses(answers: Sequence[scoring.Answer]) -> str:
    lines = ["| case | what | judged | answer | found | category | why |", "|---|---|---|---|---|---|---|"]
    lines += [f"| {' | '.join(_miss(a).values())} |" for a in missed(answers)]
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
            level: scoring.score([a for a in answers if a.confidence == level])
            for level in ("high", "medium")
        },
        "cross_validated": stored.get("cross_validated"),
        "fingerprint": stored.get("fingerprint"),
        "reliability": reliability(answers),
        "misses": [_miss(a) for a in missed(answers)],
        "published": trust_published.records(),
        "shape": trust_shape.records(list(trust_shape.tried())),
    }
    FOLDER.mkdir(exist_ok=True)
    forecasts, families = reliability(answers), by_family(answers)
    (FOLDER / "reliability.svg").write_text(f"{reliability_figure(forecasts)}\n", encoding="utf-8")
    (FOLDER / "families.svg").write_text(f"{families_figure(families)}\n", encoding="utf-8")
    text = json.dumps(facts, indent=1, sort_keys=True)
    (FOLDER / "trust.json").write_text(f"{text}\n", encoding="utf-8")
    told = page(answers, facts)
    PAGE.write_text(told, encoding="utf-8")
    shipped = {"page": told, "reliability": forecasts, "families": families}
    SHIPPED.write_text(f"{json.dumps(shipped, indent=1)}\n", encoding="utf-8")


if __name__ == "__main__":
    main()
