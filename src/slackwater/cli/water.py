"""`water`, `card` and `receive`: what the water bears, what to do when it fails, how to let in."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from slackwater.cli.house import House, notes
from slackwater.cli.show import AsJson, as_json, files, heading, paragraphs, points, table
from slackwater.cli.telling import today

if TYPE_CHECKING:
    from slackwater.plan.water_records import PowerReport, WaterReport
    from slackwater.service.receiving import ReceivingAnswer

File = Annotated[Path, typer.Argument(metavar="FILE", help="The tank file, YAML or JSON.")]
Room = Annotated[
    str | None,
    typer.Option("--room", help="Temperature of the room in a power cut: 18C, 64F.", metavar="TEMPERATURE"),
]


def add_to(app: typer.Typer) -> None:
    """Add the commands of this module."""
    app.command(
        "water",
        short_help="Load, filter, oxygen, power cut.",
        epilog="Example: slackwater water reef.yaml --out water.svg",
    )(water)
    app.command(
        "card",
        short_help="The card on the cabinet, for emergencies.",
        epilog="Example: slackwater card reef.yaml -o card.pdf",
    )(card)
    app.command(
        "receive",
        short_help="From the bag into the tank.",
        epilog="Example: slackwater receive reef.yaml --bag 2L --salinity 30 --closed 30",
    )(receive)


def water(
    file: File,
    *,
    dose_test: Annotated[
        tuple[float, float, float] | None,
        typer.Option(
            "--dose-test",
            help="Ammonia at once and later, mg N/L, and the hours between, without animals: 1.0 0.6 12.",
            metavar="FIRST LATER HOURS",
        ),
    ] = None,
    room: Room = None,
    out: Annotated[
        Path | None,
        typer.Option("-o", "--out", help="Write oxygen and warmth by hour as SVG.", metavar="FILE"),
    ] = None,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Show what the water of a tank bears: load, next addition, ammonia, drift, oxygen, power cut.

    Every figure is worked out from published equations; what had to be assumed is named, and a dose
    test takes the place of the assumed filter.
    """
    from slackwater.plan.water_report import DoseTest
    from slackwater.service.water import water_file, write_water_figure

    with notes(house, beside=file):
        found = water_file(file, today(), DoseTest(*dose_test) if dose_test else None, _room_c(room))
    written = write_water_figure(found, out) if out else None
    if json:
        as_json(found)
        return
    _show_water(found)
    if written:
        files([written])


