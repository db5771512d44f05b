"""The exam: judged cases put to the model, and the score by kind, lever and family."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from slackwater.errors import InputError
from slackwater.rules import Rules, load_rules
from slackwater.service.scoring import Answer
from slackwater.society.company import Deed, Event, Keeping, Party, Place, Sex, Situation
from slackwater.society.harm import Ease, Mood, ease
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.society.nips import nipped_per_day, nips
from slackwater.society.space import room_of, too_small
from slackwater.tank.rock import Rockwork, preset
from slackwater.tank.shapes import Glass, Shape
from slackwater.taxa.facts import Species, load_facts
from slackwater.taxa.names import Verdict, understand

Case = Mapping[str, Any]

_LEVEL = {Ease.AT_EASE: "none", Ease.JOSTLED: "mild", Ease.PRESSED: "mild", Ease.BESIEGED: "serious"}
_MOOD = {Mood.SETTLED: "peaceful", Mood.UNEASY: "uneasy", Mood.IN_TROUBLE: "trouble"}
_SYSTEM = {"shape", "length_cm", "width_cm", "height_cm", "rock", "sand_cm", "lights_h", "divider_cm"}
_KEEPING = {
    "feeds_per_day",
    "stations",
    "lid",
    "corals",
    "inverts",
    "quarantine_days",
    "food",
    "strong_first",
}
_NOT_MODELLED = {"keeping.quarantine_days": "quarantine before release does not change the answer yet"}
DRAWS = 64


def species_of(name: str) -> Species:
    """Return a species by its scientific name, old names accepted.

    Raises
    ------
    UnknownTaxonError
        If no such species is described.
    """
    facts = load_facts()
    if name in facts.species_names:
        return facts.species(name)
    meaning = understand(name)
    known = meaning.candidates[0].scientific_name if meaning.verdict is Verdict.ONE else name
    return facts.species(known)


def situation_of(body: Mapping[str, Any], horizon_days: float | None = None) -> Situation:
    """Return the question that a case, or one side of a comparison, puts to the model.

    A comparison has no horizon of its own: it is judged at the sizes given, over the first year
    after the last introduction.
    """
    system, keeping = body["system"], body.get("keeping") or {}
    glass = Glass(
        Shape.RECTANGULAR,
        float(system["length_cm"]),
        float(system["width_cm"]),
        float(system["height_cm"]),
    )
    word, sand = str(system.get("rock", "moderate")), float(system.get("sand_cm", 5.0))
    variants = (0,) if word == "none" else (0, 1, 2)
    parties = tuple(_party(animal, n) for n, animal in enumerate(body["animals"]))
    last = max(p.day for p in parties)
    return Situation(
        glass=glass,
        rockworks=tuple(_layout(word, glass, sand, v) for v in variants),
        parties=parties,
        keeping=_keeping(system, keeping),
        events=tuple(_event(e) for e in body.get("events") or ()),
        horizon_days=horizon_days if horizon_days is not None else last + 365.0,
        grows=horizon_days is not None,
        divider_cm=system.get("divider_cm"),
    )


@functools.lru_cache(maxsize=256)
def _layout(word: str, glass: Glass, sand_cm: float, variant: int) -> Rockwork:
    return preset(word, glass, sand_cm, variant)


def _party(animal: Mapping[str, Any], number: int) -> Party:
    return Party(
        species=species_of(str(animal["species"])),
        length_cm=float(animal["length_cm"]),
        day=float(animal.get("day", 0)),
        count=int(animal.get("count", 1)),
        sex=Sex(str(animal.get("sex", "unknown"))),
        box_days=float(animal.get("box_days", 0)),
        side=animal.get("side"),
        place=Place(str(animal.get("place", "tank"))),
        wild=bool(animal.get("wild", False)),
        key=f"{number}",
    )


def _event(event: Mapping[str, Any]) -> Event:
    name = event.get("species")
    return Event(
        day=float(event["day"]),
        do=Deed(str(event["do"])),
        species=species_of(str(name)).name if name else None,
        days=float(event.get("days", 0)),
    )


def _keeping(system: Mapping[str, Any], keeping: Mapping[str, Any]) -> Keeping:
    food = set(keeping.get("food") or ())
    return Keeping(
        feeds_per_day=float(keeping.get("feeds_per_day", 2)),
        stations=int(keeping.get("stations", 1)),
        lid=bool(keeping.get("lid", True)),
        lights_h=float(system.get("lights_h", 10)),
        corals=tuple(keeping.get("corals") or ()),
        inverts=tuple(keeping.get("inverts") or ()),
        food_both_ends={"floated", "sunk"} <= food,
        strong_first=bool(keeping.get("strong_first", False)),
    )


def not_modelled(cases: Iterable[Case]) -> dict[str, str]:
    """Return the fields of the cases that the model does not use, and what is done about them."""
    found: dict[str, str] = {}
    for body in (body for case in cases for body in (case, case.get("base") or {}, case.get("change") or {})):
        for key in set(body.get("system") or {}) - _SYSTEM:
            found[f"system.{key}"] = "unknown to the model and left out"
        for key in set(body.get("keeping") or {}) - _KEEPING:
            found[f"keeping.{key}"] = "unknown to the model and left out"
        for key in body.get("keeping") or {}:
            if reason := _NOT_MODELLED.get(f"keeping.{key}"):
                found[f"keeping.{key}"] = reason
    return found


def answer_case(case: Case, rules: Rules, settings: Settings) -> list[Answer]:
    """Return the answers to all expectations of one case."""
    if "base" in case:
        return [_compare(case, rules, settings)]
    situation = situation_of(case, float(case["horizon_days"]))
    verdict = judge(situation, settings, rules)
    return [_expectation(case, e, verdict) for e in case["expect"]]


def _expectation(case: Case, expect: Mapping[str, Any], verdict: Judgement) -> Answer:
    kind = str(expect["kind"])
    asked, expected, got, p, reason = _ANSWERS[kind](expect, verdict)
    back = _harmed_back(expect, verdict) if kind == "harm" else None
    return Answer(
        str(case["id"]),
        str(case["family"]),
        str(case["lever"]),
        str(case["confidence"]),
        kind,
        asked,
        expected,
        got,
        p,
        reason,
        back,
    )


def _harmed_back(expect: Mapping[str, Any], verdict: Judgement) -> float | None:
    """Return the chance of harm the other way round, None within a species."""
    by, to = species_of(expect["by"]).name, species_of(expect["to"]).name
    return None if by == to else float(verdict.harm_by(to, by).mean())


_Told = tuple[str, str, str, float, str]


def _harm(expect: Mapping[str, Any], verdict: Judgement) -> _Told:
    by, to = species_of(expect["by"]).name, species_of(expect["to"]).name
    p = float(verdict.harm_by(by, to).mean())
    got = _LEVEL[ease(p, verdict.rules)]
    lots = [lot for lot in verdict.lots if lot.animal.species.name == to]
    chased = max(lot.chases_per_h for lot in lots)
    reason = f"chance of harm {p:.3f} over the worst 90 days; chased {chased:.1f} times an hour by all"
    return f"{by} -> {to}", str(expect["level"]), got, p, reason


def _eaten(expect: Mapping[str, Any], verdict: Judgement) -> _Told:
    by, to = species_of(expect["by"]).name, species_of(expect["to"]).name
    p = verdict.eaten.get((by, to), 0.0)
    got = str(p >= verdict.rules["eaten_from"])
    return f"{by} -> {to}", str(bool(expect["value"])), got, p, f"eaten within the horizon: {p:.3f}"


def _space(expect: Mapping[str, Any], verdict: Judgement) -> _Told:
    species = species_of(expect["species"])
    room = room_of(verdict.situation.glass)
    small = too_small(species, room, verdict.rules)
    needs = f"{species.number('min_length_cm'):g} cm, {species.number('min_volume_l'):g} L"
    got = "too_small" if small else "enough"
    return species.name, str(expect["value"]), got, float(small), f"an adult needs {needs}"


def _nips(expect: Mapping[str, Any], _verdict: Judgement) -> _Told:
    species = species_of(expect["by"])
    got = nips(species, str(expect["to"]))
    p = {"no": 0.0, "possible": 0.5, "likely": 1.0}[got]
    return f"{species.name} -> {expect['to']}", str(expect["value"]), got, p, "by trait"


def _community(expect: Mapping[str, Any], verdict: Judgement) -> _Told:
    got = _MOOD[verdict.mood]
    worst = max(verdict.lots, key=lambda lot: float(verdict.community_draws(lot).mean()))
    causes = {k: v for k, v in worst.harm.items() if k != "cramped"}
    cause = max(causes, key=lambda k: causes[k])
    reason = f"worst off: {worst.animal.species.name}, {cause} {causes[cause]:.3f}"
    return "tank", str(expect["value"]), got, verdict.worst_p, reason


_ANSWERS: dict[str, Callable[[Mapping[str, Any], Judgement], _Told]] = {
    "harm": _harm,
    "eaten": _eaten,
    "space": _space,
    "nips": _nips,
    "community": _community,
}


def burden(verdict: Judgement, about: str) -> float:
    """Return s = log10(h + 2.2e-4), h the mean hazard per day of the worst 90 days. [log 1/d]

    `about` is a species, whose worst-off member counts, or `all`.
    """
    names = verdict.species if about == "all" else (species_of(about).name,)
    hazards = [_hazard(verdict, name) for name in names]
    if about == "all":
        hazards.append(_nipped(verdict))
    h = min(max(hazards), verdict.rules["burden_cap"])
    return math.log10(h + verdict.rules["burden_floor"])


def _hazard(verdict: Judgement, name: str) -> float:
    p = min(float(np.mean(verdict.worst_of(name))), 1.0 - 1e-9)
    return -math.log(1.0 - p) / 90.0


def _nipped(verdict: Judgement) -> float:
    kinds = [*verdict.situation.keeping.corals, *verdict.situation.keeping.inverts]
    words = [
        nips(p.species, kind)
        for p in verdict.situation.parties
        for kind in kinds
        if kind not in {"anemone", "pistol shrimp"}
    ]
    return max((nipped_per_day(w) for w in words), default=0.0)


def _compare(case: Case, rules: Rules, settings: Settings) -> Answer:
    base = judge(situation_of(case["base"]), settings, rules)
    change = judge(situation_of(case["change"]), settings, rules)
    before, after = burden(base, str(case["about"])), burden(change, str(case["about"]))
    gap = after - before
    step = rules["burden_step"]
    got = "same" if abs(gap) < step else "worse" if gap > 0.0 else "better"
    return Answer(
        str(case["id"]),
        str(case["family"]),
        str(case["lever"]),
        str(case["confidence"]),
        "comparison",
        f"about {case['about']}",
        str(case["expect"]),
        got,
        gap,
        f"burden {before:.2f} -> {after:.2f}",
    )


def read_cases(paths: Sequence[Path]) -> list[Case]:
    """Return the cases of one or several files.

    Raises
    ------
    InputError
        If a file is no list of cases.
    """
    import yaml

    cases: list[Case] = []
    for path in paths:
        loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
        body = yaml.load(path.read_text(encoding="utf-8"), Loader=loader)  # noqa: S506 - a safe loader
        if not isinstance(body, list) or not all(isinstance(c, dict) and "id" in c for c in body):
            raise InputError(
                field=str(path),
                given="something else",
                limit="an exam file is a list of cases, each with an id",
                remedy="See docs/cli.md for the format.",
            )
        cases.extend(body)
    return cases


def sit(
    cases: Sequence[Case],
    *,
    rules: Rules | None = None,
    settings: Settings | None = None,
    tick: Callable[[], None] = lambda: None,
) -> list[Answer]:
    """Return the answers to all cases.

    Parameters
    ----------
    cases
        The judged cases.
    rules
        The coefficients; those of the package if left out.
    settings
        Coarse cells and 64 draws if left out.
    tick
        Called after each case.
    """
    rules = rules or load_rules()
    settings = settings or Settings(fine=False, draws=DRAWS)
    answers: list[Answer] = []
    for case in cases:
        answers.extend(answer_case(case, rules, settings))
        tick()
    return answers
