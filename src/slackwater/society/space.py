"""Cramped: length by month against lane, footprint and volume."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.rules import Rules
from slackwater.society.company import Individual, Situation
from slackwater.tank.shapes import Glass
from slackwater.taxa.facts import Species


@dataclass(frozen=True)
class Room:
    """What a tank, or one side of it, offers."""

    length_cm: float
    width_cm: float
    volume_l: float


def room_of(glass: Glass, share: float = 1.0) -> Room:
    """Return the room of a tank, or of a share of its length behind a divider."""
    if share == 1.0:
        return Room(glass.lane_cm, glass.breadth_cm, glass.volume_l)
    width_cm, length_cm = sorted((glass.length_cm * share, glass.breadth_cm))
    return Room(length_cm, width_cm, glass.volume_l * share)


def shortfall(species: Species, room: Room) -> float:
    """Return how far a tank falls short of what an adult needs, 0 if it does not. [-]

    The largest of what is missing in length, width and volume, as need over offer less 1; width
    and volume are forgiven a little, since rules of thumb quote them loosely (assumed).
    """
    lacks = (
        species.number("min_length_cm") / room.length_cm,
        0.85 * species.number("min_width_cm") / room.width_cm,
        0.70 * species.number("min_volume_l") / room.volume_l,
    )
    return max(0.0, max(lacks) - 1.0)


def too_small(species: Species, room: Room, rules: Rules) -> bool:
    """Return whether the tank is too small for an adult of the species."""
    return shortfall(species, room) > rules["space_grace"]


def share_of(animal: Individual, situation: Situation) -> float:
    """Return the share of the tank's length that an animal has to itself and its side."""
    if situation.divider_cm is None or animal.party.side is None:
        return 1.0
    left = situation.divider_cm / situation.glass.length_cm
    return left if animal.party.side == "left" else 1.0 - left


def cramped_per_day(animal: Individual, situation: Situation, day: float, rules: Rules) -> float:
    """Return the hazard of too little room at the size of the day. [1/d]

    A small animal needs less: need scales with (L / adult)^1/2, an estimate.
    """
    room = room_of(situation.glass, share_of(animal, situation))
    return cramped_at(animal.species, animal.length_at(day - animal.party.day), room, rules)


def cramped_at(species: Species, length_cm: float, room: Room, rules: Rules) -> float:
    """Return the hazard of too little room for an animal of some length. [1/d]"""
    grown = min(1.0, length_cm / species.number("adult_length_cm")) ** 0.5
    lacks = max(0.0, (1.0 + shortfall(species, room)) * grown - 1.0)
    return float(rules["cramped_per_d"] * min(lacks, 2.0) ** 1.5)
