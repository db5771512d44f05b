"""A quarrel put to the model: the company as it stands, its chaser's own temper learnt from the diary."""

from __future__ import annotations

import functools
import math
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

AHEAD_DAYS = 30.0
"""Days for which a remedy may last before its 90 days are judged. [d]"""

_WHEN = 14.0
_LEAST = 1e-3
_TO_DAYS = 0
_APART = "#"


@dataclass(frozen=True)
class Changed:
    """A company with something done: its situation, and where each animal of before is in it.

    `places` holds, for each animal of the company as it stands, its index now, None if it has left.
    """

    situation: Situation
    places: tuple[int | None, ...]


@dataclass(frozen=True)
class Case:
    """A company as a situation, and which two of its animals quarrel, by index.

    `labels` names each animal; `temper` is what the diary tells of the attacker's own temper, already
    in the situation.
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

    @property
    def mate(self) -> int | None:
        """The other of the attacker's settled pair, unless it is the victim."""
        if self.attacker.party.sex is not Sex.PAIR:
            return None
        party = self.attacker.party_index
        others = [a.index for a in self.situation.animals if a.party_index == party and a.index != self.who]
        return others[0] if len(others) == 1 and others[0] != self.whom else None

    @property
    def culprits(self) -> tuple[int, ...]:
        """The attacker, and its mate if it is one of a settled pair: they go and return together."""
        return (self.who,) if self.mate is None else (self.who, self.mate)

    def judged(self, situation: Situation | None = None) -> Judgement:
        """Return the judgement of it, or of it with something done."""
        return judge(situation or self.situation, Settings.search(), self.rules)

    @functools.cached_property
    def now(self) -> Judgement:
        """The judgement of it as it stands."""
        return self.judged()

    def same(self, situation: Situation) -> Changed:
        """Return a situation in which everyone keeps its place."""
        return Changed(situation, tuple(range(len(self.labels))))

    def without(self, *gone: int) -> Changed:
        """Return the company without some animals, by index."""
        away = [self.situation.animals[n].party_index for n in gone]
        parties = [
            _fewer(party, party.count - away.count(index))
            for index, party in enumerate(self.situation.parties)
            if party.count > away.count(index)
        ]
        left = iter(range(len(self.labels)))
        places = tuple(None if n in gone else next(left) for n in range(len(self.labels)))
        return Changed(self.situation.with_parties(tuple(parties)), places)

    def apart(self, index: int, day: float, box_days: float = 0.0, side: str | None = None) -> Changed:
        """Return the company with one animal as a party of its own, let in on a day. [d]"""
        one = self.situation.animals[index]
        rest = self.without(index)
        alone = replace(
            one.party,
            count=1,
            sex=one.sex,
            length_cm=one.length_at(day - one.party.day),
            day=day,
            box_days=box_days,
            side=side,
            key=f"{one.party.key}{_APART}",
        )
        count = len(self.labels)
        places = tuple(count - 1 if n == index else rest.places[n] for n in range(count))
        return Changed(rest.situation.with_parties((*rest.situation.parties, alone)), places)

    def chases_per_h(self, verdict: Judgement, places: tuple[int | None, ...]) -> float:
        """Return the chases an hour of the one on the other in a fortnight, 0 where one is gone. [1/h]"""
        who, whom = places[self.who], places[self.whom]
        if who is None or whom is None:
            return 0.0
        animals = verdict.situation.animals
        when = _WHEN + max(0.0, animals[who].party.day, animals[whom].party.day)
        span = next((s for s in verdict.spans if s.start <= when < s.end), verdict.spans[-1])
        return float(central_rates(verdict, span, when)["rate"][who, whom])


def _fewer(party: Party, count: int) -> Party:
    broken = party.sex is Sex.PAIR and count < party.count
    return replace(party, count=count, sex=Sex.UNKNOWN if broken else party.sex)


def case_of(quarrel: Quarrel) -> Case:
    """Return a quarrel's company as the model sees it, the attacker's own temper in it.

    Notes
    -----
    One of a group is taken as a party of its own, so that its temper is not that of all; a settled
    pair stays one party, since the model knows it by that.
    """
    plain = _case(quarrel, None)
    own = _temper_seen(quarrel, plain)
    return plain if own is None else replace(_case(quarrel, own), temper=own)


def _case(quarrel: Quarrel, own: OwnTemper | None) -> Case:
    lines: list[Wanted] = []
    labels: list[str] = []
    for line in quarrel.question.residents:
        named = [label for label, owner in quarrel.roll.items() if owner is line]
        for part, members in _parted(line, named, quarrel.who):
            rough = own is not None and quarrel.who in members
            lines.append(replace(part, own_temper=own.factor, own_sigma=own.sigma) if rough and own else part)
            labels += members
    question = replace(quarrel.question, residents=tuple(lines))
    situation = replace(question.situation({}), horizon_days=AHEAD_DAYS + WINDOW_DAYS)
    who, whom = labels.index(quarrel.who), labels.index(quarrel.whom)
    return Case(situation, who, whom, tuple(labels), quarrel.rules)


def _parted(line: Wanted, named: list[str], who: str) -> list[tuple[Wanted, list[str]]]:
    """Return a line, or its rest and the attacker where that is one of a group."""
    if who not in named or line.count == 1 or line.sex is Sex.PAIR:
        return [(line, named)]
    rest = [label for label in named if label != who]
    alone = replace(line, key=f"{line.key}{_APART}", count=1)
    return [(replace(line, count=line.count - 1), rest), (alone, [who])]


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
    found = own_temper(Tally(round(chases / clump), hours / clump, expected), quarrel.rules)
    return _within_its_kind(found, quarrel.rules)


def _within_its_kind(found: OwnTemper, rules: Rules) -> OwnTemper:
    """Return a temper no rougher than one in a hundred of its kind: past that, the case differs.

    Notes
    -----
    2.33 standard deviations of the log-normal spread between individuals (`temper_sigma`).
    """
    most = math.exp(_ONE_IN_A_HUNDRED * rules["temper_sigma"])
    if found.factor <= most:
        return found
    said = f"among the roughest of its kind, {most:.0f} times or more as rough as is usual"
    return replace(found, factor=most, sentence=said)


_ONE_IN_A_HUNDRED = 2.33


def _expected_per_h(case: Case, days: list[float]) -> float:
    """Return the chases an hour that the attacker would deal to all, were its temper ordinary. [1/h]"""
    span, first = case.now.spans[0], case.victim.party.day
    when, often = np.unique(np.round(np.maximum(days, first), _TO_DAYS), return_counts=True)
    rates = [central_rates(case.now, span, float(day))["rate"][case.who].sum() for day in when]
    return max(float(np.average(rates, weights=often)), _LEAST)


def curve_of(quarrel: Quarrel, case: Case) -> Curve:
    """Return the fall of chasing that the model expects between the two."""
    began = max(quarrel.began, quarrel.remedied)
    return model_curve(case.now, (case.who, case.whom), began, quarrel.rules)
