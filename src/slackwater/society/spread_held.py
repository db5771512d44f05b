"""What no draw changes, moment by moment: the field and the days through which draws are carried."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slackwater.rules import Rules
from slackwater.society import attacks as atk
from slackwater.society.field import Field, Stage
from slackwater.society.judge import (
    Judgement,
    Span,
    awake,
    bites_between,
    lengths_cm,
    tolerated_per_h,
)
from slackwater.society.residency import head_starts, known_since

Array = NDArray[np.float64]

_STEP = 0.5
_NOTHING = 1e-12


@dataclass(frozen=True)
class Held:
    """What no draw changes, as the kernel wants it; moments M first, then layouts L.

    `size` ln of length (M, n); `still` attacks without contest, head start and nest (M, L, n, n)
    [1/h]; `start` head starts (M, n, n); `near` and `sees` (M, L, n, n); `exposed` the share of
    usable water in reach and `opens` its change with the ln of the pressure that spoils a place
    (M, L, n); `bitten` bites (M, L, n, n) [1/h]; `tolerated` X0 (M, n) [1/h].
    """

    size: Array
    still: Array
    start: Array
    near: Array
    sees: Array
    exposed: Array
    opens: Array
    bitten: Array
    tolerated: Array


def held(verdict: Judgement, kept: tuple[int, ...]) -> Held:
    """Return what the draws are carried through, at some of the nodes."""
    by_span = functools.cache(lambda k: _lasting(verdict, verdict.spans[k]))
    place = {id(span): k for k, span in enumerate(verdict.spans)}
    days = [verdict.moments[m] for m in kept]
    rows = [_moment(verdict, by_span(place[id(span)]), day) for span, day in days]
    return Held(*(np.ascontiguousarray(np.stack(part)) for part in zip(*rows, strict=True)))


@dataclass(frozen=True)
class _Lasting:
    """What does not change within a span; layouts first, (L, n, n) or (L, n)."""

    here: Array
    start: Array
    met: Array
    meet: Array
    near: Array
    sees: Array
    exposed: Array
    opens: Array
    bitten: Array


def _lasting(verdict: Judgement, span: Span) -> _Lasting:
    situation, rules = verdict.situation, verdict.rules
    here = span.here.astype(float)
    both = np.outer(here, here)
    party = np.array([a.party_index for a in situation.animals])
    pair = np.ix_(party, party)
    meet = np.stack([s.meet[pair] for s in span.stages])
    sees = np.stack([s.sees[pair] for s in span.stages])
    tempted = meet / (meet + rules["bite_meet"])
    opens = [_opening(f, s, rules) for f, s in zip(verdict.fields, span.stages, strict=True)]
    return _Lasting(
        here=here,
        start=head_starts(situation, span.start, rules),
        met=known_since(situation, span.start),
        meet=meet * both,
        near=np.stack([s.near_home[pair] for s in span.stages]),
        sees=sees * here[:, None] * awake(verdict.fixed)[:, None],
        exposed=np.stack([s.exposed[party] for s in span.stages]),
        opens=np.stack(opens)[:, party],
        bitten=bites_between(situation, rules) * tempted * both,
    )


def _opening(field: Field, stage: Stage, rules: Rules) -> Array:
    """Return how the share of water in reach changes with the ln of the pressure that spoils it, (S,)."""
    half = rules["quiet_per_h"] * math.exp(_STEP)
    moved = (field.usable * stage.pressure / (stage.pressure + half)).sum(axis=0)
    return np.asarray(np.log(np.maximum(moved, _NOTHING) / np.maximum(stage.exposed, _NOTHING)) / _STEP)


def _moment(verdict: Judgement, lasting: _Lasting, day: float) -> tuple[Array, ...]:
    """Return one node of `Held`, in the order of its fields."""
    fixed, rules, animals = verdict.fixed, verdict.rules, verdict.situation.animals
    still = fixed.base * atk.settled(day - lasting.met, fixed.accepted, rules) * lasting.meet
    still[:, np.arange(len(animals)), np.arange(len(animals))] = 0.0
    return (
        np.log(lengths_cm(animals, day)),
        still,
        lasting.start,
        lasting.near,
        lasting.sees,
        lasting.exposed,
        lasting.opens,
        lasting.bitten,
        tolerated_per_h(animals, fixed, day, rules),
    )
