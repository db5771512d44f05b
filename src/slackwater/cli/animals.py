"""`species` and `name`: which animal, and what is known of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.show import AsJson, as_json, heading, paragraphs, points, table
from slackwater.errors import InputError

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
    said: Annotated[
        str | None, typer.Argument(metavar="NAME", help="A scientific or trade name.", show_default=False)
    ] = None,
    *,
    every: Annotated[bool, typer.Option("--all", help="All species, for --export.")] = False,
    export: Annotated[
        Path | None,
        typer.Option(
            "--export", help="Write the values as CSV, in Darwin Core terms; - prints them.", metavar="FILE"
        ),
    ] = None,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Show what is known of a species, and who says so.

    Estimates, values from memory, and values of the genus or family are guesses and marked with ~.
    Values of the house notes go before all others, which stay in sight.
    """
    from slackwater.service.animals import sheet

    name = _asked(said, every=every, exports=export is not None)
    with notes(house):
        if export is not None:
            _export(name, export, json=json)
            return
        known = sheet(name or "")
    if json:
        as_json(known)
        return
    _show_species(known)


def _asked(said: str | None, *, every: bool, exports: bool) -> str | None:
    """Return the name asked for, None for all species."""
    if every and said is None and exports:
        return None
    if not every and said is not None:
        return said
    given = "--all" if every else "nothing"
    raise InputError(
        field="the species",
        given=f"{said} and --all" if every and said else given,
        limit="it is one name, or --all together with --export",
        remedy='Write slackwater species "Gramma loreto", or slackwater species --all --export facts.csv.',
    )


def _export(name: str | None, path: Path, *, json: bool) -> None:
    import sys

    from slackwater.service.export import export, export_file

    if str(path) == "-":
        export(name, sys.stdout)
        return
    written = export_file(name, path)
    if json:
        as_json(written)
        return
    paragraphs(f"Written: {path}, {written.rows} values of {written.species} species.")


def name(
    said: Annotated[str, typer.Argument(metavar="TEXT", help="The customer's words, slips and all.")],
    *,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say whom a customer means; where several may be meant, by which mark to tell them."""
    from slackwater.service.animals import who

    with notes(house):
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
    if known.house_notes:
        heading("House notes")
        points(known.house_notes)
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
    if row.kind == "house":
        instead = f"; in place of {'; '.join(row.others)}" if row.others else ""
        return f"house note ({row.locator}){rank}{note}{instead}"
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
    paragraphs(f"Also said: {also}." if also else "", *meaning.house_notes)
