"""`stones`, `divider`, `box` and `aside`: rock, sheets, and animals held apart."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.plan import PaperOption
from slackwater.cli.show import AsJson, as_json, bar, files, heading, paragraphs, points, table
from slackwater.errors import InputError, shown

if TYPE_CHECKING:
    from slackwater.plan.aside import Aside, Hold
    from slackwater.plan.dividing import DividerAsked, Side
    from slackwater.plan.records import Assumption
    from slackwater.plan.settling_in import SettlingIn
    from slackwater.plan.sheet_design import SheetDesign
    from slackwater.service.dividing import AsideAnswer, BoxAnswer, DividerAnswer
    from slackwater.service.stones import LaidRow, StonesAnswer

TankFile = Annotated[Path, typer.Argument(metavar="FILE", help="The tank file, YAML or JSON.")]
Out = Annotated[
    Path | None, typer.Option("-o", "--out", help="Folder for drawings; none are made without it.")
]
Animal = Annotated[str, typer.Option("--animal", help="Who, as the file says it.", metavar="NAME")]


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "stones",
        short_help="The one stone whose move helps most.",
        epilog="Example: slackwater stones reef.yaml -o out",
    )(stones)
    app.command(
        "divider",
        short_help="A sheet across the tank, judged and drawn.",
        epilog='Example: slackwater divider reef.yaml --at 80cm --right "six line" -o out',
    )(divider)
    app.command(
        "box",
        short_help="Box, mirror and stations for a newcomer.",
        epilog='Example: slackwater box reef.yaml --animal "firefish goby"',
    )(box)
    app.command(
        "aside",
        short_help="An animal in the sump or a second tank.",
        epilog='Example: slackwater aside reef.yaml --animal "six line" --in sump --size 60x40x35cm',
    )(aside)


def stones(
    file: TankFile,
    most: Annotated[
        int, typer.Option("--most", min=1, max=3, help="How many stones may be handled.", metavar="N")
    ] = 3,
    seed: Annotated[
        int, typer.Option("--seed", min=0, help="Another seed seeks elsewhere.", metavar="N")
    ] = 0,
    of: Annotated[
        str | None,
        typer.Option("--of", help="Whose map to draw; the worst-off's if left out.", metavar="NAME"),
    ] = None,
    out: Out = None,
    *,
    anew: Annotated[
        bool, typer.Option("--anew/--no-anew", help="Whether to lay all stones anew as well.")
    ] = True,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say which single stone moved or added helps the worst-off animal most, then two and three.

    Only stones that nothing rests on are moved, only to where they stand, and none that two cannot
    lift. With -o, maps of pressure before and after are drawn to one scale.
    """
    from slackwater.plan.stones import StonesAsked
    from slackwater.service.stones import stones_file, write_stones

    asked = StonesAsked(most, anew, seed)
    with notes(house, beside=file), bar("looking at the rock") as shown_bar:
        answer = stones_file(file, _today(), asked, lambda step: shown_bar.step(label=step), of=of)
        written = write_stones(answer, out) if out else ()
    if json:
        as_json(answer)
        return
    _show_stones(answer)
    _show_written(written)


def divider(
    file: TankFile,
    at: Annotated[
        str | None, typer.Option("--at", help="How far from the left pane: 80cm, 32in.", metavar="LENGTH")
    ] = None,
    right: Annotated[
        list[str] | None,
        typer.Option("--right", help="Who lives to the right of it, once for each.", metavar="NAME"),
    ] = None,
    flow: Annotated[
        str | None,
        typer.Option("--flow", help="Water moved along the tank in an hour: 1500L.", metavar="VOLUME"),
    ] = None,
    out: Out = None,
    *,
    clear: Annotated[bool, typer.Option("--clear", help="A clear sheet instead of an opaque one.")] = False,
    paper: PaperOption = "a4",
    house: House = None,
    json: AsJson = False,
) -> None:
    """Judge a sheet with holes across the tank, both sides as tanks of their own, and design it.

    Holes nobody passes or wedges in, head loss, thickness and slots. With -o, a cutting list with
    the drill pattern to scale is written as PDF.
    """
    from slackwater.service.dividing import divider_file, write_cutting_list

    with notes(house, beside=file):
        answer = divider_file(file, _today(), _asked(at, flow, clear=clear), right or ())
        written = write_cutting_list(answer, out, _today(), paper) if out else ()
    if json:
        as_json(answer)
        return
    _show_divider(answer)
    _show_written(written)


