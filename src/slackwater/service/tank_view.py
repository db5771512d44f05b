"""The tank as it is drawn and changed on a screen: its stones, its animals, and the pressure on them."""

from __future__ import annotations

import datetime as dt
import math
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Annotated, Literal, TypeVar

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic import Field as Told

from slackwater.errors import InputErrors
from slackwater.plan.drawing import homes_in, mean_of_water
from slackwater.plan.question import Question, Wanted
from slackwater.plan.settling_in import drawn_at
from slackwater.report.contours import fine_field, regions_above
from slackwater.report.svg import polygon_path
from slackwater.rules import Rules, load_rules
from slackwater.service.faults import faults_of
from slackwater.service.furnishing import Things, furnished
from slackwater.service.planning import question_of
from slackwater.service.tankfile import load
from slackwater.society import attacks as atk
from slackwater.society.company import Individual, Situation
from slackwater.society.field import Field, Stage, edge_for, party_rates, settle_company, stage_of
from slackwater.society.use import allowed
from slackwater.tank.rock import Rockwork, arranged
from slackwater.tank.stone import Form, Stone

M = TypeVar("M", bound=BaseModel)
Array = NDArray[np.float64]
Bytes = NDArray[np.uint8]
Point = tuple[float, float, float]

LEAST_PER_H, MOST_PER_H = 0.03, 30.0
"""The ends of the fixed scale of a pressure map: the faintest and the fullest shade. [1/h]"""

CONTOURS_PER_H = (0.1, 0.3, 1.0, 3.0, 10.0)
"""Where contour lines are drawn. [1/h]"""

MOST_STONES = 200
_APART_DAYS = 21.0
_SHADES = 255


class StoneTold(BaseModel):
    """A stone as a page sends it. [cm, degrees]"""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    id: Annotated[int, Told(ge=0, le=100_000)]
    form: Form
    x: Annotated[float, Told(ge=-500.0, le=2000.0)]
    y: Annotated[float, Told(ge=-500.0, le=2000.0)]
    base: Annotated[float, Told(ge=-100.0, le=1000.0)] = 0.0
    length: Annotated[float, Told(ge=0.1, le=1000.0)]
    width: Annotated[float, Told(ge=0.1, le=1000.0)]
    height: Annotated[float, Told(ge=0.1, le=1000.0)]
    turn: Annotated[float, Told(ge=-360.0, le=360.0)] = 0.0
    tilt: Annotated[float, Told(ge=-80.0, le=80.0)] = 0.0
    fixed: bool = False

    def stone(self) -> Stone:
        """Return the stone that is meant."""
        return Stone(
            form=self.form,
            x_cm=self.x,
            y_cm=self.y,
            base_cm=self.base,
            size_cm=(self.length, self.width, self.height),
            yaw_rad=math.radians(self.turn),
            tilt_rad=math.radians(self.tilt),
            is_fixed=self.fixed,
        )


