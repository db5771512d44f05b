"""How often what should help the worst-off animal of a whole tank does: the shape of the answers.

    python -m scripts.trust_shape [TANKS]       # prints the shares and every case that fails

For two rivals the same changes never hurt (tests/properties/test_two_rivals.py). In a company a
change moves homes, frees one from another's restraint and turns attention elsewhere, so it is
measured over random tanks: seeded, and the same wherever it is run.
"""

from __future__ import annotations

import functools
import math
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from slackwater.rules import load_rules
from slackwater.society.attacks import grown_temper
from slackwater.society.company import Individual, Keeping, Party, Situation
from slackwater.society.judge import Judgement, Lot, Settings, judge
from slackwater.society.recognition import Kin, kin
from slackwater.tank.pieces import Piece, PieceKind
from slackwater.tank.rock import VARIANTS, Rockwork, custom, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import Species, load_facts

TANKS = 150
WANTED = 0.95
QUICK = Settings(fine=False, draws=24)
WORSE_BY = 0.001
LONGER, LATER_DAYS, WIDER = 1.25, 3.0, 1.15
MOST_CM = 22.0


@dataclass(frozen=True)
class Tried:
    """One change to one tank: the chance of harm of the worst-off before and after. [0 to 1]"""

    tank: int
    lever: str
    before: float
    after: float
    worst: str
    told: str

    @property
    def is_worse(self) -> bool:
        """Whether the worst-off animal fares worse than before."""
        return self.after > self.before + WORSE_BY


@functools.cache
def _pool() -> tuple[Species, ...]:
    """Return the species that the random tanks are filled from: no hunters of fish, none too large."""
    facts = load_facts()
    kinds = (facts.species(name) for name in sorted(facts.species_names))
    return tuple(
        kind
        for kind in kinds
        if kind.number("adult_length_cm") <= MOST_CM and kind.word("appetite_fish") in {"none", "rare"}
    )


def random_tank(seed: int) -> Situation:
    """Return a random tank of three to seven lines, among them two of one genus, released day by day."""
    rng = np.random.default_rng([7, seed])
    length_cm = float(10 * rng.integers(9, 19))
    glass = Glass(Shape.RECTANGULAR, length_cm, 50.0, 50.0)
    kinds = _kinds(rng, int(rng.integers(3, 8)))
    days = rng.permutation(len(kinds)) * float(rng.choice([0.5, 1.0, 2.0, 14.0]))
    parties = tuple(_party(kind, float(day), rng) for kind, day in zip(kinds, days, strict=True))
    word = str(rng.choice(["none", "sparse", "moderate", "dense"]))
    return Situation(
        glass=glass,
        rockworks=_layouts(word, glass),
        parties=parties,
        keeping=Keeping(feeds_per_day=float(rng.integers(1, 4))),
        horizon_days=180.0,
        grows=False,
    )


def _kinds(rng: np.random.Generator, count: int) -> list[Species]:
    pool = _pool()
    kinds = [pool[int(n)] for n in rng.choice(len(pool), count - 1, replace=False)]
    near = [kind for kind in pool if kind.genus == kinds[0].genus]
    return [*kinds, near[int(rng.integers(len(near)))]]


def _party(kind: Species, day: float, rng: np.random.Generator) -> Party:
    length_cm = kind.number("sale_length_cm") * float(rng.uniform(0.9, 1.3))
    count = int(min(kind.number("company_min"), 4.0)) if kind.word("social_rule") == "shoal" else 1
    return Party(kind, round(length_cm, 1), day, max(count, 1))


@functools.cache
def _layouts(word: str, glass: Glass) -> tuple[Rockwork, ...]:
    return tuple(preset(word, glass, 5.0, v) for v in range(1 if word == "none" else VARIANTS))


# --- what is changed --------------------------------------------------------------------------


