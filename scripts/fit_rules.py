"""Fit the coefficients named in `data/fit.csv` to the judged cases, with priors at their sourced values.

    python scripts/fit_rules.py tests/cases/open.yaml [--rounds 3] [--write]

Never run in CI. Each round answers all cases once at the present values and once with each
coefficient a little larger, which makes a linear picture of every answer; on that picture the
loss (ordinal for outcomes, signed for comparisons, a penalty for leaving the prior) is minimised
with scipy, and the step is kept only if the true loss falls. Cross-validation repeats the last
picture with each fifth of the families left out in turn and answers the families left out at the
values found without them. Everything is seeded; the same files give the same fit.
"""

from __future__ import annotations

import argparse
import csv
import hashlib
import json
import math
import re
import sys
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from slackwater.rules import FOLDS, load_rules
from slackwater.service import exam, scoring
from slackwater.society.judge import Settings

Array = NDArray[np.float64]

ROOT = Path(__file__).parents[1]
DATA = ROOT / "src/slackwater/data"
SETTINGS = Settings(fine=False, draws=64)
STEP = 0.15
REACH = 0.7
WEIGHT = {"high": 1.0, "medium": 0.4}
NONE_MILD = math.log10(-math.log(1.0 - 0.02) / 90.0)
MILD_SERIOUS = math.log10(-math.log(1.0 - 0.35) / 90.0)
PEACE_UNEASY = math.log10(-math.log(1.0 - 0.10) / 90.0)
BLUR = 0.22
BLUR_COMPARED = 0.06
HELD_BELOW = {"reaction_cm.stranger": 35.5, "roams.cruise": 1.4}
"""Limits that an order sets: strangers are noticed no farther than the guild, and one that cruises
sweeps no more water than one that races."""
KINDS = {"harm", "community", "comparison"}


@dataclass(frozen=True)
class Coefficient:
    """A coefficient to fit: its name, the prior and how far (in ln) it may stray."""

    name: str
    prior: float
    spread: float


@dataclass(frozen=True)
class Row:
    """One answer as a number: log10 hazard of an outcome, or the difference of a comparison."""

    case: str
    family: str
    kind: str
    expected: str
    weight: float
    value: float


def coefficients() -> list[Coefficient]:
    """Return the coefficients to fit, with their priors."""
    rows = csv.DictReader((DATA / "fit.csv").read_text(encoding="utf-8").splitlines())
    return [Coefficient(r["rule"], float(r["prior"]), float(r["spread"])) for r in rows]


def _level(p: float) -> float:
    h = -math.log(1.0 - min(p, 1.0 - 1e-9)) / 90.0
    return math.log10(min(h, 0.05) + 1e-6)


def _rows(job: tuple[exam.Case, Sequence[Mapping[str, float]]]) -> list[list[Row]]:
    """Return the fitted answers of one case at each of several values."""
    case, tried = job
    if "base" not in case and not any(e["kind"] in KINDS for e in case["expect"]):
        return [[] for _ in tried]
    return [_answered(case, values) for values in tried]


def _answered(case: exam.Case, values: Mapping[str, float]) -> list[Row]:
    rules = load_rules().replaced(values)
    out = []
    for answer in exam.answer_case(case, rules, SETTINGS):
        if answer.kind not in KINDS:
            continue
        number = answer.p if answer.kind == "comparison" else _level(answer.p)
        weight = WEIGHT[answer.confidence]
        out.append(Row(answer.case, answer.family, answer.kind, answer.expected, weight, number))
    return out


class Bench:
    """Answers all cases at given values, on two processes.

    A case is answered at all values in a row, so that its rock and its cells are made once.
    """

    def __init__(self, cases: Sequence[exam.Case], pool: ProcessPoolExecutor) -> None:
        self.cases = cases
        self.pool = pool

    def __call__(self, values: Mapping[str, float]) -> list[Row]:
        """Return the rows of all cases, in their order."""
        return self.each([values])[0]

    def each(self, tried: Sequence[Mapping[str, float]]) -> list[list[Row]]:
        """Return the rows of all cases at each of several values."""
        jobs = [(case, [dict(values) for values in tried]) for case in self.cases]
        found: list[list[Row]] = [[] for _ in tried]
        for n, by_values in enumerate(self.pool.map(_rows, jobs, chunksize=4)):
            for rows, more in zip(found, by_values, strict=True):
                rows.extend(more)
            if len(tried) > 1 and n % 50 == 0:
                print(f"  case {n}", flush=True)
        return found


def losses(rows: Sequence[Row], value: Array) -> Array:
    """Return the loss of each row at some answers (the rows' own, or a picture's)."""
    out = np.zeros(len(rows))
    for n, row in enumerate(rows):
        out[n] = row.weight * _loss(row, float(value[n]))
    return out


