"""Sitting the exam: cases judged side by side by several processes, and the whole record of it."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from slackwater.errors import InputError, SlackwaterError
from slackwater.rules import load_rules
from slackwater.service import exam
from slackwater.service.scoring import Answer, score
from slackwater.society.judge import Settings

Tick = Callable[[int], None]

_CHUNK = 8


class Confidence(StrEnum):
    """Which cases are put: those of one confidence, or all."""

    HIGH = "high"
    MEDIUM = "medium"
    ALL = "all"


@dataclass(frozen=True)
class NotJudged:
    """A case that could not be judged, and why."""

    case: str
    why: str


@dataclass(frozen=True)
class Sitting:
    """All answers, in the order of the cases, and the cases that could not be judged."""

    answers: tuple[Answer, ...]
    not_judged: tuple[NotJudged, ...]
    not_modelled: Mapping[str, str]


def open_cases() -> Path | None:
    """Return the open judged cases where the program runs from a checkout, else None."""
    path = Path(__file__).resolve().parents[3] / "tests" / "cases" / "open.yaml"
    return path if path.is_file() else None


def cases_of(paths: Sequence[Path], confidence: Confidence = Confidence.ALL) -> list[exam.Case]:
    """Return the cases of some files, of one confidence or all.

    Raises
    ------
    InputError
        If a file cannot be read or is no list of cases, or no case is left.
    """
    cases = _read(paths)
    chosen = [c for c in cases if confidence is Confidence.ALL or c.get("confidence") == confidence]
    if not chosen:
        raise InputError(
            field="the exam",
            given=f"{len(cases)} cases, none of confidence {confidence}",
            limit="there must be at least one case to judge",
            remedy="Give another file, or --confidence all.",
        )
    return chosen


def sit(cases: Sequence[exam.Case], jobs: int = 2, tick: Tick = lambda _: None) -> Sitting:
    """Return the answers to all cases; the same for any number of processes.

    Parameters
    ----------
    cases
        The judged cases.
    jobs
        How many processes; with 1 everything stays in this one.
    tick
        Called with the number of cases just done.

    Notes
    -----
    A case that cannot be judged is reported beside its name, and the rest go on.
    """
    chunks = [cases[n : n + _CHUNK] for n in range(0, len(cases), _CHUNK)]
    answers: list[Answer] = []
    failed: list[NotJudged] = []
    for chunk, (told, bad) in zip(chunks, _sat(chunks, jobs), strict=True):
        answers.extend(told)
        failed.extend(bad)
        tick(len(chunk))
    return Sitting(tuple(answers), tuple(failed), exam.not_modelled(cases))


def record(sitting: Sitting) -> dict[str, Any]:
    """Return the whole result as plain values: the score first, then every case."""
    answers = sitting.answers
    return score(answers) | {
        "not_modelled": dict(sorted(sitting.not_modelled.items())),
        "not_judged": [{"case": n.case, "why": n.why} for n in sitting.not_judged],
        "cases": [_plain(answer) for answer in answers],
    }


Told = tuple[list[Answer], list[NotJudged]]


def _read(paths: Sequence[Path]) -> list[exam.Case]:
    import yaml

    cases: list[exam.Case] = []
    for path in paths:
        try:
            cases.extend(exam.read_cases([path]))
        except OSError:
            raise _refusal(path, "not to be found or read", "Check the name and the folder.") from None
        except (yaml.YAMLError, UnicodeDecodeError):
            raise _refusal(path, "no YAML", "Mend the file; its format stands in docs/cli.md.") from None
    return cases


def _refusal(path: Path, given: str, remedy: str) -> InputError:
    limit = "an exam is a file of judged cases"
    return InputError(field=str(path), given=given, limit=limit, remedy=remedy)


def _sat(chunks: Sequence[Sequence[exam.Case]], jobs: int) -> Iterable[Told]:
    if jobs <= 1 or len(chunks) == 1:
        yield from map(_judged, chunks)
        return
    # A fresh process each: forking one that has started compiled threads is not safe.
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(min(jobs, len(chunks)), context, _one_thread) as pool:
        yield from pool.map(_judged, chunks)


def _one_thread() -> None:
    from slackwater import kernels

    kernels.use_threads(1)


def _judged(cases: Sequence[exam.Case]) -> Told:
    rules, settings = load_rules(), Settings(fine=False, draws=exam.DRAWS)
    answers: list[Answer] = []
    failed: list[NotJudged] = []
    for case in cases:
        try:
            answers.extend(exam.answer_case(case, rules, settings))
        except SlackwaterError as fault:
            failed.append(NotJudged(str(case["id"]), str(fault)))
        except (KeyError, TypeError, ValueError, AttributeError) as fault:
            why = f"the case cannot be read; {type(fault).__name__}: {fault}. See its format in docs/cli.md."
            failed.append(NotJudged(str(case["id"]), why))
    return answers, failed


def _plain(answer: Answer) -> dict[str, Any]:
    return {
        "id": answer.case,
        "family": answer.family,
        "lever": answer.lever,
        "confidence": answer.confidence,
        "kind": answer.kind,
        "asked": answer.asked,
        "expected": answer.expected,
        "answer": answer.got,
        "right": answer.right,
        "p": round(answer.p, 6),
        "p_back": None if answer.p_back is None else round(answer.p_back, 6),
        "reason": answer.reason,
    }
