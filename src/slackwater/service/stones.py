"""Advice on rock from a tank file: the one stone that helps most, with maps before and after."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from slackwater.plan.drawing import bodies_at_home, company_map, drawing_of, pressure_map
from slackwater.plan.outlook import hazards
from slackwater.plan.question import Question
from slackwater.plan.records import Assumption, BodyDrawing, PressureMap, TankDrawing
from slackwater.plan.stone_moves import Act, Step
from slackwater.plan.stones import Laid, StonesAsked, StonesFound, seek_stones, worst_of
from slackwater.rules import Rules, load_rules
from slackwater.service.naming import key_of
from slackwater.service.planning import read_question
from slackwater.service.written import write_all
from slackwater.society.harm import ease
from slackwater.tank.rock import arranged
from slackwater.tank.weights import stone_weight

Tick = Callable[[str], None]

CAUTIONS = (
    "Two lift what one cannot hold at arm's length; gloves against worms, urchins and palytoxin.",
    "Pumps and heater off before arms go in; no hands near spines, a tool instead.",
    "Set stones on the glass or a base, not on sand that somebody digs in; try each with a push.",
    "Move stones at lights-out, all in one evening, and leave the tank in peace afterwards.",
)


@dataclass(frozen=True)
class StoneRow:
    """One stone to handle: what to do, its mass [kg], and how many should lift it."""

    do: str
    form: str
    x_cm: float
    y_cm: float
    base_cm: float
    turn_deg: float
    mass_kg: float
    people: int
    note: str


@dataclass(frozen=True)
class LaidRow:
    """One arrangement: the stones to handle, and how the worst-off animal fares then. [0 to 1]"""

    steps: tuple[StoneRow, ...]
    p: float
    p_coarse: float
    worst: str
    word: str
    effort: float
    sentence: str


@dataclass(frozen=True)
class ResetRow:
    """What moving the rock does to one animal's claim: the share that it wipes. [0 to 1]"""

    common_name: str
    wiped: float
    sentence: str


@dataclass(frozen=True)
class Picture:
    """The tank with its rock, and the pressure in it on one animal and on the company."""

    name: str
    tank: TankDrawing
    one: PressureMap | None
    company: PressureMap | None
    one_bodies: tuple[BodyDrawing, ...] = ()
    bodies: tuple[BodyDrawing, ...] = ()


@dataclass(frozen=True)
class StonesAnswer:
    """What to do with the rock.

    `one` holds the best of each kind of single step, the best first; `two`, `three` and `anew` what
    is best with more, None where nothing better was found. `tried` counts the layouts scored.
    """

    title: str
    sentence: str
    before: LaidRow
    one: tuple[LaidRow, ...]
    two: LaidRow | None
    three: LaidRow | None
    anew: LaidRow | None
    resets: tuple[ResetRow, ...]
    tried: int
    note: str
    cautions: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    pictures: tuple[Picture, ...]


