"""The rungs of the ladder in order of mildness: what to do, for how long, and when to go on.

Words of the trade; trial times are rules (`trial_low.*`, `trial_high.*`).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Rung(StrEnum):
    """One remedy, the mildest first."""

    WATCH = "watch"
    FEED = "feed"
    DIM = "dim"
    COVER = "cover"
    RESCAPE = "rescape"
    BOX = "box"
    TIMEOUT = "timeout"
    DIVIDER = "divider"
    NUMBERS = "numbers"
    TRAP = "trap"
    REHOME = "rehome"
    ALONE = "alone"


@dataclass(frozen=True)
class RungText:
    """What a rung says: its name, what to do, what it helps, what not, when to go on, what it takes."""

    name: str
    do: str
    helps: str
    fails: str
    stop: str
    gear: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


_ARMS = "Pumps off at the plug before arms go in; look where the spiny animals are."

TEXTS: dict[Rung, RungText] = {
    Rung.WATCH: RungText(
        name="watching",
        do="Watch and count, ten minutes three times a day; check that the lid is shut.",
        helps="settling in",
        fails="locked jaws, wounds",
        stop="more chases from day to day, or the chased one goes off its food",
        gear=("a tally sheet", "a lid without gaps"),
    ),
    Rung.FEED: RungText(
        name="more food at both ends",
        do="Feed once more a day, at both ends at the same time, the chaser first; a second clip of greens.",
        helps="guarding of food; grazers and plankton eaters",
        fails="territory; predators",
        stop="no fall in the count after three days",
        gear=("a second clip or feeding place",),
        cautions=("More food is more ammonia and nitrate: test the water.",),
    ),
    Rung.DIM: RungText(
        name="dim light and a mirror",
        do="Dim the light and shorten the day; stand a mirror against the far end glass.",
        helps="surgeonfishes and angelfishes towards newcomers",
        fails="damselfishes and dottybacks at their hole",
        stop="no fall in the count",
        gear=("a mirror", "a timer or dimmer"),
        cautions=("Take the mirror away after three days; corals need their light back.",),
    ),
    Rung.COVER: RungText(
        name="cover",
        do="Lay a pipe or rubble with two ways out where the chaser does not see it from its own place.",
        helps="one that is pinned",
        fails="chasers of the open water",
        stop="still pinned the same day",
        gear=("a pipe or rubble, wide enough for the chased one",),
        cautions=(_ARMS,),
    ),
    Rung.RESCAPE: RungText(
        name="moving the rock",
        do="At lights out, move the stones of the chaser's own place and change what it can see.",
        helps="owners of rock: damselfishes, dottybacks, dwarf angelfishes, hawkfishes",
        fails="roaming surgeonfishes, in part; predators",
        stop="the old order is back after five days",
        gear=("gloves", "a second pair of hands"),
        cautions=(_ARMS, "Lift stones with two people; set them so that nothing can fall or dig them loose."),
    ),
    Rung.BOX: RungText(
        name="the chased one in a box",
        do="Put the chased one into a see-through box in the tank and feed it there.",
        helps="newcomers; groups that form anew",
        fails="old hatred; animals too long for the box",
        stop="the box is still attacked all day after day five",
        gear=("a see-through box, at least twice as long as the animal",),
        cautions=("Water must flow through the box; look at it twice a day.",),
    ),
    Rung.TIMEOUT: RungText(
        name="a timeout for the chaser",
        do="Catch the chaser and keep it out of sight; move the rock while it is away.",
        helps="residents against newcomers: the best single rung",
        fails="two equals; a spawning pair",
        stop="it attacks within the hour of its return",
        gear=("a trap or two nets", "a covered box in the sump, or another tank", "gloves"),
        cautions=(_ARMS, "Catching frightens everyone: plan the trap first."),
    ),
    Rung.DIVIDER: RungText(
        name="a divider",
        do="Set a divider across the tank, with holes for the flow, the two on either side.",
        helps="pairs, triggerfishes, large angelfishes",
        fails="jumpers; very thin fishes, which slip by",
        stop="it rages at the divider for days",
        gear=("a divider that fits rock and glass", "cover on both sides"),
        cautions=("Both sides need flow, food and a lid.",),
    ),
    Rung.NUMBERS: RungText(
        name="more of its kind",
        do="Add more of its kind, all on one day, so that chasing spreads over many.",
        helps="shoaling and harem kinds in large tanks",
        fails="most tanks",
        stop="more are chased than before",
        gear=("quarantine for all of them", "a filter that can follow"),
        cautions=("It cannot be undone by halves: only with a tank that would take them in any case.",),
    ),
    Rung.TRAP: RungText(
        name="trapping the chaser",
        do="Trap the chaser and take it out.",
        helps="every pattern",
        fails="nothing, but the hunt frightens the rest",
        stop="no catch in a week",
        gear=("a bottle trap or a box with a drop door", "a red light"),
        cautions=(_ARMS,),
    ),
    Rung.REHOME: RungText(
        name="another home",
        do="Give it to a tank that was judged with it in the same way, its own record with it.",
        helps="every pattern",
        fails="one that does the same there: its record must go with it",
        stop="",
        gear=("a rigid bag or jar", "its record"),
        cautions=("Never release it into nature; local law on giving animals away holds.",),
    ),
    Rung.ALONE: RungText(
        name="a tank of its own",
        do="Keep it in a tank of its own, or of its kind.",
        helps="a born loner",
        fails="",
        stop="",
        gear=("another tank that is run in",),
    ),
}

BEYOND = (
    "An animal that is beyond help is a question for the veterinarian; killing is done by, or "
    "under the guidance of, one."
)
