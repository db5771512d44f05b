"""What stands in a tank beside its stones, as a page shows and sends it: food, a divider, a box."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict
from pydantic import Field as Told

from slackwater.plan.draft import LONGEST_BOXED_CM
from slackwater.plan.feeding import stations_cm
from slackwater.plan.question import BoxPlace, Question, Wanted
from slackwater.plan.settling_in import size_cm
from slackwater.plan.sheet_design import body_cm
from slackwater.rules import Rules
from slackwater.service.keeping_of import at_both_ends
from slackwater.service.tankfile_divider import SHORTEST_SIDE_CM
from slackwater.society.company import Keeping, Place
from slackwater.society.stations import placed
from slackwater.tank.rock import Rockwork

MOST_STATIONS = 10
_LEAST_BOX_CM = (12.0, 10.0, 10.0)

Centimetres = Annotated[float, Told(ge=0.0, le=2000.0)]
Size = Annotated[float, Told(ge=1.0, le=1000.0)]


class _Sent(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class StationTold(_Sent):
    """A place for food as a page sends it. [cm]"""

    x: Centimetres
    y: Centimetres
    base: Centimetres


class DividerTold(_Sent):
    """A divider as a page sends it: its place from the left pane [cm], and who lives right of it, by key."""

    at: Centimetres
    sheet: Literal["opaque", "clear"] = "opaque"
    right: Annotated[tuple[str, ...], Told(max_length=500)] = ()


class BoxTold(_Sent):
    """An acclimation box as a page sends it: the middle of its foot, and its inner sizes. [cm]"""

    x: Centimetres
    y: Centimetres
    base: Centimetres
    length: Size
    width: Size
    height: Size

    @property
    def place(self) -> BoxPlace:
        """The box that is meant."""
        size = (self.length, self.width, self.height)
        return BoxPlace((self.x, self.y, self.base + self.height / 2.0), size)


class Things(_Sent):
    """All that stands in a tank beside its stones."""

    stations: Annotated[tuple[StationTold, ...], Told(max_length=MOST_STATIONS)] = ()
    divider: DividerTold | None = None
    box: BoxTold | None = None


def things_of(question: Question) -> Things:
    """Return what a tank holds beside its stones; places for food that were not told as they are assumed."""
    places = stations_cm(question, question.keeping.stations)
    return Things(
        stations=tuple(StationTold(x=_mm(x), y=_mm(y), base=_mm(z)) for x, y, z in places),
        divider=_divider(question),
        box=_box(question.box),
    )


def furnished(question: Question, things: Things | None, rock: Rockwork, rules: Rules) -> Question:
    """Return a question with what a page has put into the tank.

    Parameters
    ----------
    question
        The tank as its file tells it.
    things
        What the page shows; None or what it was sent leaves the file as it is.
    rock
        The stones as they lie there, which hide one place for food from another.
    rules
        The coefficients.
    """
    before = things_of(question)
    now = things or before
    moved = now.stations != before.stations
    divider_cm = now.divider.at if now.divider else None
    keeping = _keeping(question, now.stations) if moved else question.keeping
    made = replace(question, keeping=placed(keeping, rock, divider_cm, rules))
    if now.divider != before.divider:
        made = _parted(made, now.divider)
    return replace(made, box=now.box.place if now.box else None) if now.box != before.box else made


def sides_of(divider: DividerTold | None, wanted: Sequence[Wanted]) -> tuple[str | None, ...]:
    """Return the side of a divider for each party, None without one and for who is in the sump."""
    if divider is None:
        return (None,) * len(wanted)
    return tuple(
        None if w.place is not Place.TANK else "right" if w.key in divider.right else "left" for w in wanted
    )


def with_things(content: Mapping[str, object], question: Question, things: Things) -> dict[str, object]:
    """Return the plain values of a tank file with what a page has put in; what it left alone stays.

    Parameters
    ----------
    content
        The tank file as plain values.
    question
        What the file asks, by which what was moved is known.
    things
        What the page shows.
    """
    before, made = things_of(question), dict(content)
    if things.stations != before.stations:
        made["keeping"] = {**_block(made, "keeping"), "stations": _places(things.stations)}
    if things.divider != before.divider:
        made = _with_divider(made, question, things.divider)
    if things.box != before.box:
        made = _with_box(made, things.box)
    return made


def usual_box_cm(question: Question, rules: Rules) -> tuple[float, float, float]:
    """Return length, width and height of the keeper's box, else of one for the longest boxed wish. [cm]"""
    if question.box_size_cm is not None:
        return question.box_size_cm
    boxed = [w for w in question.wishes if w.length_cm <= LONGEST_BOXED_CM]
    if not boxed:
        return _LEAST_BOX_CM
    longest = max(boxed, key=lambda w: w.length_cm)
    return size_cm(longest, body_cm(longest.species, longest.length_cm)[0], rules)


