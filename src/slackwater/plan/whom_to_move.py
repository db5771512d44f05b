"""Which of two to move, and which not: the bully, the victim, both, or nobody."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slackwater.plan.causes import Cause
from slackwater.plan.pattern import Pattern
from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import Case
from slackwater.plan.remedies import Outcome, compared
from slackwater.plan.taking_out import bully
from slackwater.plan.tallied import pairs
from slackwater.plan.wording import listed

_NEW_DAYS = 30.0
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
    tried = tuple(_gone(case, move) for move in _ways(case))
    rule, why = _rule(quarrel, case, pattern)
    by_rule = next((g for g in tried if g.move is rule), tried[0])
    best = min(tried, key=lambda g: (round(g.p, 2), g.move is not rule))
    chosen = by_rule
    if by_rule.p - best.p > _CLEARLY:
        other = listed(by_rule.labels)
        why = f"without it the others fare clearly better than without {other}, by the model"
        chosen = best
    stays = tuple(name for name in (quarrel.who, quarrel.whom) if name not in chosen.labels)
    return WhomToMove(chosen.move, chosen.labels, stays, _sentence(chosen, stays, why), tried)


def _ways(case: Case) -> list[Move]:
    return [Move.BULLY if case.mate is None else Move.BOTH, Move.VICTIM]


def _gone(case: Case, move: Move) -> Gone:
    gone = (case.whom,) if move is Move.VICTIM else case.culprits
    changed = case.without(*gone)
    labels = tuple(case.labels[n] for n in gone)
    if not changed.situation.parties:
        return Gone(move, labels, "nobody", 0.0, "", Outcome((), None, 0.0))
    found = compared(case, changed)
    left = {e.animal: e.after for e in found.effects}
    worst = max(left, key=lambda name: left[name])
    return Gone(move, labels, worst, left[worst], bully(case.judged(changed.situation)) or "", found)


def _rule(quarrel: Quarrel, case: Case, pattern: Pattern) -> tuple[Move, str]:
    chased = {whom for (who, whom) in pairs(quarrel.entries) if who == quarrel.who}
    others = sorted(chased & set(quarrel.roll) - {quarrel.whom})
    mover = Move.BULLY if case.mate is None else Move.BOTH
    if pattern.cause is Cause.SPAWNING and case.mate is not None:
        return Move.BOTH, "a pair with a brood defends it together"
    if pattern.cause in {Cause.PREDATOR, Cause.HABIT}:
        return mover, "it would do the same to the next"
    if others:
        return mover, f"it chases {listed([quarrel.whom, *others])}: one against many"
    inside = quarrel.inside_days(quarrel.whom)
    chasers = {who for (who, whom) in pairs(quarrel.entries) if whom == quarrel.whom}
    if inside is not None and inside <= _NEW_DAYS:
        if len(chasers) > 1:
            return Move.VICTIM, f"it is new, and {listed(sorted(chasers))} all chase it"
        return Move.VICTIM, "it is one newcomer, and nobody else is chased"
    return mover, "it would take the next in line"


def _sentence(chosen: Gone, stays: tuple[str, ...], why: str) -> str:
    told = f"If one must go, move {listed(chosen.labels)}"
    told += f", not {listed(stays)}: {why}." if stays else f": {why}."
    if chosen.worst == "nobody":
        return told
    word = next((e.would_be for e in chosen.outcome.effects if e.animal == chosen.worst), "")
    told += f" Then {chosen.worst} would have the least comfort and be {word}"
    return f"{told}; {chosen.next_bully} would do most harm." if chosen.next_bully else f"{told}."
