"""Sight and shelter: what the rock of a tank offers its company, in figures and sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.question import Question
from slackwater.plan.shelter_records import (
    BullyRow,
    HoleRow,
    HomeRow,
    LaneRow,
    ShelterCard,
    StoneRow,
    WeightRow,
)
from slackwater.rules import Rules
from slackwater.society.company import Individual
from slackwater.society.judge import Judgement
from slackwater.society.shelter import HOLE_TYPES, Homes, body_depth_cm, fright_share, hole_fit, homes_found
from slackwater.tank.lanes import VIEW_CM, breaks_per_view, broken_views, lanes, structures
from slackwater.tank.rock import Rockwork
from slackwater.tank.shapes import Glass
from slackwater.tank.stability import standings
from slackwater.tank.weights import stone_weight, tank_weight

Array = NDArray[np.float64]

CLASSES_CM = (3.0, 6.0, 10.0, math.inf)
"""Upper ends of the classes of hole width. [cm]"""

_HALF = 0.5
_MANY_LITRES = 300.0


def shelter_card(question: Question, verdict: Judgement) -> ShelterCard:
    """Return the sight and shelter figures of a judged company in the first of its layouts.

    Parameters
    ----------
    question
        The tank and who it is for.
    verdict
        The judgement of the company with everyone there.
    """
    glass, rock = question.glass, question.rockworks[0]
    homes = _homes(verdict)
    broken = broken_views(glass, rock)
    made = ShelterCard(
        structures=structures(glass, rock),
        broken_share=broken,
        breaks_per_60_cm=breaks_per_view(broken),
        lanes=tuple(LaneRow(lane.height_cm, lane.lane_cm) for lane in lanes(glass, rock)),
        holes=tuple(_hole_rows(rock)),
        bullies=tuple(_bullies(homes, verdict.rules)) if homes else (),
        homes=tuple(_home_rows(homes, verdict.rules)) if homes else (),
        stones=tuple(_stone_rows(rock, glass)),
        weight=_weight(glass, rock),
        lines=(),
        cautions=(),
    )
    return _worded(made, question, verdict.rules)


def _homes(verdict: Judgement) -> Homes | None:
    """Return who finds which home at the end, None where nobody lives there."""
    if not verdict.spans or not verdict.fields[0].leaders:
        return None
    stage = verdict.spans[-1].stages[0]
    return homes_found(verdict.situation, verdict.fixed, verdict.fields[0], stage, verdict.rules)


def _class_of(width_cm: float) -> int:
    return next(n for n, upper in enumerate(CLASSES_CM) if width_cm <= upper)


def _hole_rows(rock: Rockwork) -> Iterator[HoleRow]:
    low = 0.0
    for number, upper in enumerate(CLASSES_CM):
        exits = [hole.exits for hole in rock.holes if _class_of(hole.width_cm) == number]
        words = f"over {low:g} cm" if math.isinf(upper) else f"up to {upper:g} cm"
        known = None if math.isinf(upper) else upper
        yield HoleRow(known, words, len(exits), exits.count(1), len(exits) - exits.count(1))
        low = upper


def _bullies(homes: Homes, rules: Rules) -> Iterator[BullyRow]:
    """Yield the animals that press any other noticeably."""
    for n, animal in enumerate(homes.leaders):
        if float(homes.presses[n].max(initial=0.0)) < rules["hole_press"]:
            continue
        hidden = [0.0] * len(CLASSES_CM)
        for k, hole in enumerate(homes.holes):
            hidden[_class_of(hole.width_cm)] += 1.0 - float(homes.in_view[n, k])
        name = animal.species.common_name
        yield BullyRow(animal.party.key, name, float(homes.sees[n]), tuple(hidden))


def _home_rows(homes: Homes, rules: Rules) -> Iterator[HomeRow]:
    widths = np.array([hole.width_cm for hole in homes.holes])
    for n, animal in enumerate(homes.leaders):
        uses = animal.species.word("hole_type") in HOLE_TYPES and len(widths) > 0
        fit = hole_fit(widths, body_depth_cm(animal), rules) if uses else np.zeros(len(widths))
        yield HomeRow(
            key=animal.party.key,
            common_name=animal.species.common_name,
            need=_need(animal, rules),
            found_share=float(homes.found[n]),
            sees_share=float(homes.sees[n]),
            quiet_share=float(homes.quiet[n]),
            fitting_holes=float(fit.sum()),
            hidden_holes=float((fit * (1.0 - fright_share(homes, n))).sum()),
            pressed_by=_presser(homes, n, rules),
        )


def _need(animal: Individual, rules: Rules) -> str:
    """Return what an animal needs for a home, in words."""
    species = animal.species
    kind = species.word("hole_type")
    if kind in HOLE_TYPES:
        depth = body_depth_cm(animal)
        low, high = rules["hole_width.low"] * depth, rules["hole_width.high"] * depth
        where = "a gap between branches" if kind == "branches" else f"a {kind}"
        return f"{where} {low:.1f} to {high:.1f} cm wide"
    if kind in {"sand", "burrow"}:
        need = max(species.number("needs_sand_cm"), rules["hole_least_sand"])
        return f"sand {need:.0f} cm deep"
    home = species.word("home_kind")
    return {"host": "its host", "perch": "a perch on rock", "rock_face": "a face of rock"}.get(
        home, "open water"
    )


def _presser(homes: Homes, victim: int, rules: Rules) -> str:
    """Return the name of whoever presses an animal most, empty if nobody does so noticeably."""
    dealt = homes.presses[:, victim]
    most = int(dealt.argmax())
    return homes.leaders[most].species.common_name if dealt[most] >= rules["hole_press"] else ""


def _stone_rows(rock: Rockwork, glass: Glass) -> Iterator[StoneRow]:
    for standing in standings(rock.stones, glass):
        stone = rock.stones[standing.stone]
        if stone.weight_kg <= 0.0:
            continue
        weighed = stone_weight(stone, glass)
        yield StoneRow(
            number=standing.stone + 1,
            what="scan" if stone.parts else str(stone.form),
            mass_kg=weighed.mass_kg,
            load_kg=standing.load_kg,
            displaced_l=weighed.displaced_l,
            displaced_low_l=weighed.displaced_low_l,
            displaced_high_l=weighed.displaced_high_l,
            submerged_kg=weighed.submerged_kg,
            one_lifts_kg=weighed.one_lifts_kg,
            people=weighed.people,
            margin_cm=max(standing.margin_cm, 0.0),
        )


def _weight(glass: Glass, rock: Rockwork) -> WeightRow:
    w = tank_weight(glass, rock)
    return WeightRow(w.water_kg, w.rock_kg, w.sand_kg, w.glass_kg, w.total_kg, w.per_m2_kg)


# --- words -----------------------------------------------------------------------------------


def _worded(card: ShelterCard, question: Question, rules: Rules) -> ShelterCard:
    lines = (*_of_views(card, rules), *_of_lanes(card), *_of_holes(card, rules), *_of_homes(card))
    return replace(card, lines=lines, cautions=tuple(_cautions(card, question)))


def _of_views(card: ShelterCard, rules: Rules) -> Iterator[str]:
    if card.structures == 0:
        yield "No rock breaks the view."
        return
    heaps = "One heap of rock" if card.structures == 1 else f"{card.structures} heaps of rock"
    low, high = rules["view_break_low"], rules["view_break_high"]
    if card.breaks_per_60_cm < VIEW_CM / high * _HALF:
        told = f"the view is hardly broken: {card.breaks_per_60_cm:.1f} times in 60 cm"
    else:
        told = f"the view is broken every {VIEW_CM / card.breaks_per_60_cm:.0f} cm"
    yield f"{heaps}; {told} (usual: every {low:.0f} to {high:.0f} cm)."


def _of_lanes(card: ShelterCard) -> Iterator[str]:
    if card.lanes:
        best = max(card.lanes, key=lambda lane: lane.lane_cm)
        yield f"Longest clear run: {best.lane_cm:.0f} cm, {best.height_cm:.0f} cm above the floor."


def _of_holes(card: ShelterCard, rules: Rules) -> Iterator[str]:
    holes = sum(row.holes for row in card.holes)
    if holes == 0:
        return
    through = sum(row.two_exits for row in card.holes)
    by_class = ", ".join(f"{row.holes} {row.words}" for row in card.holes if row.holes)
    yield f"{holes} holes ({by_class}); {through} with two ways out, {holes - through} dead ends."
    users = sum(1 for row in card.homes if row.fitting_holes > 0.0)
    if users and holes < rules["refuges_per_fish"] * users:
        yield f"Fewer than {rules['refuges_per_fish']:g} holes for each animal that uses them."


def _of_homes(card: ShelterCard) -> Iterator[str]:
    for row in card.homes:
        if row.found_share < _HALF:
            yield f"{row.common_name}: {row.need} is wanting."
        elif row.pressed_by and row.fitting_holes >= 1.0 and row.hidden_holes < 1.0:
            yield f"{row.common_name}: hardly a hole that fits lies out of sight of {row.pressed_by}."


def _cautions(card: ShelterCard, question: Question) -> Iterator[str]:
    if question.glass.volume_l >= _MANY_LITRES or card.weight.rock_kg > 0.0:
        total, per_m2 = card.weight.total_kg, card.weight.per_m2_kg
        yield (
            f"Filled it weighs about {total:.0f} kg, {per_m2:.0f} kg to the square metre of its foot: "
            "ask about floor and stand before rock is added."
        )
    heavy = [row for row in card.stones if row.people > 1]
    if heavy:
        row = max(heavy, key=lambda stone: stone.mass_kg)
        yield (
            f"The {row.what} no. {row.number} weighs about {row.mass_kg:.0f} kg; so far over the rim one "
            f"person should lift {row.one_lifts_kg:.0f} kg: take {row.people}, or empty the "
            "tank first."
        )
    if card.weight.rock_kg > 0.0:
        yield "Set rock on the base, on a mat or grid, before the sand; none on sand, none against a pane."
    diggers = [
        w.species.common_name
        for w in (*question.residents, *question.wishes)
        if w.species.word("burrows") != "no"
    ]
    if diggers and card.weight.rock_kg > 0.0:
        yield f"{diggers[0]} digs: every stone must stand without the sand round it."
