"""Rations and the race for the food: who is fed what, how much, how often and how."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import FedRow, FeedingCard
from slackwater.rules import Rules
from slackwater.society.company import Individual, Keeping
from slackwater.society.food import keeps_weight_from, race
from slackwater.sources import Sourced
from slackwater.tank.shapes import Glass
from slackwater.taxa.facts import Species
from slackwater.water.foods import Food, load_foods
from slackwater.water.parameters import number
from slackwater.water.rations import food_g_d, portions

LARGE_COMPANY = 4
MOST_FEEDS = 6
EASY_FEEDS = 3
PINCH_G = 0.1
GRAZER = 0.5
SHOALER_FEEDS = 3.0
FULL = 0.1

_CLIPS = "algae on two clips, out of each other's sight"
_FOOD_OF = {
    "algae": "nori",
    "detritus": "nori",
    "plankton": "brine shrimp",
    "benthos": "mysids",
    "sessile": "mysids",
    "parasites": "mysids",
    "fish": "fish flesh",
}
_OFFERED = {
    "algae": "algae sheet or pellets",
    "detritus": "film and detritus, topped up with algae wafers",
    "plankton": "small frozen plankton, several times",
    "benthos": "chopped mysis and krill",
    "fish": "pieces of marine fish, never freshwater feeder fish",
    "sessile": "sponge-based frozen food",
    "parasites": "fine frozen food",
}

_OFF_GLASS_CM = 5.0
NEAR_SURFACE = 0.9
"""Height of food given at the surface, as a share of that of the water. [-]"""


@dataclass(frozen=True)
class _Rhythm:
    """Feeds and stations, and from how many feeds each animal keeps its weight there."""

    feeds: float
    stations: int
    enough: tuple[int | None, ...]


def fed_company(question: Question) -> tuple[Individual, ...]:
    """Return everyone who lives there or is wished for, as long as today."""
    company = (*question.residents, *question.wishes)
    parties = tuple(replace(w, resident=False).party(0.0) for w in company)
    return question.situation({}).with_parties(parties).animals


def feeding_card(question: Question, rules: Rules) -> FeedingCard:
    """Return what, how often, how much and where for the whole company."""
    company, keeping = fed_company(question), question.keeping
    rhythm = _rhythm(company, keeping, rules)
    rows = tuple(_row(w, company, question, rhythm, rules) for w in (*question.residents, *question.wishes))
    slowest, enough = _slowest(rows)
    short = _short_beside_full(rows, rules)
    total = _total(rows)
    foods = load_foods()
    protein_g_d = sum(grams * _value(foods[name].protein_share) for name, grams in total.items())
    card = FeedingCard(
        feeds_per_day=rhythm.feeds,
        stations=rhythm.stations,
        lines=(),
        stations_cm=stations_cm(question, rhythm.stations),
        rows=rows,
        slowest=slowest,
        keeps_weight_from=enough,
        short_beside_full=short,
        portions=_portions(total, foods),
        protein_g_d=protein_g_d,
        nitrogen_mg_d=1000.0 * number("tan_per_protein") * protein_g_d,
    )
    return replace(card, lines=_lines(card, question))


def _rhythm(company: tuple[Individual, ...], keeping: Keeping, rules: Rules) -> _Rhythm:
    """Return the fewest stations at which three feeds are enough for all, else the best of three."""
    kinds = {a.species.name for a in company}
    slow = any(a.species.word("feeding_speed") in {"slow", "very_slow"} for a in company)
    least = max(keeping.stations, 2 if slow or len(kinds) > LARGE_COMPANY else 1)
    tried = []
    for stations in range(least, max(least, 3) + 1):
        enough = keeps_weight_from(company, replace(keeping, stations=stations), rules)
        raced = [f or MOST_FEEDS for f, a in zip(enough, company, strict=True) if not _eats_live(a.species)]
        tried.append((max(raced, default=1), stations, enough))
        if tried[-1][0] <= EASY_FEEDS:
            break
    need, stations, enough = min(tried, key=lambda row: row[:2])
    return _Rhythm(max(keeping.feeds_per_day, float(min(need, MOST_FEEDS))), stations, enough)


def _row(
    wanted: Wanted, company: tuple[Individual, ...], question: Question, rhythm: _Rhythm, rules: Rules
) -> FedRow:
    ended = race(company, question.keeping, rules)
    mine = [n for n, a in enumerate(company) if a.party.key == wanted.key]
    enough = [rhythm.enough[n] for n in mine]
    rations = [ration(company[n], rules) for n in mine]
    return FedRow(
        key=wanted.key,
        common_name=wanted.species.common_name,
        count=wanted.count,
        mass_g=sum(_mass_g(company[n]) for n in mine),
        foods_g_d={name: sum(r.grams[name] for r in rations) for name in rations[0].grams},
        missed=max(float(ended.missed[n]) for n in mine),
        of_meal=sum(float(ended.of_meal[n]) for n in mine),
        keeps_weight_from=None if None in enough else max(f for f in enough if f is not None),
        how=_how(wanted.species),
        in_range=all(r.in_range for r in rations),
        live_a_day=sum(_live_a_day(company[n], rules) for n in mine),
    )


def _live_a_day(animal: Individual, rules: Rules) -> int:
    """Return how many copepods would be all that an eater of live food needs, to two figures. [1/d]

    Notes
    -----
    The energy budget of [lupatsch2013]; the mass of a copepod is from memory, good to a factor of five.
    """
    if animal.species.word("special_food") != "pods":
        return 0
    pod = load_foods()["pods"]
    grams, _ = _need(animal, pod, rules)
    return int(float(f"{portions(grams, _value(pod.portion_g)):.2g}"))


@dataclass(frozen=True)
class Ration:
    """The food that one animal needs in a day, as fed, by name [g/d]; is its size one that was measured?"""

    grams: Mapping[str, float]
    in_range: bool


def ration(animal: Individual, rules: Rules) -> Ration:
    """Return what one animal needs in a day, by its diet, its mass and how much it swims.

    Notes
    -----
    The energy budget of [lupatsch2013], shared among foods as its diet is; more for those that swim
    all day, grazers and shoals of planktivores (common practice).
    """
    shares: defaultdict[str, float] = defaultdict(float)
    for habit, share in animal.species.diet.items():
        shares[_FOOD_OF[habit]] += share
    grams, in_range = {}, True
    for name, share in shares.items():
        if share > 0.0:
            need = _need(animal, load_foods()[name], rules)
            grams[name], in_range = share * need[0], need[1]
    return Ration(grams, in_range)


def _need(animal: Individual, food: Food, rules: Rules) -> tuple[float, bool]:
    found = food_g_d(
        _mass_g(animal), _value(food.dry_share), _value(food.protein_share), activity(animal.species, rules)
    )
    return found.value, found.in_range


def activity(species: Species, rules: Rules) -> float:
    """Return what a species eats over what a calm planktivore eats. [-]"""
    swims = rules.words("active")[species.word("swim_style")]
    shoals = species.diet["plankton"] >= GRAZER and species.number("feeds_needed") >= SHOALER_FEEDS
    return max(swims, rules["active_grazer"]) if shoals or species.diet["algae"] >= GRAZER else swims


def _mass_g(animal: Individual) -> float:
    return animal.species.mass_g(animal.length_cm)


def _how(species: Species) -> str:
    """Return how a species is best fed, empty if like all others."""
    if _eats_live(species):
        return "live food in the rock, topped up daily, and a tube down to its place"
    if species.word("feeding_time") == "night":
        return "after lights out, on a stick"
    if species.word("feeding_speed") == "very_slow":
        return "by tube at its place, pumps off"
    if species.number("feeds_needed") < 1.0:
        return "with tongs"
    if species.diet["algae"] >= GRAZER:
        return _CLIPS
    return ""


def _eats_live(species: Species) -> bool:
    return species.word("special_food") in {"pods", "live"}


def _slowest(rows: Sequence[FedRow]) -> tuple[str, int | None]:
    """Return who needs most feeds to keep its weight, and how many; None where none are enough."""
    if not rows:
        return "", None
    last = max(rows, key=lambda row: (row.keeps_weight_from or 100, row.missed))
    return last.common_name, last.keeps_weight_from


def _short_beside_full(rows: Sequence[FedRow], rules: Rules) -> tuple[str, ...]:
    """Return who goes short at the keeper's own feeds and stations while others eat their fill."""
    if not any(row.missed <= FULL for row in rows):
        return ()
    return tuple(row.common_name for row in rows if row.missed > rules["starve_from"])


