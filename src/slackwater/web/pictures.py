"""Drawings that pages show, by the outlines of the printed sheet, in ink and muted colours of their own."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from slackwater.report.coats import dressed
from slackwater.report.outlines import Body, extent_cm
from slackwater.report.svg import node, number, polygon_path
from slackwater.rules import load_rules
from slackwater.tank.outline import Outline
from slackwater.taxa.coat import Coat, coat_of
from slackwater.taxa.facts import Species, load_facts
from slackwater.web.views import drawing

_WIDE_PX = 176.0
_TALL_PX = 96.0


@dataclass(frozen=True)
class Swimmer:
    """One animal seen from above and from the side, to scale, and the names to draw it by."""

    above: Markup
    side: Markup
    above_id: str
    side_id: str


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


def swimmer(name: str, species: Species, length_cm: float) -> Swimmer:
    """Return an animal of a length in its own colours, one unit long, to be scaled where it is used.

    Outlines of one form are then nearly the same short text, which packs well.

    Parameters
    ----------
    name
        A name of its own on the page.
    species
        Whose colours it wears.
    length_cm
        Total length: the small may wear the coat of the young. [cm]
    """
    body, coat = body_of(species, 1.0), _coat(species, length_cm)
    above, side = (dressed(f"{name}{view}", body, coat, above=view == "a") for view in "as")
    return Swimmer(drawing(above), drawing(side), f"{name}a", f"{name}s")


def is_dressed_anew(species: Species, length_cm: float, grown_cm: float) -> bool:
    """Return whether an animal changes its coat between two lengths. [cm]"""
    return _coat(species, length_cm) != _coat(species, grown_cm)


def _coat(species: Species, length_cm: float) -> Coat:
    return coat_of(species, length_cm, load_rules()["temper_half_grown"])


def ring(outline: Outline, width_cm: float) -> str:
    """Return the outline of a tank as the path of a drawing with the front glass at its lower edge."""
    return polygon_path([(x, width_cm - y) for x, y in outline.ring_cm.tolist()])
