"""The judgement of a company: every animal's comfort, who troubles whom, and the tank's mood."""

from __future__ import annotations

import functools
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules, load_rules
from slackwater.society import attacks as atk
from slackwater.society.bites import bites_per_h
from slackwater.society.company import Individual, Situation
from slackwater.society.draws import draw
from slackwater.society.field import Field, Stage, edge_for, party_rates, settle_company, stage_of
from slackwater.society.food import race, starving_per_day
from slackwater.society.harm import (
    OUTCOMES,
    Ease,
    Mood,
    Window,
    at,
    at_days,
    cumulative,
    ease,
    harm_per_day,
    mood,
    windows,
)
from slackwater.society.needs import jumping_per_day, unmet_per_day
from slackwater.society.predation import eaten_per_day, hunts
from slackwater.society.residency import change_days, head_starts, known_since, present
from slackwater.society.space import cramped_per_day

Array = NDArray[np.float64]

_OFFSETS = (0.0, 1.0, 3.0, 7.0, 15.0, 30.0, 60.0, 90.0, 150.0, 240.0)


@dataclass(frozen=True)
class Settings:
    """How fine a judgement is made: cells, draws and seed."""

    fine: bool = True
    draws: int = 200
    seed: int = 0

    @classmethod
    def search(cls) -> Settings:
        """Return the coarse setting for searches."""
        return cls(fine=False, draws=48)


@dataclass(frozen=True)
class Span:
    """A stretch of days without change: from, to, who is there, and its fields by layout."""

    start: float
    end: float
    here: NDArray[np.bool_]
    stages: tuple[Stage, ...]


@dataclass(frozen=True)
class Hazards:
    """Hazards over time: nodes (T,), by draw (L*D), and by attacker species (G)."""

    days: Array
    fought: Array
    bitten: Array
    by_species: Array
    slow: dict[str, Array]
    eaten_by: dict[tuple[int, int], Array]
    chases: Array


@dataclass(frozen=True)
class Lot:
    """How one animal fares over its worst 90 days.

    `p` is the mean over the draws of the union of all outcomes, `harm` the same by outcome, and
    `by` by the species that attacks. [0 to 1]
    """

    animal: Individual
    window: Window
    p: float
    draws: Array
    harm: dict[str, float]
    by: dict[str, float]
    chases_per_h: float


@dataclass(frozen=True)
class Judgement:
    """What the model says of a situation."""

    situation: Situation
    settings: Settings
    rules: Rules
    fixed: atk.Constants
    fields: tuple[Field, ...]
    spans: tuple[Span, ...]
    hazards: Hazards
    lots: tuple[Lot, ...]
    species: tuple[str, ...]
    eaten: dict[tuple[str, str], float] = field(default_factory=dict)

    def ease(self, lot: Lot) -> Ease:
        """Return the word for one animal's comfort."""
        return ease(lot.p, self.rules)

    def worst_of(self, species: str, *, community: bool = False) -> Array:
        """Return the worst member's chance of harm in each draw, shape (L*D,). [0 to 1]"""
        lots = [lot for lot in self.lots if lot.animal.species.name == species]
        drawn = [self.community_draws(lot) if community else lot.draws for lot in lots]
        return np.asarray(np.max(drawn, axis=0))

    def community_draws(self, lot: Lot) -> Array:
        """Return one animal's chance of harm in each draw, left out cramped."""
        spared = 1.0 - lot.harm["cramped"]
        return np.asarray(1.0 - (1.0 - lot.draws) / max(spared, 1e-12))

    @functools.cached_property
    def worst_p(self) -> float:
        """The chance of harm of the worst-off animal, all but cramped. [0 to 1]"""
        return max((float(self.worst_of(s, community=True).mean()) for s in self.species), default=0.0)

    @property
    def any_eaten(self) -> bool:
        """Whether anyone is eaten within the horizon, more likely than not."""
        return any(p >= self.rules["eaten_from"] for p in self.eaten.values())

    @property
    def mood(self) -> Mood:
        """The mood of the tank."""
        return mood(self.worst_p, self.rules, any_eaten=self.any_eaten)

    def harm_by(self, attacker: str, victim: str) -> Array:
        """Return, per draw, the chance that the worst-off `victim` is hurt by `attacker` alone."""
        if attacker not in self.species or victim not in self.species:
            return np.zeros(1)
        g = self.species.index(attacker)
        h = self.hazards
        total = cumulative(h.days, h.by_species[:, :, g, :])
        rows = []
        for lot in self.lots:
            if lot.animal.species.name != victim:
                continue
            n = lot.animal.index
            found = [
                at(h.days, total[..., n], w.end) - at(h.days, total[..., n], w.start)
                for w in _windows_of(lot.animal, self.situation, h.days)
            ]
            best = max(found, key=lambda grown: float((1.0 - np.exp(-grown)).mean()))
            rows.append(1.0 - np.exp(-best))
        return np.asarray(np.max(rows, axis=0))

    def worst_window_by(self, attacker: str, victim: Individual) -> Window:
        """Return the 90 days in which one species alone does an animal most harm."""
        h, n = self.hazards, victim.index
        total = cumulative(h.days, h.by_species[:, :, self.species.index(attacker), n])
        tried = _windows_of(victim, self.situation, h.days)
        return max(tried, key=lambda w: float((1.0 - np.exp(-_over(h.days, total, w))).mean()))

    @functools.cached_property
    def moments(self) -> tuple[tuple[Span, float], ...]:
        """The span and day of every node of its hazards. [d]"""
        return tuple((span, day) for span in self.spans for day in _nodes(span))