def longer_tank(judged: Judgement, _worst: Lot) -> Situation:
    """Return the tank a quarter longer, with the same word for its rock."""
    here = judged.situation
    glass = replace(here.glass, length_cm=LONGER * here.glass.length_cm)
    return replace(here, glass=glass, rockworks=_layouts(here.rockworks[0].word, glass))


def one_more_boulder(judged: Judgement, _worst: Lot) -> Situation:
    """Return the tank with one more boulder that blocks views, in every layout."""
    here = judged.situation
    rng = np.random.default_rng([11, round(here.glass.length_cm), len(here.parties)])
    place = (float(rng.uniform(0.2, 0.8)) * here.glass.length_cm, 25.0, 20.0)
    boulder = Piece(PieceKind.ELLIPSOID, place, (8.0, 16.0, 16.0))
    more = tuple(custom((*r.pieces, boulder), r.holes, r.sand_cm) for r in here.rockworks)
    return replace(here, rockworks=more)


def one_more_feed(judged: Judgement, _worst: Lot) -> Situation:
    """Return the tank with one more feed a day."""
    here = judged.situation
    return replace(here, keeping=replace(here.keeping, feeds_per_day=here.keeping.feeds_per_day + 1.0))


def one_more_station(judged: Judgement, _worst: Lot) -> Situation:
    """Return the tank with one more place to feed at."""
    here = judged.situation
    return replace(here, keeping=replace(here.keeping, stations=here.keeping.stations + 1))


def longer_head_start(judged: Judgement, worst: Lot) -> Situation | None:
    """Return the tank where the one that troubles the worst-off most, and came no sooner, comes later."""
    here, first = judged.situation, worst.animal.party
    by = max(worst.by, key=lambda s: worst.by[s])
    for party in here.parties:
        if party.species.name == by and party is not first and party.day >= first.day:
            later = replace(party, day=party.day + LATER_DAYS)
            return _with(here, party, later)
    return None


def one_look_alike_fewer(judged: Judgement, worst: Lot) -> Situation | None:
    """Return the tank without the later of two that are alike, neither being the worst-off."""
    here = judged.situation
    others = [p for p in here.parties if p is not worst.animal.party]
    for n, one in enumerate(others):
        for two in others[:n]:
            if kin(one.species, two.species, judged.rules) <= Kin.CONGENER:
                gone = max(one, two, key=lambda p: p.day)
                return here.with_parties(tuple(p for p in here.parties if p is not gone))
    return None


def larger_size_step(judged: Judgement, worst: Lot) -> Situation | None:
    """Return the tank where a longer one of the worst-off's genus is longer still, its temper held."""
    here, weak = judged.situation, worst.animal
    for one in here.animals:
        party, ahead = one.party, one.length_cm / weak.length_cm
        if party is not weak.party and one.species.genus == weak.species.genus and ahead >= LONGER:
            grown = replace(party, length_cm=WIDER * party.length_cm)
            older = Individual(0, 0, grown, 0)
            held = grown_temper(one, judged.rules) / grown_temper(older, judged.rules)
            return _with(here, party, replace(grown, own_temper=held))
    return None


def _with(here: Situation, party: Party, other: Party) -> Situation:
    return here.with_parties(tuple(other if p is party else p for p in here.parties))


SIZE_STEP = "a larger size step within the genus"
LEVERS: dict[str, Callable[[Judgement, Lot], Situation | None]] = {
    "a longer tank": longer_tank,
    "one more boulder": one_more_boulder,
    SIZE_STEP: larger_size_step,
    "a longer head start of the worst-off": longer_head_start,
    "one more feed": one_more_feed,
    "one look-alike instead of two": one_look_alike_fewer,
    "one more feeding station": one_more_station,
}


# --- measured ---------------------------------------------------------------------------------


def tried(tanks: int = TANKS) -> Iterator[Tried]:
    """Yield every change of every random tank that can be made there."""
    rules = load_rules()
    for seed in range(tanks):
        before = judge(random_tank(seed), QUICK, rules)
        p, worst = _worst_off(before)
        for lever, change in LEVERS.items():
            changed = change(before, worst)
            if changed is not None:
                after, now = _worst_off(judge(changed, QUICK, rules))
                yield Tried(seed, lever, p, after, now.animal.species.name, _told(worst, now))


