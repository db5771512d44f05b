"""What stands on the plan sheet, as plain words in reading order; the template only lays it out."""

from __future__ import annotations

import unicodedata
from typing import Any

from slackwater.plan.records import AnimalLine, Clash, Plan, Release, TankDrawing
from slackwater.report.figures import numbered, tank_description, tank_scale
from slackwater.report.frames import Paper
from slackwater.report.pressure import pressure_description, pressure_summary
from slackwater.report.words import (
    day,
    days,
    horizon,
    hours,
    inner_size,
    length,
    listed,
    mass,
    sentence,
    share,
    span,
    volume,
    week_from,
)

_FIRST_RUNGS = 4
_MOST_ROCK_LINES = 4
_DASH = "\N{EN DASH}"


def page_data(plan: Plan, room: Paper) -> dict[str, Any]:
    """Return every text of the sheet by section; an empty section is left off the page."""
    return {name: _printable(section) for name, section in _sections(plan, room).items()}


def _sections(plan: Plan, room: Paper) -> dict[str, Any]:
    return {
        "head": _head(plan),
        "animals": [_animal(i, a, plan) for i, a in numbered(plan)],
        "verdict": plan.verdict,
        "mood": _mood(plan),
        "watch_points": [{"what": what, "sign": sign} for what, sign in plan.watch_points],
        "clashes": _clashes(plan),
        "conditions": _shared_conditions(plan),
        "releases": [_release(r, plan) for r in plan.releases],
        "befores": [_before(b.first, b.then, b.reason) for b in plan.befores],
        "proof": plan.proof,
        "drawing": {"text": tank_description(plan), "scale": str(tank_scale(plan, room))},
        "rock": " ".join(plan.shelter.lines[:_MOST_ROCK_LINES]) if plan.shelter else "",
        "pressure": _pressure(plan),
        "feeding": _feeding(plan),
        "choosing": list(plan.receiving.choosing) if plan.receiving else [],
        "bags": list(plan.receiving.bags) if plan.receiving else [],
        "run_sheets": _run_sheets(plan),
        "watching": [{"level": w.level, "see": w.see, "do": w.do} for w in plan.watching],
        "ladder": [
            {"number": str(r.number), "do": sentence(r.do), "trial": r.trial, "stop": r.stop}
            for r in plan.ladder[:_FIRST_RUNGS]
        ],
        "ahead": [{"when": horizon(a.months), "text": a.text} for a in plan.ahead],
        "not_to_add": [
            {
                "common": n.common_name,
                "science": n.scientific_name,
                "reason": _why_not(n.common_name, n.reason),
            }
            for n in plan.not_to_add
        ],
        "out_of_order": plan.out_of_order,
        "takes_back": plan.takes_back,
        "power_cut": _power_cut(plan),
        "hazards": list(plan.hazards),
        "cautions": [sentence(text) for text in plan.cautions],
        "uncertain": [sentence(text) for text in plan.uncertain],
        "sources": [c.text for c in plan.sources],
        "sitter": _sitter(plan),
    }


def _why_not(name: str, reason: str) -> str:
    """Return what follows an animal's name: the rest of a sentence that begins with it, or one of its own."""
    told = sentence(reason)
    if told.lower().startswith(f"{name.lower()} "):
        return told[len(name) :]
    return f". {told}"


def _outline(tank: TankDrawing) -> str:
    """Return the word for an outline that is no rectangle, and a comma."""
    return "" if tank.shape in {"rectangular", "cube"} else f"{tank.shape}, "


def _head(plan: Plan) -> dict[str, Any]:
    tank = plan.tank
    rock = f"{tank.rock_word}, {mass(tank.rock_kg)} of rock" if tank.rock_kg > 0 else tank.rock_word
    sand = f"sand {length(tank.sand_cm)} deep" if tank.sand_cm > 0 else "no sand"
    facts = [
        f"{_outline(tank)}{inner_size(tank.length_cm, tank.width_cm, tank.height_cm)} inside",
        f"{volume(tank.net_l)} net",
        rock,
        sand,
        "with a lid" if tank.lid else "open top",
    ]
    return {
        "title": plan.title.strip() or f"Plan {plan.number}",
        "number": plan.number,
        "made_on": day(plan.made_on),
        "starts": day(plan.start),
        "tank": [fact for fact in facts if fact],
        "assumed": [{"what": a.what, "taken": a.taken, "cost": a.cost} for a in plan.assumptions],
        "question": plan.question,
    }


def _animal(which: int, animal: AnimalLine, plan: Plan) -> dict[str, Any]:
    released = {key: r.number for r in plan.releases for key in r.keys}
    return {
        "number": str(which),
        "key": animal.key,
        "said": animal.said,
        "common": animal.common_name,
        "science": animal.scientific_name,
        "count": str(animal.count) + (f", {animal.sex}" if animal.sex else ""),
        "price": animal.price or "",
        "size": length(animal.length_cm),
        "buy": "lives there" if animal.resident else "to buy",
        "adult": length(animal.adult_length_cm),
        "release": str(released.get(animal.key, "")),
        "comfort": animal.comfort.word,
        "chance": _chance(animal),
        "sentence": sentence(animal.comfort.sentence),
        "notes": [sentence(text) for text in _notes(animal)],
    }


def _notes(animal: AnimalLine) -> list[str]:
    sure = [] if animal.comfort.sure in {"", "sure"} else [f"the answer is {animal.comfort.sure}"]
    two = ["two outcomes are possible"] if animal.comfort.two_outcomes else []
    return [*sure, *two, *animal.notes, *(f"assumed: {text}" for text in animal.assumed)]