def stones_file(
    source: Path | str,
    today: dt.date,
    asked: StonesAsked | None = None,
    tick: Tick = lambda _: None,
    title: str | None = None,
    of: str | None = None,
) -> StonesAnswer:
    """Return what to do with the rock of a tank file.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    asked
        How many stones may be handled, and the seed.
    tick
        Called with a word on how far the search has come.
    title
        What to call the tank; the file's name if left out.
    of
        Whose pressure is mapped, in the customer's words; the worst-off animal's if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    rules = load_rules()
    question = read_question(source, today, title)
    key = key_of(question, of) if of else ""
    return _answer(seek_stones(question, asked or StonesAsked(), rules, tick), rules, key)


def _answer(found: StonesFound, rules: Rules, key: str) -> StonesAnswer:
    q = found.question
    one = tuple(laid_row(laid, found, rules) for laid in found.singles if laid.p < found.before.p)
    two, three = (_better(many, found, rules) for many in (found.pairs, found.triples))
    anew = _better((found.anew,) if found.anew else (), found, rules)
    return StonesAnswer(
        title=q.title,
        sentence=_sentence(found, one, rules),
        before=laid_row(found.before, found, rules),
        one=one,
        two=two,
        three=three,
        anew=anew,
        resets=resets(q, rules),
        tried=found.tried,
        note=_note(q),
        cautions=(*CAUTIONS, *hazards(q)),
        assumptions=tuple(a for a in q.assumptions if a.what in {"rock", "sand", "tank length", "lengths"}),
        pictures=_pictures(found, key, with_anew=anew is not None),
    )


def _better(many: tuple[Laid, ...], found: StonesFound, rules: Rules) -> LaidRow | None:
    best = min(many, key=lambda laid: laid.p, default=None)
    return laid_row(best, found, rules) if best is not None and best.p < found.before.p else None


def laid_row(laid: Laid, found: StonesFound, rules: Rules) -> LaidRow:
    """Return one arrangement as it is told."""
    steps = tuple(_stone_row(step, found) for step in laid.steps)
    if not steps and laid is not found.before:
        pairs = zip(found.before.stones, laid.stones, strict=True)
        moved = [Step(Act.MOVE, n, old, new) for n, (old, new) in enumerate(pairs) if old != new]
        steps = tuple(_stone_row(step, found) for step in moved)
    worst, word = worst_of(laid), ease(laid.p, rules).value
    effort = rules["effort.stone"] * len(steps)
    lifted = max((row.people for row in steps), default=1)
    sentence = f"{worst} is then {word}, chance of harm {100 * laid.p:.1f} %"
    if lifted > 1:
        sentence += f"; {'two' if lifted == 2 else lifted} lift"  # noqa: PLR2004 - two
    return LaidRow(steps, laid.p, laid.p_coarse, worst, word, effort, f"{sentence}.")


def _stone_row(step: Step, found: StonesFound) -> StoneRow:
    stone = step.stone
    weight = stone_weight(stone, found.question.glass)
    return StoneRow(
        do=_do(step),
        form=stone.form.value,
        x_cm=stone.x_cm,
        y_cm=stone.y_cm,
        base_cm=stone.base_cm,
        turn_deg=math.degrees(stone.yaw_rad),
        mass_kg=weight.mass_kg,
        people=weight.people,
        note=step.note,
    )


def _article(word: str) -> str:
    return "an" if word[0] in "aeiou" else "a"


def _do(step: Step) -> str:
    """Return one step in a sentence without its full stop: which stone, from where, to where."""
    stone, number = step.stone, step.number + 1
    place = f"{stone.x_cm:.0f} cm from the left and {stone.y_cm:.0f} cm from the front"
    ground = "on the floor" if stone.base_cm < 1.0 else f"{stone.base_cm:.0f} cm up, on what lies there"
    if step.act is Act.ADD:
        size = " x ".join(f"{side:.0f}" for side in stone.size_cm)
        return f"add {_article(stone.form)} {stone.form} of {size} cm, {place}, {ground}"
    old = step.before or stone
    return (
        f"move stone {number}, the {stone.form} at {old.x_cm:.0f} and {old.y_cm:.0f} cm, to {place}, {ground}"
    )


def _sentence(found: StonesFound, one: tuple[LaidRow, ...], rules: Rules) -> str:
    """Return the answer in a sentence: the one stone, or that none is worth it."""
    worst, before = worst_of(found.before), found.before.p
    now = f"{worst} is {ease(before, rules).value} now, chance of harm {100 * before:.1f} %"
    if not one:
        return f"Leave the rock as it lies: {now}, and no stone that one can move or add betters it."
    best = one[0]
    gain = before - best.p
    lead = f"{best.steps[0].do[:1].upper()}{best.steps[0].do[1:]}"
    if gain < rules["stones_worth"]:
        return (
            f"Leave the rock as it lies: {now}. The best single step ({best.steps[0].do}) would only bring "
            f"it to {100 * best.p:.1f} %."
        )
    more = "" if best.p < rules["bearable"] else " Rock alone does not settle it: see slackwater whatif."
    return f"{lead}: {now}; with this {best.worst} is worst off, {best.word}, {100 * best.p:.1f} %.{more}"


def _note(question: Question) -> str:
    """Return what the advice rests on where the stones were not listed."""
    if question.rock_word == "as listed":
        return "The rock is taken as listed, sand round its feet."
    if question.rock_word == "none":
        return "There is no rock yet: only what could be added was tried."
    return (
        f"Of the rock only “{question.rock_word}” is known: one layout of that word was taken, as drawn. "
        "List the pieces in the tank file for advice on your own stones."
    )


def resets(question: Question, rules: Rules) -> tuple[ResetRow, ...]:
    """Return what moving the rock does to everyone's claim, the most first.

    Notes
    -----
    The share wiped is `rescape_wipe` times how closely the species keeps to rock: rock owners start
    anew, roamers keep most, and a predator's hunger is not touched at all.
    """
    rows = []
    for wanted in question.residents:
        species = wanted.species
        wiped = rules["rescape_wipe"] * species.number("structure_use")
        name = f"{species.common_name[:1].upper()}{species.common_name[1:]}"
        if species.word("hunting") != "none" and species.word("appetite_fish") in {"some", "main"}:
            told = f"{name} hunts: moved rock changes nothing in whom it eats."
        elif wiped >= rules["rescape_wipe"] / 2.0:
            told = f"{name} owns rock: most of its claim is gone, and all are strangers again."
        else:
            told = f"{name} roams: it keeps most of its claim."
        rows.append(ResetRow(species.common_name, wiped, told))
    return tuple(sorted(rows, key=lambda row: -row.wiped))


def _pictures(found: StonesFound, key: str, *, with_anew: bool) -> tuple[Picture, ...]:
    """Return the layouts to be drawn, with the pressure on one line, or on who is worst off now."""
    before = found.before.verdict
    if before is None:
        return ()
    worst = max(before.lots, key=lambda lot: float(before.community_draws(lot).mean()))
    chosen = key or worst.animal.party.key
    laid = [
        ("before", found.before),
        ("after", found.best_single),
        ("anew", found.anew if with_anew else None),
    ]
    return tuple(_picture(name, one, found, chosen) for name, one in laid if one is not None)


def _picture(name: str, laid: Laid, found: StonesFound, key: str) -> Picture:
    q, rock = found.question, found.rock
    if laid is not found.before:
        rock = arranged(laid.stones, q.glass, found.rock.sand_cm)
    verdict = laid.verdict
    if verdict is None:
        return Picture(name, drawing_of(q, rock), None, None)
    maps = (pressure_map(verdict, key), company_map(verdict))
    return Picture(name, drawing_of(q, rock), *maps, bodies_at_home(verdict, key), bodies_at_home(verdict))


def write_stones(answer: StonesAnswer, out: Path) -> tuple[Path, ...]:
    """Write the maps before and after, for one animal and the company, as SVG and PNG.

    All maps of one kind share their levels, so that they can be compared.
    """
    from slackwater.report.pressure import Mapped, levels_of, map_svg
    from slackwater.report.typesetting import png_bytes

    made: dict[str, bytes] = {}
    first = answer.pictures[0]
    for kind, lead in (("animal", first.one), ("company", first.company)):
        if lead is None:
            continue
        for picture in answer.pictures:
            is_one = kind == "animal"
            pressure = picture.one if is_one else picture.company
            bodies = picture.one_bodies if is_one else picture.bodies
            if pressure is not None:
                title = f"{answer.title}, {picture.name}: pressure on {pressure.whose}, attacks per hour"
                svg = map_svg(Mapped(picture.tank, pressure, bodies, levels_of(lead), title))
                made[f"{kind}-{picture.name}.svg"] = svg.encode()
                made[f"{kind}-{picture.name}.png"] = png_bytes(svg, _PIXELS_PER_INCH)
    return write_all(out, made)


_PIXELS_PER_INCH = 144.0
