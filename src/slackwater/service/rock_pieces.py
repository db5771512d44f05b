"""The rock of a tank file as the stones of a page, and back."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import yaml

from slackwater.service.furnishing import Things, with_things
from slackwater.service.planning import question_of
from slackwater.service.tank_of import stones_of, told_glass
from slackwater.service.tank_view import StoneTold, checked, sent_stones
from slackwater.service.tankfile import load
from slackwater.service.tankfile_copy import plain_copy
from slackwater.tank.shapes import Glass
from slackwater.tank.stability import Fault, let_down, standings
from slackwater.tank.stone import LEVEL, Form, Stone

_SIZES = ("x", "y", "base", "length", "width", "height")
_HIDDEN = ("mass", "holes")
_DECIMALS = 10.0


@dataclass(frozen=True)
class Sent:
    """A stone as a page sent it, and the piece of the tank file that it was, if it was one."""

    told: StoneTold
    piece: Mapping[str, object] | None
    is_as_before: bool


def with_rock(text: str, stones: Sequence[object]) -> str:
    """Return a tank file with other stones, all else as it was.

    Parameters
    ----------
    text
        The tank file; what a page cannot show of a piece (its mass, its holes) stays with it.
    stones
        The stones as a page sends them; `id` counts the pieces of the file from 1, and a stone
        with a higher one is new.

    Raises
    ------
    InputError, InputErrors
        If the file it was cannot be used, or a stone is none.

    Notes
    -----
    A piece that was left alone stays letter for letter. A moved one that would hang in the water is
    let down onto what lies below it; where it cannot stand it is refused when the file is read.
    """
    tank_file = load(f"{text}\n", nobody_ok=True)
    glass, content = told_glass(tank_file.tank, []), plain_copy(tank_file)
    old = content.get("rock", {})
    rock = dict(old) if isinstance(old, Mapping) else {}
    pieces = [dict(piece) for piece in rock.get("pieces", [])]
    before = sent_stones(stones_of(load(_as_text(content), nobody_ok=True), glass)) if pieces else []
    sent = [_sent(checked(StoneTold, told), pieces, before) for told in stones]
    content["rock"] = _rock(rock, sent, glass) or "none"
    return _as_text(content)


def with_page(text: str, stones: Sequence[object] | None, things: object) -> str:
    """Return a tank file with the stones, the places for food, the divider and the box of a page.

    Parameters
    ----------
    text
        The tank file.
    stones
        As for :func:`with_rock`; None leaves the rock as it is.
    things
        What stands beside the stones; None leaves it as it is.

    Raises
    ------
    InputError, InputErrors
        If the file it was cannot be used, or what the page sent is none of it.
    """
    made = text if stones is None else with_rock(text, stones)
    if things is None:
        return made
    tank_file = load(f"{made}\n", nobody_ok=True)
    question = question_of(load(f"{text}\n", nobody_ok=True), dt.date(1970, 1, 1), "")
    return _as_text(with_things(plain_copy(tank_file), question, checked(Things, things)))


def _sent(told: StoneTold, pieces: Sequence[Mapping[str, object]], before: Sequence[object]) -> Sent:
    known = 0 < told.id <= len(pieces) and pieces[told.id - 1].get("kind", "boulder") == told.form.value
    same = known and checked(StoneTold, before[told.id - 1]) == told
    return Sent(told, pieces[told.id - 1] if known else None, same)


def _rock(rock: Mapping[str, object], sent: Sequence[Sent], glass: Glass) -> dict[str, object]:
    """Return the rock as pieces; a mass told of all of it holds while no stone comes or goes."""
    if not sent:
        return {}
    settled = _let_down([one.told.stone() for one in sent], [one.is_as_before for one in sent], glass)
    made: dict[str, object] = {
        "pieces": [_piece(one, stone) for one, stone in zip(sent, settled, strict=True)]
    }
    was = rock.get("pieces", [])
    same_count = not was or (isinstance(was, list) and len(was) == len(sent))
    return ({"mass": rock["mass"]} if "mass" in rock and same_count else {}) | made


def _piece(one: Sent, stone: Stone) -> dict[str, object]:
    if one.is_as_before and one.piece is not None:
        return dict(one.piece)
    told = one.told
    sizes = {name: getattr(told, name) for name in _SIZES} | {"base": stone.base_cm}
    made: dict[str, object] = {"kind": told.form.value}
    made |= {name: f"{value:.4g} cm" for name, value in sizes.items()}
    turned = {"turn": told.turn, "tilt": 0.0 if told.form in LEVEL else told.tilt}
    made |= {name: round(value) for name, value in turned.items() if round(value)}
    hidden = {name: one.piece[name] for name in _HIDDEN if one.piece and name in one.piece}
    return made | hidden | ({"fixed": True} if told.fixed else {})


def _let_down(stones: list[Stone], alone: Sequence[bool], glass: Glass) -> list[Stone]:
    """Return stones of which those that were moved and hang in the water lie on what is below them."""
    for _ in stones:
        floating = [
            found.stone
            for found in standings(tuple(stones), glass)
            if Fault.FLOATS in found.faults and not alone[found.stone]
        ]
        if not floating:
            break
        n = min(floating, key=lambda k: stones[k].base_cm)
        lower = let_down(stones[n], tuple(stones[:n] + stones[n + 1 :]))
        up_cm = math.ceil(lower.base_cm * _DECIMALS) / _DECIMALS
        if up_cm >= stones[n].base_cm:
            break
        stones[n] = lower.moved_to(lower.x_cm, lower.y_cm, up_cm)
    return stones


def _as_text(content: Mapping[str, object]) -> str:
    return yaml.safe_dump(dict(content), sort_keys=False, allow_unicode=True, width=100)


HANDLED = tuple(form.value for form in Form if form is not Form.SAND_BED)
"""Forms of stone that a page puts in."""
