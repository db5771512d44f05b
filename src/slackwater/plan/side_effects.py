"""What a rung does to the others of a tank besides, in words; and the cautions of this company."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from slackwater.plan.quarrel_model import Case
from slackwater.plan.remedies import Outcome, worse_for
from slackwater.plan.rungs import TEXTS, Rung
from slackwater.plan.ways import owns_rock
from slackwater.plan.wording import listed
from slackwater.society.company import Situation
from slackwater.society.judge import central_rates
from slackwater.society.space import room_of, shortfall

_HANDS_IN = frozenset(
    {Rung.COVER, Rung.RESCAPE, Rung.BOX, Rung.TIMEOUT, Rung.DIVIDER, Rung.TRAP, Rung.REHOME}
)
_LEAVES = frozenset({Rung.TIMEOUT, Rung.TRAP, Rung.REHOME, Rung.ALONE})
_LEADS_PER_H = 0.02


def side_effects(case: Case, rung: Rung, found: Outcome | None) -> tuple[str, ...]:
    """Return what else a rung does, the gravest first.

    Parameters
    ----------
    case
        The company and the two.
    rung
        Which rung.
    found
        What the model makes of it.
    """
    worse = worse_for(found, case.rules) if found else ()
    told = [f"{e.animal} would be {e.would_be} instead of {e.was}" for e in worse]
    told += [said for look in _LOOKS.get(rung, ()) if (said := look(case))]
    return tuple(told)


def _half_the_lane(case: Case) -> str:
    glass, grace = case.situation.glass, case.rules["space_grace"]
    half = room_of(glass, 0.5)
    short = [
        label
        for label, animal in zip(case.labels, case.situation.animals, strict=True)
        if shortfall(animal.species, half) > grace >= shortfall(animal.species, room_of(glass))
    ]
    said = f"it halves the lane to {half.length_cm:.0f} cm"
    return f"{said}, too little in the long run for {listed(short)}" if short else said


def _opens_rank(case: Case) -> str:
    """Return who will settle rank anew if the attacker leads the tank."""
    dealt = dealt_per_h(case)
    order = sorted(range(len(dealt)), key=lambda n: -dealt[n])
    if order[0] not in case.culprits:
        return ""
    days = case.rules["ladder.reopens_days"]
    nearest = [case.labels[n] for n in order if n not in case.culprits and dealt[n] >= _LEADS_PER_H][:2]
    if not nearest:
        return ""
    among = f"among {listed(nearest)}" if len(nearest) > 1 else f"and {nearest[0]} is next"
    return (
        f"it leads the tank: rank opens again {among}, with chases for up to {days:.0f} days; add nobody then"
    )


def dealt_per_h(case: Case) -> list[float]:
    """Return the chases an hour that each animal deals by the model. [1/h]"""
    rate = central_rates(case.now, case.now.spans[0], 0.0)["rate"]
    return [float(np.sum(row)) for row in rate]


def _leaves_the_host(case: Case) -> str:
    guards = case.attacker.species.word("breeding_guard") == "host"
    return "the anemone loses its guard" if guards and case.situation.keeping.has_host else ""


def _resets_owners(case: Case) -> str:
    owners: list[str] = []
    for n, (label, animal) in enumerate(zip(case.labels, case.situation.animals, strict=True)):
        if n not in {*case.culprits, case.whom}:
            owners += [label] if owns_rock(animal.species) else []
    return f"it unsettles the other owners of rock: {listed(owners)}" if owners else ""


def _owns_little(case: Case) -> str:
    return "" if owns_rock(case.attacker.species) else "the chaser roams and owns little rock to lose"


def _stays_in_sight(case: Case) -> str:
    return f"in the box {case.labels[case.whom]} still sees its chaser"


def _takes_its_mate(case: Case) -> str:
    if case.mate is None:
        return ""
    return f"its mate, {case.labels[case.mate]}, goes with it: a settled pair is not parted"


_LOOKS: dict[Rung, tuple[Callable[[Case], str], ...]] = {
    Rung.RESCAPE: (_owns_little, _resets_owners),
    Rung.BOX: (_stays_in_sight,),
    Rung.TIMEOUT: (_opens_rank, _leaves_the_host, _takes_its_mate, _resets_owners),
    Rung.DIVIDER: (_half_the_lane,),
    Rung.TRAP: (_opens_rank, _leaves_the_host, _takes_its_mate),
    Rung.REHOME: (_opens_rank, _leaves_the_host, _takes_its_mate),
    Rung.ALONE: (_opens_rank, _leaves_the_host, _takes_its_mate),
}


def cautions(case: Case, rung: Rung) -> tuple[str, ...]:
    """Return the cautions of a rung, those of this company's spines and bites with them."""
    told = list(TEXTS[rung].cautions)
    if rung in _HANDS_IN:
        told += spines(case.situation)
    return tuple(told)


def spines(situation: Situation) -> list[str]:
    """Return one line for each kind in the tank that can hurt a hand."""
    found: dict[str, str] = {}
    for animal in situation.animals:
        species = animal.species
        if species.word("venom") != "none" or species.word("weapon") in {"scalpel", "crusher"}:
            what = species.text("hazard") or _HURTS.get(species.word("weapon"), "spines; no bare hand")
            found[species.common_name] = f"{species.common_name}: {what.rstrip('.')}."
    return list(found.values())


_HURTS = {"scalpel": "a blade at the root of the tail; no bare hand", "crusher": "it bites hard"}