def _worst_off(verdict: Judgement) -> tuple[float, Lot]:
    """Return the chance of harm of the worst-off animal, too little room apart, and how it fares."""
    chances = [float(verdict.community_draws(lot).mean()) for lot in verdict.lots]
    n = int(np.argmax(chances))
    return chances[n], verdict.lots[n]


def _told(before: Lot, after: Lot) -> str:
    if before.animal.species.name != after.animal.species.name:
        return f"in place of {before.animal.species.name}"
    grown = {k: after.harm[k] - before.harm[k] for k in after.harm if k != "cramped"}
    cause = max(grown, key=lambda k: grown[k])
    by = max(after.by, key=lambda s: after.by[s] - before.by.get(s, 0.0))
    return f"{cause}, most by {by}" if cause == "fought" else cause


def records(rows: list[Tried]) -> dict[str, Any]:
    """Return counts by change, and the cases in which the worst-off fares worse."""
    by_lever = {lever: [r for r in rows if r.lever == lever] for lever in LEVERS}
    counts = {
        lever: {"cases": len(found), "not_worse": sum(not r.is_worse for r in found)}
        for lever, found in by_lever.items()
    }
    worse = [
        {
            "tank": r.tank,
            "change": r.lever,
            "before": round(r.before, 4),
            "after": round(r.after, 4),
            "worst_off": r.worst,
            "because": r.told,
        }
        for r in rows
        if r.is_worse
    ]
    return {"tanks": len({r.tank for r in rows}), "by_change": counts, "worse": worse}


def section(found: dict[str, Any]) -> str:
    """Return the section of the trust page."""
    counts = found["by_change"]
    cases, good = (sum(row[key] for row in counts.values()) for key in ("cases", "not_worse"))
    step = counts[SIZE_STEP]
    steps = f"{step['cases'] - step['not_worse']} of {step['cases']}"
    intro = (
        "For two rivals, with all else held, these changes never make it worse; tests search for a "
        f"counter-example. In {found['tanks']} random tanks of three to seven lines, two of one genus, "
        f"the worst-off animal is not worse (its chance of harm rises by no more than {WORSE_BY}) after "
        f"{good} of {cases} changes, {100 * good / cases:.1f} % (aim {100 * WANTED:.0f} %). What fails: "
        "whoever is taken away or comes later no longer draws or restrains the others; and a longer rival "
        f"also reaches further and uses more of the water, which outweighs the step in {steps}."
    )
    lines = ["| change | cases | not worse |", "|---|--:|--:|"]
    lines += [f"| {lever} | {row['cases']} | {_share(row)} |" for lever, row in counts.items()]
    return "\n\n".join([intro, "\n".join(lines), "The cases in which it is worse:", _cases(found["worse"])])


def _share(row: dict[str, int]) -> str:
    return f"{100 * row['not_worse'] / row['cases']:.1f} %" if row["cases"] else ""


def _cases(worse: list[dict[str, Any]]) -> str:
    lines = ["| tank | change | chance of harm | worst-off then | because |", "|--:|---|---|---|---|"]
    lines += [
        f"| {w['tank']} | {w['change']} | {w['before']:.3f} to {w['after']:.3f} | {w['worst_off']} "
        f"| {w['because']} |"
        for w in worse
    ]
    return "\n".join(lines)


def main(arguments: list[str]) -> None:
    """Measure and print."""
    rows = list(tried(int(arguments[0]) if arguments else TANKS))
    print(section(records(rows)))
    steps = [math.log10(r.after / r.before) for r in rows if min(r.after, r.before) > WORSE_BY]
    print(f"median change of the chance of harm: {100 * (10 ** float(np.median(steps)) - 1):.1f} %")


if __name__ == "__main__":
    main(sys.argv[1:])
