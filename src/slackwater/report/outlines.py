"""Outlines of bodies, one smooth path for each `form` word of the traits table.

A profile is written in lengths along the body (0 snout, 1 tip of the tail) and in body depths
across it (-0.5 belly, 0.5 back; fins may stand out beyond), the animal looking left. `!` marks a
sharp point. `peduncle` is where the tail fin begins: body depth is quoted over that length.
"""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.report.svg import Node, Point, group, node, smooth_path


@dataclass(frozen=True)
class Outline:
    """A body seen from the side, and how wide it is from above. [width: body depths]"""

    profile: str
    eye: Point
    eye_size: float
    peduncle: float = 0.83
    width: float = 0.45
    upright: bool = False


@dataclass(frozen=True)
class Body:
    """What is drawn: form word, total length [cm], depth over standard length [-]."""

    form: str
    length_cm: float
    body_depth_ratio: float

    @property
    def outline(self) -> Outline:
        """The outline of the form; an unknown word is drawn as `perch`."""
        return OUTLINES.get(self.form, OUTLINES["perch"])

    @property
    def depth_cm(self) -> float:
        """Greatest body depth without fins. [cm]"""
        return self.body_depth_ratio * self.outline.peduncle * self.length_cm


@dataclass(frozen=True)
class Ink:
    """How an outline is inked. [stroke: cm]"""

    fill: str = "#ffffff"
    line: str = "#1f2a30"
    stroke_cm: float = 0.12
    eye: bool = True
    dashed: bool = False


