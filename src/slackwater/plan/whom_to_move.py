"""Which of two to move, and which not: the bully, the victim, both, or nobody."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slackwater.plan.causes import Cause
from slackwater.plan.pattern import Pattern
from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import Case
from slackwater.plan.remedies import Outcome, by_animal, compared
from slackwater.plan.taking_out import bully
from slackwater.plan.tallied import pairs
from slackwater.plan.wording import listed

_NEW_DAYS = 30.0
_MANY = 2
_CLEARLY = 0.05


class Move(StrEnum):
    """Whom to take out, if it comes to that."""

    BULLY = "the chaser"
    VICTIM = "the chased"
    BOTH = "both"


@dataclass(frozen=True)
class Gone:
    """The company without somebody: the worst-off animal's chance of harm, and who bullies next."""

    move: Move
    labels: tuple[str, ...]
    worst: str
    p: float
    next_bully: str
    outcome: Outcome


@dataclass(frozen=True)
class WhomToMove:
    """Whom to move if it comes to that, whom to leave, and how the company would fare either way."""

    move: Move
    labels: tuple[str, ...]
    stays: tuple[str, ...]
    sentence: str
    tried: tuple[Gone, ...]


def whom_to_move(quarrel: Quarrel, case: Case, pattern: Pattern) -> WhomToMove:
    """Return which animal to move and which not.

    Parameters
    ----------
    quarrel, case, pattern
        The quarrel, the model's view of it, and its kind.

    Notes
    -----
    The bully, if it chases several or would do so again; the victim, if it is one weak newcomer and
    all others live in peace; both, if a pair spawns (common practice). Where the model finds the
    company clearly better off the other way, it says so.
    """
    tried = tuple(_gone(case, move) for move in _ways(case, pattern))
    rule, why = _rule(quarrel, case, pattern)
    by_rule = next((g for g in tried if g.move is rule), tried[0])
    best = min(tried[:2], key=lambda g: (round(g.p, 2), g.move is not rule))
    chosen = by_rule
    if by_rule.move is not Move.BOTH and by_rule.p - best.p > _CLEARLY:
        other = listed(by_rule.labels)
        why = f"without it the others fare clearly better than without {other}, by the model"
        chosen = best
    stays = tuple(name for name in (quarrel.who, quarrel.whom) if name not in chosen.labels)
    return WhomToMove(chosen.move, chosen.labels, stays, _sentence(chosen, stays, why), tried)


def _ways(case: Case, pattern: Pattern) -> list[Move]:
    mates = case.attacker.party_index in {
        a.party_index for a in case.situation.animals if a.index != case.who
    }
    both = mates and pattern.cause is Cause.SPAWNING and len(case.labels) > _MANY
    return [Move.BULLY, Move.VICTIM, *([Move.BOTH] if both else [])]


def _indices(case: Case, move: Move) -> tuple[int, ...]:
    if move is Move.BULLY:
        return (case.who,)
    if move is Move.VICTIM:
        return (case.whom,)
    party = case.attacker.party_index
    return tuple(a.index for a in case.situation.animals if a.party_index == party)


def _gone(case: Case, move: Move) -> Gone:
    away = _indices(case, move)
    changed = case.without(*away)
    labels = tuple(case.labels[n] for n in away)
    if not changed.parties:
        return Gone(move, labels, "nobody", 0.0, "", Outcome((), None, 0.0))
    verdict = case.judged(changed)
    found = compared(case, changed)
    left = {k: v for k, v in by_animal(case, verdict).items() if k not in labels}
    worst = max(left, key=lambda name: left[name], default="nobody")
    return Gone(move, labels, worst, left.get(worst, 0.0), bully(verdict) or "", found)


def _rule(quarrel: Quarrel, case: Case, pattern: Pattern) -> tuple[Move, str]:
    chased = {whom for (who, whom) in pairs(quarrel.entries) if who == quarrel.who}
    others = sorted(chased & set(quarrel.roll) - {quarrel.whom})
    mates = any(
        a.party_index == case.attacker.party_index and a.index != case.who for a in case.situation.animals
    )
    if pattern.cause is Cause.SPAWNING and mates:
        return Move.BOTH, "a pair with a brood defends it together"
    if pattern.cause in {Cause.PREDATOR, Cause.HABIT}:
        return Move.BULLY, "it would do the same to the next"
    if others:
        return Move.BULLY, f"it chases {listed([quarrel.whom, *others])}: one against many"
    inside = quarrel.inside_days(quarrel.whom)
    chasers = {who for (who, whom) in pairs(quarrel.entries) if whom == quarrel.whom}
    if inside is not None and inside <= _NEW_DAYS:
        if len(chasers) > 1:
            return Move.VICTIM, f"it is new, and {listed(sorted(chasers))} all chase it"
        return Move.VICTIM, "it is one newcomer, and nobody else is chased"
    return Move.BULLY, "it would take the next in line"


def _sentence(chosen: Gone, stays: tuple[str, ...], why: str) -> str:
    told = f"If one must go, move {listed(chosen.labels)}"
    told += f", not {listed(stays)}: {why}." if stays else f": {why}."
    if chosen.worst == "nobody":
        return told
    word = next((e.would_be for e in chosen.outcome.effects if e.animal == chosen.worst), "")
    told += f" Then {chosen.worst} would have the least comfort and be {word}"
    return f"{told}; {chosen.next_bully} would do most harm." if chosen.next_bully else f"{told}."
