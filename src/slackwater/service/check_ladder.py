"""What an adviser can do for a newcomer at the counter, from the mildest on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slackwater.service.checking_words import name_of
from slackwater.service.counter import Scene
from slackwater.society.company import Deed, Event, Party

BOX_DAYS = 5.0
TIMEOUT_DAYS = 14.0


def rungs(scene: Scene, by: str | None, key: str = "") -> list[tuple[str, Scene]]:
    """Return what can be done for a newcomer, in order of mildness.

    Parameters
    ----------
    scene
        The tank with those who come, as it was told.
    by
        Scientific name of whoever troubles the worst-off animal most, if anyone.
    key
        For whom of several it is done; the first if left out.

    Returns
    -------
    list
        Conditions in words, each with the scene as it would be.
    """
    one = _Focus(scene, next((p for p in scene.newcomers if p.key == key), scene.newcomers[0]))
    boxed = one.changed(box_days=BOX_DAYS)
    fed = replace(boxed, keeping=replace(scene.keeping, feeds_per_day=3.0, stations=2))
    box = f"{one.called} is kept in an acclimation box in the tank for {BOX_DAYS:.0f} days first"
    if not scene.residents and one.is_alone:
        return [*_sizes(one), ("it is fed three times a day at two places", fed)]
    found = [(box, boxed), *_sizes(one)]
    found.append((f"{box} and all are fed three times a day at two places", fed))
    if scene.rock != "none":
        moved = replace(boxed, events=(Event(one.party.day, Deed.RESCAPE),))
        found.append((f"{box} and the rock is moved on the day it is let go", moved))
    found += _timeout(one, by)
    return found


@dataclass(frozen=True)
class _Focus:
    """The newcomer for whom something is done."""

    scene: Scene
    party: Party

    @property
    def is_alone(self) -> bool:
        """Whether nobody else comes."""
        return len(self.scene.newcomers) == 1

    @property
    def called(self) -> str:
        """How a condition speaks of it."""
        return "it" if self.is_alone else f"the {self.party.species.common_name}"

    def changed(self, length_cm: float | None = None, box_days: float = 0.0) -> Scene:
        """Return the scene with it at another length, or in a box first. [cm, d]"""
        changed = replace(self.party, box_days=box_days)
        if length_cm is not None:
            changed = replace(changed, length_cm=length_cm, length_sigma=0.0)
        newcomers = tuple(changed if p.key == changed.key else p for p in self.scene.newcomers)
        return replace(self.scene, newcomers=newcomers)


def _sizes(one: _Focus) -> list[tuple[str, Scene]]:
    """Return other sizes of the newcomer that are sold."""
    new = one.party
    adult_cm = new.species.number("adult_length_cm")
    small_cm = 0.7 * min(new.species.number("sale_length_cm"), new.length_cm)
    larger_cm = min(1.5 * new.length_cm, adult_cm)
    found = []
    if larger_cm > 1.1 * new.length_cm:
        found.append((f"{one.called} is one of {larger_cm:.0f} cm or more", one.changed(larger_cm)))
    return [*found, (f"{one.called} is one of {small_cm:.1f} cm or less", one.changed(small_cm))]


def _timeout(one: _Focus, by: str | None) -> list[tuple[str, Scene]]:
    """Return the rung on which the resident that troubles most is taken out for two weeks."""
    if by is None or by not in {p.species.name for p in one.scene.residents}:
        return []
    if by == one.party.species.name:
        return []
    away = Event(one.party.day, Deed.TAKE_OUT, by, TIMEOUT_DAYS)
    words = f"the {name_of(by)} is taken out for {TIMEOUT_DAYS:.0f} days on the day {one.called} is let go"
    found = [(words, replace(one.scene, events=(away,)))]
    for size, resized in _sizes(one)[:1]:
        found.append((f"{size} and {words}", replace(resized, events=(away,))))
    return found
