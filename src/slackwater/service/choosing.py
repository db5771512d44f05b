"""What to make of a wish list: the best company, others that differ, and why not everything."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from slackwater.plan.choose import MOST_CHOICES, Choice, Choices, choose
from slackwater.plan.quarantine import apart_in_quarantine
from slackwater.plan.question import Question, Wanted
from slackwater.plan.search import Terms
from slackwater.plan.whynot import Clashing
from slackwater.rules import load_rules
from slackwater.service.planning import question_of, title_of
from slackwater.service.stock import in_other_ways
from slackwater.service.tankfile import TankFile, load
from slackwater.society.harm import Ease
from slackwater.society.nips import KINDS, nips

Tick = Callable[[str], None]


@dataclass(frozen=True)
class Bought:
    """Animals of one kind to buy: how many, of what sex and size, and how they would fare."""

    key: str
    said: str
    scientific_name: str
    common_name: str
    count: int
    sex: str | None
    length_cm: float
    wish: float
    price: str | None
    p: float
    word: str
    stock: str


@dataclass(frozen=True)
class Offer:
    """One company that the list allows, in its order of release."""

    number: int
    animals: tuple[Bought, ...]
    order: tuple[str, ...]
    left_out: tuple[str, ...]
    weight: float
    price: float
    currency: str
    unpriced: tuple[str, ...]
    mood: str
    sentence: str
    quarantine: tuple[str, ...] = ()


@dataclass(frozen=True)
class ChoiceAnswer:
    """The answer to a wish list; without offers nothing on it can be borne, and the clashes say why."""

    title: str
    sentence: str
    offers: tuple[Offer, ...]
    everything: bool
    proven: bool
    bound: float
    gap: float
    proof: str
    clashes: tuple[Clashing, ...]
    notes: tuple[str, ...]
    tried: int
    is_whole: bool = True


def choose_file(
    source: Path | str,
    today: dt.date,
    *,
    most: int = MOST_CHOICES,
    comfort: Ease = Ease.JOSTLED,
    tick: Tick = lambda _: None,
) -> ChoiceAnswer:
    """Return the best company from the wish list of a tank file, and others that clearly differ.

    Parameters
    ----------
    source
        The file's path, or its text.
    today
        The day on which it is asked.
    most
        How many companies to offer at most.
    comfort
        The least comfort in which a chosen animal may live: at ease, jostled or pressed.
    tick
        Called with the name of each step of the work.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used; all faults at once.
    """
    tick("reading the tank file")
    tank_file = load(source)
    question = question_of(tank_file, today, title_of(source))
    question, either = in_other_ways(question, tank_file)
    terms = replace(terms_of(tank_file), worst=load_rules()[_WORST[comfort]], either=either)
    found = choose(question, terms, most=most, tick=tick)
    currency = _currency(tank_file, question)
    offers = tuple(_offer(n, choice, question, currency) for n, choice in enumerate(found.choices, start=1))
    return ChoiceAnswer(
        title=question.title,
        sentence=_sentence(found, offers, most),
        offers=offers,
        everything=found.everything,
        proven=found.proven,
        bound=found.bound,
        gap=found.gap,
        proof=found.proof,
        clashes=found.clashes,
        notes=(*_in_the_way(question, found), *question.notes, *_whole(question, found), *_nipping(question)),
        tried=found.tried,
        is_whole=found.is_whole,
    )


_WORST = {Ease.AT_EASE: "ease.at_ease", Ease.JOSTLED: "choose_worst", Ease.PRESSED: "bearable"}


def terms_of(tank_file: TankFile) -> Terms:
    """Return what the keeper allows."""
    limits = tank_file.limits
    return Terms(
        spend=float(limits.budget.amount) if limits.budget else None,
        releases=limits.releases,
        until=limits.until,
    )


def _currency(tank_file: TankFile, question: Question) -> str:
    told = [tank_file.limits.budget] if tank_file.limits.budget else []
    words = [money.currency for money in told] + [(w.price or "").partition(" ")[2] for w in question.wishes]
    return next((word for word in words if word), "")


def _offer(number: int, choice: Choice, question: Question, currency: str) -> Offer:
    fares = {borne.key: borne for borne in choice.trial.borne}
    order = tuple(" with ".join(_called(w) for w in step) for step in choice.steps)
    animals = tuple(
        Bought(
            key=w.key,
            said=w.said,
            scientific_name=w.species.name,
            common_name=w.species.common_name,
            count=w.count,
            sex=None if w.sex.value == "unknown" else w.sex.value,
            length_cm=w.length_cm,
            wish=w.wish,
            price=w.price,
            p=fares[w.key].p,
            word=fares[w.key].word,
            stock=w.stock,
        )
        for step in choice.steps
        for w in step
    )
    return Offer(
        number=number,
        animals=animals,
        order=order,
        left_out=tuple(w.species.common_name for w in choice.left_out),
        weight=choice.weight,
        price=choice.price,
        currency=currency,
        unpriced=tuple(w.species.common_name for w in choice.unpriced),
        mood=choice.trial.mood,
        sentence=_told(choice, question, order),
        quarantine=_quarantine(choice, question),
    )


def _quarantine(choice: Choice, question: Question) -> tuple[str, ...]:
    """Return which releases may not share the keeper's quarantine at its volume."""
    if question.quarantine is None:
        return ()
    number = {w.key: n for n, w in enumerate(question.wishes)}
    batches = [[number[w.key] for w in step] for step in choice.steps]
    notes = [apart_in_quarantine(question, batch, load_rules()) for batch in batches]
    return tuple(f"{_opening(note)}." for note in notes if note)


