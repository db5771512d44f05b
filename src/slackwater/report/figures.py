"""Drawings made from a plan: the tank to scale, and where the worst-off animal is pressed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackwater.plan.records import AnimalLine, Plan
from slackwater.report.frames import (
    INK,
    SAND,
    Frame,
    Paper,
    View,
    caption,
    clipped,
    drawing,
    footnote,
    footnote_lines,
    framed,
    glass,
    glass_line,
    is_roomy,
    letters,
    rulers,
    sheet_line,
)
from slackwater.report.labels import Box, label_places
from slackwater.report.outlines import Body, Ink, extent_cm, extent_from_above_cm, side_view, view_from_above
from slackwater.report.rockwork import hole_marks, stones
from slackwater.report.svg import Node, Point, group, node, number, polygon_path

_NUMBER_MM = 1.85
_TOGETHER_MM = 24.0
_LEGEND = (
    "Animals at the size now or to buy, numbered as in the table. "
    "Dark spots: holes; broken rings: holes behind or beneath rock. Diamonds: feeding stations."
)


@dataclass(frozen=True)
class _Label:
    """One number and the bodies it points to."""

    number: int
    bodies: tuple[Box, ...]


def tank_svg(plan: Plan, paper: Paper | None = None) -> str:
    """Return the tank to scale from above and from the front, in one SVG.

    Parameters
    ----------
    plan
        The plan.
    paper
        The room to fill; the two views stand one above the other unless it says otherwise.

    Returns
    -------
    str
        SVG with glass, sand, rock, holes, animals at their homes, feeding stations and rulers;
        its `viewBox` is in centimetres of the tank.
    """
    frame, lines = _framed_with_legend(plan, paper or Paper())
    views = [_tank_view(plan, frame, view) for view in frame.views]
    title = f"{plan.title}: the tank to scale"
    return drawing(frame, title, tank_description(plan), *views, *footnote(frame, lines))


def tank_scale(plan: Plan, paper: Paper) -> int:
    """Return the n of the scale 1 to n at which the tank is drawn on such paper."""
    return _framed_with_legend(plan, paper)[0].scale


def tank_description(plan: Plan) -> str:
    """Return the drawing in words, for those who cannot see it."""
    tank = plan.tank
    animals = "; ".join(f"{i} {a.common_name}" for i, a in numbered(plan))
    return (
        f"Tank ({tank.shape}) of {tank.length_cm:.3g} by {tank.width_cm:.3g} by {tank.height_cm:.3g} cm "
        f"with {tank.rock_word}, "
        f"seen from above and from the front. Animals at their homes: {animals}."
    )


def numbered(plan: Plan) -> list[tuple[int, AnimalLine]]:
    """Return the animals with the numbers they carry on every page and drawing."""
    return list(enumerate(plan.animals, start=1))


def body_of(animal: AnimalLine, length_cm: float | None = None) -> Body:
    """Return the body to draw, at today's length unless another is given."""
    return Body(animal.form, length_cm or animal.length_cm, animal.body_depth_ratio)


def animal_mark(frame: Frame, view: View, animal: AnimalLine, home_cm: tuple[float, float, float]) -> Node:
    """Return one animal at one of its homes, its head towards the middle of the tank."""
    return body_mark(frame, view, body_of(animal), home_cm)


def body_mark(frame: Frame, view: View, body: Body, home_cm: tuple[float, float, float]) -> Node:
    """Return one body at a home, its head towards the middle of the tank."""
    ink = Ink(stroke_cm=frame.mm(0.17))
    draw = view_from_above if view.axis == "above" else side_view
    x, y = _box_of(body, view, home_cm).centre
    turn = " scale(-1 1)" if home_cm[0] < frame.tank.length_cm / 2 else ""
    return group((draw(body, ink),), transform=f"translate({number(x)} {number(y)}){turn}")


def _framed_with_legend(plan: Plan, paper: Paper) -> tuple[Frame, list[str]]:
    lines = footnote_lines(framed(plan.tank, paper), _LEGEND)
    return framed(plan.tank, replace(paper, foot_mm=3.0 * len(lines) + 1.0)), lines


def _tank_view(plan: Plan, frame: Frame, view: View) -> Node:
    tank = plan.tank
    holes = hole_marks(frame, view, tank.holes, tank.pieces)
    rockwork = [*stones(frame, view, tank.pieces), *holes]
    layers = (
        [glass(frame, view, fill=SAND), *rockwork]
        if view.axis == "above"
        else [*rockwork, _sand(frame, view)]
    )
    inside = clipped(frame, view, "tank", layers)
    leaders, rings = _numbers(plan, frame, view)
    homes = sorted(
        ((animal, home) for animal in plan.animals for home in animal.homes_cm),
        key=lambda pair: -view.depth(pair[1]),
    )
    animals = [animal_mark(frame, view, animal, home) for animal, home in homes]
    return group(
        (
            caption(frame, view),
            inside,
            glass_line(frame, view),
            *sheet_line(frame, view),
            *_lid(plan, frame, view),
            rulers(frame, view),
            *_stations(plan, frame, view),
            *leaders,
            *animals,
            *rings,
        )
    )


def _sand(frame: Frame, view: View) -> Node:
    depth_cm = frame.tank.sand_cm
    return node(
        "rect", x=view.left_cm, y=view.bottom_cm - depth_cm, width=view.width_cm, height=depth_cm, fill=SAND
    )