def _total(rows: Sequence[FedRow]) -> dict[str, float]:
    total: defaultdict[str, float] = defaultdict(float)
    for row in rows:
        for name, grams in row.foods_g_d.items():
            total[name] += grams
    return dict(total)


def _portions(total: Mapping[str, float], foods: Mapping[str, Food]) -> dict[str, float]:
    return {name: portions(grams, _value(foods[name].portion_g)) for name, grams in total.items()}


def _value(sourced: Sourced) -> float:
    return float(sourced.value)


def _lines(card: FeedingCard, question: Question) -> tuple[str, ...]:
    company = (*question.residents, *question.wishes)
    lines = [_line(row, wanted.species) for row, wanted in zip(card.rows, company, strict=True)]
    if card.rows:
        lines.append(
            f"Together about {in_portions(card.rows)} a day at first, in {card.feeds_per_day:g} feeds."
        )
        lines.append(_weight_line(card))
    if card.short_beside_full:
        keeping = question.keeping
        lines.append(
            f"At {_count(keeping.feeds_per_day, 'feed')} and {_count(keeping.stations, 'station')} "
            f"{_listed(card.short_beside_full)} would go short beside full neighbours."
        )
    if any(row.how == _CLIPS for row in card.rows):
        lines.append(f"{_CLIPS[:1].upper()}{_CLIPS[1:]}.")
    if card.stations > 1:
        lines.append("Feed all stations within the same minute; strong eaters first, then the shy.")
    lines.append("Frozen food: thaw in the fridge, away from kitchen boards.")
    return tuple(lines)


