"""The years ahead: who grows how large, matures, outgrows the tank or comes to swallow another, and when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from slackwater.plan.feeding import fed_company
from slackwater.plan.outlook import length_after
from slackwater.plan.question import Question
from slackwater.plan.records import AheadRow, GrowthLine, Milestone
from slackwater.plan.room import room_beside
from slackwater.rules import Rules
from slackwater.society.company import Individual, Sex
from slackwater.society.growth import (
    DAYS_PER_MONTH,
    MOST_MONTHS,
    matures,
    outgrows,
    sex_change,
    size_after,
    swallows_from,
)

LOOKS = (6, 24, 60)
MONTHS = (*range(25), *range(30, MOST_MONTHS + 1, 6))

_NAMED = 3
_TWO = 2
_NOTICE_DAYS = 30


@dataclass(frozen=True)
class Turn:
    """Something that growth brings: after how many months, what is said of it, and for the calendar.

    `until` is the month by which it will have come. [month]
    """

    months: float
    until: float
    kind: str
    key: str
    said: str
    title: str
    other: str = ""


def turns(question: Question, rules: Rules) -> tuple[Turn, ...]:
    """Return what growth brings within five years, counted from each animal's release, soonest first."""
    company = fed_company(question)
    largest = {a.party.key: a for a in sorted(company, key=lambda a: a.length_cm)}
    found = [turn for a in largest.values() for turn in _own_turns(a, company, question, rules)]
    found += _swallowings(tuple(largest.values()), rules)
    return tuple(sorted(found, key=lambda turn: (turn.months, turn.key, turn.kind)))


def _own_turns(
    animal: Individual, company: tuple[Individual, ...], question: Question, rules: Rules
) -> Iterator[Turn]:
    species, key = animal.species, animal.party.key
    name = f"the {species.common_name}"
    too_small = outgrows(animal, room_beside(question, animal.party.side), rules)
    if too_small is not None and too_small <= MOST_MONTHS:
        least = species.number("min_length_cm")
        said = (
            f"The {species.common_name} has outgrown the tank: a tank of {least:.0f} cm or a new home "
            "must be ready before then."
        )
        yield Turn(too_small, too_small, "outgrown", key, said, f"{name} outgrows the tank")
    own_kind = sum(a.species.name == species.name for a in company)
    brings = _maturity_brings(animal, own_kind)
    window = matures(animal)
    if brings and window.first <= MOST_MONTHS:
        said = f"The {species.common_name} {'is grown and ' if window.last <= 0.0 else ''}{brings}."
        yield Turn(window.first, window.last, "maturity", key, said, f"{name} matures")


def _maturity_brings(animal: Individual, own_kind: int) -> str:
    """Return what maturity brings among its own kind, empty if nothing that others would feel."""
    guard = animal.species.word("breeding_guard")
    if own_kind < _TWO:
        return ""
    nest = f"may breed and then defend its {guard}" if guard != "none" else ""
    change = sex_change(animal, own_kind)
    change = "" if animal.party.sex is Sex.PAIR else change
    return "; ".join(part for part in (nest, f"may change sex: {change}" if change else "") if part)


def _swallowings(largest: tuple[Individual, ...], rules: Rules) -> Iterator[Turn]:
    for hunter in largest:
        for prey in largest:
            months = None if hunter is prey else swallows_from(hunter, prey, rules)
            if months is not None:
                told = f"{hunter.species.common_name} can swallow the {prey.species.common_name}"
                yield Turn(
                    months,
                    months,
                    "swallowing",
                    hunter.party.key,
                    f"The {told}.",
                    f"the {told}",
                    prey.party.key,
                )


def ahead(question: Question, rules: Rules) -> tuple[AheadRow, ...]:
    """Return the years ahead: lengths, who outgrows the tank and when, who matures."""
    company = (*question.residents, *question.wishes)
    brought = turns(question, rules)
    rows = []
    for since, months in zip((-1, *LOOKS), LOOKS, strict=False):
        longest = sorted(company, key=lambda w: -length_after(w, months))[:_NAMED]
        sizes = ", ".join(f"{w.species.common_name} {length_after(w, months):.0f} cm" for w in longest)
        said = [f"About {sizes}."] if sizes else []
        said += [turn.said for turn in brought if since < turn.months <= months]
        rows.append(AheadRow(months, " ".join(said)))
    return tuple(rows)


def growth(question: Question) -> tuple[GrowthLine, ...]:
    """Return length and mass by month, one line for the animals of a party that grow alike."""
    lines: dict[tuple[str, str, float], list[Individual]] = {}
    for animal in fed_company(question):
        lines.setdefault((animal.party.key, animal.sex.value, animal.length_cm), []).append(animal)
    return tuple(_growth_line(alike[0], len(alike)) for alike in lines.values())


def _growth_line(animal: Individual, count: int) -> GrowthLine:
    sizes = [size_after(animal, months) for months in MONTHS]
    species = animal.species
    return GrowthLine(
        key=animal.party.key,
        common_name=species.common_name,
        scientific_name=species.name,
        sex=animal.sex.value,
        count=count,
        form=species.word("form"),
        body_depth_ratio=species.number("body_depth_ratio"),
        months=MONTHS,
        length_cm=tuple(size.length_cm for size in sizes),
        low_cm=tuple(size.low_cm for size in sizes),
        high_cm=tuple(size.high_cm for size in sizes),
        mass_g=tuple(size.mass_g for size in sizes),
    )


def milestones(question: Question, days: Mapping[str, float], rules: Rules) -> tuple[Milestone, ...]:
    """Return what growth brings in five years, each on the day on which to be reminded of it.

    Parameters
    ----------
    question
        The question of the plan.
    days
        Day of release of the wishes, by key; an animal grows from then on. [d]
    rules
        The coefficients.
    """
    found = []
    for turn in turns(question, rules):
        start = question.start + dt.timedelta(days=max(days.get(turn.key, 0.0), 0.0))
        if turn.until > 0.0:
            found.append(_milestone(turn, start))
    return tuple(sorted(found, key=lambda m: (m.date, m.key, m.kind)))


def _milestone(turn: Turn, start: dt.date) -> Milestone:
    first, last = (start + dt.timedelta(days=round(DAYS_PER_MONTH * m)) for m in (turn.months, turn.until))
    notice = max(first - dt.timedelta(days=_NOTICE_DAYS), start)
    when = f"about {first:%Y-%m}" if turn.months == turn.until else f"between {first:%Y-%m} and {last:%Y-%m}"
    title = f"{turn.title[:1].upper()}{turn.title[1:]}"
    return Milestone(
        notice, turn.kind, turn.key, title, f"{turn.said} Expected {when}: an estimate.", turn.other
    )
