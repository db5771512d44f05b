"""What could be changed in a plan: every single change worth trying on those who are in trouble."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from slackwater.errors import InputError
from slackwater.plan import changes as make
from slackwater.plan.changes import Change, Kind
from slackwater.plan.clash import instead_of, without
from slackwater.plan.course import Course
from slackwater.plan.draft import BOX_DAYS, LONGEST_BOXED_CM
from slackwater.plan.levers_apart import dividers, sumps
from slackwater.plan.question import Question, Wanted
from slackwater.plan.room import too_large_now
from slackwater.rules import Rules
from slackwater.society.company import Sex
from slackwater.society.judge import Judgement
from slackwater.tank.shapes import WIDTH_PER_LENGTH

MOST_FEEDS = 3.0
_HALF_WAY = 0.5
_BLAMED_FROM = 0.02
_LARGER, _SMALLER, _CLEARLY = 1.5, 0.7, 1.1
_LONGER = (1.25, 1.5, 2.0)
_ARRANGED = ("two islands", "bommies", "wall")
_MORE_ROCK = {"none": "sparse", "sparse": "moderate", "moderate": "dense"}
_IN_COMPANY = frozenset({"shoal", "any", "harem", "colony"})
_PAIR = 2
_MOST_SWAPPED = 4
_SHOAL = 5


@dataclass(frozen=True)
class Trouble:
    """Who bears much and who causes it, as keys of lines; one line may be both."""

    victims: frozenset[str]
    culprits: frozenset[str]

    @property
    def all(self) -> frozenset[str]:
        """All lines that have a part in it."""
        return self.victims | self.culprits


def trouble_of(question: Question, verdict: Judgement, rules: Rules) -> Trouble:
    """Return the lines that bear half of what is bearable or more, and who causes it.

    Those that are eaten, and wishes that the tank is too small for at once, bear too much as well.
    """
    level = _HALF_WAY * rules["bearable"]
    worse = [lot for lot in verdict.lots if float(verdict.community_draws(lot).mean()) >= level]
    meals = [pair for pair, p in verdict.eaten.items() if p >= _HALF_WAY * rules["eaten_from"]]
    prey = {b for _, b in meals}
    blamed = {name for lot in worse for name, p in lot.by.items() if p >= _BLAMED_FROM}
    blamed |= {a for a, _ in meals}
    company = (*question.residents, *question.wishes)
    return Trouble(
        frozenset(lot.animal.party.key for lot in worse)
        | frozenset(w.key for w in company if w.species.name in prey)
        | frozenset(w.key for w in too_large_now(question, rules)),
        frozenset(w.key for w in company if w.species.name in blamed),
    )


@dataclass(frozen=True)
class Bench:
    """What the changes are sought for: the question with its order fixed, and its trouble.

    `worth` tells from which effort on a change is no longer worth seeking. [evening]
    """

    question: Question
    trouble: Trouble
    rules: Rules
    worth: Callable[[], float] = lambda: math.inf

    @property
    def wishes(self) -> tuple[Wanted, ...]:
        """The wishes that have a part in the trouble."""
        return tuple(w for w in self.question.wishes if w.key in self.trouble.all)

    @property
    def chased(self) -> tuple[str, ...]:
        """The wishes that bear much, by key, in their order of release."""
        return tuple(k for step in self.question.course.steps for k in step if k in self.trouble.victims)

    def effort(self, name: str, times: float = 1.0) -> float:
        """Return what a change costs the keeper. [evening]"""
        return self.rules[f"effort.{name}"] * times


Lever = Callable[[Bench], Iterator[Change]]


def possible_changes(
    question: Question, verdict: Judgement, rules: Rules, worth: Callable[[], float] = lambda: math.inf
) -> Iterator[Change]:
    """Yield every single change worth trying, lever by lever, those quick to find first.

    Parameters
    ----------
    question
        The question, its order fixed.
    verdict
        How it is judged as it stands.
    rules
        The coefficients, efforts among them.
    worth
        Tells from which effort on a change is no longer worth seeking; asked as the search goes on.
        [evening]
    """
    bench = Bench(question, trouble_of(question, verdict, rules), rules, worth)
    for lever in LEVERS:
        for change in changes_on(bench, lever):
            if change.effort < worth():
                yield change


def changes_on(bench: Bench, *levers: Lever) -> tuple[Change, ...]:
    """Return the changes that some levers offer, the least effort first."""
    offered = (change for lever in levers for change in lever(bench))
    found = [change for change in offered if _can_be(bench.question, change)]
    return tuple(sorted(found, key=lambda change: change.effort))


def _can_be(question: Question, change: Change) -> bool:
    """Say whether a change can be made at all; so much rock may not stand in this tank."""
    try:
        change.edit(question)
    except InputError:
        return False
    return True


def _orders(bench: Bench) -> Iterator[Change]:
    steps = bench.question.course.steps
    keys = tuple(key for step in steps for key in step)
    names = {w.key: w.species.common_name for w in bench.question.wishes}
    seen = {steps}
    for words, tried in _other_orders(keys, names, bench.trouble):
        if tried not in seen and len(keys) > 1:
            seen.add(tried)
            gives_up = "the order that the plan likes best, and a free choice by what is in stock"
            yield Change(Kind.ORDER, "", words, gives_up, bench.effort("order"), make.order(tried))


def _other_orders(
    keys: tuple[str, ...], names: dict[str, str], trouble: Trouble
) -> Iterator[tuple[str, tuple[tuple[str, ...], ...]]]:
    yield "let all go on one day", (keys,)
    for key in keys:
        rest = tuple((other,) for other in keys if other != key)
        if key in trouble.victims:
            yield f"let {names[key]} go first", ((key,), *rest)
        if key in trouble.culprits:
            yield f"let {names[key]} go last", (*rest, (key,))


def _sizes(bench: Bench) -> Iterator[Change]:
    for w in bench.wishes:
        adult_cm = w.species.number("adult_length_cm")
        larger_cm = min(_LARGER * w.length_cm, adult_cm)
        smaller_cm = _SMALLER * min(w.species.number("sale_length_cm"), w.length_cm)
        name, cost = w.species.common_name, bench.effort("size")
        if larger_cm > _CLEARLY * w.length_cm:
            words = f"take {name} of {larger_cm:.0f} cm or more"
            edit = make.line(w.key, length_cm=larger_cm)
            yield Change(Kind.SIZE, w.key, words, f"{name} of the usual size", cost, edit)
        words = f"take {name} of {smaller_cm:.1f} cm or less"
        edit = make.line(w.key, length_cm=smaller_cm)
        yield Change(Kind.SIZE, w.key, words, f"{name} of the usual size", cost, edit)


def _sexes(bench: Bench) -> Iterator[Change]:
    company = (*bench.question.residents, *bench.question.wishes)
    for w in bench.wishes:
        rule, name, cost = w.species.word("social_rule"), w.species.common_name, bench.effort("sex")
        if rule in {"pair", "pair_or_single"} and w.count == _PAIR and w.sex is not Sex.PAIR:
            words = f"take a settled pair of {name}"
            edit = make.line(w.key, sex=Sex.PAIR)
            yield Change(Kind.SEX, w.key, words, f"two {name} chosen one by one", cost, edit)
        own = sum(other.count for other in company if other.species.name == w.species.name)
        if own > 1 and w.sex in {Sex.UNKNOWN, Sex.MALE}:
            words = f"take female {name}"
            edit = make.line(w.key, sex=Sex.FEMALE)
            yield Change(Kind.SEX, w.key, words, f"the colours of a male {name}", cost, edit)


def _numbers(bench: Bench) -> Iterator[Change]:
    for w in bench.wishes:
        name = w.species.common_name
        if w.sex is Sex.PAIR:
            continue
        counts = {1} if w.count > 1 else set()
        if w.species.word("social_rule") in _IN_COMPANY:
            counts |= {max(int(w.species.number("company_min")), _SHOAL)} | (
                {_PAIR} if w.count > 1 else set()
            )
        for count in sorted(counts - {w.count}):
            words = f"take {count} {name}" if count > 1 else f"take one {name} alone"
            given = f"{w.count} {name}" if w.count > 1 else f"{name} as a single animal"
            cost = bench.effort("number", abs(count - w.count))
            yield Change(Kind.NUMBER, w.key, words, given, cost, make.line(w.key, count=count))


def _swaps(bench: Bench) -> Iterator[Change]:
    q = bench.question
    makers = [w for w in bench.wishes if w.key in bench.trouble.culprits] or bench.wishes
    for w in sorted(makers, key=lambda w: w.wish)[:_MOST_SWAPPED]:
        cost = bench.effort("swap", max(w.wish, 1.0))
        if cost >= bench.worth():
            continue
        others = instead_of(without(q, frozenset({w.key})), w, bench.rules)
        if not others:
            alone = replace(without(q, frozenset(o.key for o in q.wishes)), course=Course())
            others = instead_of(alone, w, bench.rules)
        for other in others:
            words = f"take {other.common_name} ({other.name}) in place of {w.species.common_name}"
            given = w.species.common_name
            yield Change(Kind.SWAP, w.key, words, given, cost, make.swap(w.key, other))


def _rock(bench: Bench) -> Iterator[Change]:
    q = bench.question
    word = q.rock_word
    if word in {*_ARRANGED, "moderate", "dense"}:
        for other in _ARRANGED:
            if other != word:
                words = f"arrange the same rock as {_AS[other]}"
                cost = bench.effort("layout")
                edit = make.rock(other, same_mass=True)
                yield Change(Kind.LAYOUT, "", words, "the look of the rock as it stands", cost, edit)
    if more := _MORE_ROCK.get(word):
        words = f"add rock, from {word} to {more}"
        edit = make.rock(more, same_mass=False)
        yield Change(
            Kind.LAYOUT, "", words, "open water and the price of rock", bench.effort("more_rock"), edit
        )


_AS = {"two islands": "two islands", "bommies": "several bommies", "wall": "one wall"}


def _rock_moved(bench: Bench) -> Iterator[Change]:
    if bench.question.rock_word == "none" or not bench.question.residents:
        return
    names = {w.key: w.species.common_name for w in bench.question.wishes}
    for key in bench.chased:
        words = f"move the rock on the evening on which {names[key]} is let go"
        given = "an evening, and the peace of those who own it now"
        cost = bench.effort("rock_moved")
        yield Change(Kind.ROCK_MOVED, key, words, given, cost, make.rock_moved(key))


def _feeding(bench: Bench) -> Iterator[Change]:
    keeping = bench.question.keeping
    if keeping.feeds_per_day < MOST_FEEDS:
        words = f"feed {MOST_FEEDS:.0f} times a day"
        edit = make.fed(feeds_per_day=MOST_FEEDS)
        yield Change(Kind.FEEDS, "", words, "time every day; more to clean", bench.effort("feeds"), edit)
    if keeping.stations == 1:
        edit = make.fed(stations=2)
        words = "feed at two places at once"
        yield Change(Kind.STATIONS, "", words, "one hand free at feeding", bench.effort("stations"), edit)
    if not keeping.lid:
        words = "cover the tank without gaps"
        yield Change(Kind.LID, "", words, "the open top", bench.effort("lid"), make.covered)


def _boxes(bench: Bench) -> Iterator[Change]:
    for w in bench.wishes:
        if w.key in bench.trouble.victims and w.box_days < BOX_DAYS and w.length_cm <= LONGEST_BOXED_CM:
            name = w.species.common_name
            words = f"keep {name} in an acclimation box in the tank for {BOX_DAYS} days first"
            edit = make.line(w.key, box_days=float(BOX_DAYS))
            given = f"{BOX_DAYS} days and the sight of a box"
            yield Change(Kind.BOX, w.key, words, given, bench.effort("box"), edit)


def _waits(bench: Bench) -> Iterator[Change]:
    if len(bench.question.course.steps) > 1:
        days = 2.0 * (bench.question.course.spacing_days or bench.rules["spacing_days"])
        words = f"wait {days:.0f} days between releases"
        yield Change(Kind.WAIT, "", words, "patience", bench.effort("wait"), make.spacing(days))


def _timeouts(bench: Bench) -> Iterator[Change]:
    wished = {w.species.name for w in bench.question.wishes}
    if not bench.chased:
        return
    for r in bench.question.residents:
        if r.key in bench.trouble.culprits and r.species.name not in wished:
            name = r.species.common_name
            words = (
                f"catch {name} before the first release, keep it out of sight until two weeks after the "
                "last, and move the rock meanwhile"
            )
            edit = make.timeout(r.species.name, bench.chased[0], bench.chased[-1])
            given = f"the sight of {name} for some weeks, and the stress of catching it"
            yield Change(Kind.TIMEOUT, r.key, words, given, bench.effort("timeout"), edit)


def _tanks(bench: Bench) -> Iterator[Change]:
    glass = bench.question.glass
    if glass.shape in WIDTH_PER_LENGTH:
        return
    for share in _LONGER:
        length_cm = 10.0 * math.ceil(share * glass.length_cm / 10.0)
        words = f"do it in a tank of {length_cm:.0f} cm"
        cost = bench.effort("tank", length_cm / glass.length_cm)
        edit = make.longer_tank(length_cm)
        yield Change(Kind.TANK, "", words, "the present tank, room and money", cost, edit)


def _departures(bench: Bench) -> Iterator[Change]:
    for w in bench.wishes:
        name, cost = w.species.common_name, bench.effort("leave_out", max(w.wish, 1.0))
        yield Change(Kind.LEAVE_OUT, w.key, f"leave out {name}", name, cost, make.out(w.key))
    for r in bench.question.residents:
        if r.key in bench.trouble.all:
            name = r.species.common_name
            words = f"give {name} to a keeper whose tank was judged in the same way"
            yield Change(Kind.REHOME, r.key, words, name, bench.effort("rehome"), make.out(r.key))


LEVERS: tuple[Lever, ...] = (
    _departures, _orders, _sizes, _sexes, _numbers, _rock, _rock_moved, _feeding, _boxes, _waits,
    _timeouts, sumps, dividers, _tanks, _swaps,
)  # fmt: skip
"""Every lever, those whose changes take long to find last."""

OF_A_RELEASE: tuple[Lever, ...] = (_sizes, _rock, _rock_moved, _feeding, _boxes)
"""What could be done otherwise in letting an animal go, order apart."""
