"""Each rung put to the model: what it would do to every animal of the company."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from slackwater.plan.quarrel_model import Case, Changed
from slackwater.plan.rungs import Rung
from slackwater.rules import Rules
from slackwater.society.company import Deed, Event, Party, Situation
from slackwater.society.harm import Ease, ease
from slackwater.society.judge import Judgement
from slackwater.tank.pieces import Hole, Piece, PieceKind
from slackwater.tank.rock import Rockwork, custom

MOST_FEEDS = 4.0
_PIPE_CM = (9.0, 6.0, 5.0)
_HOLE_SHARE = 1.6
_LEFT, _RIGHT = "left", "right"
_CROWD = 5


@dataclass(frozen=True)
class Effect:
    """How one animal fares now and with something done: chance of harm over its worst 90 days."""

    animal: str
    before: float
    after: float
    was: str
    would_be: str

    @property
    def gains(self) -> float:
        """By how much its chance of harm falls. [0 to 1]"""
        return self.before - self.after


@dataclass(frozen=True)
class Outcome:
    """What the model makes of a rung.

    `chases_left` is the share of the chases between the two that is left in a fortnight, None where
    there were none; `worst` is the chance of harm of the worst-off animal then. [0 to 1]
    """

    effects: tuple[Effect, ...]
    chases_left: float | None
    worst: float

    def of(self, animal: str) -> Effect | None:
        """Return the effect on one animal, None where it has left."""
        return next((e for e in self.effects if e.animal == animal), None)


def outcome(case: Case, rung: Rung, days: float) -> Outcome | None:
    """Return what a rung would do, None where the model has no term for it.

    Parameters
    ----------
    case
        The company and the two.
    rung
        Which rung.
    days
        How long it lasts. [d]

    Notes
    -----
    Light, mirrors, and a box round one who is no newcomer are not in the model.
    """
    change = _CHANGES.get(rung)
    changed = change(case, days) if change else None
    return None if changed is None else compared(case, changed)


def compared(case: Case, changed: Changed) -> Outcome:
    """Return how every animal fares with something done, beside how it fares now."""
    before = by_animal(case, case.now)
    if not changed.situation.parties:
        return Outcome((), 0.0, 0.0)
    then = case.judged(changed.situation)
    after = by_animal(case, then, changed.places)
    effects = tuple(
        Effect(label, before[label], after[label], _word(before[label], case), _word(after[label], case))
        for label in case.labels
        if label in after
    )
    return Outcome(effects, _left(case, then, changed), then.worst_p)


def by_animal(
    case: Case, verdict: Judgement, places: tuple[int | None, ...] | None = None
) -> dict[str, float]:
    """Return the chance of harm, all but cramped, of each animal that is still there, by label. [0 to 1]"""
    kept = places or tuple(range(len(case.labels)))
    return {
        label: float(verdict.community_draws(verdict.lots[place]).mean())
        for label, place in zip(case.labels, kept, strict=True)
        if place is not None
    }


def _word(p: float, case: Case) -> str:
    return ease(p, case.rules).value


def _left(case: Case, then: Judgement, changed: Changed) -> float | None:
    now = case.chases_per_h(case.now, tuple(range(len(case.labels))))
    return case.chases_per_h(then, changed.places) / now if now > 0.0 else None


def _fed(case: Case, _: float) -> Changed:
    keeping = case.situation.keeping
    more = replace(
        keeping,
        feeds_per_day=max(keeping.feeds_per_day, min(keeping.feeds_per_day + 1.0, MOST_FEEDS)),
        stations=max(keeping.stations, 2),
        food_both_ends=True,
        strong_first=True,
    )
    return case.same(replace(case.situation, keeping=more))


def _rescaped(case: Case, _: float) -> Changed:
    return case.same(_with_events(case.situation, Event(0.0, Deed.RESCAPE)))


def _with_events(situation: Situation, *events: Event) -> Situation:
    return replace(situation, events=(*situation.events, *events))


def _boxed(case: Case, days: float) -> Changed | None:
    new = -case.victim.party.day <= case.rules["quarrel.lull_days"]
    return case.apart(case.whom, days, box_days=days) if new else None


def away(case: Case, days: float) -> Changed:
    """Return the company with the attacker out of sight for some days, the rock moved meanwhile. [d]

    One of a settled pair goes with its mate.
    """
    name = case.attacker.species.name
    moved = Event(0.0, Deed.RESCAPE)
    if sum(a.species.name == name for a in case.situation.animals) == len(case.culprits):
        out = Event(0.0, Deed.TAKE_OUT, name, days)
        return case.same(_with_events(case.situation, out, moved))
    later = case.apart(case.who, days)
    return replace(later, situation=_with_events(later.situation, moved))


def divided(case: Case, _: float = 0.0) -> Changed:
    """Return the company with a divider in the middle, the attacker on one side, with its mate if any."""
    half_cm = 0.5 * case.situation.glass.length_cm
    if case.mate is not None or case.attacker.party.count == 1:
        party = case.attacker.party_index
        sides = [_LEFT if n == party else _RIGHT for n in range(len(case.situation.parties))]
        parties = tuple(replace(p, side=s) for p, s in zip(case.situation.parties, sides, strict=True))
        return case.same(replace(case.situation.with_parties(parties), divider_cm=half_cm))
    split = case.apart(case.who, case.attacker.party.day, side=_LEFT)
    *others, alone = split.situation.parties
    parties = (*(replace(p, side=_RIGHT) for p in others), alone)
    return replace(split, situation=replace(split.situation.with_parties(parties), divider_cm=half_cm))


def _more(case: Case, _: float) -> Changed:
    species = case.attacker.species
    count = max(int(species.number("company_min")), _CROWD)
    length_cm = min(species.number("sale_length_cm"), species.number("adult_length_cm"))
    more = Party(species, length_cm, 0.0, count, key="added")
    return case.same(case.situation.with_parties((*case.situation.parties, more)))


def _covered(case: Case, _: float) -> Changed:
    rocks = tuple(_with_pipe(case, rock, n) for n, rock in enumerate(case.situation.rockworks))
    return case.same(replace(case.situation, rockworks=rocks))


def _with_pipe(case: Case, rock: Rockwork, layout: int) -> Rockwork:
    """Return rock with a pipe on the floor at the end from which the attacker keeps farthest."""
    glass = case.situation.glass
    field = case.now.fields[layout]
    use = field.use[:, case.attacker.party_index]
    middle_cm = float(np.average(field.ground.cells.points_cm[:, 0], weights=use))
    far_cm = 0.12 * glass.length_cm if middle_cm > 0.5 * glass.length_cm else 0.88 * glass.length_cm
    centre = (far_cm, 0.5 * glass.width_cm, rock.sand_cm + _PIPE_CM[2])
    pipe = Piece(PieceKind.SLAB, centre, _PIPE_CM)
    wide_cm = _HOLE_SHARE * case.victim.length_cm * case.victim.species.number("body_depth_ratio")
    hole = Hole(centre, wide_cm, 2, len(rock.pieces))
    made = custom((*rock.pieces, pipe), (*rock.holes, hole), rock.sand_cm)
    return replace(made, word=rock.word)


def _gone(case: Case, _: float) -> Changed:
    return case.without(*case.culprits)


_CHANGES: dict[Rung, Callable[[Case, float], Changed | None]] = {
    Rung.WATCH: lambda case, _: case.same(case.situation),
    Rung.FEED: _fed,
    Rung.COVER: _covered,
    Rung.RESCAPE: _rescaped,
    Rung.BOX: _boxed,
    Rung.TIMEOUT: away,
    Rung.DIVIDER: divided,
    Rung.NUMBERS: _more,
    Rung.TRAP: _gone,
    Rung.REHOME: _gone,
    Rung.ALONE: _gone,
}


def worse_for(found: Outcome, rules: Rules) -> tuple[Effect, ...]:
    """Return the effects on those who would fare worse by a word, or clearly so."""
    order = [word.value for word in Ease]
    return tuple(
        e
        for e in found.effects
        if e.after - e.before >= rules["ladder.worse"] and order.index(e.would_be) > order.index(e.was)
    )
