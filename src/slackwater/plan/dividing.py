"""A divider across the tank: both sides judged as tanks of their own, and what stands in its way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from slackwater.errors import InputError
from slackwater.plan.question import Question, Wanted
from slackwater.plan.rejudge import rejudged, with_best_order
from slackwater.plan.sheet_design import (
    EggCrate,
    Narrowest,
    SheetDesign,
    SheetSite,
    design,
    egg_crate,
    narrowest,
)
from slackwater.rules import Rules
from slackwater.society.company import Place
from slackwater.society.harm import ease
from slackwater.society.judge import Judgement
from slackwater.society.space import Room, room_of, too_small
from slackwater.tank.rock import Rockwork


class Sheet(StrEnum):
    """Whether the two sides see each other."""

    CLEAR = "clear"
    OPAQUE = "opaque"


@dataclass(frozen=True)
class DividerAsked:
    """A divider to be judged: how far from the left pane [cm], its sheet, who lives to the right.

    `right` holds keys of lines; everyone else lives to the left. `flow_l_h` is the water moved
    through the tank, None if not told. [L/h]
    """

    at_cm: float
    sheet: Sheet = Sheet.OPAQUE
    right: frozenset[str] = frozenset()
    flow_l_h: float | None = None


@dataclass(frozen=True)
class SideRow:
    """How one line of animals fares behind a divider, and how without it: chance of harm [0 to 1]."""

    key: str
    common_name: str
    count: int
    p_before: float
    before: str
    p_after: float
    after: str
    too_small: bool


@dataclass(frozen=True)
class Side:
    """One side of a divider as a tank of its own."""

    name: str
    length_cm: float
    lane_cm: float
    volume_l: float
    rock_share: float
    rows: tuple[SideRow, ...]


@dataclass(frozen=True)
class InTheWay:
    """A piece of rock that a divider would cut, counted from 1, and where it stands along the tank. [cm]"""

    piece: int
    from_cm: float
    to_cm: float


@dataclass(frozen=True)
class Divided:
    """A tank with a divider, judged.

    `p_before` and `p_after` are the chances of harm of the worst-off animal [0 to 1]; `other_sheet`
    is how it would fare with the other kind of sheet.
    """

    asked: DividerAsked
    sides: tuple[Side, Side]
    p_before: float
    p_after: float
    p_other: float
    worst_before: str
    worst_after: str
    narrowest: Narrowest
    sheet: SheetDesign
    egg_crate: EggCrate
    in_the_way: tuple[InTheWay, ...]
    flow_assumed: bool


def divided(question: Question, asked: DividerAsked) -> Question:
    """Return the question with a divider and everyone on a side.

    Raises
    ------
    InputError
        If the divider does not stand in the tank, or names somebody who is not there.
    """
    lines = (*question.residents, *question.wishes)
    strangers = asked.right - {w.key for w in lines}
    if strangers:
        raise InputError(
            field="the right side",
            given=", ".join(sorted(strangers)),
            limit="nobody of the company goes by that",
            remedy="Name animals of the company or the wishes.",
        )

    def sided(wanted: Wanted) -> Wanted:
        return replace(wanted, side="right" if wanted.key in asked.right else "left")

    return replace(
        question,
        residents=tuple(sided(w) for w in question.residents),
        wishes=tuple(sided(w) for w in question.wishes),
        divider_cm=asked.at_cm,
        divider_clear=asked.sheet is Sheet.CLEAR,
    )


def divide(question: Question, asked: DividerAsked, rules: Rules) -> Divided:
    """Return a tank with a divider: both sides judged, the sheet designed, what stands in its way.

    Parameters
    ----------
    question
        The tank and its company.
    asked
        The divider.
    rules
        The coefficients.

    Raises
    ------
    InputError
        If the divider leaves a side too short, cannot be drilled, or names a stranger.
    """
    _check_place(question, asked, rules)
    whole = with_best_order(
        replace(
            question, divider_cm=None, residents=_whole(question.residents), wishes=_whole(question.wishes)
        ),
        rules,
    )
    before = rejudged(whole, rules)
    parted = divided(whole, asked)
    after = rejudged(parted, rules)
    other = Sheet.OPAQUE if asked.sheet is Sheet.CLEAR else Sheet.CLEAR
    swapped = rejudged(divided(whole, replace(asked, sheet=other)), rules)
    company = [w for w in (*parted.residents, *parted.wishes) if w.place is Place.TANK]
    rock = question.rockworks[0]
    flow = asked.flow_l_h or rules["turnover_per_h"] * question.glass.volume_l
    return Divided(
        asked=asked,
        sides=(_side("left", parted, before, after, rules), _side("right", parted, before, after, rules)),
        p_before=before.worst_p,
        p_after=after.worst_p,
        p_other=swapped.worst_p,
        worst_before=worst_name(before),
        worst_after=worst_name(after),
        narrowest=narrowest(company),
        sheet=design(company, SheetSite(question.glass, rock.sand_cm, asked.at_cm, flow), rules),
        egg_crate=egg_crate(company, rules),
        in_the_way=in_the_way(rock, asked.at_cm) if question.rock_word == "as listed" else (),
        flow_assumed=asked.flow_l_h is None,
    )


def _whole(lines: Iterable[Wanted]) -> tuple[Wanted, ...]:
    return tuple(replace(w, side=None) for w in lines)


def _check_place(question: Question, asked: DividerAsked, rules: Rules) -> None:
    length, least = question.glass.length_cm, rules["sheet_shortest_cm"]
    if least <= asked.at_cm <= length - least:
        return
    raise InputError(
        field="the divider",
        given=f"{asked.at_cm:g} cm from the left pane",
        limit=f"the tank is {length:g} cm long and each side needs {least:g} cm",
        remedy=f"Set it between {least:g} and {length - least:g} cm.",
    )


def in_the_way(rock: Rockwork, at_cm: float) -> tuple[InTheWay, ...]:
    """Return the pieces of rock that a sheet at a place along the tank would cut."""
    found = []
    for number, piece in enumerate(rock.pieces, start=1):
        low, high = piece.centre_cm[0] - piece.spans_cm[0], piece.centre_cm[0] + piece.spans_cm[0]
        if low < at_cm < high:
            found.append(InTheWay(number, low, high))
    return tuple(found)


def worst_name(verdict: Judgement) -> str:
    """Return the common name of the worst-off animal, too little room apart."""
    worst = max(verdict.lots, key=lambda lot: float(verdict.community_draws(lot).mean()))
    return worst.animal.species.common_name


def chances(verdict: Judgement) -> dict[str, float]:
    """Return the chance of harm of the worst-off animal of each line, by key. [0 to 1]"""
    out: dict[str, float] = {}
    for lot in verdict.lots:
        key = lot.animal.party.key
        out[key] = max(out.get(key, 0.0), float(verdict.community_draws(lot).mean()))
    return out


def _side(name: str, question: Question, before: Judgement, after: Judgement, rules: Rules) -> Side:
    at_cm, glass = question.divider_cm or 0.0, question.glass
    length = at_cm if name == "left" else glass.length_cm - at_cm
    room = room_of(glass, length / glass.length_cm)
    lines = [w for w in (*question.residents, *question.wishes) if w.side == name]
    return Side(
        name=name,
        length_cm=length,
        lane_cm=room.length_cm,
        volume_l=room.volume_l,
        rock_share=_rock_share(question.rockworks, at_cm, name),
        rows=_rows(lines, room, (chances(before), chances(after)), rules),
    )


def _rows(
    lines: Sequence[Wanted], room: Room, fared: tuple[dict[str, float], dict[str, float]], rules: Rules
) -> tuple[SideRow, ...]:
    before, after = fared
    return tuple(
        SideRow(
            key=w.key,
            common_name=w.species.common_name,
            count=w.count,
            p_before=before.get(w.key, 0.0),
            before=ease(before.get(w.key, 0.0), rules).value,
            p_after=after.get(w.key, 0.0),
            after=ease(after.get(w.key, 0.0), rules).value,
            too_small=too_small(w.species, room, rules),
        )
        for w in lines
    )


def _rock_share(rocks: tuple[Rockwork, ...], at_cm: float, name: str) -> float:
    """Return the share of the pieces of rock whose middle stands on a side, over all layouts."""
    middles = [piece.centre_cm[0] < at_cm for rock in rocks for piece in rock.pieces]
    if not middles:
        return 0.0
    left = sum(middles) / len(middles)
    return left if name == "left" else 1.0 - left