def _loss(row: Row, x: float) -> float:
    if row.kind == "comparison":
        cuts, blur = (-0.1, 0.1), BLUR_COMPARED
        words = ("better", "same", "worse")
    elif row.kind == "harm":
        cuts, blur = (NONE_MILD, MILD_SERIOUS), BLUR
        words = ("none", "mild", "serious")
    else:
        cuts, blur = (PEACE_UNEASY, MILD_SERIOUS), BLUR
        words = ("peaceful", "uneasy", "trouble")
    place = words.index(row.expected)
    low = -np.inf if place == 0 else (cuts[place - 1] - x) / blur
    high = np.inf if place == len(cuts) else (cuts[place] - x) / blur
    below, above = _share(low), _share(high)
    return -math.log(max(above - below, 1e-4))


def _share(x: float) -> float:
    if x == np.inf:
        return 1.0
    return 0.0 if x == -np.inf else 1.0 / (1.0 + math.exp(-max(min(x, 60.0), -60.0)))


@dataclass(frozen=True)
class Picture:
    """All answers as linear functions of the logarithms of the coefficients."""

    rows: list[Row]
    at: Array
    value: Array
    slope: Array

    def answers(self, theta: Array) -> Array:
        """Return the answers at other logarithms of the coefficients."""
        return np.asarray(self.value + self.slope @ (theta - self.at))


def picture(bench: Bench, named: Sequence[Coefficient], theta: Array) -> Picture:
    """Return the linear picture about some values."""
    values = {c.name: math.exp(t) for c, t in zip(named, theta, strict=True)}
    moved = [values | {c.name: values[c.name] * math.exp(STEP)} for c in named]
    rows, *steps = bench.each([values, *moved])
    here = np.array([row.value for row in rows])
    slope = np.stack([(np.array([r.value for r in step]) - here) / STEP for step in steps], axis=1)
    for c, mean in zip(named, np.abs(slope).mean(axis=0), strict=True):
        print(f"  {c.name:24s} {mean:.3f}", flush=True)
    return Picture(rows, theta.copy(), here, slope)


def solve(shown: Picture, named: Sequence[Coefficient], kept: Array) -> Array:
    """Return the logarithms of least loss on a picture, within reach of where it was made."""
    prior = np.log([c.prior for c in named])
    spread = np.array([c.spread for c in named])

    def loss(theta: Array) -> float:
        strayed = float((((theta - prior) / spread) ** 2).sum()) / 2.0
        return strayed + float(losses(shown.rows, shown.answers(theta))[kept].sum())

    most = [math.log(HELD_BELOW[c.name]) if c.name in HELD_BELOW else math.inf for c in named]
    bounds = [(t - REACH, max(min(t + REACH, m), t - REACH)) for t, m in zip(shown.at, most, strict=True)]
    found = minimize(loss, shown.at, method="L-BFGS-B", bounds=bounds)
    return np.asarray(found.x)


def total(rows: Sequence[Row], named: Sequence[Coefficient], theta: Array) -> float:
    """Return the true loss: that of the answers and of leaving the priors."""
    prior = np.log([c.prior for c in named])
    spread = np.array([c.spread for c in named])
    strayed = float((((theta - prior) / spread) ** 2).sum()) / 2.0
    return strayed + float(losses(rows, np.array([r.value for r in rows])).sum())


def fold_of(family: str) -> int:
    """Return the fold of a family: the same wherever and whenever it is asked."""
    return int(hashlib.sha256(family.encode()).hexdigest(), 16) % FOLDS


def fit(bench: Bench, named: Sequence[Coefficient], rounds: int) -> tuple[Array, Picture]:
    """Return the fitted logarithms and the last picture."""
    rules = load_rules()
    theta = np.log([rules[c.name] for c in named])
    best = math.inf
    shown = None
    for turn in range(rounds):
        shown = picture(bench, named, theta)
        best = total(shown.rows, named, theta)
        print(f"round {turn}: loss {best:.2f}", flush=True)
        everyone = np.ones(len(shown.rows), dtype=bool)
        target = solve(shown, named, everyone)
        for share in (1.0, 0.5, 0.25):
            tried = theta + share * (target - theta)
            rows = bench({c.name: math.exp(t) for c, t in zip(named, tried, strict=True)})
            now = total(rows, named, tried)
            print(f"  step {share}: loss {now:.2f}", flush=True)
            if now < best:
                theta, best = tried, now
                break
        else:
            break
    assert shown is not None
    return theta, shown