def _chance(animal: AnimalLine) -> str:
    comfort = animal.comfort
    return f"{share(comfort.p)} ({span(comfort.low, comfort.high)})"


def _mood(plan: Plan) -> str:
    worst = [f"{a.common_name} (no. {i})" for i, a in numbered(plan) if a.key == plan.worst_key]
    bears = f" The animal that bears most: {worst[0]}." if worst else ""
    return f"Mood of the tank: {plan.mood}.{bears}"


def _clashes(plan: Plan) -> dict[str, Any] | None:
    if not plan.clashes and not plan.left_out and not plan.no_order_bearable:
        return None
    names = {a.key: a.common_name for a in plan.animals}
    return {
        "title": "Why not, and what would settle it"
        if plan.no_order_bearable
        else "What was left out, and why",
        "items": [_clash(c, names) for c in plan.clashes],
        "left_out": listed(list(plan.left_out)),
    }


def _clash(clash: Clash, names: dict[str, str]) -> dict[str, Any]:
    keyed = [names.get(key, key.replace("_", " ")) for key in clash.keys]
    who = listed(list(clash.names) or keyed)
    return {"who": who, "sentence": clash.sentence, "settle": list(clash.settle)}


def _release(release: Release, plan: Plan) -> dict[str, Any]:
    which = [str(i) for i, a in numbered(plan) if a.key in release.keys]
    after = [s for s in plan.stages if s.date == release.date]
    return {
        "number": str(release.number),
        "when": week_from(release.date),
        "title": release.title,
        "animals": ", ".join(which),
        "quarantine": _quarantine(release),
        "place": _place(release),
        "reason": " ".join(
            sentence(text) for text in (*release.deeds, release.reason, release.quarantine_note) if text
        ),
        "go": sentence(release.go_when),
        "wait": sentence(release.wait_if),
        "after": f"{after[0].mood}; {after[0].worst} bears most" if after else "",
    }


def _shared_conditions(plan: Plan) -> dict[str, str] | None:
    """Return the go and wait conditions when they are the same for every release."""
    pairs = {(r.go_when, r.wait_if) for r in plan.releases}
    if len(pairs) != 1 or len(plan.releases) == 1:
        return None
    go, wait = pairs.pop()
    return {"go": sentence(go), "wait": sentence(wait)}


def _pressure(plan: Plan) -> dict[str, str] | None:
    if plan.pressure is None:
        return None
    return {
        "title": f"Where {plan.pressure.whose} is pressed",
        "text": pressure_description(plan.pressure),
        "quiet": pressure_summary(plan.pressure),
    }


def _quarantine(release: Release) -> str:
    if release.quarantine_from is None or release.quarantine_to is None:
        return "none"
    return days(release.quarantine_from, release.quarantine_to)


def _place(release: Release) -> str:
    box = f"{release.box_days} days in a see-through box first" if release.box_days else ""
    return sentence("; ".join(part for part in (release.place, box) if part))


def _before(first: str, then: str, reason: str) -> dict[str, str]:
    return {"pair": f"{first} before {then}", "reason": sentence(reason)}


def _feeding(plan: Plan) -> dict[str, Any]:
    card = plan.feeding
    feeds = f"{card.feeds_per_day:g} {'feed' if card.feeds_per_day == 1 else 'feeds'} a day"
    places = f"{card.stations} {'station' if card.stations == 1 else 'stations'}"
    return {"rhythm": f"{feeds} at {places}", "lines": list(card.lines)}


def _run_sheets(plan: Plan) -> list[dict[str, Any]]:
    """Return the run sheet of the first hard release; the others go by the same clock."""
    hard = [release for release in plan.releases if release.run_sheet]
    if not hard:
        return []
    sheet = _run_sheet(hard[0])
    if others := [str(release.number) for release in hard[1:]]:
        word = "Release" if len(others) == 1 else "Releases"
        sheet["steps"].append(
            {"clock": "", "do": f"{word} {listed(others)}: the same evening, its own animal."}
        )
    return [sheet]


def _run_sheet(release: Release) -> dict[str, Any]:
    return {
        "title": f"Release {release.number}: {release.title}",
        "when": week_from(release.date),
        "steps": [{"clock": step.clock, "do": step.do} for step in release.run_sheet],
    }


def _power_cut(plan: Plan) -> dict[str, str] | None:
    cut = plan.power_cut
    if cut is None:
        return None
    failing = f"First in trouble: {listed(list(cut.first_to_fail))}." if cut.first_to_fail else ""
    return {"hours": hours(cut.hours_low, cut.hours_high), "assumed": sentence(cut.assumed), "first": failing}


def _sitter(plan: Plan) -> dict[str, Any] | None:
    card = plan.sitter
    if card is None:
        return None
    away = "; ".join(days(first, last) for first, last in card.periods)
    feeds = f"{card.feeds_per_day:g} {'feed' if card.feeds_per_day == 1 else 'feeds'} a day"
    return {
        "away": away,
        "packets": f"{card.packets} packets, one for each of {feeds}, about {card.packet_g:.1f} g each",
        "day": card.packet,
        "heads": [{"count": str(count), "name": name} for count, name in card.heads],
        "do": list(card.do),
        "leave": list(card.leave),
        "hazards": list(card.hazards),
    }


def _printable(section: object) -> object:
    """Return a section without the control and private characters that no page can show."""
    if isinstance(section, str):
        return "".join(c for c in section if not unicodedata.category(c).startswith("C") or c == "\n")
    if isinstance(section, dict):
        return {key: _printable(value) for key, value in section.items()}
    return [_printable(value) for value in section] if isinstance(section, list) else section
