"""Room for a group: what one species needs, and more for each animal beyond its usual company."""

from __future__ import annotations

from slackwater.rules import Rules
from slackwater.society.space import Room, too_small
from slackwater.taxa.facts import Species

_FORGIVEN = 0.70


def group_volume_l(species: Species, count: int, rules: Rules) -> float:
    """Return the tank volume that a group of grown animals needs. [L]

    Notes
    -----
    The volume of the fact table serves the smallest company of its kind; each animal more takes a
    share of it more (assumed).
    """
    more = max(count - max(species.number("company_min"), 1.0), 0.0)
    return float(species.number("min_volume_l") * (1.0 + rules["group_room"] * more))


def too_small_for(species: Species, count: int, room: Room, rules: Rules) -> bool:
    """Return whether a tank is too small for a group of grown animals of one species.

    Volume is forgiven as much as for a single animal, since rules of thumb quote it loosely.
    """
    lacks = _FORGIVEN * group_volume_l(species, count, rules) / room.volume_l - 1.0
    return too_small(species, room, rules) or lacks > rules["space_grace"]