def _line(row: FedRow, species: Species) -> str:
    share = f"about {row.food_g_d:.1f} g a day" if row.food_g_d >= PINCH_G else "a pinch a day"
    if species.number("feeds_needed") < 1.0:
        share = _seldom(row, species.number("feeds_needed"))
    if row.live_a_day:
        share = f"about {row.live_a_day:,} copepods a day".replace(",", "\N{NO-BREAK SPACE}")
    how = f", {row.how}" if row.how not in {"", _CLIPS} else ""
    return f"{row.common_name[:1].upper()}{row.common_name[1:]}: {_offered(species)}; {share}{how}"


def _seldom(row: FedRow, feeds: float) -> str:
    """Return the meals of those that are not fed every day."""
    times = max(round(7.0 * feeds), 1)
    return f"about {7.0 * row.food_g_d / times:.0f} g a meal, {_count(times, 'meal')} a week"


def _weight_line(card: FeedingCard) -> str:
    if card.keeps_weight_from is None:
        return f"No number of feeds is enough for {card.slowest}: live food, or a tube down to its place."
    if card.keeps_weight_from == 1:
        return "One feed a day is enough for all of them to keep their weight."
    at = _count(card.stations, "station")
    return f"From {card.keeps_weight_from} feeds a day at {at} the slowest, {card.slowest}, keeps its weight."


def in_portions(rows: Sequence[FedRow]) -> str:
    """Return the food of a day in grams and in portions."""
    grams, foods = _total(rows), load_foods()
    count = _portions(grams, foods)
    frozen = [name for name in ("brine shrimp", "mysids") if name in grams]
    told = []
    for names, what, of in (
        (frozen, "frozen food", "cube"),
        (["nori"], "nori", "sheet"),
        (["fish flesh"], "fish flesh", "strip"),
    ):
        mass = sum(grams.get(name, 0.0) for name in names)
        if mass >= PINCH_G:
            told.append(f"{mass:.1f} g of {what} ({_some(sum(count.get(n, 0.0) for n in names), of)})")
    return _listed(told) or "a pinch"


def _some(count: float, of: str) -> str:
    """Return a number of portions as one would cut them."""
    for most, words in ((0.17, f"a tenth of a {of}"), (0.38, f"a quarter {of}"), (0.75, f"half a {of}")):
        if count < most:
            return words
    return f"{count:.0f} {of}" + ("" if round(count) == 1 else "s")


def _count(number_of: float, of: str) -> str:
    return f"{number_of:g} {of}" + ("" if number_of == 1 else "s")


def _listed(names: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def _offered(species: Species) -> str:
    diet = species.diet
    first = max(diet, key=lambda habit: diet[habit])
    return _short(species.text("first_foods")) or _OFFERED[first]


def _short(foods: str, most: int = 44) -> str:
    """Return the first foods that fit a line, whole items only."""
    items = foods.replace(";", ",").split(",")
    kept = items[0].strip()
    for item in items[1:]:
        if len(kept) + len(item) + 2 > most:
            break
        kept = f"{kept}, {item.strip()}"
    return kept


def stations_cm(question: Question, count: int) -> tuple[tuple[float, float, float], ...]:
    """Return places for food: as told, else along the front, inside the glass. [cm]

    Where more are wanted than were told, those of the line along the front that are farthest from
    any place told come beside them.
    """
    told = question.keeping.places_cm[:count]
    usual = _along_the_front(question.glass, count)
    away = sorted(usual, key=lambda spot: -min((math.dist(spot, one) for one in told), default=0.0))
    return (*told, *away[: count - len(told)]) if told else usual


def _along_the_front(glass: Glass, count: int) -> tuple[tuple[float, float, float], ...]:
    along = (0.15,) if count == 1 else tuple(0.15 + 0.7 * k / (count - 1) for k in range(count))
    spots = (glass.spot_inside((p * glass.length_cm, 0.3 * glass.width_cm), _OFF_GLASS_CM) for p in along)
    return tuple((x, y, NEAR_SURFACE * glass.height_cm) for x, y in spots)
