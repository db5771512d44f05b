"""How the filter follows: the ammonia that each release adds, and the days that it needs between them."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from itertools import accumulate

from slackwater.plan.feeding import activity
from slackwater.plan.question import Question, Wanted
from slackwater.plan.water_records import FilterNeeds
from slackwater.rules import Rules
from slackwater.water.ammonia import WaterSample
from slackwater.water.load import AmmoniaLoad, Ration, ammonia_load
from slackwater.water.nitrifiers import Filter
from slackwater.water.spacing import Keeps, Releases, Spacing, spacing

Steps = Sequence[Sequence[int]]


def net_l(question: Question) -> float:
    """Return the water in the tank without its rock. [L]"""
    rock_l = question.rockworks[0].displaced_l(question.glass)
    return max(question.glass.volume_l - rock_l, 1.0)


def system_l(question: Question) -> float:
    """Return the water that the filter cleans, sump included. [L]"""
    return net_l(question) + question.sump_l


def water_of(question: Question, rules: Rules) -> WaterSample:
    """Return the water as told, its pH the usual one if it was not."""
    ph = rules["usual_ph"] if question.ph is None else question.ph
    return WaterSample(ph, question.temperature_c, question.salinity)


def filter_of(question: Question) -> Filter:
    """Return a filter of usual size in the water of the tank."""
    return Filter(system_l(question), question.temperature_c)


def is_young(question: Question, rules: Rules) -> bool:
    """Return whether the filter counts as young when the plan begins, as one of unknown age does."""
    since = question.running_since
    return since is None or (question.start - since).days < rules["filter_ripe_days"]


def load_of(company: Sequence[Wanted], question: Question, rules: Rules) -> AmmoniaLoad:
    """Return what animals as long as now eat and give off, each by how it lives."""
    ration = Ration(max(question.keeping.feeds_per_day, 1.0))
    return ammonia_load([fish for wanted in company for fish in _fish(wanted, rules)], ration)


def filter_needs(question: Question, steps: Steps, rules: Rules) -> FilterNeeds:
    """Return how far apart releases must be for the filter, and which are too large for it at once.

    Parameters
    ----------
    question
        The tank, its residents and the wishes, everyone as long as on the day of release.
    steps
        The releases in order, each the numbers of its wishes.
    rules
        Which filter counts as young, and the longest wait asked for its sake.

    Returns
    -------
    FilterNeeds
        The days for a young filter or a ripe one, whichever it is taken to be.

    Notes
    -----
    `spacing` of ammonia by [lupatsch2013] and [timmons2007] under the four-day criterion of
    [epa1989]. A release is too large if it passes the criterion even where the filter had all the
    time to follow those before it; the days are those that the others need.
    """
    volume_l = system_l(question)
    present = load_of(question.residents, question, rules).per_litre(volume_l)
    company = [[question.wishes[item] for item in step] for step in steps]
    added = tuple(load_of(step, question, rules).per_litre(volume_l) for step in company)
    tank, water, young = filter_of(question), water_of(question, rules), is_young(question, rules)
    before = list(accumulate(added, initial=present))
    alone = [_spaced(tank, Releases((more,), had), water) for more, had in zip(added, before, strict=False)]
    large = {n for n, found in enumerate(alone) if _chosen(found, young=young).gap_days > 0.0}
    borne = tuple(more for n, more in enumerate(added) if n not in large)
    together = _spaced(tank, Releases(borne or (0.0,), present), water)
    gap = _chosen(together, young=young).gap_days
    return FilterNeeds(
        gap_days=min(gap, rules["filter_longest_days"]),
        young_days=together.young.gap_days,
        ripe_days=together.ripe.gap_days,
        is_young=young,
        too_large=tuple(n + 1 for n in sorted(large)),
        present_mg_d=volume_l * present,
        added_mg_d=tuple(volume_l * more for more in added),
        largest_mg_d=volume_l * _first(tank, present, water, young=young),
    )


def _fish(wanted: Wanted, rules: Rules) -> list[tuple[float, float]]:
    """Return of each animal its mass, and what it eats over a calm picker of plankton. [g, 1]"""
    eats = activity(wanted.species, rules)
    return [(wanted.species.mass_g(wanted.length_cm), eats)] * wanted.count


def _first(tank: Filter, present_mg_l_d: float, water: WaterSample, *, young: bool) -> float:
    found = _spaced(tank, Releases((0.0,), present_mg_l_d), water)
    return _chosen(found, young=young).largest_first_mg_l_d


def _chosen(found: Spacing, *, young: bool) -> Keeps:
    return found.young if young else found.ripe


@functools.lru_cache(maxsize=4096)
def _spaced(tank: Filter, releases: Releases, water: WaterSample) -> Spacing:
    return spacing(tank, releases, water)
