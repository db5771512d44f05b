"""Animals of a question as rows of a tank file, so that a changed question can be written down."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from slackwater.plan.question import Question, Wanted
from slackwater.service.tankfile import TankFile
from slackwater.service.tankfile_copy import Plain, plain_values
from slackwater.society.company import Place

_NO_RECORD = dt.date(2000, 1, 1)


def row_of(wanted: Wanted, tank_file: TankFile) -> Plain:
    """Return animals as plain values of a row; a tally comes from the file that they stood in."""
    row: Plain = {"animal": wanted.species.name, "count": wanted.count, "sex": wanted.sex.value}
    if wanted.length_told:
        row["length"] = f"{float(wanted.length_cm)!r} cm"
    row |= _of_a_resident(wanted) if wanted.resident else _of_a_wish(wanted)
    row |= {"side": wanted.side} if wanted.side else {}
    row |= {"place": wanted.place.value} if wanted.place is not Place.TANK else {}
    if wanted.count > 1 or wanted.own_sigma is None:
        return row
    same = (r for r in (*tank_file.company, *tank_file.wishes) if r.animal == wanted.said and r.seen)
    if counted := next(same, None):
        row["seen"] = plain_values(counted).get("seen")
    return row


def _of_a_resident(wanted: Wanted) -> Plain:
    known = wanted.since is not None and wanted.since > _NO_RECORD
    return {"since": wanted.since.isoformat()} if known and wanted.since else {}


def _of_a_wish(wanted: Wanted) -> Plain:
    row: Plain = {"wish": int(wanted.wish) if wanted.wish.is_integer() else f"{wanted.wish:g}"}
    row |= {"price": wanted.price} if wanted.price else {}
    return row | ({"box_days": wanted.box_days} if wanted.box_days else {})


def as_said(question: Question, residents: tuple[Wanted, ...], wishes: tuple[Wanted, ...]) -> Question:
    """Return a question that was read from rows with what rows do not tell: words, and tempers as seen.

    The customer's words stand in place of scientific names, and the temper of an animal is that which
    was seen in the tank as it was.
    """
    return replace(
        question,
        residents=_said(question.residents, residents),
        wishes=_said(question.wishes, wishes),
    )


def _said(new: tuple[Wanted, ...], old: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
    return tuple(
        replace(w, said=was.said, own_temper=was.own_temper, own_sigma=was.own_sigma, seen=was.seen)
        for w, was in zip(new, old, strict=True)
    )