OUTLINES: dict[str, Outline] = {
    "disc": Outline(
        "0,-.06! .07,.02 .14,.24 .24,.45 .38,.58 .55,.63 .70,.58 .80,.42! .805,.22 .81,.10! .85,.07"
        " .89,.13 1,.36! .965,.14 .955,0 .965,-.14 1,-.36! .89,-.13 .85,-.07 .81,-.10! .805,-.22"
        " .80,-.42! .70,-.56 .55,-.60 .40,-.54 .26,-.42 .14,-.25 .07,-.14",
        eye=(0.165, 0.14),
        eye_size=0.05,
        width=0.30,
    ),
    "oval": Outline(
        "0,-.03! .05,.12 .13,.31 .26,.48 .44,.58 .62,.62 .76,.58 .86,.40! .84,.22 .83,.12! .87,.11"
        " .93,.26 .98,.28 1,.12 1,-.12 .98,-.28 .93,-.26 .87,-.11 .83,-.12! .84,-.22 .86,-.40!"
        " .76,-.56 .62,-.59 .46,-.54 .28,-.45 .14,-.30 .05,-.14",
        eye=(0.13, 0.12),
        eye_size=0.055,
        width=0.36,
    ),
    "deep": Outline(
        "0,-.08! .06,.03 .13,.22 .24,.42 .36,.53 .48,.62 .60,.74 .75,.80! .77,.58 .79,.34 .82,.10!"
        " .86,.08 .90,.15 1,.32! .97,.12 .96,0 .97,-.12 1,-.32! .90,-.15 .86,-.08 .82,-.10! .79,-.34"
        " .77,-.56 .74,-.78! .60,-.70 .48,-.58 .36,-.51 .24,-.42 .13,-.27 .06,-.17",
        eye=(0.16, 0.12),
        eye_size=0.05,
        width=0.28,
    ),
    "torpedo": Outline(
        "0,0! .08,.20 .20,.38 .34,.49! .40,.74 .47,.78! .50,.58 .58,.50! .66,.42 .74,.28 .83,.09!"
        " .88,.12 1,.62! .93,.14 .915,0 .93,-.14 1,-.62! .88,-.12 .83,-.09! .74,-.28 .66,-.42!"
        " .60,-.60 .54,-.66! .53,-.54 .50,-.49! .34,-.5 .20,-.40 .08,-.22",
        eye=(0.115, 0.08),
        eye_size=0.032,
        width=0.62,
    ),
    "wrasse": Outline(
        "0,-.04! .05,.14 .13,.34 .22,.47! .30,.70 .44,.75 .60,.73 .74,.66 .82,.50! .81,.36 .80,.27!"
        " .85,.25 .92,.40 .985,.46 1,.2 1,-.2 .985,-.46 .92,-.40 .85,-.25 .80,-.27! .81,-.36 .82,-.50!"
        " .74,-.66 .62,-.68 .52,-.60 .46,-.48! .34,-.50 .20,-.44 .10,-.32 .04,-.18",
        eye=(0.115, 0.14),
        eye_size=0.026,
        peduncle=0.82,
        width=0.55,
    ),
    "goby": Outline(
        "0,-.04! .03,.24 .08,.42 .16,.49 .24,.48! .27,.80 .31,1.12! .36,.86 .40,.48! .46,.44! .50,.80"
        " .56,.86 .66,.76 .76,.62! .78,.36 .81,.22! .86,.26 .94,.44 .99,.34 1,0 .99,-.34 .94,-.44"
        " .86,-.26 .81,-.22! .79,-.38 .76,-.64! .66,-.74 .56,-.72 .51,-.42! .40,-.44 .28,-.5! .26,-.72"
        " .22,-.74! .19,-.62 .18,-.5! .10,-.44 .03,-.28",
        eye=(0.075, 0.20),
        eye_size=0.026,
        peduncle=0.82,
        width=0.85,
    ),
    "blenny": Outline(
        "0,-.16! .0,.10 .02,.32 .06,.46! .07,.74 .10,.86! .11,.62 .13,.50! .22,.72 .36,.80 .52,.74"
        " .68,.72 .80,.58! .82,.34 .83,.20! .88,.26 .95,.38 .99,.28 1,0 .99,-.28 .95,-.38 .88,-.26"
        " .83,-.20! .82,-.34 .80,-.54! .66,-.66 .52,-.68 .42,-.46! .30,-.50 .18,-.50! .17,-.74"
        " .14,-.82! .12,-.66 .12,-.49! .06,-.42 .02,-.30",
        eye=(0.055, 0.24),
        eye_size=0.028,
        width=0.8,
    ),
    "perch": Outline(
        "0,-.08! .06,.10 .14,.30 .24,.45! .28,.70 .38,.76 .50,.68 .56,.56! .62,.74 .72,.70 .79,.50!"
        " .78,.32 .80,.20! .85,.20 .93,.38 .985,.38 1,.14 1,-.14 .985,-.38 .93,-.38 .85,-.20 .80,-.20!"
        " .78,-.34 .77,-.62! .68,-.70 .63,-.62 .61,-.42! .46,-.49 .34,-.5! .34,-.72 .31,-.80! .27,-.68"
        " .25,-.48! .14,-.38 .05,-.24",
        eye=(0.13, 0.13),
        eye_size=0.034,
        peduncle=0.82,
        width=0.5,
    ),
    "basslet": Outline(
        "0,-.04! .05,.16 .12,.34 .20,.46! .28,.66 .42,.72 .58,.74 .72,.80 .84,.68! .82,.44 .80,.26!"
        " .85,.24 .93,.44 1,.52! .985,.2 .98,0 .985,-.2 1,-.52! .93,-.44 .85,-.24 .80,-.26! .82,-.46"
        " .84,-.70! .72,-.80 .62,-.74 .54,-.48! .40,-.5 .30,-.5! .33,-.78 .40,-1.02! .28,-.86"
        " .23,-.48! .12,-.36 .05,-.20",
        eye=(0.11, 0.12),
        eye_size=0.036,
        peduncle=0.81,
        width=0.5,
    ),
    "chromis": Outline(
        "0,0! .05,.16 .12,.32 .22,.46! .30,.62 .44,.66 .58,.62 .70,.56 .76,.40! .75,.24 .78,.12!"
        " .83,.14 1,.50! .90,.12 .88,0 .90,-.12 1,-.50! .83,-.14 .78,-.12! .75,-.24 .75,-.44! .66,-.62"
        " .58,-.60 .54,-.46! .42,-.5 .32,-.5! .34,-.70 .37,-.80! .28,-.70 .25,-.47! .13,-.34 .05,-.18",
        eye=(0.11, 0.08),
        eye_size=0.042,
        peduncle=0.79,
        width=0.42,
    ),
    "dragonet": Outline(
        "0,-.14! .03,.12 .08,.38 .14,.48 .22,.46! .21,.9 .26,1.42! .33,1.0 .36,.40! .42,.36! .44,.92"
        " .52,1.02 .64,.86 .71,.66! .71,.38 .76,.18! .82,.24 .92,.46 .985,.42 1,0 .985,-.42 .92,-.46"
        " .82,-.24 .76,-.20! .74,-.40 .72,-.76! .62,-.80 .52,-.72 .48,-.42! .38,-.48 .32,-.5! .30,-.80"
        " .22,-.92! .15,-.76 .15,-.48! .08,-.44 .03,-.32",
        eye=(0.085, 0.26),
        eye_size=0.028,
        peduncle=0.77,
        width=1.1,
    ),
    "eel": Outline(
        "0,.30! .03,.72 .08,.98 .16,1.18 .26,1.10 .36,.72 .46,.30 .56,.12 .66,.22 .76,.50 .86,.74"
        " .94,.66 1,.22! .93,.20 .86,.14 .77,-.14 .67,-.46 .56,-.58 .45,-.42 .35,.00 .25,.34 .16,.34"
        " .09,.14 .03,.10",
        eye=(0.035, 0.52),
        eye_size=0.008,
        peduncle=0.97,
        width=0.8,
    ),
    "box": Outline(
        "0,-.12! .03,.04 .05,.20 .12,.36 .24,.47 .42,.5 .58,.48! .62,.62 .68,.62! .69,.46 .70,.34!"
        " .76,.18 .82,.10! .87,.16 .95,.25 .99,.2 1,0 .99,-.2 .95,-.25 .87,-.16 .82,-.10! .76,-.18"
        " .70,-.32! .68,-.58 .62,-.60! .59,-.50 .56,-.48! .40,-.5 .22,-.48 .10,-.42 .04,-.28",
        eye=(0.15, 0.16),
        eye_size=0.052,
        peduncle=0.82,
        width=0.85,
    ),
    "globe": Outline(
        "0,-.06! .04,.10 .12,.26 .24,.40 .40,.47 .54,.44 .62,.38! .66,.58 .73,.56! .74,.40 .72,.27!"
        " .78,.16 .83,.11! .88,.15 .95,.25 .99,.2 1,0 .99,-.2 .95,-.25 .88,-.15 .83,-.11! .78,-.16"
        " .73,-.26! .74,-.46 .67,-.50! .63,-.44 .60,-.42! .46,-.53 .32,-.53 .18,-.44 .08,-.28",
        eye=(0.16, 0.15),
        eye_size=0.05,
        peduncle=0.83,
        width=0.95,
    ),
    "lionfish": Outline(
        "0,-.06! .04,.14 .09,.22! .08,.44! .13,.32 .18,.40! .18,1.06! .24,.46! .27,1.22! .31,.48!"
        " .36,1.26! .39,.48! .46,1.18! .47,.46! .55,1.02! .55,.42! .60,.78 .70,.86! .73,.50 .72,.22!"
        " .78,.22 .90,.52 .98,.44 1,0 .98,-.44 .90,-.52 .78,-.22 .72,-.22! .72,-.54 .66,-.80! .58,-.70"
        " .56,-.46! .52,-1.0! .46,-.5! .42,-1.22! .37,-.52! .31,-1.26! .28,-.5! .20,-1.06! .18,-.44!"
        " .10,-.36 .03,-.22",
        eye=(0.11, 0.08),
        eye_size=0.034,
        peduncle=0.74,
        width=1.4,
    ),
    "frog": Outline(
        "0,.02! .02,.18 .06,.30! .015,.62! .09,.40 .16,.48 .28,.56 .44,.58 .60,.62 .74,.54 .80,.36!"
        " .78,.22 .80,.16! .86,.24 .95,.32 .99,.24 1,0 .99,-.24 .95,-.32 .86,-.24 .80,-.18! .78,-.34"
        " .74,-.52! .66,-.56 .60,-.46! .62,-.66 .54,-.74! .46,-.66 .46,-.52! .34,-.54! .31,-.70"
        " .22,-.70! .21,-.58 .22,-.48! .10,-.38 .03,-.18",
        eye=(0.13, 0.22),
        eye_size=0.032,
        peduncle=0.80,
        width=0.9,
    ),
    "hawk": Outline(
        "0,-.10! .07,.04 .14,.24 .22,.43! .24,.72! .28,.60! .32,.80! .36,.64! .41,.80! .45,.64!"
        " .50,.74! .53,.58! .60,.78 .66,.62 .74,.56 .79,.40! .79,.28 .80,.20! .86,.22 .95,.42 1,.42!"
        " .99,.1 .99,-.1 1,-.42! .95,-.42 .86,-.22 .80,-.20! .78,-.32 .76,-.56! .68,-.68 .62,-.46!"
        " .46,-.48 .38,-.5! .44,-.66 .48,-.86! .38,-.80 .28,-.66 .23,-.47! .12,-.38 .05,-.24",
        eye=(0.135, 0.16),
        eye_size=0.034,
        peduncle=0.82,
        width=0.55,
    ),
    "horse": Outline(
        "0,.10! .03,.24 .08,.28 .13,.22 .19,.16 .26,.26 .32,.42! .36,.66 .44,.68 .47,.42! .54,.30"
        " .62,.14 .72,.06 .82,.02 .92,-.06 .99,-.30 .985,-.62 .92,-.72 .87,-.58 .89,-.42 .92,-.46!"
        " .905,-.54 .925,-.62 .955,-.54 .955,-.36 .92,-.24 .84,-.18 .74,-.14 .62,-.28 .50,-.46 .40,-.5"
        " .30,-.40 .23,-.22 .17,-.26! .155,-.56 .17,-.84! .135,-.88! .115,-.60 .09,-.30! .05,-.14"
        " .02,-.06",
        eye=(0.095, -0.06),
        eye_size=0.016,
        peduncle=1.0,
        width=0.6,
        upright=True,
    ),
    "pipe": Outline(
        "0,.10! .06,.16 .11,.20 .14,.44 .20,.50 .36,.46! .40,1.0 .47,1.0 .50,.44! .66,.36 .80,.28"
        " .92,.20! .96,.80 .995,.78 1,0 .995,-.80 .96,-.84 .92,-.20! .80,-.30 .66,-.40 .48,-.50"
        " .32,-.50 .20,-.44 .14,-.40 .11,-.16 .06,-.12 0,-.12!",
        eye=(0.135, 0.08),
        eye_size=0.008,
        peduncle=0.93,
        width=1.0,
    ),
    "shark": Outline(
        "0,.06! .06,.20 .16,.36 .28,.46 .34,.5! .38,.92 .44,1.24! .45,.80 .47,.46! .56,.38 .62,.32!"
        " .65,.62 .69,.68! .69,.40 .72,.22! .79,.16! .88,.60 1,1.10! .96,.40 .90,.0 .90,-.30!"
        " .86,-.42! .80,-.08! .72,-.18! .70,-.42 .66,-.48! .64,-.30 .60,-.30! .50,-.42 .38,-.48!"
        " .40,-.80 .40,-1.10! .33,-.92 .27,-.48! .16,-.36 .07,-.18",
        eye=(0.10, 0.10),
        eye_size=0.012,
        peduncle=0.80,
        width=0.9,
    ),
    "arrow": Outline(
        "0,-.04! .10,.12 .20,.30 .30,.44 .42,.5 .54,.49! .60,.98 .67,1.12! .71,.70 .76,.34! .83,.22!"
        " .88,.34 1,.92! .95,.26 .94,0 .95,-.26 1,-.92! .88,-.34 .83,-.22! .76,-.34! .71,-.70"
        " .67,-1.12! .60,-.98 .54,-.49! .42,-.5 .30,-.45 .20,-.34 .10,-.20",
        eye=(0.20, 0.08),
        eye_size=0.017,
        width=0.7,
    ),
}

