"""`check` and `explain`: at the counter."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.show import AsJson, as_json, heading, paragraphs, points, table
from slackwater.cli.telling import tells_a_tank

if TYPE_CHECKING:
    from slackwater.plan.records import Assumption
    from slackwater.service.check_records import CheckAnswer, Fare, JointAnswer
    from slackwater.service.counter import Told
    from slackwater.service.explaining import Direction, PairAnswer


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "check",
        short_help="Check one newcomer, or several, at the counter.",
        epilog='Example: slackwater check "royal gramma" "2 firefish goby" --length 120cm --with "six line"',
    )(check)
    app.command(
        "explain",
        short_help="Why A troubles B, factor by factor.",
        epilog='Example: slackwater explain "six line" "royal gramma" --length 90cm',
    )(explain)


@tells_a_tank
def check(
    newcomers: Annotated[
        list[str],
        typer.Argument(metavar="NEWCOMER...", help='Who is wanted: "royal gramma", "3 green chromis 4cm".'),
    ],
    *,
    told: Told,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Check at the counter who is wanted: one newcomer, or several at once.

    Says whether it can go in, when, after whom and on what condition; who is worst off and through
    whom; and what was assumed. What you do not tell is assumed, and its cost is shown. Several, in
    order of the heart, are judged with those who live there and with one another.
    """
    from slackwater.service.checking_together import check_wanted
    from slackwater.service.said_lines import said_in

    with notes(house):
        answer = check_wanted([said.words for said in said_in(newcomers)] or [""], told)
    if json:
        as_json(answer)
        return
    _show_check(answer)


@tells_a_tank
def explain(
    first: Annotated[str, typer.Argument(metavar="A", help="Who was there first.")],
    second: Annotated[str, typer.Argument(metavar="B", help="Who comes after it.")],
    *,
    told: Told,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say why A troubles B, factor by factor, and what B does to A.

    The attack rate is a product of named factors. Each stands beside the value of an unremarkable
    case, with who says so.
    """
    from slackwater.service.explaining import explain_pair

    with notes(house):
        answer = explain_pair(first, second, told)
    if json:
        as_json(answer)
        return
    _show_pair(answer)


def _how_sure(fare: Fare) -> str:
    if fare.two_outcomes:
        return "Two outcomes are possible: it depends on the individual."
    return f"The answer is {fare.sure}."


def _show_check(answer: CheckAnswer | JointAnswer) -> None:
    from slackwater.service.check_records import JointAnswer

    paragraphs(answer.sentence, answer.next_step)
    if isinstance(answer, JointAnswer):
        heading("Each of them")
        points([one.sentence for one in answer.newcomers])
    heading("Worst off")
    paragraphs(_opening(answer.worst.sentence), _how_sure(answer.worst))
    if len(answer.animals) > 1:
        points([*_others(answer), *answer.already])
    heading("Assumed")
    _show_assumed(answer.assumptions)
    if answer.question:
        heading("The one question to ask")
        paragraphs(answer.question)
    in_mind = [text for text in (answer.come_back_if, *answer.house_notes, *answer.cautions) if text]
    if in_mind:
        heading("Keep in mind")
        points(in_mind)


def _others(answer: CheckAnswer | JointAnswer) -> list[str]:
    """Return how the others fare, the worst first; those at ease in one line, none told of twice."""
    told = " ".join(answer.already)
    rest = [f for f in answer.animals if f != answer.worst and f.sentence not in told]
    troubled = sorted((f for f in rest if f.word != _AT_EASE), key=lambda fare: -fare.p)
    calm = [fare.common_name for fare in rest if fare.word == _AT_EASE]
    return [*(_opening(f.sentence) for f in troubled), f"At ease: {', '.join(calm)}." if calm else ""]


_AT_EASE, _LENGTH = "at ease", "length of "


def _show_assumed(rows: Sequence[Assumption]) -> None:
    """Show what was assumed; lengths that would change nothing stand together."""
    plain = [row for row in rows if row.what.startswith(_LENGTH) and not row.cost]
    table(("", "", ""), [(row.what, row.taken, row.cost) for row in rows if row not in plain])
    lengths = ", ".join(f"{row.what.removeprefix(_LENGTH)} {row.taken}" for row in plain)
    paragraphs(f"Lengths: {lengths}." if plain else "")


def _opening(text: str) -> str:
    return text[:1].upper() + text[1:]


def _show_pair(answer: PairAnswer) -> None:
    _show_direction(answer.there)
    back = answer.back
    heading(f"The other way: {answer.second} to {answer.first}")
    by = f" Strongest: {', '.join(back.strongest)}." if back.strongest else ""
    paragraphs(f"{back.sentence} That alone would leave {answer.first} {back.word}.{by}")
    heading("Assumed")
    first = f"{answer.first} was there first; the figures are those of day {answer.day:.0f}."
    taken = (f"{row.what}: {row.taken}" for row in answer.assumptions)
    points([first, *taken, *answer.house_notes])


def _show_direction(told: Direction) -> None:
    paragraphs(f"{told.sentence} That alone would leave it {told.word}.")
    heading("Factor by factor")
    rows = [
        (f.name, _figure(f.value, f.unit), _moves(f.weight, f.symbol), f.words, f.says_who)
        for f in told.factors
    ]
    table(("factor", "value", "beside usual", "in words", "says who"), rows, right=(1,))
    paragraphs(
        f"\nTogether {told.product:.3g} attacks an hour; {told.rate:.3g} once limited time, dilution and "
        "third parties are counted. Harm coefficients are assumed.",
        _ranges(told),
        f"What helps: {told.lever}.",
    )


def _ranges(told: Direction) -> str:
    return (
        "Nine in ten draws of individuals, of what was not told and of the coefficients lie between "
        f"{told.rate_low:.2g} and {told.rate_high:.2g} attacks an hour, and between "
        f"{100 * told.harm_low:.0f} and {100 * told.harm_high:.0f} % chance of harm by it alone. "
        f"The answer is {told.sure}."
    )


def _figure(value: float, unit: str) -> str:
    return f"{value:.3g} {unit}".rstrip()


def _moves(weight: float, symbol: str) -> str:
    if symbol == "a" or abs(weight - 1.0) < 0.05:  # noqa: PLR2004 - too little to name
        return "as usual" if symbol != "a" else ""
    return f"{weight:.2g} times"
