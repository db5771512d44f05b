"""A quarrel put to the model: the company as it stands, its bully's own temper learnt from the diary."""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from slackwater.plan.quarrel import Quarrel
from slackwater.plan.question import Wanted
from slackwater.plan.settling import Curve, model_curve
from slackwater.plan.tallied import COUNTED
from slackwater.rules import Rules
from slackwater.society.company import Individual, Party, Sex, Situation
from slackwater.society.diary import Watch
from slackwater.society.harm import WINDOW_DAYS
from slackwater.society.individual import OwnTemper, Tally, own_temper
from slackwater.society.judge import Judgement, Settings, central_rates, judge

Change = Callable[["Case"], Situation]
"""Something done to a company."""

AHEAD_DAYS = 30.0
"""Days for which a remedy may last before its 90 days are judged. [d]"""

_WHEN = 14.0
_LEAST = 1e-3


@dataclass(frozen=True)
class Case:
    """A company as a situation, and which two of its animals quarrel, by index.

    `temper` is what the diary tells of the attacker's own temper, already in the situation.
    """

    situation: Situation
    who: int
    whom: int
    labels: tuple[str, ...]
    rules: Rules
    temper: OwnTemper | None = None

    @property
    def attacker(self) -> Individual:
        """Who turns on the other."""
        return self.situation.animals[self.who]

    @property
    def victim(self) -> Individual:
        """Whom it turns on."""
        return self.situation.animals[self.whom]

    def judged(self, situation: Situation | None = None) -> Judgement:
        """Return the judgement of it, or of it with something done."""
        return judge(situation or self.situation, Settings.search(), self.rules)

    @functools.cached_property
    def now(self) -> Judgement:
        """The judgement of it as it stands."""
        return self.judged()

    def without(self, *gone: int) -> Situation:
        """Return the situation without some animals, by index."""
        return self.situation.with_parties(tuple(p for p, n in self._parties(gone) if n))

    def later(self, index: int, day: float, box_days: float = 0.0) -> Situation:
        """Return the situation with one animal let in anew on a day, after days in a box in the tank. [d]"""
        one = self.situation.animals[index]
        alone = replace(
            one.party,
            count=1,
            sex=one.sex,
            length_cm=one.length_at(day - one.party.day),
            day=day,
            box_days=box_days,
        )
        kept = self.without(index)
        return kept.with_parties((*kept.parties, alone))

    def _parties(self, gone: tuple[int, ...]) -> list[tuple[Party, int]]:
        """Return each party with those gone left out, and how many are left."""
        away = [self.situation.animals[n].party_index for n in gone]
        found = []
        for index, party in enumerate(self.situation.parties):
            left = party.count - away.count(index)
            sex = Sex.UNKNOWN if party.sex is Sex.PAIR and left < party.count else party.sex
            found.append((replace(party, count=max(left, 1), sex=sex), left))
        return found

    def chases_per_h(self, verdict: Judgement, attacker: Individual, victim: Individual) -> float:
        """Return the chases an hour of one kind on another in a fortnight, 0 where one is gone. [1/h]"""
        animals = verdict.situation.animals
        who = [a.index for a in animals if a.species.name == attacker.species.name]
        whom = [a.index for a in animals if a.party.key == victim.party.key]
        if not who or not whom:
            return 0.0
        when = max(_WHEN, *(animals[n].party.day + _WHEN for n in (*who, *whom)))
        span = next((s for s in verdict.spans if s.start <= when < s.end), verdict.spans[-1])
        rate = central_rates(verdict, span, when)["rate"]
        return float(max(rate[a, b] for a in who for b in whom if a != b)) if len({*who, *whom}) > 1 else 0.0


def case_of(quarrel: Quarrel) -> Case:
    """Return a quarrel's company as the model sees it, the attacker's own temper in it."""
    plain = _case(quarrel, quarrel.question.residents)
    own = _temper_seen(quarrel, plain)
    if own is None:
        return plain

    def told(line: Wanted) -> Wanted:
        if line.key != quarrel.attacker.key:
            return line
        return replace(line, own_temper=own.factor, own_sigma=own.sigma)

    lines = tuple(told(line) for line in quarrel.question.residents)
    return replace(_case(quarrel, lines), temper=own)


def _case(quarrel: Quarrel, residents: tuple[Wanted, ...]) -> Case:
    question = replace(quarrel.question, residents=residents)
    situation = replace(question.situation({}), horizon_days=AHEAD_DAYS + WINDOW_DAYS)
    labels = tuple(quarrel.roll)
    return Case(situation, labels.index(quarrel.who), labels.index(quarrel.whom), labels, quarrel.rules)


def _temper_seen(quarrel: Quarrel, case: Case) -> OwnTemper | None:
    """Return what the watches tell of the attacker's own temper, None where nobody watched.

    Notes
    -----
    People watch in lively hours, so a watch is held against so many times the mean of the day
    (`quarrel.lively`, assumed), and bouts count as one chase (`settling.clump`).
    """
    days, hours, chases = [], 0.0, 0
    start = max(quarrel.began, quarrel.remedied)
    for day, entry in quarrel.seen(Watch):
        if day >= start and isinstance(entry.seen, Watch) and entry.seen.watched_min:
            days.append(day)
            hours += entry.seen.watched_min / 60.0
            mine = (c for c in entry.seen.chases if c.who == quarrel.who and c.how in COUNTED)
            chases += sum(c.count for c in mine)
    if not days:
        return None
    expected = _expected_per_h(case, days) * quarrel.rules["quarrel.lively"]
    clump = quarrel.rules["settling.clump"]
    return own_temper(Tally(round(chases / clump), hours / clump, expected), quarrel.rules)


def _expected_per_h(case: Case, days: list[float]) -> float:
    """Return the chases an hour that the attacker would deal to all, were its temper ordinary. [1/h]"""
    span, first = case.now.spans[0], case.victim.party.day
    rates = [central_rates(case.now, span, max(day, first))["rate"][case.who].sum() for day in days]
    return max(float(np.mean(rates)), _LEAST)


def curve_of(quarrel: Quarrel, case: Case) -> Curve:
    """Return the fall of chasing that the model expects between the two."""
    began = max(quarrel.began, quarrel.remedied)
    return model_curve(case.now, (case.who, case.whom), began, quarrel.rules)