_FROM_ABOVE = (
    "0,0 .06,.26 .16,.44 .24,.48! .30,.86 .37,.92! .36,.66 .33,.49! .48,.42 .66,.25 .80,.11 .90,.05"
    " 1,.04! 1,-.04! .90,-.05 .80,-.11 .66,-.25 .48,-.42 .33,-.49! .36,-.66 .37,-.92! .30,-.86"
    " .24,-.48! .16,-.44 .06,-.26"
)


def side_view(body: Body, ink: Ink) -> Node:
    """Return the body from the side, looking left, its middle at the origin."""
    points, corners = _read(body.outline.profile)
    (eye_x, eye_y), radius = eye_of(body)
    eye = node("circle", cx=eye_x, cy=eye_y, r=radius, fill=ink.line)
    shape = [_place(p, body) for p in points]
    return group((_inked(shape, corners, ink), *([eye] if ink.eye else [])))


def view_from_above(body: Body, ink: Ink) -> Node:
    """Return the body from above, looking left, its middle at the origin."""
    points, corners = _read(_FROM_ABOVE)
    return group((_inked([placed(body, point, above=True) for point in points], corners, ink),))


def extent_cm(body: Body) -> tuple[float, float]:
    """Return the drawn length and height of the side view, fins included. [cm, cm]"""
    return _extent([_place(p, body) for p in _read(body.outline.profile)[0]])


