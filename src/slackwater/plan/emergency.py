"""The card on the cabinet: a power cut first, then other emergencies, as short orders for anyone at home."""

from __future__ import annotations

import math

from slackwater.plan.filter import net_l
from slackwater.plan.outlook import hazards
from slackwater.plan.power_failure import power_report
from slackwater.plan.question import Question
from slackwater.plan.water_records import CabinetCard, Emergency, LevelLine, PowerReport
from slackwater.rules import Rules
from slackwater.water.power_cut import USUAL

_MOST_NAMED = 4

_POWER = Emergency(
    "Power cut",
    (
        (
            "Air first: battery air pump on, its stone deep in the water. Without one: scoop water up and "
            "pour it back, ten minutes in every half hour."
        ),
        "Do not feed. Do not stir the sand. Leave everyone in the water.",
        "Lid ajar under a mesh; nobody leans over the tank with an extension lead.",
        "Cold room: blankets round the glass, top free. Never pour warm tap water in.",
        "A closed filter that stood for hours is stale: empty it outside the tank before it runs again.",
        "Power back: pumps first, then heater, light last. No food until the next day.",
    ),
)

_HEAT = Emergency(
    "Too hot",
    (
        "Heater unplugged, lights off, a fan over the open water, more air.",
        "Cold packs in closed bags, one at a time: no more than 1 to 2 C an hour.",
    ),
)
_JUMPED = Emergency(
    "A fish on the floor",
    (
        "Wet hands, or a wet cloth if it has spines. Back at once, even if it looks dry.",
        "Dim the light, air near it, watch. Then close the gap. Wounds: a veterinarian.",
    ),
)
_STING = Emergency(
    "Sting or bite",
    (
        (
            "Out of the water. Sting: soak in water as hot as can be borne, never above 45 C, tested with "
            "the other hand. Bite or cut: wash and press."
        ),
        (
            "Medical help in any case of doubt. Faint, short of breath, pain that spreads, face, chest or "
            "joint: ring the emergency number now."
        ),
    ),
)
_POISON = Emergency(
    "Poisoned water",
    (
        (
            "Spray, metal, a dead sea cucumber, an anemone in a pump: fresh carbon, a large change of "
            "matched water, fish into clean water with air."
        ),
        (
            "Coughing or a metal taste after work on rock with zoanthids: everyone out, air the room, "
            "medical help."
        ),
    ),
)
_LEAK = Emergency(
    "Leak",
    (
        "Mains off before touching anything wet.",
        "Then fish into bins with air, those named above first; rock under water.",
    ),
)
_DEAD = Emergency(
    "A death without a cause",
    (
        "Body out at once, into the fridge, not the freezer: the veterinarian may want it.",
        "Test ammonia, temperature, salinity. Watch how the others breathe. No medicine on a guess.",
    ),
)

_BLANKS = (
    "Keeper",
    "Shop",
    "Veterinarian",
    "Poison line",
    "Battery air pump lies",
    "Mains switch is",
)


def cabinet_card(question: Question, rules: Rules, room_c: float | None = None) -> CabinetCard:
    """Return the card on the cabinet of a tank.

    Parameters
    ----------
    question
        The tank and everyone in it.
    rules
        As for `power_report`.
    room_c
        Temperature of the room in a power cut, if told. [C]

    Notes
    -----
    Orders are common practice; hot water no hotter than 45 C is that of first-aid handbooks, from
    memory. The card defers to the emergency number, the doctor and the veterinarian.
    """
    found = power_report(question, rules, room_c)
    level = _level(found)
    glass = question.glass
    sides = (glass.length_cm, glass.width_cm, glass.height_cm)
    names = tuple(line.common_name for line in found.suffer[:_MOST_NAMED])
    return CabinetCard(
        title=question.title,
        tank=f"{' x '.join(f'{side:.0f}' for side in sides)} cm, {net_l(question):.0f} L",
        hours_low=level.hours_low,
        hours_high=level.hours_high,
        air_hours=next(line.hours_low for line in found.helps if line.what == "a battery air pump"),
        cold_c=found.cold_c,
        room_c=found.room_c,
        cold_hours=found.cooling_h[0],
        power=_POWER,
        first=names,
        others=(_HEAT, _JUMPED, _STING, _POISON, _LEAK, _DEAD),
        hazards=_dangers(question),
        blanks=_BLANKS,
        assumed=found.assumed,
        foot="Never in place of the emergency number, a doctor or a veterinarian.",
    )


def cold_sentence(card: CabinetCard) -> str:
    """Return how soon the water is too cold, in words."""
    if math.isinf(card.cold_hours):
        return f"A room of {card.room_c:g} C keeps the water above {card.cold_c:g} C."
    return (
        f"In a room of {card.room_c:g} C the water is down to {card.cold_c:g} C after "
        f"{card.cold_hours:.0f} h."
    )


def _level(found: PowerReport) -> LevelLine:
    return next(line for line in found.levels if line.level_mg_l == USUAL.level_mg_l)


def _dangers(question: Question) -> tuple[str, ...]:
    """Return who stings, bites or is poisonous; what to do stands in the orders."""
    return tuple(line for line in hazards(question) if not line.startswith("A sting"))
