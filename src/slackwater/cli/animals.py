"""`species` and `name`: which animal, and what is known of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.show import AsJson, as_json, heading, paragraphs, points, table

if TYPE_CHECKING:
    from slackwater.service.animals import FactRow, SpeciesSheet
    from slackwater.taxa.names import Meaning


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "species",
        short_help="What is known of a species, and who says so.",
        epilog='Example: slackwater species "Gramma loreto"',
    )(species)
    app.command("name", short_help="Whom a customer means.", epilog='Example: slackwater name "blue tang"')(
        name
    )


def species(
    said: Annotated[str, typer.Argument(metavar="NAME", help="A scientific or trade name.")],
    *,
    json: AsJson = False,
) -> None:
    """Show what is known of a species, and who says so.

    Estimates, values from memory, and values of the genus or family are guesses and marked with ~.
    """
    from slackwater.service.animals import sheet

    known = sheet(said)
    if json:
        as_json(known)
        return
    _show_species(known)


def name(
    said: Annotated[str, typer.Argument(metavar="TEXT", help="The customer's words, slips and all.")],
    *,
    json: AsJson = False,
) -> None:
    """Say whom a customer means; where several may be meant, by which mark to tell them."""
    from slackwater.service.animals import who

    meaning = who(said)
    if json:
        as_json(meaning)
        return
    _show_meaning(meaning)


def _show_species(known: SpeciesSheet) -> None:
    paragraphs(f"{known.scientific_name}, {known.common_name} ({known.family})", known.mark)
    heading("Values; ~ marks a guess")
    rows = [
        (row.meaning, "~" if row.is_guess else "", _value(row), _says_who(row, known)) for row in known.rows
    ]
    table(("what", "", "value", "says who"), rows)
    heading("Sources")
    points([f"[{source.key}] {source.text}" for source in known.sources])


def _value(row: FactRow) -> str:
    value = f"{row.value:g}" if isinstance(row.value, float) else row.value.replace("_", " ")
    spread = f" ({row.low} to {row.high})" if row.low and row.high else ""
    return f"{value}{spread} {row.unit}".rstrip()


def _says_who(row: FactRow, known: SpeciesSheet) -> str:
    rank = "" if row.rank == known.scientific_name else f", said of {row.rank}"
    place = f" {row.locator}" if row.locator else ""
    note = f"; {row.note}" if row.note else ""
    return f"{row.kind} [{row.source}]{place}{rank}{note}"


_VERDICTS = {
    "one": "One animal goes by this name.",
    "ask": "Ask back: any of these may be meant.",
    "not a fish": "That is no fish.",
    "unknown": "Nobody in the table goes by this name; the nearest are these.",
}


def _show_meaning(meaning: Meaning) -> None:
    nearest = "" if meaning.candidates else " Nothing comes close."
    unknown = meaning.verdict == "unknown"
    paragraphs(
        "Nobody in the table goes by this name." + nearest
        if unknown and nearest
        else _VERDICTS[meaning.verdict]
    )
    rows = [(c.scientific_name, c.mark) for c in meaning.candidates]
    if rows:
        table(("", ""), rows)
    told = (
        f"count {meaning.count}" if meaning.count else "",
        f"length {meaning.length_cm:g} cm" if meaning.length_cm else "",
        f"sex {meaning.sex}" if meaning.sex else "",
    )
    also = ", ".join(part for part in told if part)
    paragraphs(f"Also said: {also}." if also else "")