def _asked(at: str | None, flow: str | None, *, clear: bool) -> DividerAsked | None:
    """Return the divider of the command line; None where the file says it all."""
    if at is None:
        return None
    from slackwater.plan.dividing import DividerAsked, Sheet
    from slackwater.units import length_cm, volume_l

    return DividerAsked(
        length_cm(at, "--at"),
        Sheet.CLEAR if clear else Sheet.OPAQUE,
        flow_l_h=volume_l(flow, "--flow") if flow else None,
    )


def box(file: TankFile, animal: Animal, *, house: House = None, json: AsJson = False) -> None:
    """Say what helps a newcomer in: an acclimation box, a mirror, feeding stations out of sight."""
    from slackwater.service.dividing import box_file

    with notes(house, beside=file):
        answer = box_file(file, _today(), animal)
    if json:
        as_json(answer)
        return
    _show_box(answer)


def aside(
    file: TankFile,
    animal: Animal,
    where: Annotated[str, typer.Option("--in", help="sump, or second tank.", metavar="PLACE")] = "sump",
    size: Annotated[
        str | None, typer.Option("--size", help="Its inner size: 60x40x35cm.", metavar="SIZE")
    ] = None,
    days: Annotated[
        float | None, typer.Option("--days", min=1.0, help="For how many days; 14 if left out.", metavar="N")
    ] = None,
    *,
    for_good: Annotated[bool, typer.Option("--for-good", help="For good instead.")] = False,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say what it means to hold an animal in the sump or a second tank: there, and for the others."""
    from slackwater.service.dividing import aside_file

    stay = None if for_good else (days or 14.0)
    with notes(house, beside=file):
        answer = aside_file(file, _today(), animal, (_hold(where), size, stay))
    if json:
        as_json(answer)
        return
    _show_aside(answer)


def _hold(said: str) -> Hold:
    from slackwater.plan.aside import Hold

    words = " or ".join(Hold)
    if said not in list(Hold):
        limit = "an animal is held in one of two places"
        raise InputError(field="--in", given=shown(said), limit=limit, remedy=f"Write {words}.")
    return Hold(said)


def _today() -> dt.date:
    return dt.datetime.now().astimezone().date()


def _show_stones(answer: StonesAnswer) -> None:
    paragraphs(answer.sentence, answer.note)
    _show_laid("With one stone", answer.one)
    for title, row in (("With two", answer.two), ("With three", answer.three)):
        _show_laid(title, (row,) if row else ())
    _show_laid("All anew", (answer.anew,) if answer.anew else ())
    if answer.resets:
        heading("What moving rock does to claims")
        points([row.sentence for row in answer.resets])
    heading("Mind")
    points(answer.cautions)
    _show_assumed(answer.assumptions)


def _show_laid(title: str, rows: tuple[LaidRow, ...]) -> None:
    if not rows:
        return
    heading(title)
    for row in rows:
        points(
            [f"{step.do}; {step.mass_kg:.1f} kg{_lift(step.people)}{_why(step.note)}" for step in row.steps]
        )
        paragraphs(row.sentence)


def _lift(people: int) -> str:
    return "" if people == 1 else ", two lift"


def _why(note: str) -> str:
    return f" ({note})" if note else ""


def _show_divider(answer: DividerAnswer) -> None:
    paragraphs(answer.sentence)
    for side in answer.sides:
        _show_side(side)
    heading("The sheet")
    points(_sheet(answer.design, answer.narrowest.common_name))
    heading("The water")
    points(answer.water)
    heading("Besides")
    points(answer.notes)
    heading("Mind")
    points(answer.cautions)
    _show_assumed(answer.assumptions)


def _show_side(side: Side) -> None:
    rock = f"{100 * side.rock_share:.0f} % of the rock"
    heading(f"{side.name.capitalize()}: {side.length_cm:.0f} cm, {side.volume_l:.0f} L, {rock}")
    if not side.rows:
        paragraphs("Nobody.")
        return
    rows = [
        (
            row.common_name if row.count == 1 else f"{row.count} {row.common_name}",
            f"{row.before} ({100 * row.p_before:.1f} %)",
            f"{row.after} ({100 * row.p_after:.1f} %)",
            "too short a side, grown" if row.too_small else "",
        )
        for row in side.rows
    ]
    table(("", "without it", "with it", ""), rows)


def _sheet(design: SheetDesign, narrowest: str) -> list[str]:
    drilled, strong = design.drilling, design.strength
    ribs = {0: "no ribs", 1: "one upright rib"}.get(strong.ribs, f"{strong.ribs} upright ribs")
    return [
        (
            f"Acrylic, {design.width_cm:.1f} x {design.height_cm:.1f} cm, "
            f"{10 * strong.thickness_cm:.0f} mm thick, {ribs}, {design.mass_kg:.1f} kg."
        ),
        (
            f"{drilled.holes} holes of {10 * drilled.hole_cm:.0f} mm, {10 * drilled.pitch_cm:.0f} mm apart, "
            f"in {drilled.rows} rows set into one another; {narrowest} neither passes nor wedges."
        ),
        f"Open: {100 * drilled.wet_share:.0f} % of what is under water.",
        (
            f"Slots {10 * strong.slot_cm:.0f} mm deep: it bends {10 * strong.deflection_cm:.1f} mm and bears "
            f"{strong.stress_mpa:.1f} MPa where the levels differ by {10 * strong.made_for_cm:.0f} mm."
        ),
    ]


def _show_box(answer: BoxAnswer) -> None:
    found = answer.settling
    paragraphs(answer.sentence)
    heading("The box")
    points(_box(found))
    heading("Besides")
    points([found.mirror, _stations(found)])
    heading("Mind")
    points(answer.cautions)
    _show_assumed(answer.assumptions)


def _box(found: SettlingIn) -> list[str]:
    box = found.box
    x, y, z = box.middle_cm
    away = f", {box.chaser_cm:.0f} cm from the home of {box.chaser}" if box.chaser else ""
    return [
        box.sentence,
        f"Openings of at most {10 * box.opening_cm:.1f} mm.",
        f"Its middle {x:.0f} cm from the left, {y:.0f} cm from the front, {z:.0f} cm up ({box.place}){away}.",
        (
            f"It would draw {box.pressure_per_h:.2g} attacks an hour there, {box.usual_per_h:.2g} over the "
            "water it uses."
        ),
        *([box.there] if box.there else []),
    ]


def _stations(found: SettlingIn) -> str:
    places = "; ".join(f"{x:.0f}, {y:.0f}, {z:.0f} cm" for x, y, z in found.stations.places_cm)
    hidden = "out of one another's sight" if found.stations.are_hidden else "as far apart as the rock allows"
    count = len(found.stations.places_cm)
    return f"Food at once at {count} places {hidden} (from left, front, floor): {places}."


def _show_aside(answer: AsideAnswer) -> None:
    found: Aside = answer.aside
    place = found.place
    sizes = f"{place.length_cm:.0f} x {place.width_cm:.0f} x {place.height_cm:.0f} cm, {place.volume_l:.0f} L"
    paragraphs(answer.sentence)
    heading(f"The {found.asked.hold.value}: {sizes}{' (assumed)' if found.size_assumed else ''}")
    flow = f"Flow about {found.turnover_l_h:.0f} L/h; strainer slots of {10 * found.guard_cm:.1f} mm at most."
    points([*found.meaning, found.lid, flow])
    heading("Mind")
    points(found.cautions)
    _show_assumed(answer.assumptions)


def _show_assumed(rows: tuple[Assumption, ...]) -> None:
    if rows:
        heading("Assumed")
        table(("", "", ""), [(row.what, row.taken, row.cost) for row in rows])


def _show_written(written: tuple[Path, ...]) -> None:
    if written:
        files(written)
