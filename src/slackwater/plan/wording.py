"""The sentences of the sheet: verdict, points to watch, other orders, what is uncertain."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np

from slackwater.plan.clash import bearable
from slackwater.plan.draft import Draft
from slackwater.plan.reasons import befores, comfort, common, order_count
from slackwater.plan.records import NotRow, OrderCount
from slackwater.plan.years import turns
from slackwater.society.growth import DAYS_PER_MONTH
from slackwater.society.harm import Ease, Mood, ease
from slackwater.society.judge import Lot
from slackwater.taxa.facts import load_facts


def opening(text: str) -> str:
    """Return a text with its first letter in upper case."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str]) -> str:
    """Return names with commas and a last "and"."""
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def verdict_sentence(made: Draft) -> str:
    """Return the verdict as one sentence with order, and the worst-off animal."""
    if not made.verdict.lots:
        return _nobody(made)
    outgrown = _outgrown(made)
    return f"{_verdict(made)} {outgrown}" if outgrown else _verdict(made)


def _nobody(made: Draft) -> str:
    """Return the verdict on a tank in which nobody lives and no wish is left."""
    if not made.kept.left_out:
        return "There is nobody to judge yet."
    return f"Not this list: without {listed(_left_out(made))} nobody is left. See what would settle it."


def _left_out(made: Draft) -> list[str]:
    return list(dict.fromkeys(w.species.common_name for w in made.kept.left_out))


def _outgrown(made: Draft) -> str:
    """Return who outgrows the tank within five years, and when, as a sentence; empty if nobody does."""
    q, days = made.question, made.days
    start = {w.key: q.start + dt.timedelta(days=max(days.get(w.key, 0.0), 0.0)) for w in made.company()}
    names = {w.key: w.species.common_name for w in made.company()}
    told: dict[str, str] = {}
    for turn in turns(q, made.rules):
        if turn.kind == "outgrown":
            when = start[turn.key] + dt.timedelta(days=round(DAYS_PER_MONTH * turn.months))
            told.setdefault(names[turn.key], f"about {when:%Y-%m}" if turn.months > 0.0 else "already")
    if not told:
        return ""
    some = listed([f"{name} {when}" for name, when in told.items()])
    least = max(w.species.number("min_length_cm") for w in made.company() if w.species.common_name in told)
    due = "is due" if set(told.values()) == {"already"} else "must be ready by then"
    ready = f"a tank of {least:.0f} cm or another home {due}"
    return f"But this tank is outgrown by {some}: {ready}."


def _verdict(made: Draft) -> str:
    """Return what comes of the list within the year: yes and in which order, or no."""
    q = made.question
    lots = made.verdict.lots
    p, worst = max(
        ((float(made.verdict.community_draws(lot).mean()), lot) for lot in lots), key=lambda of: of[0]
    )
    name = worst.animal.species.common_name
    if not bearable(made.verdict, made.rules):
        return f"As it stands this company will not do: {name} bears too much. See what would settle it."
    order = ", then ".join(
        " with ".join(q.wishes[i].species.common_name for i in slot.items) for slot in made.slots
    )
    left = listed(_left_out(made))
    how = _how(made)
    yes = f"Yes without {left}{how}" if left else f"Yes{how}"
    start = f"{yes}: {order}" if order else f"{_as_it_is(left)} the company there now lives in peace"
    if ease(p, made.rules) is Ease.AT_EASE:
        return f"{start}; no animal is expected to come to harm."
    if made.verdict.mood is Mood.SETTLED:
        return f"{start}; {name} has the least comfort and is expected to cope."
    return f"{start}; watch {name}, which bears most."


def _how(made: Draft) -> str:
    """Return whether several come in an order or on one day, empty for one alone."""
    if len(made.slots) > 1:
        return ", in this order"
    return ", all on one day" if made.slots and len(made.slots[0].items) > 1 else ""


def _as_it_is(left: str) -> str:
    return f"Without {left}" if left else "As it is,"


def watch_points(made: Draft) -> tuple[tuple[str, str], ...]:
    """Return the two or three points that could go wrong, each with its sign."""
    points, seen = [], set[str]()
    for lot in sorted(made.verdict.lots, key=lambda one: -one.p):
        name = lot.animal.species.common_name
        if lot.p < made.rules["ease.at_ease"] or name in seen:
            continue
        seen.add(name)
        cause = max(lot.harm, key=lambda k: lot.harm[k])
        points.append(_point(made, lot, name, cause))
    return tuple(points[:3])


