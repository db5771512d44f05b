"""The cards of the plan sheet: feeding, run sheets, watching, the first rungs of the ladder."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.plan.question import Question, Wanted
from slackwater.plan.records import FeedingCard, Rung, RunStep, WatchRow
from slackwater.society.judge import Lot

LARGE_COMPANY = 4
PINCH_G = 0.1
ROCK_OWNER = 0.5

_FOODS = {
    "algae": "algae sheet or pellets",
    "detritus": "film and detritus, topped up with algae wafers",
    "plankton": "small frozen plankton, several times",
    "benthos": "chopped mysis and krill",
    "fish": "pieces of marine fish, never freshwater feeder fish",
    "sessile": "sponge-based frozen food",
    "parasites": "fine frozen food",
}


def ration_g(wanted: Wanted) -> float:
    """Return the wet food a day for a party. [g]

    Two in a hundred of body mass, three for the young (common practice).
    """
    mass = wanted.species.mass_g(wanted.length_cm) * wanted.count
    young = wanted.length_cm < 0.6 * wanted.species.number("adult_length_cm")
    return mass * (0.03 if young else 0.02)


def feeding_card(question: Question) -> FeedingCard:
    """Return what, how often and where for the whole company."""
    company = (*question.residents, *question.wishes)
    need = max([question.keeping.feeds_per_day, *(_feeds(w) for w in company)])
    feeds = min(need, 6.0)
    shy = any(w.species.word("feeding_speed") in {"slow", "very_slow"} for w in company)
    stations = max(question.keeping.stations, 2 if shy or len(company) > LARGE_COMPANY else 1)
    lines = [_food_line(w) for w in company]
    lines.append(f"Together about {sum(ration_g(w) for w in company):.1f} g of wet food a day at first.")
    if stations > 1:
        lines.append("Feed both ends within the same minute; strong eaters first, then the shy.")
    lines.append("Frozen food: thaw in the fridge, away from kitchen boards.")
    return FeedingCard(feeds, stations, tuple(lines), _stations(question, stations))


def _feeds(wanted: Wanted) -> float:
    return wanted.species.number("feeds_needed")


def _food_line(wanted: Wanted) -> str:
    diet = wanted.species.diet
    first = max(diet, key=lambda kind: diet[kind])
    told = _short(wanted.species.text("first_foods")) or _FOODS[first]
    grams = ration_g(wanted)
    share = f"about {grams:.1f} g a day" if grams >= PINCH_G else "a pinch a day"
    name = wanted.species.common_name
    return f"{name[:1].upper()}{name[1:]}: {told}; {share}"


def _short(foods: str, most: int = 44) -> str:
    """Return the first foods that fit a line, whole items only."""
    items = foods.replace(";", ",").split(",")
    kept = items[0].strip()
    for item in items[1:]:
        if len(kept) + len(item) + 2 > most:
            break
        kept = f"{kept}, {item.strip()}"
    return kept


def _stations(question: Question, count: int) -> tuple[tuple[float, float, float], ...]:
    glass = question.glass
    places = (0.15, 0.85, 0.5)[:count] if count > 1 else (0.15,)
    return tuple((p * glass.length_cm, 0.3 * glass.width_cm, 0.9 * glass.height_cm) for p in places)


def run_sheet(question: Question, wanted: Wanted, bully: str, box_days: int) -> tuple[RunStep, ...]:
    """Return the run sheet for the evening of a hard release, counted back from lights out."""
    off = _minutes(question.lights_off)
    name = wanted.species.common_name
    steps = [
        (off - 180, "Lid, spare box and net ready; pumps that could catch a fish guarded."),
        (off - 150, f"Feed the residents well, {bully or 'the owner'} at its own end."),
        (off - 120, "Dim the light."),
        (off - 90, f"Match temperature and salinity of the bag for {name}; no bag water in the tank."),
        (off - 60, _let_go(name, bully, box_days)),
        (off, "Lights off; stay off for 12 hours or more."),
        (off + 60, "Look once with a red light: it should breathe calmly in its hole."),
    ]
    if wanted.species.word("venom") != "none":
        steps.insert(1, (off - 175, f"{wanted.species.text('hazard') or 'Spines'}: tool, not hand."))
    return tuple(RunStep(_clock(at), do) for at, do in steps)


def _let_go(name: str, bully: str, box_days: int) -> str:
    far = f"at the end farthest from {bully}" if bully else "beside a free hole"
    if box_days:
        return f"Put {name} into the acclimation box {far}; it stays {box_days} days and is fed there."
    return f"Let {name} go {far}, beside a hole that nobody holds."


def _minutes(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)


def _clock(minutes: int) -> str:
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def watching(lots: tuple[Lot, ...]) -> tuple[WatchRow, ...]:
    """Return the watching card: what to count, for how long, and what it calls for."""
    worst = max(lots, key=lambda lot: lot.p).animal.species.common_name if lots else "the newcomer"
    return (
        WatchRow(
            "leave",
            "0 to 2 short chases in 10 minutes; hides and eats nothing on day 1",
            "Do nothing. Count again after the next feed.",
        ),
        WatchRow(
            "look again",
            "3 to 8 chases in 10 minutes, fewer from day to day",
            f"Feed at both ends, count {worst} three times a day, lid shut.",
        ),
        WatchRow(
            "act today",
            "more than 10, or rising; chased from food; no food by day 4",
            "Start the ladder.",
        ),
        WatchRow(
            "act now",
            "fin torn to the base, eye or flank wound, pinned at the surface, over 100 breaths a minute",
            "Box or divider at once; a wound is a question for the veterinarian.",
        ),
    )


@dataclass(frozen=True)
class _Rung:
    do: str
    trial: str
    stop: str


_RUNGS = {
    "watch": _Rung(
        "Watch and count 10 minutes three times a day; lid on.",
        "1 to 2 days",
        "more each day, or off its food",
    ),
    "feed": _Rung(
        "One more feed, at both ends; a second algae clip for grazers.", "3 days", "no fall in the count"
    ),
    "dim": _Rung(
        "Shorter, dimmer day; a mirror on the far end glass for tangs and angels.",
        "2 to 3 days",
        "no fall in the count",
    ),
    "cover": _Rung(
        "A pipe or rubble out of the owner's sight, with two ways out.", "same day", "still pinned"
    ),
    "rock": _Rung(
        "Move the stones of the owner's hole at lights out (two people).",
        "3 to 5 days",
        "old order comes back",
    ),
    "box": _Rung(
        "The chased one in a see-through box in the tank, fed there.",
        "3 to 7 days",
        "box attacked all day after day 5",
    ),
    "timeout": _Rung(
        "The chaser out of sight in box or sump; move rock meanwhile.",
        "7 to 14 days",
        "attack within the hour of return",
    ),
    "divider": _Rung(
        "A divider across the tank, with holes for the flow.", "1 to 4 weeks", "rage at the divider"
    ),
    "rehome": _Rung("Out of the tank: shop, or a tank judged in the same way.", "for good", ""),
}


def ladder(chaser: Wanted | None) -> tuple[Rung, ...]:
    """Return the first rungs for this tank, chosen by the way the likeliest chaser lives."""
    if chaser is None or chaser.species.number("structure_use") >= ROCK_OWNER:
        order = ("watch", "feed", "cover", "rock", "timeout", "rehome")
    else:
        order = ("watch", "feed", "dim", "box", "timeout", "rehome")
    return tuple(Rung(n, _RUNGS[key].do, _RUNGS[key].trial, _RUNGS[key].stop) for n, key in enumerate(order))