def _called(wanted: Wanted) -> str:
    name = wanted.species.common_name
    if wanted.sex.value == "pair":
        return f"a pair of {name}"
    return f"{wanted.count} {name}" if wanted.count > 1 else name


def _told(choice: Choice, question: Question, order: tuple[str, ...]) -> str:
    worst = max(choice.trial.borne, key=lambda borne: borne.p)
    lines = (*question.residents, *question.wishes)
    name = next(w.species.common_name for w in lines if w.key == worst.key)
    released = ", then ".join(order)
    least = f"{_opening(name)} has the least comfort and is {worst.word}."
    return f"{_opening(released)}. {least}"


def _opening(text: str) -> str:
    return text[:1].upper() + text[1:]


def _sentence(found: Choices, offers: tuple[Offer, ...], most: int) -> str:
    count = _wishes(found)
    if not offers and not found.is_whole:
        return "Stopped before anything was found."
    if not offers:
        return "Nothing on this list can live here in peace as it stands; see what clashes."
    if found.everything:
        return f"All {count} wishes can live here, in this order: {', then '.join(offers[0].order)}."
    best = offers[0]
    if not found.is_whole:
        return f"Stopped: the best so far keeps {len(best.animals)} of {count} wishes."
    told = f"Not all {count} wishes together: the best choice keeps {len(best.animals)} of them, without "
    told += f"{', '.join(best.left_out)}."
    return f"{told} {_other_choices(len(offers) - 1)}" if most > 1 else told


def _wishes(found: Choices) -> int:
    """Return how many wishes there are, each counted once however it can be had."""
    best = found.choices[0] if found.choices else None
    return len(best.wishes) + len(best.left_out) if best else 0


def _in_the_way(question: Question, found: Choices) -> tuple[str, ...]:
    """Return who of the residents stands in the way of several wishes by themselves."""
    alone = [clash for clash in found.clashes if len(clash.keys) == 1]
    told = []
    for resident in question.residents:
        against = sum(clash.by[:1] == (resident.species.name,) for clash in alone)
        if against > 1:
            name = _opening(resident.species.common_name)
            told.append(f"{name}, which lives there, stands in the way of {against} wishes by itself.")
    return tuple(dict.fromkeys(told))


def _whole(question: Question, found: Choices) -> tuple[str, ...]:
    """Return that the list taken whole could be borne, which is what a plan asks of it."""
    if found.whole is None or found.whole.worst is None:
        return ()
    worst = max(found.whole.borne, key=lambda borne: borne.p)
    name = next(w.species.common_name for w in (*question.residents, *question.wishes) if w.key == worst.key)
    told = f"Taken whole, the list could be borne, with {name} {worst.word}; a plan lays that out."
    return (f"{told} A choice asks for more: nobody worse off than jostled, unless you say so.",)


def _other_choices(count: int) -> str:
    if count == 0:
        return "No other choice fulfils a wish that this one does not."
    return "One other choice differs clearly." if count == 1 else f"{count} other choices differ clearly."


def _nipping(question: Question) -> tuple[str, ...]:
    """Return who is likely to nip at what stands in the tank."""
    kept = (*question.keeping.corals, *question.keeping.inverts)
    rows = [
        f"{_opening(w.species.common_name)} is likely to nip {kind}."
        for w in question.wishes
        for kind in KINDS
        if kind in kept and nips(w.species, kind) == "likely"
    ]
    return tuple(dict.fromkeys(rows))
