"""Why A troubles B, factor by factor: every attack rate taken apart, with "says who?" for each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from slackwater.society.company import Individual
from slackwater.society.judge import Judgement, Span, central_rates
from slackwater.society.recognition import Kin, food_rivalry, form_likeness, same_home


@dataclass(frozen=True)
class Factor:
    """One factor of an attack rate: its value, what it says aloud, and who says so.

    `usual` is the value of an unremarkable case; `weight` is how far the factor moves the rate,
    as the ratio of value to usual.
    """

    symbol: str
    name: str
    value: float
    unit: str
    usual: float
    words: str
    says_who: str
    group: str

    @property
    def weight(self) -> float:
        """The ratio of value to usual, above 1 where it makes things worse. [-]"""
        return self.value / self.usual if self.usual > 0.0 else 1.0


@dataclass(frozen=True)
class Explanation:
    """Attacks of one animal on another on a day, and what they come to.

    `product` is the product of the factors, `rate` the same after limited time, dilution and
    third parties. [1/h]
    """

    attacker: str
    victim: str
    day: float
    factors: tuple[Factor, ...]
    product: float
    rate: float
    exposed: float
    harm: float
    trouble: str
    lever: str
    sentence: str

    @property
    def strongest(self) -> tuple[Factor, ...]:
        """The three factors that make it worst, strongest first."""
        moved = [f for f in self.factors if f.symbol != "a" and f.weight > _MATTERS]
        return tuple(sorted(moved, key=lambda f: -f.weight)[:3])


_KIN_WORDS = {
    Kin.OWN: "{b} is its own kind",
    Kin.LOOKALIKE: "{b} is a named look-alike",
    Kin.CONGENER: "{b} is of its own genus",
    Kin.GUILD: "{b} has its shape and lives as it does",
    Kin.STRANGER: "{b} is a stranger in shape and way of life",
}

_MATTERS = 1.05
_SELDOM_PER_H, _OFTEN_PER_H = 0.1, 10.0
_BONDED = 0.1
_WAS_FIRST = 1.2

_TROUBLE = {
    "E": ("escape", "length, broken views and a second hole: a longer tank or moved rock"),
    "R": ("ownership", "order: release it last, in a box first, or move the rock that day"),
    "Q": ("means", "a size step: choose individuals so that neither can lord it"),
    "S": ("recognition", "another animal that looks and lives otherwise; order, a little"),
    "C": ("recognition", "other numbers or sexes: a true pair, a harem, or one alone"),
    "H": ("resource", "more feeds at more places"),
    "B": ("resource", "keep others away from the nest side; it passes when the brood is gone"),
    "F": ("ownership", "time: most settle within days"),
}


def explain(verdict: Judgement, attacker: Individual, victim: Individual) -> Explanation:
    """Return why one animal troubles another, a week after both are in the tank.

    Parameters
    ----------
    verdict
        The judgement of the company they live in.
    attacker, victim
        Two of its animals.
    """
    span, day = moment_of(verdict, attacker, victim)
    i, j = attacker.index, victim.index
    parts = central_rates(verdict, span, day)
    values = {name: float(matrix[i, j]) for name, matrix in parts.items()}
    factors = _factors(verdict, attacker, victim, values)
    product = float(np.prod([f.value for f in factors]))
    exposed = float(np.mean([s.exposed[victim.party_index] for s in span.stages]))
    harm = float(verdict.harm_by(attacker.species.name, victim.species.name).mean())
    trouble, lever = _TROUBLE[max(factors[1:], key=lambda f: f.weight).symbol]
    return Explanation(
        attacker=attacker.species.name,
        victim=victim.species.name,
        day=day,
        factors=factors,
        product=product,
        rate=values["rate"],
        exposed=exposed,
        harm=harm,
        trouble=trouble,
        lever=lever,
        sentence=_sentence(attacker, victim, values["rate"], trouble),
    )


def moment_of(verdict: Judgement, a: Individual, b: Individual) -> tuple[Span, float]:
    """Return the span and the day that two are explained at: a week after both are there."""
    both = [s for s in verdict.spans if s.here[a.index] and s.here[b.index]]
    span = both[0] if both else verdict.spans[-1]
    return span, min(span.start + 7.0, span.end)


def _sentence(a: Individual, b: Individual, rate: float, trouble: str) -> str:
    often = (
        "hardly ever"
        if rate < _SELDOM_PER_H
        else f"about {rate:.1f} times an hour"
        if rate < _OFTEN_PER_H
        else f"about {rate:.0f} times an hour"
    )
    return f"{a.species.common_name} chases {b.species.common_name} {often}; at bottom it is {trouble}."


def _factors(
    verdict: Judgement, a: Individual, b: Individual, values: dict[str, float]
) -> tuple[Factor, ...]:
    return (
        _temper(a, values),
        _recognition(verdict, a, b, values),
        _company(a, b, values),
        _contest(a, b, values),
        _headstart(values),
        _familiar(values),
        _hunger(verdict, values),
        _breeding(values),
        _meeting(a, b, values),
    )


def _temper(a: Individual, values: dict[str, float]) -> Factor:
    word = a.species.word("temper_own")
    known = a.species.known("temper_own")
    counted = "" if a.party.own_sigma is None else f"; as counted, {a.party.own_temper:.1f} times that"
    return Factor(
        "a",
        "temper",
        values["temper"],
        "1/h",
        values["temper"],
        f"its temper towards an equal of its own kind is {word}{counted}",
        known.says_who() + "; the number is assumed",
        "means",
    )


def _recognition(verdict: Judgement, a: Individual, b: Individual, values: dict[str, float]) -> Factor:
    relation = Kin(int(verdict.fixed.relation[a.index, b.index]))
    words = _KIN_WORDS[relation].format(b=b.species.common_name)
    if relation in {Kin.GUILD, Kin.STRANGER}:
        alike = form_likeness(a.species, b.species)
        shared = max(food_rivalry(a.species, b.species, verdict.rules), same_home(a.species, b.species))
        words += f" (form {alike:.1f}, food or home shared {shared:.2f})"
    if relation is Kin.STRANGER and a.species.word("intolerance") not in {"none", "mild"}:
        words += f"; it is {a.species.word('intolerance')} to all others"
    known = a.species.known("intolerance")
    return Factor("S", "recognition", values["recognition"], "-", 0.06, words, known.says_who(), "S")


def _company(a: Individual, b: Individual, values: dict[str, float]) -> Factor:
    value = values["bond"]
    if a.species.name != b.species.name:
        words = "males of one genus show off to each other" if value > 1.0 else "no bond between kinds"
    elif value <= _BONDED:
        words = "mates, harem or shoal released together"
    elif value < 1.0:
        words = "company that may hold, but not surely"
    elif value > 1.0:
        words = "rivals: males, or one too many beside a pair"
    else:
        words = "its own kind, no bond"
    return Factor("C", "company", value, "-", 1.0, words, "common-practice [cp]", "C")


def _contest(a: Individual, b: Individual, values: dict[str, float]) -> Factor:
    ratio = a.length_cm / b.length_cm
    words = f"it is {ratio:.2f} times as long"
    return Factor("Q", "contest", values["contest"], "-", 0.5, words, "estimated [rhodes1998]", "Q")


def _headstart(values: dict[str, float]) -> Factor:
    value = values["lead"]
    words = "it was there first" if value > _WAS_FIRST else "it has no head start"
    return Factor("R", "head start", value, "-", 1.0, words, "measured [geange2010]", "R")


def _familiar(values: dict[str, float]) -> Factor:
    words = "they have known each other for a week"
    return Factor("F", "familiarity", values["calm"], "-", 0.5, words, "measured [parrotfish_data]", "F")


def _hunger(verdict: Judgement, values: dict[str, float]) -> Factor:
    keeping = verdict.situation.keeping
    places = "one place" if keeping.stations == 1 else f"{keeping.stations} places"
    words = f"{keeping.feeds_per_day:g} feeds a day at {places}"
    return Factor("H", "hunger", values["hunger"], "-", 1.1, words, "estimated [sakakura1998]", "H")


def _breeding(values: dict[str, float]) -> Factor:
    value = values["nest"]
    words = "it guards a host or nest" if value > _MATTERS else "no nest to guard nearby"
    return Factor("B", "breeding", value, "-", 1.0, words, "estimated [assumed]", "B")


def _meeting(a: Individual, b: Individual, values: dict[str, float]) -> Factor:
    words = "how much of the day they are within reach and view of each other"
    if {a.species.word("activity"), b.species.word("activity")} == {"day", "night"}:
        words += "; one is about by day, the other by night"
    return Factor("E", "encounter", values["meet"], "-", 0.15, words, "computed", "E")