class Asked(BaseModel):
    """What a page asks while stones are moved.

    `whose` is the key of one animal, empty for the whole company; `size` is that of today or grown;
    `at_rest` asks for the fine answer with contours; `things` are the places for food, the divider and
    the box, as the file tells them where they are left out.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    number: int = 0
    stones: Annotated[tuple[StoneTold, ...], Told(max_length=MOST_STONES)] = ()
    whose: str = ""
    size: Literal["today", "grown"] = "today"
    at_rest: bool = False
    things: Things | None = None


@dataclass(frozen=True)
class PressedRow:
    """How one party fares where it spends its time in this rockwork.

    Parameters
    ----------
    key, name
        Which party.
    per_h
        Attacks per hour on one of it. [1/h]
    quiet
        Share of its usable water below the level of harm. [0 to 1]
    homes_cm
        A likely home of each of it, for drawing. [cm]
    """

    key: str
    name: str
    per_h: float
    quiet: float
    homes_cm: tuple[Point, ...]


@dataclass(frozen=True)
class Pressed:
    """The pressure in one rockwork.

    Parameters
    ----------
    rows
        Everyone, the worst-off first.
    above, front
        Shades on the fixed scale, first row at the back glass or the water line, shape (rows, columns).
    edge_cm
        Edge of a square. [cm]
    contours
        For each view the lines of `CONTOURS_PER_H` as paths in its own centimetres; empty unless at rest.
    took_ms
        How long it took. [ms]
    holes
        Where an animal can shelter among the stones: x, y, z and width, shape (H, 4). [cm]
    stations
        How many stations the places for food are worth. [-]
    boxed
        The key of each newcomer, and what it would draw where the box is. [1/h]
    """

    rows: tuple[PressedRow, ...]
    above: Bytes
    front: Bytes
    edge_cm: float
    contours: Mapping[str, Mapping[float, str]]
    took_ms: float
    holes: tuple[tuple[float, float, float, float], ...] = ()
    stations: float = 1.0
    boxed: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class TankView:
    """A tank that is drawn: what was told of it, judged again and again with other stones."""

    question: Question
    rules: Rules

    @property
    def company(self) -> tuple[Wanted, ...]:
        """Everyone who lives there or is wished for."""
        return (*self.question.residents, *self.question.wishes)

    @cached_property
    def stones(self) -> tuple[Stone, ...]:
        """The stones as told, or those of the first layout that the words stand for, as if glued."""
        rock = self.question.rockworks[0]
        return rock.stones or tuple(_stone_of(rock, number) for number in range(len(rock.pieces)))

    @cached_property
    def today(self) -> Situation:
        """Everyone released, in the order of the list, three weeks apart, as long as now."""
        releases = {w.key: _APART_DAYS * n for n, w in enumerate(self.question.wishes)}
        return self.question.situation(releases, layouts=1)

    @cached_property
    def grown(self) -> Situation:
        """The same company, full-grown."""
        parties = tuple(
            replace(party, length_cm=Individual(0, 0, party, 0).adult_cm) for party in self.today.parties
        )
        return self.today.with_parties(parties)

    def with_things(self, things: Things | None, rock: Rockwork) -> TankView:
        """Return the tank with what a page has put in beside the stones."""
        shown = furnished(self.question, things, rock, self.rules)
        return self if shown == self.question else TankView(shown, self.rules)

    def situation(self, size: str) -> Situation:
        """Return the company at one of its two sizes."""
        return self.grown if size == "grown" else self.today


def open_view(source: Path | str, today: dt.date, title: str = "") -> TankView:
    """Return the view of a tank file; the stock list that it may name is not read.

    Raises
    ------
    InputError, InputErrors, UnknownTaxonError
        If the file cannot be used.
    """
    told = load(source).model_copy(update={"stock": None})
    return TankView(question_of(told, today, title), load_rules())


def asked_of(told: object) -> Asked:
    """Return what a page asks.

    Raises
    ------
    InputErrors
        If it is no such question.
    """
    return checked(Asked, told)


def checked(model: type[M], told: object) -> M:
    """Return what a page sent as the record that it should be.

    Raises
    ------
    InputErrors
        If it is not.
    """
    try:
        return model.model_validate(told)
    except ValidationError as error:
        raise InputErrors(source="what the page sent", faults=faults_of(error, model)) from None


def pressed(view: TankView, asked: Asked) -> Pressed:
    """Return the pressure on everyone among some stones.

    Parameters
    ----------
    view
        The tank.
    asked
        The stones, whose pressure is mapped, and how fine.

    Notes
    -----
    Homes are taken anew in every rockwork, in the order of arrival. Rates are those of the median
    animal once all are used to each other, before what limits the attackers' time: an upper bound
    that is good for comparing one rockwork with another.
    """
    began = time.perf_counter()
    rock = arranged([told.stone() for told in asked.stones], view.question.glass, view.today.sand_cm)
    shown = view.with_things(asked.things, rock)
    situation = shown.situation(asked.size)
    fixed = atk.constants(situation, view.rules)
    edge_cm = edge_for(situation, fine=asked.at_rest)
    field = settle_company(situation, rock, fixed, view.rules, edge_cm)
    rate = party_rates(situation, fixed, situation.horizon_days, view.rules)
    stage = stage_of(field, rate, np.ones(len(field.leaders), dtype=bool), view.rules)
    rows = _rows(field, stage, view.rules)
    above, front = _maps(field, _mapped(field, stage, asked.whose))
    return Pressed(
        rows=rows,
        above=_shades(above)[::-1],
        front=_shades(front)[::-1],
        edge_cm=float(field.ground.cells.edge_cm),
        contours=_contours(field, above, front) if asked.at_rest else {},
        took_ms=1000.0 * (time.perf_counter() - began),
        holes=tuple((*hole.centre_cm, hole.width_cm) for hole in rock.holes),
        stations=situation.keeping.stations_felt(),
        boxed=tuple(_boxed(field, stage, shown.question)),
    )


def _boxed(field: Field, stage: Stage, question: Question) -> Iterator[tuple[str, float]]:
    """Yield each wish and what it would draw where the box is; none without a box, or with it in rock."""
    keys = [leader.party.key for leader in field.leaders]
    for wanted in question.wishes:
        drawn = drawn_at(field, stage.pressure[:, keys.index(wanted.key)], question.box)
        if drawn is not None:
            yield wanted.key, drawn


def _stone_of(rock: Rockwork, number: int) -> Stone:
    piece = rock.pieces[number]
    x, y, z = piece.centre_cm
    length, width, height = (2.0 * half for half in piece.half_cm)
    form = Form.SLAB if piece.kind == "slab" else Form.BOULDER
    base_cm = z - piece.spans_cm[2]
    size_cm = (length, width, height)
    return Stone(form, x, y, base_cm, size_cm, piece.yaw_rad, piece.tilt_rad, is_fixed=True)


def _rows(field: Field, stage: Stage, rules: Rules) -> tuple[PressedRow, ...]:
    homes = homes_in(field)
    rows = []
    for j, leader in enumerate(field.leaders):
        felt = stage.pressure[:, j]
        rows.append(
            PressedRow(
                key=leader.party.key,
                name=leader.species.common_name,
                per_h=float(stage.use[:, j] @ felt),
                quiet=float(field.usable[:, j] @ (felt < rules["quiet_per_h"])),
                homes_cm=homes[leader.party.key],
            )
        )
    return tuple(sorted(rows, key=lambda row: (-row.per_h, row.key)))


def _mapped(field: Field, stage: Stage, whose: str) -> Array:
    """Return the pressure by cell on one party, or the most that anyone would draw there. [1/h]

    Beyond a divider, where a party cannot be, it draws nothing.
    """
    keys = [leader.party.key for leader in field.leaders]
    if not keys:
        return np.zeros(len(stage.pressure))
    x_cm = field.ground.cells.points_cm[:, 0]
    own = np.stack([allowed(leader, x_cm, field.situation) for leader in field.leaders], axis=1)
    felt = np.where(own, stage.pressure, 0.0)
    return np.asarray(felt[:, keys.index(whose)] if whose in keys else felt.max(axis=1))


def _maps(field: Field, pressure: Array) -> tuple[Array, Array]:
    """Return the means over the height and over the width, nan where nothing is water. [1/h]"""
    cells = field.ground.cells
    volume = np.full(cells.shape, np.nan)
    volume[tuple(cells.index.T)] = pressure
    return mean_of_water(volume, 2).T, mean_of_water(volume, 1).T


def _shades(per_h: Array) -> Bytes:
    """Return shades by the logarithm of the pressure on the fixed scale, 0 below it and on land."""
    told = np.maximum(np.nan_to_num(per_h), 1e-9)
    share = np.log(told / LEAST_PER_H) / math.log(MOST_PER_H / LEAST_PER_H)
    return np.asarray(np.clip(np.rint(share * _SHADES), 0, _SHADES), dtype=np.uint8)


def _contours(field: Field, above: Array, front: Array) -> dict[str, dict[float, str]]:
    glass = field.ground.cells.glass
    edge_cm = float(field.ground.cells.edge_cm)
    return {
        "above": _lines(above, edge_cm, (glass.length_cm, glass.width_cm)),
        "front": _lines(front, edge_cm, (glass.length_cm, glass.height_cm)),
    }


def _lines(rows: Array, edge_cm: float, size_cm: tuple[float, float]) -> dict[float, str]:
    """Return the contour of each level as a path in a drawing whose y runs downward."""
    if not np.isfinite(rows).any():
        return {}
    smooth, xs, ys = fine_field(tuple(tuple(row) for row in rows), edge_cm, size_cm)
    out = {}
    for level in CONTOURS_PER_H:
        loops = regions_above(smooth, level, xs, ys)
        if loops:
            flipped = [[(x, size_cm[1] - y) for x, y in loop] for loop in loops]
            out[level] = " ".join(polygon_path(loop) for loop in flipped)
    return out


def sent_stones(stones: Sequence[Stone]) -> list[dict[str, object]]:
    """Return stones as a page reads and sends them. [cm, degrees]"""
    return [
        {
            "id": number,
            "form": stone.form.value,
            "x": round(stone.x_cm, 1),
            "y": round(stone.y_cm, 1),
            "base": round(stone.base_cm, 1),
            **dict(zip(("length", "width", "height"), (round(s, 1) for s in stone.size_cm), strict=True)),
            "turn": round(math.degrees(stone.yaw_rad) % 360.0),
            "tilt": round(math.degrees(stone.tilt_rad)),
            "fixed": stone.is_fixed,
        }
        for number, stone in enumerate(stones, start=1)
    ]
