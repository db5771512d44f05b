"""Drawings that pages show, by the outlines of the printed sheet, in the ink of the page."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from slackwater.report.outlines import Body, Ink, extent_cm, extent_from_above_cm, side_view, view_from_above
from slackwater.report.svg import in_steps, node, number, polygon_path
from slackwater.tank.outline import Outline
from slackwater.taxa.facts import load_facts
from slackwater.web.views import drawing

_WIDE_PX = 176.0
_TALL_PX = 96.0
_LINE_PX = 1.3
_STEPS = 300.0
"""Steps along a body in which its outline is told; one is a third of a millimetre on 10 cm."""
_FROM_ABOVE = Body("perch", _STEPS, 0.4)


def fish(scientific_name: str, label: str = "") -> Markup:
    """Return an animal in outline, looking left, as large as its place allows.

    Parameters
    ----------
    scientific_name
        The species.
    label
        What the drawing says to those who cannot see it; without one it is passed over.
    """
    species = load_facts().species(scientific_name)
    adult_cm = species.number("adult_length_cm")
    body = Body(species.word("form"), adult_cm, species.number("body_depth_ratio"))
    wide, high = extent_cm(body)
    scale = min(_WIDE_PX / wide, _TALL_PX / high)
    ink = Ink(fill="none", line="currentColor", stroke_cm=_LINE_PX / scale)
    margin = 2.0 / scale
    box = (-wide / 2 - margin, -high / 2 - margin, wide + 2 * margin, high + 2 * margin)
    told = {"role": "img", "aria_label": label} if label else {"aria_hidden": "true"}
    made = node(
        "svg",
        side_view(body, ink),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=" ".join(number(value) for value in box),
        width=number(box[2] * scale),
        height=number(box[3] * scale),
        **told,
    )
    return drawing(made)


def swimmer(wanted: Body, *, above: bool) -> Markup:
    """Return an animal to scale, in centimetres, its middle at the origin: from above or from the side.

    It is drawn in whole steps along its body and scaled, and from above all are one outline drawn
    out: short texts, often the same, which pack well.
    """
    ink = Ink(fill="var(--sheet)", line="currentColor", stroke_cm=0.0)
    if above:
        drawn, along, across = view_from_above(_FROM_ABOVE, ink), *_drawn_out(wanted)
    else:
        body = replace(wanted, length_cm=_STEPS)
        drawn, along, across = side_view(body, ink), *(2 * (wanted.length_cm / _STEPS,))
    return drawing(node("g", in_steps(drawn), transform=f"scale({along:.4g} {across:.4g})"))


def _drawn_out(body: Body) -> tuple[float, float]:
    """Return how much longer and wider an animal is from above than the one that is drawn for all."""
    wide, drawn = extent_from_above_cm(body), extent_from_above_cm(_FROM_ABOVE)
    return wide[0] / drawn[0], wide[1] / drawn[1]


def ring(outline: Outline, width_cm: float) -> str:
    """Return the outline of a tank as the path of a drawing with the front glass at its lower edge."""
    return polygon_path([(x, width_cm - y) for x, y in outline.ring_cm.tolist()])
