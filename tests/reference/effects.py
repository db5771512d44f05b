"""What the tests of published effects measure, and what the trust page prints where one is missed.

Small tanks, coarse cells, few draws; every figure is worked out anew each time it is asked for.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from tests.society.build import (
    CHROMIS,
    DOMINO,
    FIREFISH,
    GRAMMA,
    HUMBUG,
    ORCHID,
    QUICK,
    RULES,
    SCOPAS_TANG,
    YELLOW_TANG,
    fish,
    judged,
    party,
    tank,
)

from slackwater.society.attacks import contest, hunger
from slackwater.society.company import Deed, Event, Keeping, Party, Situation
from slackwater.society.draws import draw
from slackwater.society.harm import at, cumulative
from slackwater.society.judge import Judgement, central_rates, drawn_rates
from slackwater.society.recognition import diet_overlap, recognition
from slackwater.society.residency import Claim, head_start
from slackwater.tank.rock import VARIANTS, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import load_facts

Array = NDArray[np.float64]

TABLE = Path(__file__).parent / "published_effects.csv"
STATES = ("holds", "in part", "missed", "not modelled")
HOUR = 1.0 / 24.0
MOON_WRASSE, SUNSET_WRASSE = "Thalassoma lunare", "Thalassoma lutescens"
CLOWN_TANG, SOHAL_TANG, BROWN_TANG = "Acanthurus lineatus", "Acanthurus sohal", "Acanthurus nigrofuscus"
FILM_COMBER = "Ctenochaetus striatus"
FARMER = "Stegastes planifrons"
BICOLOR_DAMSEL = "Stegastes partitus"
PLANKTON_EATERS = (CHROMIS, FIREFISH, "Pterapogon kauderni", "Pseudanthias squamipinnis")
EQUALS = [(YELLOW_TANG, SCOPAS_TANG), (DOMINO, HUMBUG), ("Centropyge bispinosa", "Centropyge loricula")]
PAIRS = [(MOON_WRASSE, SUNSET_WRASSE), (DOMINO, HUMBUG), (ORCHID, GRAMMA), (YELLOW_TANG, SCOPAS_TANG)]


@dataclass(frozen=True)
class Effect:
    """One published effect: what was found, by whom, and whether the model shows it.

    `asked` is "sign" for an order or a direction, "figure" where a range of values is accepted.
    """

    number: int
    asked: str
    effect: str
    sources: tuple[str, ...]
    state: str
    tests: tuple[str, ...]
    why: str


def effects() -> list[Effect]:
    """Return the table of published effects."""
    rows = csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())
    return [
        Effect(
            int(row["number"]),
            row["asked"],
            row["effect"],
            tuple(row["sources"].split()),
            row["state"],
            tuple(row["tests"].split()),
            row["why"],
        )
        for row in rows
    ]


# --- measuring --------------------------------------------------------------------------------


def rate(verdict: Judgement, day: float, i: int = 0, j: int = 1) -> float:
    """Attacks per hour of one median animal on another on a day."""
    return float(rates(verdict, day)[i, j])


def rates(verdict: Judgement, day: float) -> Array:
    """Attacks per hour between all median animals on a day, [i, j]."""
    span = next(s for s in reversed(verdict.spans) if s.start <= day <= s.end)
    return np.asarray(central_rates(verdict, span, day)["rate"])


def met(situation: Situation, days_after: float = 1.0) -> float:
    """Attacks per hour on the latecomer, some days after it met the other."""
    return rate(judged(situation), max(p.day for p in situation.parties) + days_after)


def large(*parties: Party, length_cm: float = 120.0, rocks: str = "none", variant: int = 0) -> Situation:
    """Return a larger tank than the usual one of the tests."""
    glass = Glass(Shape.RECTANGULAR, length_cm, 50.0, 50.0)
    return replace(tank(*parties), glass=glass, rockworks=(preset(rocks, glass, 5.0, variant),))


@dataclass(frozen=True)
class Contest:
    """Two of one species: how much longer the first is, and how much of a head start it has."""

    ratio: float
    start: float = 0.0

    def attacks(self) -> tuple[float, float]:
        """Q of the first on the second, and of the second on the first."""
        log_ratio = math.log(self.ratio) * np.array([[0.0, 1.0], [-1.0, 0.0]])
        start = self.start * np.array([[0.0, 1.0], [-1.0, 0.0]])
        q = contest(log_ratio, start, np.full((2, 2), RULES["contest.own"]), RULES)
        return float(q[0, 1]), float(q[1, 0])

    def wins(self) -> float:
        """The chance that the first wins: its part of all attacks between the two."""
        mine, theirs = self.attacks()
        return mine / (mine + theirs)


def lead(days: float) -> float:
    """Return the strength of a head start of some days."""
    return head_start((Claim(1.0, 0.0),), (Claim(1.0, days),), 0.0, RULES)


def harmed(situation: Situation, days: float = 30.0, n: int = 1) -> float:
    """Return the chance that an animal is hurt in fights within some days of its release."""
    verdict = judged(situation)
    grown = cumulative(verdict.hazards.days, verdict.hazards.fought[:, :, n])
    begin = verdict.lots[n].animal.party.day
    gone = at(verdict.hazards.days, grown, begin + days) - at(verdict.hazards.days, grown, begin)
    return float((1.0 - np.exp(-gone)).mean())


def late_odds() -> list[float]:
    """Return the odds of harm within 30 days when five days late over those when together."""
    out = []
    for one, other in [*EQUALS, (MOON_WRASSE, SUNSET_WRASSE)]:
        late, together = (harmed(tank(party(one, 7), party(other, 7, day=day))) for day in (5.0, 0.0))
        out.append(late / (1.0 - late) / (together / (1.0 - together)))
    return out


def readmitted(resident_days: float) -> list[float]:
    """Return attacks on one that comes back over those on a stranger, on the day of return."""
    out = []
    for resident, late in ((ORCHID, GRAMMA), (DOMINO, HUMBUG)):
        for away_days in (1.0, 3.0):
            returned = 60.0 + away_days
            first, other = party(resident, 7, day=-resident_days), party(late, 6)
            back = judged(tank(first, other, events=(Event(60.0, Deed.TAKE_OUT, late, away_days),)))
            stranger = judged(tank(first, party(late, 6, day=returned)))
            out.append(rate(back, returned) / rate(stranger, returned))
    return out


def follows_overlap_and_size() -> float:
    """Return how attacks of a farming damselfish rank with food overlap times mass^0.75 (Spearman)."""
    from scipy.stats import spearmanr

    facts = load_facts()
    grown = {n: facts.species(n).number("adult_length_cm") for n in sorted(facts.species_names)}
    others = [n for n, cm in grown.items() if n != FARMER and cm <= 40.0][::16]
    drawn, asked = [], []
    for name in others:
        intruder = party(name, grown[name], day=5)
        drawn.append(met(tank(party(FARMER, 8), intruder, length_cm=120.0, rocks="none")))
        mass_g = intruder.species.mass_g(intruder.length_cm)
        asked.append(diet_overlap(fish(FARMER), intruder.species) * mass_g**0.75)
    return float(spearmanr(asked, drawn).statistic)


def share_of_rival(attacker: str, others: Sequence[str]) -> list[float]:
    """Return recognition of others by a grazer over that of a small rival of its own genus."""
    rival = recognition(fish(attacker), fish(BROWN_TANG), RULES)
    return [recognition(fish(attacker), fish(other), RULES) / rival for other in others]


def spread_of_use_cm(neighbours: int) -> float:
    """Return how widely a damselfish uses the water beside some of its kind (root mean square)."""
    late = [party(BICOLOR_DAMSEL, 7, day=1.0 + k) for k in range(neighbours)]
    verdict = judged(large(party(BICOLOR_DAMSEL, 7), *late, rocks="moderate"))
    use = verdict.spans[-1].stages[0].use[:, 0]
    points = verdict.fields[0].ground.cells.points_cm.astype(float)
    return math.sqrt(float(use @ ((points - use @ points) ** 2).sum(axis=1)))


def ground_of_hunters() -> float:
    """Return the home area of fish-eaters over that of grazers of equal mass, by least squares."""
    facts = load_facts()
    rows = []
    for name in sorted(facts.species_names):
        kind = facts.species(name)
        grazes = kind.diet["algae"] + kind.diet["detritus"] >= 0.6
        if not grazes and kind.word("appetite_fish") != "main":
            continue
        mass_g = kind.mass_g(kind.number("adult_length_cm"))
        rows.append((1.0, math.log10(mass_g), float(not grazes), math.log10(kind.number("home_area_m2"))))
    table = np.array(rows)
    found, *_ = np.linalg.lstsq(table[:, :3], table[:, 3], rcond=None)
    return float(10.0 ** found[2])


def among_rock(first: str, then: str, late_days: float) -> list[float]:
    """Return attacks on the second among no, sparse, moderate and dense rock, over those without."""
    out = []
    for word in ("none", "sparse", "moderate", "dense"):
        layouts = range(1 if word == "none" else VARIANTS)
        pair = party(first, 7), party(then, 7, day=late_days)
        found = [met(large(*pair, length_cm=90.0, rocks=word, variant=v)) for v in layouts]
        out.append(float(np.mean(found)))
    return [value / out[0] for value in out]


def total_by_targets(target: str, counts: Sequence[int]) -> list[float]:
    """Return all attacks of a resident on so many equal targets."""
    pair = party(MOON_WRASSE, 12), party(target, 4, day=10)
    return [n * met(large(pair[0], replace(pair[1], count=n), length_cm=180.0)) for n in counts]


def by_station(stations: Sequence[int]) -> list[float]:
    """Return hunger and layout for ten rivals at so many feeding stations."""
    return [hunger(Keeping(stations=n), 10, RULES) for n in stations]


@dataclass(frozen=True)
class Colony:
    """What a chase count in a colony would show, mean over the draws."""

    linear: float
    upward: float
    consistent: float
    top_three: float


def colony(step: float, count: int = 8) -> Colony:
    """Return the order in a colony whose neighbours in rank differ by a step of length."""
    lengths = [4.5 * (1.0 + step) ** k for k in range(count)]
    situation = large(*(party(BICOLOR_DAMSEL, cm) for cm in lengths), length_cm=150.0, rocks="moderate")
    verdict = judged(situation)
    drawn = draw(situation.animals, QUICK.draws, QUICK.seed, RULES)
    orders = [_order(chases) for chases in drawn_rates(verdict, verdict.spans[-1], 30.0, drawn)]
    return Colony(*(float(x) for x in np.mean(orders, axis=0)))


def _order(chases: Array) -> tuple[float, float, float, float]:
    """Return Landau's h [landau1951], upward share, directional consistency, top three's share."""
    n = len(chases)
    beaten = (chases > chases.T).sum(axis=1)
    linear = 12.0 / (n**3 - n) * float(((beaten - (n - 1) / 2.0) ** 2).sum())
    pairs = np.triu_indices(n, 1)
    most, least = (float(f(chases, chases.T)[pairs].sum()) for f in (np.maximum, np.minimum))
    dealt = np.sort(chases.sum(axis=1))[::-1]
    return (
        linear,
        least / (most + least),
        (most - least) / (most + least),
        float(dealt[:3].sum() / dealt.sum()),
    )


def closing_gap(ratios: Sequence[float]) -> list[float]:
    """Return attacks of a dominant on a subordinate of so many times its length."""
    return [Contest(1.0 / ratio).attacks()[0] for ratio in ratios]


# --- said on the trust page -------------------------------------------------------------------


def _span(values: Sequence[float], digits: int = 2) -> str:
    low, high = f"{min(values):.{digits}f}", f"{max(values):.{digits}f}"
    return low if low == high else f"{low} to {high}"


def _late() -> str:
    return f"odds {_span(late_odds(), 1)} times as high (accepted 2 to 4)"


def _back() -> str:
    return f"{_span(readmitted(0.0))} where both came together, {_span(readmitted(60.0))} where not"


def _overlap() -> str:
    return f"Spearman {follows_overlap_and_size():.2f} (wanted 0.6): larger intruders are let by"


def _ignored() -> str:
    shares = [x for a in (CLOWN_TANG, SOHAL_TANG) for x in share_of_rival(a, PLANKTON_EATERS)]
    return f"clown and sohal tangs: {_span(shares)} of what a small rival draws"


def _combers() -> str:
    shares = [x for a in (CLOWN_TANG, SOHAL_TANG) for x in share_of_rival(a, [FILM_COMBER])]
    return f"{_span(shares)} of what a small rival draws (wanted: next to none)"


def _shrinks() -> str:
    return (
        f"with seven neighbours the use spreads {spread_of_use_cm(7) / spread_of_use_cm(0):.2f} times as far"
    )


def _hunters() -> str:
    return f"fish-eaters have {ground_of_hunters():.2f} times the ground of grazers of equal mass"


def _hides() -> str:
    late = [among_rock(a, b, 5.0)[1] for a, b in PAIRS]
    return f"sparse rock leaves {_span(late)} of the attacks on a latecomer: every piece blocks views"


def _peak() -> str:
    totals = total_by_targets(CHROMIS, (16, 24, 32))
    return (
        f"with 24 and 32 targets the total is {_span([t / totals[0] for t in totals[1:]])} times that with 16"
    )


def _dome() -> str:
    two, ten = by_station((5, 1))
    return f"with ten rivals at a station {ten / two:.2f} times as many as with two (wanted: fewer)"


def _ranks() -> str:
    near, far = colony(0.07), colony(0.15)
    return (
        f"upward {100 * far.upward:.1f} % of chases where ranks stand 15 % of length apart, "
        f"{100 * near.upward:.1f} % at 7 % (accepted 1 to 5 %); h {near.linear:.2f}; consistency "
        f"{far.consistent:.2f} and {near.consistent:.2f} (wanted 0.9); the top three deal "
        f"{100 * far.top_three:.0f} and {100 * near.top_three:.0f} % (accepted 60 to 85 %)"
    )


def _closing() -> str:
    near, nearer = closing_gap((0.9, 0.95))
    return f"at 0.95 of its length {nearer / near:.2f} times what it is at 0.9 (wanted: more)"


FIGURES: dict[int, Callable[[], str]] = {
    3: _late,
    9: _back,
    13: _overlap,
    18: _ignored,
    19: _combers,
    23: _shrinks,
    25: _hunters,
    27: _hides,
    29: _peak,
    34: _dome,
    42: _ranks,
    44: _closing,
}
"""By number of the effect: what is found where it is missed, or met in part."""
