"""The main job: from a tank file to a plan, and from a plan to the files that are handed over."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Literal

from slackwater.errors import InputError, InputErrors
from slackwater.plan.compose import make_plan, today_plan_date
from slackwater.plan.quarantine import clocks
from slackwater.plan.question import QuarantineRoom, Question, Wanted
from slackwater.plan.records import Assumption, Plan
from slackwater.service.keeping_of import box_place, keeping_of
from slackwater.service.stock import Held, from_stock, read_stock, stock_notes
from slackwater.service.tallies import with_tallies
from slackwater.service.tank_of import rockworks_of, scan_notes, told_glass
from slackwater.service.tankfile import Animals, Resident, TankFile, Wish, load
from slackwater.service.tankfile_parts import Seen
from slackwater.service.written import write_all
from slackwater.society.company import Place, Sex
from slackwater.tank.shapes import Glass
from slackwater.taxa.facts import Species, load_facts
from slackwater.taxa.names import Meaning, Verdict, understand

PaperName = Literal["a4", "us-letter"]
Tick = Callable[[str], None]

USUAL_QUARANTINE_DAYS = 30


def plan_file(
    source: Path | str, today: dt.date, tick: Tick = lambda _: None, title: str | None = None
) -> Plan:
    """Return the plan for a tank file.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which the plan is made.
    tick
        Called with the name of each step of the work.
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    tick("reading the tank file")
    return make_plan(read_question(source, today, title), tick=tick)


def write_plan(
    plan: Plan,
    out: Path,
    paper: PaperName = "a4",
    question: Mapping[str, object] | None = None,
    course: Mapping[str, object] | None = None,
) -> tuple[Path, ...]:
    """Write the plan sheet, calendar, record and picture of a plan into a folder.

    All four are made before the first is written, so that nothing stands half-written. The tank
    file that the plan answers is kept in the record where it is given, as `replan` needs it, and so
    is what of its course no tank file holds.

    Returns
    -------
    tuple of Path
        plan.pdf, plan.ics, plan.json, tank.png.
    """
    from slackwater.report import calendar_bytes, plan_json, sheet_bytes, tank_png

    made = {
        "plan.pdf": sheet_bytes(plan, paper),
        "plan.ics": calendar_bytes(plan),
        "plan.json": plan_json(plan, question, course).encode("utf-8"),
        "tank.png": tank_png(plan),
    }
    return write_all(out, made)


def title_of(source: Path | str, title: str | None = None) -> str:
    """Return what to call the tank of a file: its title, or else the file's name."""
    return title or (source.stem if isinstance(source, Path) else "tank")


