"""The shop's stock list, a CSV file beside the tank file: sizes and prices that plans prefer and mark."""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal, get_args

from pydantic import Field, ValidationError

from slackwater.errors import InputError, InputErrors
from slackwater.plan.question import Question, Wanted
from slackwater.service.animals import meant
from slackwater.service.faults import faults_of
from slackwater.service.plain_data import read_text
from slackwater.service.tankfile import TankFile
from slackwater.service.tankfile_base import Part
from slackwater.service.tankfile_parts import MOST_OF_ONE_KIND, AnimalName, Sex
from slackwater.service.tankfile_values import AnimalCm, Day, Price, one_of
from slackwater.society.company import Sex as SexOf

HEADS = ("name", "length", "sex", "price", "count", "since", "eating")
MOST_ROWS = 5000

_NEAR = math.log(1.25)
_MOST_WAYS = 4
_Eating = Literal["yes", "no"]


class StockRow(Part):
    """Animals of one kind, size and price in the shop."""

    name: AnimalName = Field(description="The name as the shop writes it.")
    length_cm: AnimalCm | None = Field(None, description="Length from the snout to the end of the tail.")
    sex: Annotated[Sex, one_of(get_args(Sex))] = Field("unknown", description="A pair is a settled pair.")
    price: Price | None = Field(None, description="Price of one.")
    count: int = Field(1, ge=0, le=10 * MOST_OF_ONE_KIND, description="How many there are.")
    since: Day | None = Field(None, description="Day on which they came.")
    eating: Annotated[_Eating, one_of(get_args(_Eating))] | None = Field(
        None, description="Whether they were seen to eat."
    )


class StockList(Part):
    """All that the shop has."""

    rows: tuple[StockRow, ...] = Field((), max_length=MOST_ROWS, description="The lines of the file.")


@dataclass(frozen=True)
class Held:
    """One line of the stock list, its animal understood; `scientific_name` empty where it was not."""

    row: StockRow
    scientific_name: str


def read_stock(path: Path) -> tuple[Held, ...]:
    """Return the stock list.

    Parameters
    ----------
    path
        A CSV file with a head; its columns are name, length, sex, price, count, since and eating,
        of which only the first is needed.

    Raises
    ------
    InputError
        If there is no such file, or its head has other columns.
    InputErrors
        If values in it will not do; all faults at once. Names of unknown animals are no fault.
    """
    lines = csv.DictReader(read_text(path).splitlines(), skipinitialspace=True)
    heads = [head.strip().lower() for head in lines.fieldnames or ()]
    if "name" not in heads or not set(heads) <= set(HEADS):
        raise InputError(
            field=path.name,
            given=", ".join(heads) or "empty",
            limit=f"its columns are {', '.join(HEADS)}",
            remedy="Write them in the first line; all but the name may be left out.",
        )
    lines.fieldnames = heads
    rows = [{key: (value or "").strip() or None for key, value in row.items() if key} for row in lines]
    try:
        listed = StockList.model_validate({"rows": rows})
    except ValidationError as error:
        raise InputErrors(source=path.name, faults=faults_of(error, StockList)) from None
    return tuple(Held(row, _named(row.name)) for row in listed.rows)


def _named(name: str) -> str:
    try:
        return meant(name, "the stock list").name
    except (InputError, LookupError):
        return ""


def from_stock(wanted: Sequence[Wanted], stock: Sequence[Held]) -> list[Wanted]:
    """Return animals with size and price of what is in stock, marked so; residents as they are.

    Parameters
    ----------
    wanted
        Residents and wishes.
    stock
        The stock list.

    Notes
    -----
    Of several lines that fit in sex the one with enough animals comes first, then one that eats,
    then the nearest in length. What was told stays: a size that differs by more than a quarter
    is only mentioned.
    """
    left = {n: held.row.count for n, held in enumerate(stock)}
    out = []
    for one in wanted:
        found = None if one.resident else _best(one, stock, left)
        out.append(one if found is None else _taken(one, stock[found].row, left[found]))
        if found is not None:
            left[found] = max(left[found] - one.count, 0)
    return out


def _best(wanted: Wanted, stock: Sequence[Held], left: dict[int, int]) -> int | None:
    """Return the number of the line that fits best, None if there is none."""
    fits = [
        n
        for n, held in enumerate(stock)
        if held.scientific_name == wanted.species.name and left[n] > 0 and _same_sex(wanted, held.row)
    ]
    return min(fits, key=lambda n: _rank(wanted, stock[n].row, left[n]), default=None)