def judge(situation: Situation, settings: Settings | None = None, rules: Rules | None = None) -> Judgement:
    """Return the judgement of a company.

    Parameters
    ----------
    situation
        The tank, its rock, everyone in it, and what is done to it.
    settings
        Cells, draws and seed; answers are fine, searches coarse.
    rules
        The coefficients; those of the package if left out.
    """
    settings = settings or Settings()
    rules = rules or load_rules()
    fixed = atk.constants(situation, rules)
    if not situation.parties:
        return _of_nobody(situation, settings, rules, fixed)
    edge = edge_for(situation, fine=settings.fine)
    fields = tuple(settle_company(situation, rock, fixed, rules, edge) for rock in situation.rockworks)
    spans = _spans(situation, fixed, fields, rules)
    hazards = _hazards(situation, fixed, spans, settings, rules)
    species = tuple(dict.fromkeys(p.species.name for p in situation.parties))
    lots = tuple(_lot(a, situation, hazards, species) for a in situation.animals)
    eaten = _eaten(situation, hazards)
    return Judgement(situation, settings, rules, fixed, fields, spans, hazards, lots, species, eaten)


def _of_nobody(situation: Situation, settings: Settings, rules: Rules, fixed: atk.Constants) -> Judgement:
    """Return the judgement of a tank in which nobody lives: nothing to bear, and no one to bear it."""
    none = np.zeros(0)
    hazards = Hazards(none, none, none, none, {}, {}, none)
    return Judgement(situation, settings, rules, fixed, (), (), hazards, (), ())


def first_day(situation: Situation) -> float:
    """Return the day from which the tank is judged: the first release, or the plan's start."""
    days = [p.day for p in situation.parties]
    return max(min(days), 0.0) if days else 0.0


def _spans(
    situation: Situation, fixed: atk.Constants, fields: tuple[Field, ...], rules: Rules
) -> tuple[Span, ...]:
    begin = first_day(situation)
    edges = sorted({begin, *(d for d in change_days(situation) if d > begin)})
    ends = [*edges[1:], situation.horizon_days]
    spans = []
    cache: dict[bytes, tuple[Stage, ...]] = {}
    for start, end in zip(edges, ends, strict=True):
        here = np.array([present(a, situation, start) for a in situation.animals])
        there = np.array([present(f, situation, start) for f in fields[0].leaders])
        rate = party_rates(situation, fixed, start, rules)
        key = there.tobytes() + rate.tobytes()
        if key not in cache:
            cache[key] = tuple(stage_of(f, rate, there, rules) for f in fields)
        spans.append(Span(start, end, here, cache[key]))
    return tuple(s for s in spans if s.end > s.start)


def _nodes(span: Span) -> list[float]:
    length = span.end - span.start
    inner = [span.start + o for o in _OFFSETS if o < length - 1e-9]
    return [*inner, span.end]


@dataclass(frozen=True)
class _Moment:
    """What is the same for all draws at one node of one span and layout."""

    day: float
    span: Span
    stage: Stage
    start: Array
    met: Array


@dataclass(frozen=True)
class _Asked:
    """What stays the same through one judgement: the company, its factors and its draws."""

    situation: Situation
    fixed: atk.Constants
    drawn: tuple[Array, Array]
    bites: Array
    rules: Rules

    @functools.cached_property
    def party(self) -> NDArray[np.int64]:
        """The party of each animal, shape (n,)."""
        return np.array([a.party_index for a in self.situation.animals], dtype=np.int64)

    @functools.cached_property
    def of_species(self) -> Array:
        """Which animals are of which species, in the order of their first, shape (G, n)."""
        names = [a.species.name for a in self.situation.animals]
        return np.array([[name == s for name in names] for s in dict.fromkeys(names)], dtype=float)