def cross_validate(
    bench: Bench, named: Sequence[Coefficient], shown: Picture, theta: Array
) -> tuple[dict[str, Any], Array]:
    """Return the score of every family at values found without it, and the values by fold."""
    folds = np.array([fold_of(row.family) for row in shown.rows])
    answers: list[scoring.Answer] = []
    found = []
    for fold in range(FOLDS):
        near = Picture(shown.rows, theta, shown.answers(theta), shown.slope)
        values = solve(near, named, folds != fold)
        found.append(values)
        left_out = [c for c in bench.cases if fold_of(str(c["family"])) == fold]
        chosen = {c.name: math.exp(t) for c, t in zip(named, values, strict=True)}
        jobs = [(case, chosen) for case in left_out]
        for part in bench.pool.map(_answers, jobs, chunksize=8):
            answers.extend(part)
    scored = {
        confidence: scoring.score([a for a in answers if a.confidence == confidence])
        for confidence in ("high", "medium")
    }
    return scored, np.array(found)


def _one_thread() -> None:
    from slackwater import kernels

    kernels.use_threads(1)


def _answers(job: tuple[exam.Case, Mapping[str, float]]) -> list[scoring.Answer]:
    case, values = job
    return exam.answer_case(case, load_rules().replaced(values), SETTINGS)


_IN_NO_CASE = {"station_apart_cm"}


def used_rules() -> list[str]:
    """Return the rules that a score rests on: those that the code of `society` and the exam name.

    Those of `spread` only widen the intervals of an answer and move no score; `station_apart_cm` counts
    only where places for food are told one by one, as in no judged case.
    """
    files = [*sorted((ROOT / "src/slackwater/society").glob("*.py")), ROOT / "src/slackwater/service/exam.py"]
    code = "".join(path.read_text(encoding="utf-8") for path in files)
    named = set(re.findall(r"\"([a-z][a-z0-9_.]*)\"", code))
    used = (name for name in load_rules() if name in named or name.partition(".")[0] in named)
    return sorted(name for name in used if not name.startswith("spread.") and name not in _IN_NO_CASE)


def judged_facts() -> bytes:
    """Return the rows of facts but for the notes to a veterinarian, which no judgement reads."""
    lines = (DATA / "facts.csv").read_bytes().splitlines(keepends=True)
    return b"".join(line for line in lines if b",vet_note," not in line)


def fingerprint(cases: Path) -> str:
    """Return the hash of all that a fit rests on: cases, facts and the coefficients not fitted."""
    digest = hashlib.sha256()
    fitted = {c.name for c in coefficients()}
    rules = load_rules()
    for read in (cases.read_bytes(), judged_facts(), (DATA / "relatedness.csv").read_bytes()):
        digest.update(read)
    for c in coefficients():
        digest.update(f"{c.name}~{c.prior!r}~{c.spread!r};".encode())
    for name in (n for n in used_rules() if n not in fitted):
        digest.update(f"{name}={rules[name]!r};".encode())
    return digest.hexdigest()[:16]


def write(named: Sequence[Coefficient], theta: Array, spreads: Array) -> None:
    """Write the fitted values into `rules.csv` and their spread over the folds into `fit.csv`."""
    fitted = {c.name: float(f"{math.exp(t):.3g}") for c, t in zip(named, theta, strict=True)}
    path = DATA / "rules.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    for row in rows:
        if row["rule"] in fitted:
            row["value"] = f"{fitted[row['rule']]:g}"
    _save(path, rows)
    path = DATA / "fit.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    for row, spread in zip(rows, spreads, strict=True):
        row["fitted"] = f"{fitted[row['rule']]:g}"
        row["fold_sd_ln"] = f"{spread:.2f}"
    _save(path, rows)


def _save(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys(), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def main(arguments: Sequence[str]) -> None:
    """Fit, cross-validate, print, and write if asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("cases", type=Path)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--write", action="store_true")
    asked = parser.parse_args(arguments)
    named = coefficients()
    cases = exam.read_cases([asked.cases])
    with ProcessPoolExecutor(2, get_context("spawn"), _one_thread) as pool:
        bench = Bench(cases, pool)
        theta, shown = fit(bench, named, asked.rounds)
        scored, folds = cross_validate(bench, named, shown, theta)
    spreads = folds.std(axis=0)
    for c, t, s in zip(named, theta, spreads, strict=True):
        print(f"{c.name:24s} prior {c.prior:<8g} fitted {math.exp(t):<8.3g} fold sd {s:.2f}")
    print(json.dumps(scored, indent=1))
    if asked.write:
        write(named, theta, spreads)
        record = {"fingerprint": fingerprint(asked.cases), "cross_validated": scored}
        (DATA / "fit.json").write_text(json.dumps(record, indent=1, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