def _same_sex(wanted: Wanted, row: StockRow) -> bool:
    return wanted.sex is SexOf.UNKNOWN or row.sex in {wanted.sex.value, "unknown"}


def _rank(wanted: Wanted, row: StockRow, left: int) -> tuple[bool, bool, bool, float]:
    return (
        left < wanted.count,
        row.eating == "no",
        row.sex != wanted.sex.value,
        _apart(wanted, row),
    )


def _apart(wanted: Wanted, row: StockRow) -> float:
    """Return how far a line's length is from the one wanted, as the ratio's logarithm. [-]"""
    return abs(math.log((row.length_cm or wanted.length_cm) / wanted.length_cm))


def _taken(wanted: Wanted, row: StockRow, left: int) -> Wanted:
    differs = wanted.length_told and _apart(wanted, row) > _NEAR
    marked = replace(wanted, stock=_mark(wanted, row, left, differs=differs))
    if row.price is not None and wanted.price is None:
        marked = replace(marked, price=str(row.price))
    if row.length_cm is None or differs:
        return marked
    return replace(marked, length_cm=row.length_cm, length_told=True)


def _mark(wanted: Wanted, row: StockRow, left: int, *, differs: bool) -> str:
    """Return what the plan notes of an animal that is in stock."""
    told = [f"{left} of {wanted.count}"] if left < wanted.count else []
    if row.length_cm is not None:
        told.append(f"{'only at ' if differs else ''}{row.length_cm:.3g} cm")
    told += {"yes": ["eats"], "no": ["not eating yet"]}.get(row.eating or "", [])
    if row.since is not None:
        told.append(f"since {row.since.isoformat()}")
    return "in stock: " + ", ".join(told) if told else "in stock"


def in_other_ways(question: Question, tank_file: TankFile) -> tuple[Question, tuple[tuple[int, ...], ...]]:
    """Return a question with the other sizes and sexes that the shop has of each wish, for a choice.

    Parameters
    ----------
    question
        The question of the tank file, its wishes in the order of the file.
    tank_file
        The tank file, with its stock list if it has one.

    Returns
    -------
    question, either
        Wishes with the others behind them, and the numbers of those of which one can be chosen.

    Notes
    -----
    A wish whose length was told has no other size; one whose sex was told has that sex only. Each line
    of the stock list counts that holds enough animals, up to four of a kind.
    """
    if not tank_file.stock:
        return question, ()
    stock = read_stock(Path(tank_file.stock))
    wishes: list[Wanted] = []
    either = []
    for one, row in zip(question.wishes, tank_file.wishes, strict=True):
        free = row.length_cm is None and not any(letter.isdigit() for letter in row.animal)
        asked = replace(one, price=str(row.price) if row.price else None)
        ways = _ways(asked, stock) if free and one.stock else [one]
        if len(ways) > 1:
            either.append(tuple(range(len(wishes), len(wishes) + len(ways))))
        wishes += ways
    return replace(question, wishes=tuple(wishes)), tuple(either)


def _ways(asked: Wanted, stock: Sequence[Held]) -> list[Wanted]:
    """Return a wish at each size and sex in stock, that nearest to what was taken so far first."""
    fits = [
        held.row
        for held in stock
        if held.scientific_name == asked.species.name
        and held.row.count >= asked.count
        and held.row.length_cm is not None
        and _same_sex(asked, held.row)
    ]
    ways: dict[tuple[float, SexOf], Wanted] = {}
    for row in sorted(fits, key=lambda row: _rank(asked, row, row.count)):
        sex = asked.sex if row.sex == "unknown" else SexOf(row.sex)
        key = f"{asked.key}/{len(ways)}" if ways else asked.key
        found = _taken(replace(asked, key=key, sex=sex, length_told=False), row, row.count)
        ways.setdefault((found.length_cm, sex), found)
    return list(ways.values())[:_MOST_WAYS] or [asked]


def stock_notes(wishes: Sequence[Wanted], stock: Sequence[Held]) -> tuple[str, ...]:
    """Return what of the wishes is not in stock, and which lines of the list nobody understands."""
    missing = [w.species.common_name for w in wishes if not w.stock]
    unknown = [held.row.name for held in stock if not held.scientific_name]
    notes = []
    if missing:
        notes.append(f"Not in stock, taken at the usual size when sold or as told: {', '.join(missing)}.")
    if unknown:
        notes.append(f"Lines of the stock list that name no one animal: {', '.join(unknown)}.")
    return tuple(notes)
