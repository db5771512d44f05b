"""Pages made from templates. What people wrote is always text there, never markup."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from slackwater import __version__
from slackwater.report import words
from slackwater.report.svg import Node
from slackwater.web.files import StaticFiles

THEMES = ("light", "dark")
THEME_COOKIE = "look"


@dataclass(frozen=True)
class Place:
    """A page as the line at the top names it."""

    path: str
    words: str


PLACES = (
    Place("/", "At the counter"),
    Place("/tanks", "Tanks"),
    Place("/tank", "Rock"),
    Place("/plan", "Plan"),
    Place("/species", "Species"),
    Place("/trust", "Trust"),
)


class Views:
    """Renders templates with what all of them share."""

    def __init__(self, files: StaticFiles) -> None:
        self._files = files
        self._templates = Environment(
            loader=PackageLoader("slackwater.web"),
            autoescape=select_autoescape(default=True),
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self._templates.policies["json.dumps_kwargs"] = {"separators": (",", ":"), "sort_keys": True}
        self._templates.globals |= {
            "static": files.url,
            "places": PLACES,
            "version": __version__,
        }
        self._templates.filters |= FILTERS

    def page(
        self,
        request: Request,
        name: str,
        told: Mapping[str, object] = MappingProxyType({}),
        *,
        status: int = 200,
        script: str | None = None,
    ) -> HTMLResponse:
        """Return a whole page.

        Parameters
        ----------
        request
            What was asked; its path and its cookie of the theme are looked at.
        name
            The template.
        told
            What the template shows.
        status
            The HTTP status.
        script
            The page's own module in `static/js`, if it has one.
        """
        theme = request.cookies.get(THEME_COOKIE, "")
        shared = {
            "path": request.url.path,
            "theme": theme if theme in THEMES else "",
            "script": self._files.script(script),
        }
        return HTMLResponse(self._templates.get_template(name).render(shared | dict(told)), status)

    def part(self, name: str, told: Mapping[str, object], status: int = 200) -> HTMLResponse:
        """Return part of a page, to be put into one that is open."""
        return HTMLResponse(self._templates.get_template(name).render(told), status)


def drawing(made: Node) -> Markup:
    """Return a drawing of our own as markup; its text was escaped when it was written."""
    return Markup(str(made))  # noqa: S704 - report.svg escapes all text it is given


def share_word(value: float) -> str:
    """Return a chance as it is printed."""
    return words.share(value)


def rate_word(per_hour: float) -> str:
    """Return attacks per hour in two figures; what is next to nothing as that."""
    if per_hour < _LEAST_RATE:
        return "under 0.1"
    return f"{per_hour:.1f}" if per_hour < 10.0 else f"{per_hour:.0f}"  # noqa: PLR2004 - two figures


def rates_word(pair: tuple[float, float]) -> str:
    """Return the least and the most attacks per hour, or one of them where both are next to nothing."""
    low, high = (rate_word(rate) for rate in pair)
    return high if low == high else f"{low if pair[0] >= _LEAST_RATE else 0}\N{EN DASH}{high}"


def pressure_step(per_hour: float) -> int:
    """Return the step of the one hue for a number of attacks per hour, from 0 to 5.

    The steps are fixed, so that a shade means the same on every page: 0.1, 0.3, 1, 3, 10 an hour.
    """
    return sum(per_hour >= edge for edge in PRESSURE_EDGES)


PRESSURE_EDGES = (0.1, 0.3, 1.0, 3.0, 10.0)
_LEAST_RATE = 0.1
UNIT_WORDS = {"1/d": "a day", "1/a": "a year", "m2": "m²", "C": "°C", "d": "days", "month": "months"}

FILTERS: Mapping[str, Any] = {
    "share": share_word,
    "span": lambda pair: words.span(*pair),
    "rate": rate_word,
    "rates": rates_word,
    "pressure_step": pressure_step,
    "day": words.day,
    "days": lambda pair: words.days(*pair),
    "length_cm": words.length,
    "volume_l": words.volume,
    "sentence": words.sentence,
    "capital": lambda text: text[:1].upper() + text[1:],
    "unit": lambda unit: UNIT_WORDS.get(unit, unit),
    "listed": lambda names: words.listed(list(names)),
    "iso": lambda date: date.isoformat() if isinstance(date, dt.date) else str(date),
    "drawing": drawing,
}