def _hazards(
    situation: Situation,
    fixed: atk.Constants,
    spans: tuple[Span, ...],
    settings: Settings,
    rules: Rules,
) -> Hazards:
    drawn = draw(situation.animals, settings.draws, settings.seed, rules)
    asked = _Asked(situation, fixed, drawn, bites_between(situation, rules), rules)
    days: list[float] = []
    rows: list[tuple[Array, ...]] = []
    slow: dict[str, list[Array]] = {name: [] for name in OUTCOMES}
    pairs = _prey_pairs(situation, rules)
    eaten: dict[tuple[int, int], list[float]] = {pair: [] for pair in pairs}
    for span in spans:
        start = head_starts(situation, span.start, rules)
        met = known_since(situation, span.start)
        steady = _steady(situation, span, rules)
        for day in _nodes(span):
            moments = [_Moment(day, span, stage, start, met) for stage in span.stages]
            parts = [_doses(asked, m) for m in moments]
            rows.append(tuple(np.concatenate(part) for part in zip(*parts, strict=True)))
            days.append(day)
            for name, values in {**steady, "cramped": _cramped(situation, span, day, rules)}.items():
                slow[name].append(values)
            meals = _meals(asked, pairs, span, day)
            for pair, rate in meals.items():
                eaten[pair].append(rate)
            slow["eaten"].append(_onto_prey(meals, len(situation.animals)))
    fought, bitten, species, chases = (np.stack(part) for part in zip(*rows, strict=True))
    return Hazards(
        np.array(days),
        fought,
        bitten,
        species,
        {name: np.array(values) for name, values in slow.items() if values},
        {pair: np.array(values) for pair, values in eaten.items()},
        chases,
    )


def bites_between(situation: Situation, rules: Rules) -> Array:
    """Return the bites between animals that nothing parts, [i, j]. [1/h]"""
    animals = situation.animals

    def bites(a: Individual, b: Individual) -> float:
        return 0.0 if situation.parts(a.party, b.party) else bites_per_h(a, b, rules)

    return np.array([[bites(a, b) for b in animals] for a in animals])


def lengths_cm(animals: tuple[Individual, ...], day: float) -> Array:
    """Return everyone's length on a day, shape (n,). [cm]"""
    return np.array([a.length_at(day - a.party.day) for a in animals])


def rates(
    situation: Situation,
    fixed: atk.Constants,
    moment: _Moment,
    drawn: tuple[Array, Array],
    rules: Rules,
) -> Array:
    """Return lambda_ij for every draw at one moment, shape (D, n, n). [1/h]"""
    strength, temper = drawn
    animals = situation.animals
    party = np.array([a.party_index for a in animals])
    pair = np.ix_(party, party)
    size = lengths_cm(animals, moment.day)[None, :] * strength
    ratio = np.log(size[:, :, None] / size[:, None, :])
    won = atk.contest(ratio, moment.start - moment.start.T, fixed.slope, rules)
    lead = 1.0 + (rules["head_start_most"] - 1.0) * moment.start
    calm = atk.settled(moment.day - moment.met, fixed.accepted, rules)
    nest = 1.0 + (rules["breeding"] - 1.0) * fixed.breeding[:, None] * moment.stage.near_home[pair]
    still = fixed.base * lead * calm * nest * moment.stage.meet[pair]
    here = moment.span.here
    still = still * here[:, None] * here[None, :]
    np.fill_diagonal(still, 0.0)
    rate = still * won * temper[:, :, None]
    rate = atk.diluted(rate, fixed.temper_per_h * temper, rules)
    sees = moment.stage.sees[pair] * here[:, None] * awake(fixed)[:, None]
    return atk.restrained(rate, ratio, sees, rules)


def drawn_rates(verdict: Judgement, span: Span, day: float, drawn: tuple[Array, Array]) -> Array:
    """Return the attacks an hour of every pair in every draw and layout, shape (L*D, n, n). [1/h]

    Parameters
    ----------
    verdict
        The judgement of the company.
    span
        A stretch of its days without change.
    day
        A day within it. [d]
    drawn
        Strength and temper, (D, n) each, as :func:`slackwater.society.draws.draw` returns them.
    """
    situation, rules = verdict.situation, verdict.rules
    start, met = head_starts(situation, span.start, rules), known_since(situation, span.start)
    moments = [_Moment(day, span, stage, start, met) for stage in span.stages]
    return np.concatenate([rates(situation, verdict.fixed, m, drawn, rules) for m in moments])


