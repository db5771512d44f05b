"""After a death: from a tank file to a fair paragraph for the customer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from slackwater.errors import InputError, shown
from slackwater.plan.afterwards import LookBack, Otherwise, Would, as_it_was, look_back
from slackwater.plan.question import Question, Wanted
from slackwater.rules import Rules, load_rules
from slackwater.service.animals import meant
from slackwater.service.house import notes_behind
from slackwater.service.planning import question_of
from slackwater.service.tankfile import load
from slackwater.society.harm import ease
from slackwater.taxa.facts import load_facts


@dataclass(frozen=True)
class OtherwiseRow:
    """The best that one lever could have done; `p` is the chance of harm left then. [0 to 1]"""

    lever: str
    what: str
    p: float
    word: str
    would: str
    others: tuple[str, ...]


@dataclass(frozen=True)
class Afterwards:
    """What can fairly be said after a death.

    `p` is the chance of harm that the company meant for the animal, `low` and `high` bound nine in
    ten of the draws, `went_well` is the share of the draws that went well. [0 to 1]
    """

    animal: str
    scientific_name: str
    on: dt.date
    days: int
    p: float
    word: str
    low: float
    high: float
    went_well: float
    outcome: str
    by: str
    otherwise: tuple[OtherwiseRow, ...]
    paragraph: str
    how_sure: str
    next_step: str
    house_notes: tuple[str, ...] = ()


def afterwards_file(source: Path | str, died: str, today: dt.date, on: dt.date | None = None) -> Afterwards:
    """Return what can fairly be said after a death.

    Parameters
    ----------
    source
        The tank file's path, or its text, with the animal that died still in its company.
    died
        The animal, in the customer's words.
    today
        The day on which it is asked.
    on
        The day of the death; today if left out.

    Raises
    ------
    InputError, InputErrors
        If the file cannot be used, or the animal is not in the company, or the day cannot be.
    UnknownTaxonError
        If nobody goes by the name.
    """
    rules = load_rules()
    question = question_of(load(source), today, "tank")
    animal = _found(question, died)
    day = _day(animal, on or today, today)
    then = as_it_was(question, animal.key, day)
    return _answer(look_back(then, animal.key, day, rules), day, then, rules)


def _found(question: Question, died: str) -> Wanted:
    name = meant(died, "--died").name
    mine = [w for w in question.residents if w.species.name == name]
    if mine:
        return max(mine, key=lambda w: w.since or dt.date.min)
    there = ", ".join(w.species.common_name for w in question.residents) or "nobody"
    raise InputError(
        field="--died",
        given=shown(died),
        limit=f"it is not in the company of the tank file, which holds: {there}",
        remedy="Write the animal under company, with the day on which it was let go.",
    )


def _day(animal: Wanted, on: dt.date, today: dt.date) -> dt.date:
    since = animal.since or dt.date.min
    if since <= on <= today:
        return on
    raise InputError(
        field="--on",
        given=on.isoformat(),
        limit=f"it must lie between the release, {since}, and today, {today}",
        remedy="Check the day, or the day of release in the tank file.",
    )


def _answer(found: LookBack, on: dt.date, question: Question, rules: Rules) -> Afterwards:
    facts = load_facts()
    by = facts.species(found.by).common_name if found.by else ""
    return Afterwards(
        animal=found.animal.species.common_name,
        scientific_name=found.animal.species.name,
        on=on,
        days=int(found.days),
        p=found.p,
        word=ease(found.p, rules).value,
        low=found.low,
        high=found.high,
        went_well=found.went_well,
        outcome=found.outcome,
        by=by,
        otherwise=tuple(_row(o, rules) for o in found.otherwise),
        paragraph=_paragraph(found, by, rules),
        how_sure=_how_sure(found),
        next_step=_NEXT,
        house_notes=notes_behind(w.species.name for w in (*question.residents, *question.wishes)),
    )


_NEXT = (
    "Test the water, look at the others' breathing and skin, and let nobody new in for two weeks. "
    "What it died of only a veterinarian can find out, from a chilled body."
)


def _row(one: Otherwise, rules: Rules) -> OtherwiseRow:
    word = ease(one.p, rules).value
    return OtherwiseRow(one.lever.value, one.words, one.p, word, one.would.value, one.others)


def _paragraph(found: LookBack, by: str, rules: Rules) -> str:
    name = found.animal.species.common_name
    opening = f"We are sorry about the {name}."
    if found.p < rules["ease.jostled"]:
        return (
            f"{opening} As far as can be told from here, the company does not explain this death: living "
            f"there it was {ease(found.p, rules).value}. Hunger, illness and water are more often to blame "
            "than they look, and nothing points to order, size or rock."
        )
    lines = [opening, _how_it_stood(found, by, rules), *_might_have(found.otherwise)]
    return " ".join(line for line in lines if line)


def _how_it_stood(found: LookBack, by: str, rules: Rules) -> str:
    cause = {
        "eaten": f"small enough to be eaten by the {by}",
        "fought": f"chased by the {by}"
        if by != found.animal.species.common_name
        else "chased by its own kind",
        "bitten": f"bitten by the {by}",
        "outcompeted": "slower at the food than the others",
        "jumped": "a jumper under an open top",
        "unmet need": "without something that its kind needs",
    }[found.outcome]
    word = ease(found.p, rules).value
    return f"In that company an animal like it is {word}: {cause}. That may have played a part."


def _might_have(otherwise: Sequence[Otherwise]) -> list[str]:
    lines = []
    for would in Would:
        rows = [o for o in otherwise if o.would is would]
        if not rows:
            continue
        if would is Would.NO:
            lines.append(f"Other {_listed([o.lever.value for o in rows])} {would.value}.")
        else:
            words = _listed([_with_price(o) for o in rows])
            lines.append(f"{words[:1].upper()}{words[1:]} {would.value}.")
    return lines


def _with_price(one: Otherwise) -> str:
    return f"{one.words} (but then to the cost of {_listed(list(one.others))})" if one.others else one.words


def _listed(words: list[str]) -> str:
    return " and ".join(part for part in (", ".join(words[:-1]), *words[-1:]) if part)


def _how_sure(found: LookBack) -> str:
    chance = f"{100 * found.low:.0f} to {100 * found.high:.0f} %"
    luck = ""
    if found.went_well >= _SPLIT:
        luck = f" With other individuals it would have gone well in {100 * found.went_well:.0f} of 100 tanks."
    return (
        f"This is how the model sees it, not a finding: a chance of harm of {chance} over 90 days, by the "
        f"individual.{luck} Nobody could have known it for certain beforehand."
    )


_SPLIT = 0.05
