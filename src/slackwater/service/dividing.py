"""Dividers, acclimation boxes and animals held aside, from a tank file to an answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from slackwater.errors import InputError
from slackwater.plan.aside import Aside, AsideAsked, Hold, hold_aside, too_small_aside
from slackwater.plan.dividing import Divided, DividerAsked, InTheWay, Sheet, Side, divide
from slackwater.plan.outlook import hazards
from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import Assumption
from slackwater.plan.settling_in import SettlingIn, settling_in
from slackwater.plan.sheet_design import EggCrate, Narrowest, SheetDesign
from slackwater.rules import Rules, load_rules
from slackwater.service.naming import key_of
from slackwater.service.planning import PaperName, read_question
from slackwater.service.written import write_all
from slackwater.society.harm import ease
from slackwater.tank.shapes import Glass, Shape

Tick = Callable[[str], None]

MANY_HOLES = 2500

DIVIDER_CAUTIONS = (
    "A sheet parts bodies, not water: smell, disease and ammonia pass it.",
    "It ends at the lid and in the sand: jumpers go over, diggers go under.",
    "No wave pump is aimed at it; look for clogged holes once a week and brush them.",
    "Drill with the film on, slowly, backed with wood; round every edge; goggles.",
    "Rinse off all swarf and let glue cure before the sheet meets sea water.",
)
BOX_CAUTIONS = (
    "Feed it in the box; let it out at lights-out when nobody attacks the box any more.",
    "Hang it where hands reach it, water flowing through, lid on.",
    "An animal that breathes hard or lies on its side in the box comes out: ask the veterinarian.",
)


@dataclass(frozen=True)
class DividerAnswer:
    """A divider, judged and designed.

    `p_before`, `p_after` and `p_other` are chances of harm of the worst-off animal without it, with
    it, and with the other kind of sheet. [0 to 1]
    """

    title: str
    sentence: str
    at_cm: float
    sheet_kind: str
    p_before: float
    p_after: float
    p_other: float
    sides: tuple[Side, ...]
    narrowest: Narrowest
    design: SheetDesign
    egg_crate: EggCrate
    in_the_way: tuple[InTheWay, ...]
    water: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[Assumption, ...]


def divider_file(
    source: Path | str,
    today: dt.date,
    asked: DividerAsked | None = None,
    right: Sequence[str] = (),
    title: str | None = None,
) -> DividerAnswer:
    """Return what a divider in the tank of a tank file does, and how to make it.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    asked
        The divider; that of the file if left out.
    right
        Names of those who live to the right of it, beside those whom the file puts there.
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used, or the divider cannot stand.
    """
    question, rules = read_question(source, today, title), load_rules()
    if asked is None:
        asked = _from_file(question)
    keys = {w.key for w in _lines(question) if w.side == "right"} | {key_of(question, name) for name in right}
    chosen = DividerAsked(asked.at_cm, asked.sheet, asked.right | keys, asked.flow_l_h)
    return _divider_answer(question, divide(question, chosen, rules), rules)


def _from_file(question: Question) -> DividerAsked:
    if question.divider_cm is None:
        raise InputError(
            field="the divider",
            given="nowhere",
            limit="neither the command nor the tank file says where it stands",
            remedy="Give --at 80cm, or write divider: {at: 80 cm} in the file.",
        )
    return DividerAsked(question.divider_cm, Sheet.CLEAR if question.divider_clear else Sheet.OPAQUE)


def _lines(question: Question) -> tuple[Wanted, ...]:
    return (*question.residents, *question.wishes)


def _divider_answer(question: Question, found: Divided, rules: Rules) -> DividerAnswer:
    return DividerAnswer(
        title=question.title,
        sentence=_divider_sentence(found, rules),
        at_cm=found.asked.at_cm,
        sheet_kind=found.asked.sheet.value,
        p_before=found.p_before,
        p_after=found.p_after,
        p_other=found.p_other,
        sides=found.sides,
        narrowest=found.narrowest,
        design=found.sheet,
        egg_crate=found.egg_crate,
        in_the_way=found.in_the_way,
        water=_water(found),
        notes=tuple(_notes(found, question)),
        cautions=(*DIVIDER_CAUTIONS, *hazards(question)),
        assumptions=tuple(a for a in question.assumptions if a.what in _RESTS_ON),
    )


_RESTS_ON = {"rock", "sand", "tank length", "tank width", "tank height", "tank sides", "lengths"}


def _divider_sentence(found: Divided, rules: Rules) -> str:
    """Return what the divider does to the worst-off animal, in a sentence."""
    before, after = ease(found.p_before, rules).value, ease(found.p_after, rules).value
    then = f"{found.worst_after} is then worst off, {after} ({100 * found.p_after:.1f} %)"
    now = f"{found.worst_before} is worst off now, {before} ({100 * found.p_before:.1f} %)"
    cramped = [row.common_name for side in found.sides for row in side.rows if row.too_small]
    room = f" Too short a side for {', '.join(cramped)}, grown." if cramped else ""
    if found.p_after < found.p_before - rules["stones_worth"]:
        return f"It helps: {now}; {then}.{room}"
    if found.p_after > found.p_before + rules["stones_worth"]:
        return f"It harms: {now}; {then}.{room}"
    return f"It changes little: {now}; {then}.{room}"


def _water(found: Divided) -> tuple[str, ...]:
    """Return what the sheet does to the water, in sentences."""
    sheet = found.sheet
    flow, pump = sheet.at_flow, sheet.at_pump
    told = "assumed, ten volumes an hour" if found.flow_assumed else "as told"
    return (
        (
            f"At {sheet.flow_l_h:.0f} L/h along the tank ({told}) the water before it moves at "
            f"{flow.speed_cm_s:.2f} cm/s and the levels differ by {10 * flow.head_cm:.2f} mm."
        ),
        (
            f"{_of_ten(flow.may_clog)} of its holes may clog before they differ by "
            f"{10 * sheet.strength.made_for_cm:.0f} mm, for which it is made."
        ),
        (
            f"A wave pump aimed at it ({pump.speed_cm_s:.0f} cm/s) makes {10 * pump.head_cm:.0f} mm, and "
            f"{_of_ten(pump.may_clog).lower()} may clog."
        ),
    )


def _of_ten(share: float) -> str:
    """Return a share as so many of ten."""
    tenths = int(10 * share)
    words = ("None", "One in ten", "Two in ten", "Three in ten", "Four in ten", "Half")
    more = ("Six in ten", "Seven in ten", "Eight in ten", "Nine in ten", "All")
    return (*words, *more)[tenths]


def _notes(found: Divided, question: Question) -> list[str]:
    sheet, drilled = found.sheet, found.sheet.drilling
    other = "clear" if found.asked.sheet is Sheet.OPAQUE else "opaque"
    seen = "see each other and may display and flee" if other == "clear" else "no longer see each other"
    out = [
        (
            f"With {_article(other)} {other} sheet the two sides {seen}: {100 * found.p_other:.1f} % for the "
            "worst off."
        ),
        found.egg_crate.sentence,
    ]
    if drilled.holes > MANY_HOLES:
        out.append(
            f"{drilled.holes} holes are much to drill: a frame with plastic mesh of at most "
            f"{10 * drilled.hole_cm:.0f} mm openings does the same."
        )
    if not sheet.strength.is_stiff:
        out.append("Even with four ribs it bends too far: two panels with a post between them.")
    out += [
        f"Stone {row.piece} stands in the way, from {row.from_cm:.0f} to {row.to_cm:.0f} cm: move it first."
        for row in found.in_the_way
    ]
    if question.rock_word not in {"as listed", "none"}:
        out.append("Rock that stands where the sheet goes is moved first; both sides keep some.")
    return out


def _article(word: str) -> str:
    return "an" if word[0] in "aeiou" else "a"


def write_cutting_list(
    answer: DividerAnswer, out: Path, made_on: dt.date, paper: PaperName = "a4"
) -> tuple[Path, ...]:
    """Write the cutting list with its drill pattern to scale as divider.pdf into a folder."""
    from slackwater.report.cutting import cutting_bytes, pattern_svg

    made = {
        "divider.pdf": cutting_bytes(answer.design, _heading(answer), made_on, paper),
        "divider.svg": pattern_svg(answer.design).encode(),
    }
    return write_all(out, made)


def _heading(answer: DividerAnswer) -> tuple[str, str]:
    """Return title and line under it of the cutting list."""
    where = f"{answer.at_cm:g} cm from the left pane, {answer.sheet_kind} sheet"
    return f"Divider for {answer.title}", where


@dataclass(frozen=True)
class BoxAnswer:
    """What helps one newcomer in, in words and figures."""

    title: str
    sentence: str
    settling: SettlingIn
    cautions: tuple[str, ...]
    assumptions: tuple[Assumption, ...]


def box_file(source: Path | str, today: dt.date, animal: str, title: str | None = None) -> BoxAnswer:
    """Return what helps one wish of a tank file in: a box, a mirror, stations out of sight.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    animal
        Which wish, in the customer's words.
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used, or nobody goes by the name.
    """
    question, rules = read_question(source, today, title), load_rules()
    found = settling_in(question, key_of(question, animal), rules)
    return BoxAnswer(
        title=question.title,
        sentence=_box_sentence(found, rules),
        settling=found,
        cautions=(*BOX_CAUTIONS, *hazards(question)),
        assumptions=tuple(a for a in question.assumptions if a.what in _RESTS_ON),
    )


def _box_sentence(found: SettlingIn, rules: Rules) -> str:
    name = f"{found.common_name[:1].upper()}{found.common_name[1:]}"
    straight, boxed = ease(found.p_straight, rules).value, ease(found.p_boxed, rules).value
    if not found.box.in_range:
        return found.box.sentence
    if found.p_straight - found.p_boxed < rules["stones_worth"]:
        return f"No box is needed: {name} is {straight} either way ({100 * found.p_straight:.1f} %)."
    return (
        f"A box helps: {name} is {straight} ({100 * found.p_straight:.1f} %) let go straight, {boxed} "
        f"({100 * found.p_boxed:.1f} %) after {found.box.days} days in a box."
    )


@dataclass(frozen=True)
class AsideAnswer:
    """What it means to hold an animal aside, in words and figures."""

    title: str
    sentence: str
    aside: Aside
    assumptions: tuple[Assumption, ...]


def aside_file(
    source: Path | str,
    today: dt.date,
    animal: str,
    where: tuple[Hold, str | None, float | None] = (Hold.SUMP, None, 14.0),
    title: str | None = None,
) -> AsideAnswer:
    """Return what it means to hold an animal of a tank file aside.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    animal
        Who, in the customer's words.
    where
        The place, its inner size such as ``60x40x35cm`` or None, and for how many days, None for
        good. [d]
    title
        What to call the tank; the file's name if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used, nobody goes by the name, or the size cannot be read.
    """
    question, rules = read_question(source, today, title), load_rules()
    hold, size, days = where
    asked = AsideAsked(key_of(question, animal), hold, size_of(size) if size else None, days)
    found = hold_aside(question, asked, rules)
    return AsideAnswer(
        title=question.title,
        sentence=_aside_sentence(found, rules),
        aside=found,
        assumptions=tuple(a for a in question.assumptions if a.what in _RESTS_ON),
    )


def _aside_sentence(found: Aside, rules: Rules) -> str:
    name = f"{found.common_name[:1].upper()}{found.common_name[1:]}"
    held = found.held[0]
    before, after = ease(found.p_before, rules).value, ease(found.p_after, rules).value
    tank = (
        f"the worst off in the tank is then {found.worst_after}, {after} ({100 * found.p_after:.1f} %)"
        if found.worst_after
        else "nobody is left in the tank"
    )
    room = ", but it is too small for it" if too_small_aside(held.lacks, found.asked) else ""
    return (
        f"{name} in the {found.asked.hold.value} is {held.word} there{room}; now {found.worst_before} is "
        f"worst off, {before} ({100 * found.p_before:.1f} %), and {tank}."
    )


def size_of(text: str) -> Glass:
    """Return a rectangular place from its inner size, such as ``60x40x35cm`` or ``24x16x14in``.

    Raises
    ------
    InputError
        If it is not three sizes.
    """
    from slackwater.units import length_cm

    sides = [part.strip() for part in text.lower().replace("×", "x").split("x")]
    if len(sides) != 3:  # noqa: PLR2004 - length, width, height
        raise InputError(
            field="--size",
            given=f"“{text}”",
            limit="a size is length by width by height",
            remedy="Write it as 60x40x35cm.",
        )
    unit = "".join(c for c in sides[2] if not (c.isdigit() or c in ". "))
    whole = [side if any(c.isalpha() for c in side) else f"{side}{unit}" for side in sides]
    length, width, height = (length_cm(side, "--size") for side in whole)
    return Glass(Shape.RECTANGULAR, length, width, height)
