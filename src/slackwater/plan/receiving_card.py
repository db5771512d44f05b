"""In the shop, on the road and at the tank: choosing the individual, bags, and how to let in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from slackwater.plan.quarantine import quarantine_lines
from slackwater.plan.question import Question, Wanted
from slackwater.plan.water_records import ReceivingCard
from slackwater.water.parameters import number

_SLOW_EATERS = frozenset({"slow", "very_slow"})
_RIGID = frozenset({"spines", "sting"})
_ALONE = frozenset({"skin"})


def receiving_card(question: Question) -> ReceivingCard | None:
    """Return how to let in whoever is bought, None if nothing is wished for.

    Notes
    -----
    Common practice; which way is safe follows from the ammonia that opening a bag sets free, see
    `receiving` in `water`.
    """
    if not question.wishes:
        return None
    return ReceivingCard(
        choosing=choosing(question.wishes),
        bags=bags(question.wishes),
        short_way=short_way(),
        long_way=long_way(),
        quarantine=quarantine_lines(question),
    )


def short_way() -> tuple[str, ...]:
    """Return how to let in an animal from a shop nearby."""
    return (
        f"Float the closed bag for {number('float_min'):.0f} minutes or more, lights dim.",
        "Open it, drip tank water in for 30 to 60 minutes until the salinity is within 0.5; air on the bag.",
        "Salinity upward no more than 1 to 2 a day; downward most fish bear several at once.",
        "Net or cup, spiny animals in a rigid box; no bag water into the tank.",
    )


def long_way() -> tuple[str, ...]:
    """Return how to let in an animal whose bag was closed for half a day or more."""
    return (
        "Before opening, set up clean water with the salinity of the bag, as warm as the tank.",
        f"Float the closed bag for {number('float_min'):.0f} minutes or more, lights dim. No drip.",
        (
            "Open it and move the animal into the clean water within minutes: opened, the pH rises and the "
            "ammonia in the bag turns poisonous."
        ),
        "Bring the salinity up there, 1 to 2 a day; no bag water into the tank.",
    )


def choosing(company: Sequence[Wanted]) -> tuple[str, ...]:
    """Return what to look at in the shop before one is taken, four lines."""
    slow = _names(w for w in company if w.species.word("feeding_speed") in _SLOW_EATERS)
    ask = f"; ask for it twice with {slow}" if slow else ""
    days = max(w.species.number("shop_days") for w in company)
    sizes = ", ".join(f"{w.species.common_name} {w.length_cm:.0f} cm" for w in company)
    return (
        f"It eats in front of you within two minutes{ask}.",
        "Belly and back full, eyes clear, fins and mouth whole, steady breath, swims with purpose.",
        f"Size as planned ({sizes}): another size changes the verdict, so judge again.",
        f"It has been in the shop {days:.0f} days or more, and lets its neighbours be.",
    )


def bags(company: Sequence[Wanted]) -> tuple[str, ...]:
    """Return how they are bagged for the way home, four lines."""
    spined = _names(w for w in company if w.species.word("venom") in _RIGID)
    slimed = _names(w for w in company if w.species.word("venom") in _ALONE)
    rigid = f"Rigid box, marked, never a net or hand: {spined}." if spined else "Spiny animals: jar, not net."
    alone = f" Water of its own, poured away: {slimed}." if slimed else ""
    return (
        "One animal a bag, two bags, corners taped; a third water, two thirds air; dark; 23 to 27 C.",
        "Oxygen in place of air from an hour or two on the road; no stop on the way, no hot car.",
        f"{rigid}{alone}",
        "On each bag: animal, hour closed, hazard, how to open.",
    )


def _names(company: Iterable[Wanted]) -> str:
    return ", ".join(dict.fromkeys(wanted.species.common_name for wanted in company))