def _lid(plan: Plan, frame: Frame, view: View) -> list[Node]:
    """Return the lid as a bar above the front view, and the word when there is none."""
    if view.axis == "above":
        return []
    right = view.left_cm + view.width_cm
    word = "lid" if plan.tank.lid else "open top"
    label = letters(
        frame, word, (right, view.top_cm - frame.mm(1.8)), text_anchor="end", font_size=frame.mm(2.2)
    )
    bar = node(
        "rect",
        x=view.left_cm,
        y=view.top_cm - frame.mm(1.0),
        width=view.width_cm,
        height=frame.mm(0.55),
        fill=INK,
    )
    labels = [label] if is_roomy(frame, view) else []
    return [bar, *labels] if plan.tank.lid else labels


def _stations(plan: Plan, frame: Frame, view: View) -> list[Node]:
    return [_station(frame, view, i, place) for i, place in enumerate(plan.feeding.stations_cm, start=1)]


def _station(frame: Frame, view: View, which: int, place_cm: tuple[float, float, float]) -> Node:
    x, y = view.at(place_cm)
    half = frame.mm(1.1)
    diamond = node(
        "path", d=polygon_path([(x, y - half), (x + half, y), (x, y + half), (x - half, y)]), fill=INK
    )
    on_right = place_cm[0] > frame.tank.length_cm * 0.85
    words = letters(
        frame,
        f"feed {which}",
        (x + frame.mm(-1.8 if on_right else 1.8), y + frame.mm(0.8)),
        text_anchor="end" if on_right else "start",
        font_size=frame.mm(2.2),
    )
    return group((diamond, words))


def _numbers(plan: Plan, frame: Frame, view: View) -> tuple[list[Node], list[Node]]:
    """Return the lines to the bodies, to be drawn beneath them, and the numbers in their rings."""
    labels = [label for i, animal in numbered(plan) for label in _labels_of(i, animal, frame, view)]
    bodies = [body for label in labels for body in label.bodies]
    bodies += [_station_box(frame, view, place) for place in plan.feeding.stations_cm]
    anchors = [_around(label.bodies) for label in labels]
    places = label_places(anchors, bodies, _inside(view), frame.mm(_NUMBER_MM))
    pairs = list(zip(labels, places, strict=True))
    leaders = [line for label, place in pairs for line in _leaders(frame, label, place)]
    return leaders, [_ring(frame, label, place) for label, place in pairs]


def _labels_of(which: int, animal: AnimalLine, frame: Frame, view: View) -> list[_Label]:
    """Return one label for a group that keeps together, else one for each animal."""
    boxes = tuple(_body_box(animal, view, home) for home in animal.homes_cm)
    if not boxes:
        return []
    whole = _around(boxes)
    if max(whole.half) * 2 <= frame.mm(_TOGETHER_MM):
        return [_Label(which, boxes)]
    return [_Label(which, (box,)) for box in boxes]


def _body_box(animal: AnimalLine, view: View, home_cm: tuple[float, float, float]) -> Box:
    """Return where an animal is drawn."""
    return _box_of(body_of(animal), view, home_cm)


def _box_of(body: Body, view: View, home_cm: tuple[float, float, float]) -> Box:
    """Return where a body is drawn: at its home, or as near as its length leaves it inside the glass."""
    size = extent_from_above_cm(body) if view.axis == "above" else extent_cm(body)
    return Box(view.at(home_cm), (size[0] / 2, size[1] / 2)).moved_into(_inside(view))


def _inside(view: View) -> Box:
    half = (view.width_cm / 2, view.height_cm / 2)
    return Box((view.left_cm + half[0], view.top_cm + half[1]), half)


def _station_box(frame: Frame, view: View, place_cm: tuple[float, float, float]) -> Box:
    x, y = view.at(place_cm)
    side = -1.0 if place_cm[0] > frame.tank.length_cm * 0.85 else 1.0
    return Box((x + side * frame.mm(3.0), y), (frame.mm(4.5), frame.mm(1.3)))


def _around(boxes: tuple[Box, ...]) -> Box:
    lows = [min(b.centre[i] - b.half[i] for b in boxes) for i in (0, 1)]
    highs = [max(b.centre[i] + b.half[i] for b in boxes) for i in (0, 1)]
    return Box(
        ((lows[0] + highs[0]) / 2, (lows[1] + highs[1]) / 2),
        ((highs[0] - lows[0]) / 2, (highs[1] - lows[1]) / 2),
    )


def _leaders(frame: Frame, label: _Label, place: Point) -> list[Node]:
    thin = frame.mm(0.15)
    return [
        node(
            "line",
            x1=place[0],
            y1=place[1],
            x2=box.centre[0],
            y2=box.centre[1],
            stroke=INK,
            stroke_width=thin,
        )
        for box in label.bodies
    ]


def _ring(frame: Frame, label: _Label, place: Point) -> Node:
    thin = frame.mm(0.15)
    ring = node(
        "circle",
        cx=place[0],
        cy=place[1],
        r=frame.mm(_NUMBER_MM),
        fill="#ffffff",
        stroke=INK,
        stroke_width=thin,
    )
    at = (place[0], place[1] + frame.mm(0.88))
    return group((ring, letters(frame, str(label.number), at, text_anchor="middle", font_weight="600")))