def read_question(source: Path | str, today: dt.date, title: str | None = None) -> Question:
    """Return the question that a tank file puts; see :func:`question_of`.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    return question_of(load(source), today, title_of(source, title))


def question_of(tank_file: TankFile, today: dt.date, title: str) -> Question:
    """Return the planner's question: names understood, everything not told assumed and named.

    Raises
    ------
    InputErrors
        If animals are unknown or ambiguous; all of them at once.
    """
    assumed: list[Assumption] = []
    start = tank_file.limits.start or today_plan_date(today)
    glass = told_glass(tank_file.tank, assumed)
    stock = read_stock(Path(tank_file.stock)) if tank_file.stock else ()
    residents, wishes = _company(tank_file, glass, stock, assumed)
    rocks, word, told = rockworks_of(tank_file, glass, assumed)
    water = tank_file.water
    room = _quarantine(tank_file)
    if room is None or room.tanks == 0:
        assumed.append(
            Assumption("quarantine", "none at home", "the shop must keep each animal 4 to 6 weeks")
        )
    question = Question(
        title=title,
        made_on=today,
        start=max(start, today),
        glass=glass,
        rockworks=rocks,
        rock_word=word,
        keeping=keeping_of(tank_file, glass, rocks[0], assumed),
        residents=residents,
        wishes=wishes,
        quarantine=room if room and room.tanks else None,
        away=tuple((a.start, a.end) for a in tank_file.limits.away),
        running_since=water.running_since,
        temperature_c=water.temperature_c or 26.0,
        salinity=water.practical_salinity or 35.0,
        ph=water.ph,
        lights_off=f"{tank_file.keeping.lights_off or dt.time(21):%H:%M}",
        children=bool(tank_file.keeper.children),
        sump_l=tank_file.tank.sump_l or 0.0,
        divider_cm=tank_file.divider.at_cm if tank_file.divider else None,
        divider_clear=tank_file.divider is not None and tank_file.divider.sheet == "clear",
        box=box_place(tank_file, glass),
        box_size_cm=tank_file.box.size_cm if tank_file.box else None,
        assumptions=tuple(assumed),
        length_told=tank_file.tank.length_cm is not None,
        rock_told=told,
        notes=(*_notes(tank_file), *(stock_notes(wishes, stock) if stock else ())),
    )
    return with_tallies(question, _seen(tank_file, residents, wishes))


def _quarantine(tank_file: TankFile) -> QuarantineRoom | None:
    told = tank_file.keeping.quarantine
    if told is None:
        return None
    days = int(told.days or USUAL_QUARANTINE_DAYS)
    came = [[a.day for a in told.arrivals if a.tank == tank] for tank in range(1, told.tanks + 1)]
    return QuarantineRoom(told.tanks, days, told.volume_l, clocks(came, days))


def _seen(tank_file: TankFile, residents: tuple[Wanted, ...], wishes: tuple[Wanted, ...]) -> dict[str, Seen]:
    """Return what was counted of single animals, by key."""
    said = [row for row in (*tank_file.company, *tank_file.wishes) if row.seen is not None]
    out: dict[str, Seen] = {}
    for row in said:
        wanted = next((w for w in (*residents, *wishes) if w.said == row.animal and w.key not in out), None)
        if wanted is not None and row.seen is not None:
            out[wanted.key] = row.seen
    return out


def _notes(tank_file: TankFile) -> tuple[str, ...]:
    """Return what the file says and the plan does not yet use, or what goes beyond the budget."""
    notes = []
    budget = tank_file.limits.budget
    spent = sum((w.price.amount * w.count for w in tank_file.wishes if w.price), Decimal(0))
    if budget and spent > budget.amount:
        notes.append(f"The wishes come to {spent} {budget.currency}, the budget is {budget}.")
    return (*notes, *scan_notes(tank_file.rock.scan))


def _company(
    tank_file: TankFile, glass: Glass, stock: Sequence[Held], assumed: list[Assumption]
) -> tuple[tuple[Wanted, ...], tuple[Wanted, ...]]:
    faults: list[InputError] = []
    residents = _resolved(tank_file.company, "company", faults)
    wishes = _resolved(tank_file.wishes, "wishes", faults)
    for n, (_, _, species) in enumerate(residents + wishes):
        where = f"company[{n + 1}]" if n < len(residents) else f"wishes[{n - len(residents) + 1}]"
        faults += _too_large(species, (residents + wishes)[n][0], glass, where)
    if faults:
        raise InputErrors(source="the tank file", faults=faults)
    keys: dict[str, int] = {}
    out: list[Wanted] = []
    for row, meaning, species in residents + wishes:
        out += _apart(row, _wanted(row, meaning, species, keys, assumed), keys, assumed)
    out = from_stock(out, stock)
    assumed += _lengths_assumed(out)
    return tuple(w for w in out if w.resident), tuple(w for w in out if not w.resident)


def _apart(row: Animals, wanted: Wanted, keys: dict[str, int], assumed: list[Assumption]) -> list[Wanted]:
    """Return residents that came on different days one by one, a month apart, oldest first."""
    if not isinstance(row, Resident) or row.released_together or wanted.count == 1:
        return [wanted]
    name = wanted.species.common_name
    assumed.append(Assumption(f"releases of {name}", "a month apart", "the first owns most"))
    last = wanted.since or dt.date(2000, 1, 1)
    single = replace(wanted, count=1, sex=Sex.UNKNOWN if wanted.sex is Sex.PAIR else wanted.sex)
    return [
        replace(
            single,
            key=wanted.key if n == 0 else _key(wanted.species, keys),
            since=last - dt.timedelta(days=30 * (wanted.count - 1 - n)),
        )
        for n in range(wanted.count)
    ]


_Resolved = list[tuple[Animals, Meaning, Species]]


def _resolved(rows: tuple[Animals, ...], where: str, faults: list[InputError]) -> _Resolved:
    facts = load_facts()
    out: _Resolved = []
    for n, row in enumerate(rows, start=1):
        meaning = understand(row.animal)
        field = f"{where}[{n}].animal"
        if meaning.verdict is Verdict.ONE and meaning.name in facts.species_names:
            out.append((row, meaning, facts.species(meaning.name)))
        else:
            faults.append(_name_fault(field, row.animal, meaning))
    return out


def _name_fault(field: str, said: str, meaning: Meaning) -> InputError:
    listed = "; ".join(f"{c.scientific_name} ({c.mark})" for c in meaning.candidates[:5])
    if meaning.verdict is Verdict.NOT_A_FISH:
        limit, remedy = "it is not a fish", "List corals and invertebrates under keeping."
    elif meaning.verdict is Verdict.ASK:
        limit, remedy = "it may mean several animals", f"Write which one: {listed}."
    elif meaning.verdict is Verdict.ONE:
        limit = f"it means {meaning.name}, which is not described yet"
        remedy = "Take it out, or describe it in the house notes."
    else:
        limit = "no animal goes by this name"
        remedy = f"Nearest: {listed}." if listed else "Write its scientific name."
    return InputError(field=field, given=f"“{said}”", limit=limit, remedy=remedy)


def _too_large(species: Species, row: Animals, glass: Glass, where: str) -> list[InputError]:
    longest = max(glass.length_cm, glass.width_cm, glass.height_cm)
    if row.length_cm is None or row.length_cm <= longest:
        return []
    return [
        InputError(
            field=f"{where}.length",
            given=f"{row.length_cm:g} cm",
            limit=f"the tank is {longest:g} cm long",
            remedy=f"Check the length of {species.common_name} and that of the tank.",
        )
    ]


def _wanted(
    row: Animals,
    meaning: Meaning,
    species: Species,
    keys: dict[str, int],
    assumed: list[Assumption],
) -> Wanted:
    resident = isinstance(row, Resident)
    told = row.length_cm if row.length_cm is not None else meaning.length_cm
    length = told if told is not None else _assumed_length(species, resident=resident)
    sex = Sex(row.sex) if row.sex != "unknown" else Sex(meaning.sex or "unknown")
    count = max(row.count, meaning.count or 1, 2 if sex is Sex.PAIR else 1)
    wish = row.wish if isinstance(row, Wish) and row.wish is not None else 5.0
    price = str(row.price) if isinstance(row, Wish) and row.price else None
    since = row.since if isinstance(row, Resident) else None
    if resident and since is None:
        assumed.append(
            Assumption(
                f"since when {species.common_name} lives there",
                "long ago",
                "a fresh resident owns less",
            )
        )
    return Wanted(
        key=_key(species, keys),
        said=row.animal,
        species=species,
        count=count,
        sex=sex,
        length_cm=length,
        wish=wish,
        price=price,
        since=since or (None if not resident else dt.date(2000, 1, 1)),
        resident=resident,
        length_told=told is not None,
        box_days=(row.box_days or 0.0) if isinstance(row, Wish) else 0.0,
        side=row.side,
        place=Place(row.place),
    )


def _assumed_length(species: Species, *, resident: bool) -> float:
    """Return a length that nobody told: nearly grown for a resident, else as usually sold. [cm]"""
    adult = species.number("adult_length_cm")
    return 0.85 * adult if resident else min(species.number("sale_length_cm"), adult)


def _lengths_assumed(wanted: list[Wanted]) -> list[Assumption]:
    """Return what was assumed of lengths, residents and wishes each in one line."""
    out = []
    for resident, word in ((True, "nearly grown"), (False, "the usual size when sold")):
        names = [
            f"{w.species.common_name} {w.length_cm:.0f} cm"
            for w in wanted
            if w.resident is resident and not w.length_told
        ]
        if names:
            taken = f"{word} ({', '.join(names)})"
            out.append(Assumption("lengths", taken, "who is longer decides many quarrels"))
    return out


def _key(species: Species, keys: dict[str, int]) -> str:
    base = re.sub(r"[^a-z]+", "-", species.name.lower())
    keys[base] = keys.get(base, 0) + 1
    return base if keys[base] == 1 else f"{base}-{keys[base]}"
