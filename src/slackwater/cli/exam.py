"""`exam`: judged cases put to the model."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from slackwater.cli.show import bar, heading, paragraphs, points, table
from slackwater.errors import InputError


def add_to(app: typer.Typer) -> None:
    """Add the command of this module."""
    app.command(
        "exam",
        short_help="Judged cases put to the model, and the score.",
        epilog="Example: slackwater exam tests/cases/open.yaml --json out/exam.json",
    )(exam)


def exam(
    files: Annotated[
        list[Path] | None,
        typer.Argument(metavar="[FILE]...", help="Judged cases; in a checkout, the open ones if left out."),
    ] = None,
    *,
    confidence: Annotated[
        Literal["high", "medium", "all"], typer.Option("--confidence", help="Which cases to put.")
    ] = "all",
    json: Annotated[
        Path | None, typer.Option("--json", help="Write all answers as JSON; - prints them.", metavar="OUT")
    ] = None,
    jobs: Annotated[int, typer.Option("--jobs", min=1, max=256, help="How many processes.", metavar="N")] = 2,
    verbose: Annotated[bool, typer.Option("--verbose", help="Print each answer with its reason.")] = False,
) -> None:
    """Put judged cases to the model and print the score by kind, lever and family.

    Fields of the cases that the model does not use are named. A case that cannot be judged is named
    with the reason, and the rest go on.
    """
    from slackwater.service import sitting

    cases = sitting.cases_of(_files(files), sitting.Confidence(confidence))
    with bar("judging cases", len(cases)) as shown:
        told = sitting.sit(cases, jobs, shown.step)
    result = sitting.record(told)
    if json is not None:
        _write(result, json)
    if json is None or str(json) != "-":
        _show(result, verbose=verbose)


def _files(files: Sequence[Path] | None) -> Sequence[Path]:
    from slackwater.service.sitting import open_cases

    if files:
        return files
    kept = open_cases()
    if kept is None:
        raise InputError(
            field="the exam",
            given="no file",
            limit="the open cases come with the repository, not with the installed program",
            remedy="Give a file of judged cases: slackwater exam cases.yaml.",
        )
    return [kept]


def _write(result: Mapping[str, Any], path: Path) -> None:
    import json

    text = json.dumps(result, indent=2, ensure_ascii=False) + "\n"
    if str(path) == "-":
        typer.echo(text, nl=False)
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def _show(result: Mapping[str, Any], *, verbose: bool) -> None:
    outcomes, compared = result["outcomes"], result["comparisons"]
    if verbose:
        _show_answers(result["cases"])
    paragraphs(_summary("outcomes", outcomes), _summary("comparisons", compared))
    settled = result["peaceful_called_settled"]
    paragraphs(
        f"Peaceful companies called settled: {_of(settled)}." if settled["n"] else "",
        f"Who harms whom: {_of(result['direction'])}." if result["direction"]["n"] else "",
        f"Serious harm recalled: {_counted(result['serious_recalled'])}; "
        f"none called serious: {_counted(result['none_called_serious'])}; "
        f"mild and uneasy within one step: {_counted(result['within_one_step'])}.",
        f"Brier score of serious harm: {result['brier']}." if result["brier"] is not None else "",
    )
    for title, key in (
        ("kind", "by_kind"),
        ("level", "by_level"),
        ("lever", "by_lever"),
        ("family", "by_family"),
    ):
        _show_scores(f"By {title}", outcomes.get(key, {}), compared.get(key, {}))
    _show_rest("Not modelled", [f"{k}: {v}" for k, v in result["not_modelled"].items()])
    _show_rest("Not judged", [f"{row['case']}: {row['why']}" for row in result["not_judged"]])


def _show_answers(rows: Sequence[Mapping[str, Any]]) -> None:
    cells = [
        (
            r["id"],
            r["kind"],
            r["asked"],
            f"{r['expected']} / {r['answer']}",
            "" if r["right"] else "differs",
            r["reason"],
        )
        for r in rows
    ]
    table(("case", "kind", "about", "expected / answer", "", "reason"), cells)
    paragraphs(" ")


def _summary(name: str, score: Mapping[str, Any]) -> str:
    if not score["n"]:
        return ""
    commonest = f"always the commonest word would get {100 * score['commonest']:.1f} %"
    return f"{name.capitalize()}: {_of(score)}; {commonest}."


def _of(score: Mapping[str, Any]) -> str:
    return f"{score['right']} of {score['n']} right ({100 * score['share']:.1f} %)"


def _counted(score: Mapping[str, Any]) -> str:
    return f"{score['count']} of {score['n']}"


def _show_scores(title: str, outcomes: Mapping[str, Any], compared: Mapping[str, Any]) -> None:
    names = sorted({*outcomes, *compared})
    if not names:
        return
    heading(title)
    rows = [(name, _cell(outcomes.get(name)), _cell(compared.get(name))) for name in names]
    table(("", "outcomes", "comparisons"), rows, right=(1, 2))


def _cell(score: Mapping[str, Any] | None) -> str:
    return f"{score['right']} of {score['n']}" if score else ""


def _show_rest(title: str, lines: Sequence[str]) -> None:
    if lines:
        heading(title)
        points(lines)
