"""Drawings that pages show, by the outlines of the printed sheet, in ink and muted colours of their own."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from slackwater.report.coats import dressed
from slackwater.report.outlines import Body, extent_cm, extent_from_above_cm
from slackwater.report.svg import in_steps, node, number, polygon_path
from slackwater.rules import load_rules
from slackwater.tank.outline import Outline
from slackwater.taxa.coat import Coat, coat_of
from slackwater.taxa.facts import Species, load_facts
from slackwater.web.views import drawing

_WIDE_PX = 176.0
_TALL_PX = 96.0
_STEPS = 300.0
"""Steps along a body in which its outline is told; one is a third of a millimetre on 10 cm."""
_FROM_ABOVE = Body("perch", _STEPS, 0.4)


@dataclass(frozen=True)
class Swimmer:
    """One animal seen from above and from the side, its names, and its scales to centimetres."""

    above: Markup
    side: Markup
    above_id: str
    side_id: str
    above_scale: str
    side_scale: str


def fish(scientific_name: str, label: str = "", *, young: bool = False) -> Markup:
    """Return an animal in its own colours, looking left, as large as its place allows.

    Parameters
    ----------
    scientific_name
        The species.
    label
        What the drawing says to those who cannot see it; without one it is passed over.
    young
        Whether it is drawn as it is sold, to the scale of the grown one.
    """
    species = load_facts().species(scientific_name)
    adult_cm = species.number("adult_length_cm")
    length_cm = species.number("sale_length_cm") if young else adult_cm
    body = body_of(species, length_cm)
    wide, high = extent_cm(body_of(species, adult_cm))
    scale = min(_WIDE_PX / wide, _TALL_PX / high)
    wide, high = extent_cm(body)
    margin = 2.0 / scale
    box = (-wide / 2 - margin, -high / 2 - margin, wide + 2 * margin, high + 2 * margin)
    told = {"role": "img", "aria_label": label} if label else {"aria_hidden": "true"}
    name = f"{scientific_name.replace(' ', '-')}{'-young' if young else ''}"
    made = node(
        "svg",
        dressed(name, body, _coat(species, length_cm), above=False),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=" ".join(number(value) for value in box),
        width=number(box[2] * scale),
        height=number(box[3] * scale),
        **told,
    )
    return drawing(made)


def body_of(species: Species, length_cm: float) -> Body:
    """Return what is drawn of a species at a length. [cm]"""
    return Body(species.word("form"), length_cm, species.number("body_depth_ratio"))


def swimmer(name: str, species: Species, length_cm: float, grown_cm: float) -> Swimmer:
    """Return an animal of a length in its own colours, to be scaled where it is used.

    It is drawn in whole steps along its body, and from above all have one outline, drawn out: short
    texts, often the same, which pack well.

    Parameters
    ----------
    name
        A name of its own on the page.
    species
        Whose colours it wears.
    length_cm
        Total length that it is drawn to. [cm]
    grown_cm
        Total length whose coat it wears: the small may wear that of the young. [cm]
    """
    body, coat = body_of(species, length_cm), _coat(species, grown_cm)
    side = dressed(f"{name}s", replace(body, length_cm=_STEPS), coat, above=False)
    above = dressed(f"{name}a", _FROM_ABOVE, coat, above=True)
    return Swimmer(
        drawing(in_steps(above)),
        drawing(in_steps(side)),
        f"{name}a",
        f"{name}s",
        "{:.4g} {:.4g}".format(*_drawn_out(body)),
        f"{length_cm / _STEPS:.4g}",
    )


def _drawn_out(body: Body) -> tuple[float, float]:
    """Return how much longer and wider an animal is from above than the one that is drawn for all."""
    wide, drawn = extent_from_above_cm(body), extent_from_above_cm(_FROM_ABOVE)
    return wide[0] / drawn[0], wide[1] / drawn[1]


def is_dressed_anew(species: Species, length_cm: float, grown_cm: float) -> bool:
    """Return whether an animal changes its coat between two lengths. [cm]"""
    return _coat(species, length_cm) != _coat(species, grown_cm)


def _coat(species: Species, length_cm: float) -> Coat:
    return coat_of(species, length_cm, load_rules()["temper_half_grown"])


def ring(outline: Outline, width_cm: float) -> str:
    """Return the outline of a tank as the path of a drawing with the front glass at its lower edge."""
    return polygon_path([(x, width_cm - y) for x, y in outline.ring_cm.tolist()])