def _point(made: Draft, lot: Lot, name: str, cause: str) -> tuple[str, str]:
    if cause in {"fought", "bitten"}:
        by = common(made, max(lot.by, key=lambda s: lot.by[s]))
        by = "its own kind" if by == name else by
        return opening(
            f"{name} may be harried by {by}"
        ), "more than 2 chases in 10 minutes after day 5, torn fins"
    signs = {
        "outcompeted": ("comes off worst at the food", "belly hollow behind the head by week 3"),
        "cramped": ("grows too large for this tank", "turns at every pane, thin or restless"),
        "unmet need": ("lacks something it needs", "hides all day, pale, off its food"),
        "jumped": ("jumps", "an open gap in the lid"),
        "eaten": ("may be swallowed", "a head count that does not come out"),
    }
    what, sign = signs.get(cause, ("is not at ease", "hides all day"))
    return opening(f"{name} {what}"), sign


def out_of_order(made: Draft) -> str:
    """Return what to do if the animals come in another order."""
    kept, count = befores(made), order_count(made)
    if not kept:
        return "The order may be changed freely with what is in stock; keep the spacing and the quarantine."
    rules = "; ".join(f"{b.first} before {b.then}" for b in kept)
    free = f" {_orders(count)}" if count else ""
    return (
        f"Keep: {rules}. The rest may be swapped with what is in stock.{free} If one of these cannot be "
        "kept, box the later one for a week and move the rock that evening."
    )


def _orders(count: OrderCount) -> str:
    """Return how many orders keep what matters, and how many are best, in a sentence."""
    several = f"{count.best}{' or more' if count.best >= _COUNTED else ''} are"
    best = "one is best" if count.best == 1 else f"{several} equally good"
    return f"{count.kept} of {count.every} orders keep to that; for the sum of quarrels {best}."


_COUNTED = 1000


def uncertain(made: Draft, tempting: Sequence[NotRow] = ()) -> tuple[str, ...]:
    """Return what is uncertain about this plan, in plain words, house notes included.

    Parameters
    ----------
    made
        The plan as drafted.
    tempting
        The animals that the plan warns of.
    """
    lines = [
        "Individuals differ more than neighbouring species do: half to double the chases is usual.",
        "How many chases do harm was never measured in a fish; these coefficients are assumed.",
        "Tempers and group rules are common practice without a source; sizes are from memory, rounded.",
    ]
    if len(made.question.rockworks) > 1 and made.verdict.lots:
        lines.append(
            "Only a word for the rock is known: answers are the mean of three layouts of it. " + _spread(made)
        )
    split = [line for line in (comfort(made, w) for w in made.company()) if line.two_outcomes]
    if split:
        lines.append("For some animals two outcomes are possible: it depends on the individual.")
    seen = [f"{opening(w.species.common_name)} is {w.seen}." for w in made.company() if w.seen]
    return (*made.question.notes, *seen, *lines, *_house_notes(made, tempting))


def _house_notes(made: Draft, tempting: Sequence[NotRow]) -> list[str]:
    """Return the shop's own notes on the animals that the plan names."""
    wanted = (*made.company(), *made.kept.left_out)
    named = {w.species.name for w in wanted} | {row.scientific_name for row in tempting}
    settle = " ".join(text for clash in made.kept.clashes for text in clash.settle)
    facts = load_facts()
    named |= {name for name in facts.species_names if f"({name})" in settle}
    return [note.sentence for note in facts.notes_behind(named)]


def _spread(made: Draft) -> str:
    """Return the spread over the layouts for the worst-off animal, in words."""
    lot = max(made.verdict.lots, key=lambda one: one.p)
    parts = np.split(lot.draws, len(made.question.rockworks))
    low, high = sorted(round(100 * float(part.mean())) for part in parts)[:: len(parts) - 1]
    range_ = f"{low} to {high}" if low < high else f"all about {low}"
    name = lot.animal.species.common_name
    return f"For {name} the layouts give {range_} % chance of harm over its worst 90 days."