def central_rates(verdict: Judgement, span: Span, day: float) -> dict[str, Array]:
    """Return the factors between all animals for the median animal, mean over the layouts.

    Returns
    -------
    dict
        temper, recognition, bond, contest, lead, calm, hunger, nest, meet and the final `rate`,
        each [i, j], i attacks j; their product is the rate before limited time and third parties.
    """
    situation, fixed, rules = verdict.situation, verdict.fixed, verdict.rules
    n = len(situation.animals)
    start = head_starts(situation, span.start, rules)
    met = known_since(situation, span.start)
    ones = np.ones((1, n))
    size = lengths_cm(situation.animals, day)
    ratio = np.log(size[:, None] / size[None, :])
    pair = np.ix_(*(2 * [np.array([a.party_index for a in situation.animals])]))
    nest = [
        1.0 + (rules["breeding"] - 1.0) * fixed.breeding[:, None] * s.near_home[pair] for s in span.stages
    ]
    moments = [_Moment(day, span, s, start, met) for s in span.stages]
    finals = [rates(situation, fixed, m, (ones, ones), rules)[0] for m in moments]
    return {
        "temper": np.repeat(fixed.temper_per_h[:, None], n, axis=1),
        "recognition": fixed.recognition,
        "bond": fixed.bond,
        "contest": atk.contest(ratio, start - start.T, fixed.slope, rules),
        "lead": 1.0 + (rules["head_start_most"] - 1.0) * start,
        "calm": atk.settled(day - met, fixed.accepted, rules),
        "hunger": np.full((n, n), fixed.hunger),
        "nest": np.mean(nest, axis=0),
        "meet": np.mean([s.meet[pair] for s in span.stages], axis=0) * fixed.activity,
        "rate": np.mean(finals, axis=0),
    }


def awake(fixed: atk.Constants) -> Array:
    """Return how much of the day each animal is about, shape (n,). [0 to 1]"""
    return np.asarray(np.minimum(fixed.activity.max(axis=1), 1.0))


def _doses(asked: _Asked, moment: _Moment) -> tuple[Array, Array, Array, Array]:
    """Return hazards fought, bitten, by attacker species, and chases received, per draw."""
    fixed, rules = asked.fixed, asked.rules
    animals, party = asked.situation.animals, asked.party
    rate = rates(asked.situation, fixed, moment, asked.drawn, rules)
    exposed = moment.stage.exposed[party]
    here = moment.span.here.astype(float)
    tolerated = tolerated_per_h(animals, fixed, moment.day, rules)
    hurt = rate * fixed.weapon[:, None] * exposed[None, None, :]
    pair = np.ix_(party, party)
    met = moment.stage.meet[pair] / (moment.stage.meet[pair] + rules["bite_meet"])
    bitten = asked.bites * met * here[:, None] * here[None, :]
    group = asked.of_species
    by_fight = np.einsum("gi,dij->dgj", group, hurt)
    by_bite = group @ bitten
    both = harm_per_day(by_fight, tolerated, rules) + harm_per_day(by_bite, tolerated, rules)[None]
    fought = harm_per_day(hurt.sum(axis=1), tolerated, rules)
    bit = np.broadcast_to(harm_per_day(bitten.sum(axis=0), tolerated, rules), fought.shape)
    return fought, bit, both, rate.sum(axis=1)


def tolerated_per_h(animals: tuple[Individual, ...], fixed: atk.Constants, day: float, rules: Rules) -> Array:
    """Return X0: more for the bold, less for the newcomer and the very small. [1/h]"""
    inside = np.array([max(day - a.party.day, 0.0) for a in animals])
    boxed = np.array([a.party.box_days for a in animals])
    new = 1.0 - rules["new_weak"] * np.exp(-(inside + boxed) / rules["new_days"])
    return np.asarray(rules["x0_per_h"] * fixed.boldness * new)


def _steady(situation: Situation, span: Span, rules: Rules) -> dict[str, Array]:
    """Return the hazards that neither the draws nor the days of a span change, by outcome, shape (n,)."""
    animals = situation.animals
    here = tuple(a for a in animals if span.here[a.index])
    out = {name: np.zeros(len(animals)) for name in ("outcompeted", "unmet need", "jumped")}
    for a, share in zip(here, race(here, situation.keeping, rules).missed.tolist(), strict=True):
        out["outcompeted"][a.index] = starving_per_day(share, a, rules)
        out["unmet need"][a.index] = unmet_per_day(a, situation, rules)
        out["jumped"][a.index] = jumping_per_day(a, situation, rules)
    return out


