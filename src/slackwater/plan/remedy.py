"""The ladder for one quarrel: every rung in order of mildness, and the one to begin with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackwater.plan.alarms import Alarm, alarms
from slackwater.plan.causes import Finding, findings
from slackwater.plan.pattern import Fit, Pattern, fit_of, pattern_of
from slackwater.plan.quarrel import Quarrel
from slackwater.plan.quarrel_model import Case, case_of, curve_of
from slackwater.plan.remedies import Effect, Outcome, outcome, worse_for
from slackwater.plan.rungs import TEXTS, Rung
from slackwater.plan.settling import Outlook, Settling, level_per_h, settling
from slackwater.plan.side_effects import cautions, side_effects
from slackwater.plan.timeout import TimeoutPlan, timeout_plan
from slackwater.plan.whom_to_move import WhomToMove, whom_to_move
from slackwater.plan.works import Suits, Tried, Works, results, works
from slackwater.society.diary import Result

_AT_ONCE = (Rung.BOX, Rung.TIMEOUT, Rung.DIVIDER, Rung.TRAP)
_FOR_GOOD = frozenset({Rung.TRAP, Rung.REHOME, Rung.ALONE})
_FAILED = frozenset({Result.NO_CHANGE.value, Result.WORSE.value, Result.GIVEN_UP.value})
_LITTLE = 0.02
_FEWER = 0.85
_SINCE_YESTERDAY = -1.5


@dataclass(frozen=True)
class Offer:
    """One rung for this quarrel.

    `trial_low_d` and `trial_high_d` bound how long it is tried [d]; `effects` are those on every animal
    whose chance of harm moves, `chases_left` the share of chases left by the model, None where it has
    no term for the rung; `tried` is what came of it here before, empty if nothing.
    """

    rung: Rung
    number: int
    do: str
    trial_low_d: float
    trial_high_d: float
    stop: str
    fit: Fit
    works: Works
    effects: tuple[Effect, ...]
    chases_left: float | None
    worst: float | None
    side_effects: tuple[str, ...]
    gear: tuple[str, ...]
    cautions: tuple[str, ...]
    tried: str


@dataclass(frozen=True)
class Ladder:
    """All that can be said of one quarrel today.

    `begin` is the rung to begin with and `after` the one that follows it, None where there is none.
    """

    quarrel: Quarrel
    case: Case
    settling: Settling
    alarms: tuple[Alarm, ...]
    act_today: str
    findings: tuple[Finding, ...]
    pattern: Pattern
    offers: tuple[Offer, ...]
    begin: Rung
    after: Rung | None
    whom: WhomToMove
    timeout: TimeoutPlan

    def offer(self, rung: Rung) -> Offer:
        """Return what is offered of a rung."""
        return next(offer for offer in self.offers if offer.rung is rung)


def ladder(quarrel: Quarrel, elsewhere: Sequence[Tried] = ()) -> Ladder:
    """Return the ladder for a quarrel.

    Parameters
    ----------
    quarrel
        Who turns on whom, the company and its diary.
    elsewhere
        Results of remedies on record from the shop's other tanks.
    """
    case = case_of(quarrel)
    found = findings(quarrel, case)
    pattern = pattern_of(found, case)
    level = level_per_h(quarrel.victim.species, quarrel.rules)
    trend = settling(quarrel.looks, curve_of(quarrel, case), level, quarrel.rules)
    signs = alarms(quarrel)
    tried = (*results(quarrel.entries), *elsewhere)
    away = timeout_plan(quarrel, case)
    told = _Told(quarrel, case, pattern, trend, tried, away.days)
    offers = tuple(told.offer(rung, number) for number, rung in enumerate(Rung))
    act = _act_today(quarrel, trend)
    chosen = _in_turn(offers, signs, act, trend, quarrel)
    return Ladder(
        quarrel=quarrel,
        case=case,
        settling=trend,
        alarms=signs,
        act_today=act,
        findings=found,
        pattern=pattern,
        offers=offers,
        begin=chosen[0],
        after=chosen[1] if len(chosen) > 1 else None,
        whom=whom_to_move(quarrel, case, pattern),
        timeout=away,
    )


@dataclass(frozen=True)
class _Told:
    quarrel: Quarrel
    case: Case
    pattern: Pattern
    trend: Settling
    tried: tuple[Tried, ...]
    away_days: float

    def offer(self, rung: Rung, number: int) -> Offer:
        rules, text = self.quarrel.rules, TEXTS[rung]
        low, high = rules[f"trial_low.{rung.value}"], rules[f"trial_high.{rung.value}"]
        days = self.away_days if rung is Rung.TIMEOUT else 0.5 * (low + high)
        fit = fit_of(rung, self.quarrel, self.case, self.pattern)
        possible = fit.suits is not Suits.CANNOT
        modelled = outcome(self.case, rung, days) if possible else None
        return Offer(
            rung=rung,
            number=number,
            do=text.do,
            trial_low_d=low,
            trial_high_d=high,
            stop=text.stop,
            fit=fit,
            works=works(rung, self._mean(rung, fit), self.pattern.words, self.tried, rules),
            effects=_felt(modelled),
            chases_left=modelled.chases_left if modelled else None,
            worst=modelled.worst if modelled else None,
            side_effects=side_effects(self.case, rung, modelled) if possible else (),
            gear=text.gear,
            cautions=cautions(self.case, rung),
            tried=self.quarrel.tried.get(rung.value, ""),
        )

    def _mean(self, rung: Rung, fit: Fit) -> float:
        """Return the chance that a rung works before any result; of watching, that it settles by itself."""
        if rung is Rung.WATCH:
            return min(max(self.trend.p, _LITTLE), 1.0 - _LITTLE)
        if rung in _FOR_GOOD:
            return self.quarrel.rules["works.for_good"]
        return self.quarrel.rules[f"works.{fit.suits.value.replace(' ', '_')}"]


def _felt(found: Outcome | None) -> tuple[Effect, ...]:
    return tuple(e for e in found.effects if abs(e.gains) >= _LITTLE) if found else ()


def _act_today(quarrel: Quarrel, trend: Settling) -> str:
    """Return why to act the same day though no sign is grave, empty if there is no such reason."""
    limit = quarrel.rules["quarrel.act_per_h"]
    fresh = [k for k in quarrel.looks if k.day > _SINCE_YESTERDAY]
    hours = sum(k.hours for k in fresh)
    if hours and sum(k.count for k in fresh) / hours > limit:
        return f"more than {limit / 6.0:.0f} chases in ten minutes"
    return "it is not settling" if trend.outlook is Outlook.LASTING else ""


def _in_turn(
    offers: tuple[Offer, ...], signs: tuple[Alarm, ...], act: str, trend: Settling, quarrel: Quarrel
) -> list[Rung]:
    """Return the rungs worth climbing from today on, the one to begin with first."""
    running = [o.rung for o in offers if o.tried == "running"]
    worth = [o for o in offers if o.tried not in _FAILED and o.fit.suits in {Suits.SUITS, Suits.MAY_HELP}]
    if signs:
        worth = [o for o in worth if o.rung in _AT_ONCE or o.rung in _FOR_GOOD]
    elif act:
        worth = [o for o in worth if o.rung is not Rung.WATCH and _does_something(o)]
    gentle = [o for o in worth if o.rung in _FOR_GOOD or not _harms(o, quarrel)]
    order = [o.rung for o in gentle] or [Rung.REHOME]
    if running and not signs and trend.outlook is not Outlook.LASTING:
        return [running[-1], *(rung for rung in order if rung is not running[-1])]
    return order


def _does_something(offer: Offer) -> bool:
    """Say whether the trade or the model expects a rung to do something about the chases."""
    left = offer.chases_left
    return offer.fit.suits is Suits.SUITS or (left is not None and left < _FEWER)


def _harms(offer: Offer, quarrel: Quarrel) -> bool:
    found = Outcome(offer.effects, offer.chases_left, offer.worst or 0.0)
    return any(e.would_be in {"pressed", "besieged"} for e in worse_for(found, quarrel.rules))
