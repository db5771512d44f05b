"""What an adviser can do for a newcomer at the counter, from the mildest on."""

from __future__ import annotations

from dataclasses import replace

from slackwater.service.checking_words import name_of
from slackwater.service.counter import Scene
from slackwater.society.company import Deed, Event

BOX_DAYS = 5.0
TIMEOUT_DAYS = 14.0


def rungs(scene: Scene, by: str | None) -> list[tuple[str, Scene]]:
    """Return what can be done for a newcomer, in order of mildness.

    Parameters
    ----------
    scene
        The tank with the newcomer, as it was told.
    by
        Scientific name of whoever troubles the worst-off animal most, if anyone.

    Returns
    -------
    list
        Conditions in words, each with the scene as it would be.
    """
    boxed = _with_newcomer(scene, box_days=BOX_DAYS)
    fed = replace(boxed, keeping=replace(scene.keeping, feeds_per_day=3.0, stations=2))
    box = f"it is kept in an acclimation box in the tank for {BOX_DAYS:.0f} days first"
    if not scene.residents:
        return [*_sizes(scene), ("it is fed three times a day at two places", fed)]
    found = [(box, boxed), *_sizes(scene)]
    found.append((f"{box} and all are fed three times a day at two places", fed))
    if scene.rock != "none":
        moved = replace(boxed, events=(Event(0.0, Deed.RESCAPE),))
        found.append((f"{box} and the rock is moved on the day it is let go", moved))
    found += _timeout(scene, by)
    return found


def _sizes(scene: Scene) -> list[tuple[str, Scene]]:
    """Return other sizes of the newcomer that are sold."""
    (new,) = scene.newcomers
    adult_cm = new.species.number("adult_length_cm")
    small_cm = 0.7 * min(new.species.number("sale_length_cm"), new.length_cm)
    larger_cm = min(1.5 * new.length_cm, adult_cm)
    found = []
    if larger_cm > 1.1 * new.length_cm:
        larger = _with_newcomer(scene, length_cm=larger_cm)
        found.append((f"it is one of {larger_cm:.0f} cm or more", larger))
    smaller = _with_newcomer(scene, length_cm=small_cm)
    return [*found, (f"it is one of {small_cm:.1f} cm or less", smaller)]


def _timeout(scene: Scene, by: str | None) -> list[tuple[str, Scene]]:
    """Return the rung on which the resident that troubles most is taken out for two weeks."""
    if by is None or by not in {p.species.name for p in scene.residents}:
        return []
    if by == scene.newcomers[0].species.name:
        return []
    away = Event(0.0, Deed.TAKE_OUT, by, TIMEOUT_DAYS)
    name = name_of(by)
    words = f"the {name} is taken out for {TIMEOUT_DAYS:.0f} days on the day it is let go"
    found = [(words, replace(scene, events=(away,)))]
    for size, resized in _sizes(scene)[:1]:
        found.append((f"{size} and {words}", replace(resized, events=(away,))))
    return found


def _with_newcomer(scene: Scene, length_cm: float | None = None, box_days: float = 0.0) -> Scene:
    (new,) = scene.newcomers
    changed = replace(new, box_days=box_days)
    if length_cm is not None:
        changed = replace(changed, length_cm=length_cm, length_sigma=0.0)
    return replace(scene, newcomers=(changed,))