def _cramped(situation: Situation, span: Span, day: float, rules: Rules) -> Array:
    """Return the hazard of too little room on a day, shape (n,). [1/d]"""
    return np.array(
        [cramped_per_day(a, situation, day, rules) if span.here[a.index] else 0.0 for a in situation.animals]
    )


def _prey_pairs(situation: Situation, rules: Rules) -> list[tuple[int, int]]:
    """Return the pairs (predator, prey) that could ever come to an eating."""
    end = situation.horizon_days
    return [
        (a.index, b.index)
        for a in situation.animals
        if hunts(a, rules)
        for b in situation.animals
        if a.index != b.index
        and not situation.parts(a.party, b.party)
        and max(eaten_per_day(a, b, day, rules) for day in (max(a.party.day, b.party.day), end)) > 0.0
    ]


def _meals(
    asked: _Asked, pairs: list[tuple[int, int]], span: Span, day: float
) -> dict[tuple[int, int], float]:
    """Return the hazard that each predator eats each prey, 0 where one is away. [1/d]"""
    animals = asked.situation.animals
    return {
        (i, j): eaten_per_day(animals[i], animals[j], day, asked.rules)
        if span.here[i] and span.here[j]
        else 0.0
        for i, j in pairs
    }


def _onto_prey(meals: dict[tuple[int, int], float], count: int) -> Array:
    total = np.zeros(count)
    for (_, prey), rate in meals.items():
        total[prey] += rate
    return total


def _windows_of(animal: Individual, situation: Situation, days: Array) -> list[Window]:
    begin = max(animal.party.day, float(days[0]))
    return windows(days, begin, situation.horizon_days)


def _lot(animal: Individual, situation: Situation, hazards: Hazards, species: tuple[str, ...]) -> Lot:
    """Return how one animal fares over the worst of its windows."""
    n, days = animal.index, hazards.days
    fought = cumulative(days, hazards.fought[:, :, n])
    bitten = cumulative(days, hazards.bitten[:, :, n])
    slow = {name: cumulative(days, rows[:, n]) for name, rows in hazards.slow.items()}
    chases = cumulative(days, hazards.chases[:, :, n])
    tried = _windows_of(animal, situation, days)
    ends = np.array([(w.start, w.end) for w in tried])
    fast = _grown(days, fought, ends) + _grown(days, bitten, ends)
    totals = fast + np.sum([_grown(days, rows, ends) for rows in slow.values()], axis=0)[:, None]
    p, window, gone = -1.0, tried[0], totals[0]
    for one, total, chance in zip(tried, totals, (1.0 - np.exp(-totals)).mean(axis=1).tolist(), strict=True):
        if chance > p + 1e-12:
            p, window, gone = chance, one, total
    harm = {name: float(1.0 - np.exp(-_over(days, rows, window))) for name, rows in slow.items()}
    harm["fought"] = float((1.0 - np.exp(-_over(days, fought, window))).mean())
    harm["bitten"] = float((1.0 - np.exp(-_over(days, bitten, window))).mean())
    by = _by_species(n, hazards, species, window)
    span_days = max(window.end - window.start, 1e-9)
    chased = float(_over(days, chases, window).mean()) / span_days
    return Lot(animal, window, p, 1.0 - np.exp(-gone), harm, by, chased)


def _by_species(n: int, hazards: Hazards, species: tuple[str, ...], window: Window) -> dict[str, float]:
    total = cumulative(hazards.days, hazards.by_species[..., n])
    grown = _over(hazards.days, total, window)
    return {s: float((1.0 - np.exp(-grown[:, g])).mean()) for g, s in enumerate(species)}


def _grown(days: Array, integral: Array, ends: Array) -> Array:
    """Return what a cumulative hazard grows by within each of several windows, windows first."""
    return at_days(days, integral, ends[:, 1]) - at_days(days, integral, ends[:, 0])


def _over(days: Array, integral: Array, window: Window) -> Array:
    return at(days, integral, window.end) - at(days, integral, window.start)


def _eaten(situation: Situation, hazards: Hazards) -> dict[tuple[str, str], float]:
    """Return the chance that some of a species are eaten by another within the horizon."""
    gone: dict[tuple[str, str], float] = {}
    for (i, j), values in hazards.eaten_by.items():
        pair = (situation.animals[i].species.name, situation.animals[j].species.name)
        gone[pair] = gone.get(pair, 0.0) + float(cumulative(hazards.days, values)[-1])
    return {pair: float(1.0 - np.exp(-h)) for pair, h in gone.items()}