def extent_from_above_cm(body: Body) -> tuple[float, float]:
    """Return the drawn length and width of the view from above, fins included. [cm, cm]"""
    length_cm, width_cm = _size_from_above(body)
    return _extent([(x * length_cm, y * width_cm) for x, y in _read(_FROM_ABOVE)[0]])


def hull_path(body: Body, *, above: bool) -> str:
    """Return the path data of the outline, looking left, its middle at the origin: from the side or above."""
    points, corners = _read(_FROM_ABOVE if above else body.outline.profile)
    return smooth_path([placed(body, point, above=above) for point in points], corners)


def placed(body: Body, point: Point, *, above: bool) -> Point:
    """Return where a point of a profile is drawn. [cm]"""
    if not above:
        return _place(point, body)
    length_cm, width_cm = _size_from_above(body)
    return (point[0] - 0.5) * length_cm, -point[1] * width_cm


def eye_of(body: Body) -> tuple[Point, float]:
    """Return middle and radius of the eye. [cm]"""
    return _place(body.outline.eye, body), body.outline.eye_size * body.length_cm * 0.5


def span_at(body: Body, along: float, *, above: bool) -> tuple[float, float]:
    """Return lowest and highest edge of a profile at a share of the length, fins included. [body depths]"""
    points, _ = _read(_FROM_ABOVE if above else body.outline.profile)
    along = min(max(along, 0.005), 0.98)
    edges = zip(points, [*points[1:], points[0]], strict=True)
    met = [
        y0 + (y1 - y0) * (along - x0) / (x1 - x0)
        for (x0, y0), (x1, y1) in edges
        if min(x0, x1) <= along <= max(x0, x1) and x0 != x1
    ]
    return (min(met), max(met)) if met else (-0.5, 0.5)


def _size_from_above(body: Body) -> tuple[float, float]:
    length_cm = body.depth_cm * 1.4 if body.outline.upright else body.length_cm
    return length_cm, body.outline.width * body.depth_cm


def _extent(points: list[Point]) -> tuple[float, float]:
    xs, ys = zip(*points, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def _place(point: Point, body: Body) -> Point:
    along, across = (point[0] - 0.5) * body.length_cm, -point[1] * body.depth_cm
    return (-across, along) if body.outline.upright else (along, across)


def _read(profile: str) -> tuple[list[Point], frozenset[int]]:
    words = profile.split()
    corners = frozenset(i for i, word in enumerate(words) if word.endswith("!"))
    pairs = (word.rstrip("!").split(",") for word in words)
    return [(float(x), float(y)) for x, y in pairs], corners


def _inked(points: list[Point], corners: frozenset[int], ink: Ink) -> Node:
    return node(
        "path",
        d=smooth_path(points, corners),
        fill=ink.fill,
        stroke=ink.line,
        stroke_width=ink.stroke_cm,
        stroke_linejoin="round",
        stroke_dasharray=f"{ink.stroke_cm * 4:g} {ink.stroke_cm * 2.5:g}" if ink.dashed else None,
    )