def _keeping(question: Question, stations: Sequence[StationTold]) -> Keeping:
    places = tuple((s.x, s.y, s.base) for s in stations)
    both = question.keeping.food_both_ends or at_both_ends(places, question.glass)
    return replace(
        question.keeping,
        stations=max(len(places), 1),
        places_cm=places,
        stations_worth=None,
        food_both_ends=both,
    )


def _parted(question: Question, divider: DividerTold | None) -> Question:
    def on_sides(wanted: tuple[Wanted, ...]) -> tuple[Wanted, ...]:
        sides = sides_of(divider, wanted)
        return tuple(replace(w, side=side) for w, side in zip(wanted, sides, strict=True))

    return replace(
        question,
        divider_cm=_standing_cm(divider.at, question.glass.length_cm) if divider else None,
        divider_clear=divider is not None and divider.sheet == "clear",
        residents=on_sides(question.residents),
        wishes=on_sides(question.wishes),
    )


def _standing_cm(at_cm: float, length_cm: float) -> float:
    """Return where a divider stands that leaves both sides their least length. [cm]"""
    least = min(SHORTEST_SIDE_CM, length_cm / 2.0)
    return min(max(at_cm, least), length_cm - least)


def _divider(question: Question) -> DividerTold | None:
    if question.divider_cm is None:
        return None
    company = (*question.residents, *question.wishes)
    right = tuple(w.key for w in company if w.side == "right")
    sheet: Literal["opaque", "clear"] = "clear" if question.divider_clear else "opaque"
    return DividerTold(at=_mm(question.divider_cm), sheet=sheet, right=right)


def _box(box: BoxPlace | None) -> BoxTold | None:
    if box is None:
        return None
    (x, y, z), (length, width, height) = box.middle_cm, box.size_cm
    base = max(_mm(z - height / 2.0), 0.0)
    return BoxTold(x=_mm(x), y=_mm(y), base=base, length=_mm(length), width=_mm(width), height=_mm(height))


def _mm(value_cm: float) -> float:
    return round(value_cm, 1)


def _places(stations: Sequence[StationTold]) -> object:
    if not stations:
        return 1
    return {"places": [{name: _cm(getattr(s, name)) for name in ("x", "y", "base")} for s in stations]}


def _cm(value_cm: float) -> str:
    return f"{value_cm:.5g} cm"


def _with_divider(
    content: dict[str, object], question: Question, divider: DividerTold | None
) -> dict[str, object]:
    made = {key: value for key, value in content.items() if key != "divider"}
    if divider is not None:
        made["divider"] = {"at": _cm(divider.at), "sheet": divider.sheet}
    for name, wanted in (("company", question.residents), ("wishes", question.wishes)):
        rows = made.get(name)
        if isinstance(rows, list):
            made[name] = _sided([dict(row) for row in rows], wanted, divider)
    return made


def _sided(
    rows: list[dict[str, object]], wanted: Sequence[Wanted], divider: DividerTold | None
) -> list[dict[str, object]]:
    """Return rows of animals with their side; a row that stands for several parties goes by its first."""
    left = list(zip(wanted, sides_of(divider, wanted), strict=True))
    for row in rows:
        side = left[0][1] if left else None
        del left[: 1 if row.get("released_together", True) else int(str(row.get("count", 1)))]
        row.pop("side", None)
        if side is not None:
            row["side"] = side
    return rows


def _with_box(content: dict[str, object], box: BoxTold | None) -> dict[str, object]:
    """Return a file with a box where it stands; one that is taken out stays the keeper's."""
    if box is not None:
        return content | {"box": {name: _cm(getattr(box, name)) for name in BoxTold.model_fields}}
    sizes = {key: value for key, value in _block(content, "box").items() if key not in {"x", "y", "base"}}
    return content | {"box": sizes}


def _block(content: Mapping[str, object], name: str) -> dict[str, object]:
    block = content.get(name)
    return dict(block) if isinstance(block, Mapping) else {}