def card(
    file: File,
    *,
    out: Annotated[Path, typer.Option("-o", "--out", help="The PDF to write.", metavar="FILE")] = Path(
        "card.pdf"
    ),
    room: Room = None,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Print the card that hangs on the cabinet: one page of A5 for whoever is at home.

    Power cut first, with the hours this tank has and who fails first; then heat, a fish on the
    floor, a sting, poisoned water, a leak. It never takes the place of the emergency number, a doctor
    or a veterinarian.
    """
    from slackwater.service.water import card_of, write_card

    day = today()
    with notes(house, beside=file):
        found = card_of(file, day, _room_c(room))
    written = write_card(found, day, out)
    if json:
        as_json(found)
        return
    paragraphs(f"Without power: {_span(found.hours_low, found.hours_high)}; count on the lower figure.")
    paragraphs(f"Written: {written}. Fill in the numbers to ring by hand.")


def receive(
    file: File,
    *,
    bag: Annotated[str, typer.Option("--bag", help="Water in the bag: 2L.", metavar="VOLUME")] = "2L",
    salinity: Annotated[
        float | None, typer.Option("--salinity", help="Salinity of the bag; the tank's if left out.")
    ] = None,
    temperature: Annotated[
        str, typer.Option("--temperature", help="Temperature of the bag.", metavar="TEMPERATURE")
    ] = "23C",
    closed: Annotated[
        float, typer.Option("--closed", help="Hours since the bag was closed.", metavar="HOURS")
    ] = 1.0,
    ph: Annotated[float | None, typer.Option("--ph", help="pH in the bag, if it was tested.")] = None,
    house: House = None,
    json: AsJson = False,
) -> None:
    """Say how to let in an animal from its bag: floating, salinity, and the ammonia that opening frees.

    After half a day or more in a closed bag a long drip poisons: the way is another then.
    """
    from slackwater import units
    from slackwater.service.receiving import BagTold, receive_into

    told = BagTold(
        volume_l=units.volume_l(bag, "--bag"),
        temperature_c=units.temperature_c(temperature, "--temperature"),
        salinity=salinity,
        closed_h=closed,
        ph=ph,
    )
    with notes(house, beside=file):
        found = receive_into(file, today(), told)
    if json:
        as_json(found)
        return
    _show_receiving(found)


def _room_c(room: str | None) -> float | None:
    from slackwater import units

    return None if room is None else units.temperature_c(room, "--room")


def _show_water(found: WaterReport) -> None:
    paragraphs(_headline(found))
    heading("Load on the filter")
    rows = [
        (
            line.when,
            f"{line.mass_g:.0f}",
            f"{line.feed_g_d:.2g}",
            f"{line.tan_mg_d:.3g}",
            f"{line.tan_mg_l_d:.2g}",
        )
        for line in found.loads
    ]
    table(("", "fish, g", "dry food, g/d", "ammonia, mg N/d", "mg N/L/d"), rows, right=(1, 2, 3, 4))
    heading("Largest next addition")
    additions = [
        (_filter(a.filter), f"{a.added_mg_d:.0f}", f"{a.feed_g_d:.2g}", f"{a.fish_of_10_g}")
        for a in found.additions
    ]
    table(("filter", "ammonia, mg N/d", "dry food, g/d", "calm fish of 10 g"), additions, right=(1, 2, 3))
    paragraphs(*_filter_words(found))
    _show_ammonia(found)
    _show_drift(found)
    heading("Oxygen with the pumps running")
    low, high = found.oxygen_mg_l
    paragraphs(
        f"Full is {found.full_mg_l:.1f} mg/L; it settles between {low:.1f} (fed, chased, weak flow) and "
        f"{high:.1f} mg/L. A weir or skimmer adds to that."
    )
    _show_power(found.power)
    heading("Assumed")
    points(found.assumed)


def _headline(found: WaterReport) -> str:
    lasts = next(line for line in found.power.levels if line.level_mg_l == 3.0)  # noqa: PLR2004 - help must have come
    first = found.power.suffer[0].common_name if found.power.suffer else ""
    suffers = f" {first[:1].upper()}{first[1:]} suffers first." if first else ""
    return (
        f"{found.net_l:.0f} L of water: without power the oxygen lasts "
        f"{_span(lasts.hours_low, lasts.hours_high)}; count on the lower figure.{suffers}"
    )


def _filter_words(found: WaterReport) -> tuple[str, ...]:
    if found.tested_mg_l_d is not None:
        return (f"By the dose test the filter oxidises {found.tested_mg_l_d:.2g} mg N/L a day.",)
    taken = "young: under half a year old, or its age not told" if found.is_young else "ripe"
    return (
        f"This filter is taken as {taken}.",
        (
            "A dose test replaces the assumption: with no animal in the water add ammonia to 1 mg N/L, test "
            "at once and again before it is gone, within a day, and give both: --dose-test 1.0 0.6 12. With "
            "animals in the water never dose."
        ),
    )


def _filter(which: str) -> str:
    return which if which == "as tested" else f"if {which}"


def _show_ammonia(found: WaterReport) -> None:
    heading("Ammonia")
    one = found.ammonia
    told = "" if one.ph_told else " (not told, assumed)"
    paragraphs(
        f"At pH {one.ph:g}{told} {100 * one.unionised_share:.1f} % of it is the un-ionised kind that harms. "
        f"Published criteria are met up to {one.four_days_mg_l:.2f} mg N/L over four days and "
        f"{one.hour_mg_l:.1f} over an hour [epa1989]."
    )


def _show_drift(found: WaterReport) -> None:
    heading("Drift with everyone there")
    drift = found.drift
    paragraphs(
        f"A week adds {drift.nitrate_mg_l:.2g} mg/L of nitrate, {drift.nitrate_most_mg_l:.2g} if in the end "
        f"all food decays, {drift.phosphate_mg_l:.2g} of phosphate, and takes {drift.alkalinity_dkh:.2g} dKH "
        "of alkalinity. The table takes the lower nitrate."
    )
    rows = [
        (
            f"{100 * line.changed_share:.0f} %",
            f"{line.before_mg_l:.0f}",
            f"{line.after_mg_l:.0f}",
            f"{line.alkalinity_dkh:.1f}",
        )
        for line in drift.changes
    ]
    heads = ("changed each week", "nitrate before, mg/L", "after", "alkalinity below new water, dKH")
    table(heads, rows, right=(1, 2, 3))


def _show_power(power: PowerReport) -> None:
    heading("Without power")
    rows = [(f"{line.level_mg_l:g} mg/L", _span(line.hours_low, line.hours_high)) for line in power.levels]
    table(("oxygen down to", "after, hard to easy case"), rows)
    heading("What helps, in the hard case, down to 3 mg/L")
    table(("", ""), [(line.what, _span(line.hours_low, line.hours_high)) for line in power.helps])
    heading("Who suffers first")
    points([f"{line.common_name}: {line.why}" for line in power.suffer])
    heading("Cooling")
    low, high = power.cooling_h
    paragraphs(
        f"In a room of {power.room_c:g} C the water stays above {power.cold_c:g} C."
        if math.isinf(low)
        else f"In a room of {power.room_c:g} C it is down to {power.cold_c:g} C after {low:.0f} h"
        + (f" to {high:.0f} h." if math.isfinite(high) else "."),
        f"Assumed: {power.assumed}.",
    )


def _span(low_h: float, high_h: float) -> str:
    from slackwater.report.words import hours

    return hours(low_h, high_h)


def _show_receiving(found: ReceivingAnswer) -> None:
    figures = found.figures
    paragraphs(found.sentence)
    heading("How")
    points(found.way)
    heading("Figures")
    points(
        [
            f"floating: {figures.float_min:.0f} min to within 1 C",
            (
                f"salinity step: {figures.salinity_step:+.1f}; tank water to drip in, to within 0.5: "
                f"{figures.drip_l:.1f} L in a bag that grows, {figures.overflow_l:.1f} L if as much is "
                "poured off"
            ),
            (
                f"un-ionised ammonia: {100 * figures.free_before:.2g} % in the closed bag, "
                f"{100 * figures.free_after:.2g} % once opened, {figures.free_times:.1f} times"
            ),
        ]
    )
    heading("Quarantine")
    points(found.quarantine)
    if found.cautions:
        heading("Mind")
        points(found.cautions)
