"""Advice on rock: the one stone to move, then two and three, and the same stones laid anew.

Layouts are scored for the whole company on coarse cells, many at once; only those whose stones stand
and can be lifted are kept, and the winners are judged again on fine cells. The same question and seed
give the same advice.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slackwater.plan.dividing import worst_name
from slackwater.plan.question import Question
from slackwater.plan.rejudge import days_of, with_best_order
from slackwater.plan.stone_moves import (
    Act,
    Bed,
    Step,
    Try,
    additions,
    corner_moves,
    moves,
    spots,
    stands,
    stones_of,
    with_step,
)
from slackwater.rules import Rules
from slackwater.society.company import Situation
from slackwater.society.judge import Judgement, Settings, judge
from slackwater.society.rearranged import Rearranging, padded, rearranging
from slackwater.tank.pieces import as_table
from slackwater.tank.rock import Rockwork, arranged
from slackwater.tank.stone import Stone, bodies

Array = NDArray[np.float64]
Tick = Callable[[str], None]

_BATCH = 256
_CONFIRMED = 2
_BEAM = 5
_NEXT = 500
_ANEW, _CLIMBED, _CLIMBS = 24, 2, 3
_THROW_CM, _THROWS, _SHUFFLES = 5.0, 12, 1.5
_ALL_FARES = 0.01


@dataclass(frozen=True)
class StonesAsked:
    """What is sought: how many stones may be handled, whether all may be laid anew, and the seed."""

    most_steps: int = 3
    anew: bool = True
    seed: int = 0


@dataclass(frozen=True)
class Laid:
    """Stones as they would lie, how one gets there, and how the worst-off fares: coarse, then fine.

    `p` is the chance of harm of the worst-off animal, too little room left out [0 to 1]; `verdict` is
    that on fine cells, None where only coarse cells were judged.
    """

    steps: tuple[Step, ...]
    stones: tuple[Stone, ...]
    p_coarse: float
    p: float
    verdict: Judgement | None = None


@dataclass(frozen=True)
class StonesFound:
    """What a search found: as it lies, then the best with one, two and three stones, and anew.

    `singles` holds the best of each kind: a stone moved, a boulder, pipe or arch added. `tried`
    counts the layouts that were scored.
    """

    question: Question
    rock: Rockwork
    before: Laid
    singles: tuple[Laid, ...]
    pairs: tuple[Laid, ...]
    triples: tuple[Laid, ...]
    anew: Laid | None
    tried: int

    @property
    def best_single(self) -> Laid | None:
        """The best that can be done with one stone."""
        return min(self.singles, key=lambda laid: laid.p, default=None)


def seek_stones(
    question: Question, asked: StonesAsked, rules: Rules, tick: Tick = lambda _: None
) -> StonesFound:
    """Return the best that can be done with stones, one at a time and all anew.

    Parameters
    ----------
    question
        The tank and its company; its first layout is the one that stands.
    asked
        What is sought.
    rules
        The coefficients.
    tick
        Called with a word on how far the search has come.
    """
    tick("as it lies")
    search = _Search.of(question, rules, tick)
    singles = search.best_of(search.singles(), _kind)
    pairs = search.further(singles, asked) if asked.most_steps > 1 else ()
    triples = search.further(pairs, asked) if asked.most_steps > 2 and pairs else ()  # noqa: PLR2004 - three
    anew = search.anew(asked) if asked.anew and len(search.bed.stones) > 1 else None
    tick("the winners on fine cells")
    return StonesFound(
        question=search.question,
        rock=search.rock,
        before=search.confirmed(search.before),
        singles=search.all_confirmed(singles, _kind),
        pairs=search.all_confirmed(pairs),
        triples=search.all_confirmed(triples),
        anew=search.confirmed(anew) if anew else None,
        tried=search.tried,
    )


def _kind(laid: Laid) -> str:
    """Return what kind of step a single one is."""
    step = laid.steps[0]
    return f"{step.act} {step.stone.form}" if step.act is Act.ADD else step.act.value


@dataclass
class _Search:
    """A search under way: the company ready to be judged, the bed as it lies, and what was tried."""

    question: Question
    situation: Situation
    ready: Rearranging
    bed: Bed
    rock: Rockwork
    before: Laid
    rules: Rules
    tick: Tick
    tried: int = 0

    @classmethod
    def of(cls, question: Question, rules: Rules, tick: Tick) -> _Search:
        fixed = with_best_order(question, rules)
        situation = fixed.situation(days_of(fixed, rules), layouts=1)
        rock = situation.rockworks[0]
        stones = stones_of(rock)
        ready = rearranging(situation, rules)
        p = float(ready.chances([rock.rock_table])[0, -1])
        bed = Bed.of(stones, question.glass, rock.sand_cm)
        return cls(fixed, situation, ready, bed, rock, Laid((), stones, p, p), rules, tick)

    # --- steps ---

    def singles(self) -> list[Laid]:
        """Return everything that can be done with one stone, scored."""
        tries = [*self._to_corners(), *moves(self.bed), *additions(self.bed)]
        return self.scored((), tries, self.bed)

    def _to_corners(self) -> Iterable[Try]:
        """Yield the moves that take the favourite hole of the worst chaser to a far corner."""
        number, home = favourite_stone(self.ready.verdict, self.rock, self.bed.stones)
        return corner_moves(self.bed, number, home, self.rules) if number is not None else ()

    def further(self, so_far: Sequence[Laid], asked: StonesAsked) -> tuple[Laid, ...]:
        """Return the best with one more stone than some arrangements that are known."""
        found: list[Laid] = []
        for rank, laid in enumerate(so_far[:_BEAM]):
            bed = Bed.of(laid.stones, self.bed.glass, self.bed.sand_cm)
            handled = {step.number for step in laid.steps}
            tries = [one for one in (*moves(bed), *additions(bed)) if one.number not in handled]
            chosen = _some(tries, [asked.seed, len(laid.steps), rank])
            found += self.scored(laid.steps, chosen, bed)
        return self.best_of(found, lambda _: "any", most=_BEAM)

    def scored(self, before: tuple[Step, ...], tries: Sequence[Try], bed: Bed) -> list[Laid]:
        """Return what can be tried on stones that lie already, scored on coarse cells."""
        out: list[Laid] = []
        for first in range(0, len(tries), _BATCH):
            found = (one.step(bed, self.rules) for one in tries[first : first + _BATCH])
            steps = [step for step in found if step is not None]
            laid = [with_step(bed.stones, step) for step in steps]
            for step, lies, p in zip(steps, laid, self.scores(laid), strict=True):
                out.append(Laid((*before, step), lies, p, p))
        return out

    def scores(self, layouts: Sequence[tuple[Stone, ...]]) -> list[float]:
        """Return how the worst-off fares in each layout, all others counting a little. [0 to 1]"""
        if not layouts:
            return []
        fares = self.ready.chances(padded([table_of(stones) for stones in layouts]))
        self.tried += len(layouts)
        self.tick(f"{self.tried} layouts")
        return [float(row[-1] + _ALL_FARES * row[:-1].mean()) for row in fares]

    def best_of(
        self, laid: Sequence[Laid], kind: Callable[[Laid], str], most: int = _CONFIRMED
    ) -> tuple[Laid, ...]:
        """Return the best few of each kind whose stones stand, the best first."""
        kept: dict[str, list[Laid]] = {}
        for one in sorted(laid, key=lambda one: one.p_coarse):
            same = kept.setdefault(kind(one), [])
            is_new = all(one.steps[-1].number != k.steps[-1].number or _apart(one, k) for k in same)
            if len(same) < most and is_new and stands(one.stones, self.bed):
                same.append(one)
        return tuple(sorted((one for same in kept.values() for one in same), key=lambda one: one.p_coarse))

    # --- all stones anew ---

    def anew(self, asked: StonesAsked) -> Laid | None:
        """Return the same stones in another layout, the best of many, bettered stone by stone."""
        rng = np.random.default_rng([asked.seed, 77])
        drawn = [self.shuffled(rng) for _ in range(_ANEW)]
        scored = sorted(zip(self.scores(drawn), range(len(drawn)), strict=True))
        tops = [self._climbed(drawn[n], p, asked) for p, n in scored[:_CLIMBED]]
        return min(tops, key=lambda laid: laid.p_coarse, default=None)

    def shuffled(self, rng: np.random.Generator) -> tuple[Stone, ...]:
        """Return the stones after many random moves, each of a stone that lies free to a place it stands."""
        bed = self.bed
        for _ in range(int(_SHUFFLES * len(bed.stones))):
            free = [n for n in range(len(bed.stones)) if bed.is_free(n)]
            moved = self._anywhere(bed, int(rng.choice(free)), rng) if free else None
            if moved is not None:
                bed = Bed.of(with_step(bed.stones, moved), bed.glass, bed.sand_cm)
        return bed.stones

    def _anywhere(self, bed: Bed, number: int, rng: np.random.Generator) -> Step | None:
        """Return a move of one stone to the first of some random places where it stands."""
        stone = bed.stones[number]
        rest = bed.stones[:number] + bed.stones[number + 1 :]
        seats = [((s.x_cm, s.y_cm), s.yaw_rad) for s in rest if not s.is_bed]
        floor = [(place, float(rng.uniform(0.0, np.pi))) for place in spots(bed.glass, _THROW_CM)]
        mixed = [*[floor[n] for n in rng.permutation(len(floor))[:_THROWS]], *seats]
        for n in rng.permutation(len(mixed)):
            place, turn = mixed[n]
            step = Try(number, stone, replace(stone, yaw_rad=turn), place).step(bed, self.rules)
            if step is not None and stands(with_step(bed.stones, step), bed):
                return step
        return None

    def _climbed(self, stones: tuple[Stone, ...], p: float, asked: StonesAsked) -> Laid:
        """Return a layout bettered by a few single moves."""
        best = Laid((), stones, p, p)
        for turn in range(_CLIMBS):
            bed = Bed.of(best.stones, self.bed.glass, self.bed.sand_cm)
            tried = self.scored((), _some(list(moves(bed)), [asked.seed, 78, turn]), bed)
            better = [one for one in tried if one.p_coarse < best.p_coarse]
            ranked = sorted(better, key=lambda one: one.p_coarse)
            found = next((one for one in ranked if stands(one.stones, bed)), None)
            if found is None:
                break
            best = replace(found, steps=())
        return best

    # --- winners ---

    def confirmed(self, laid: Laid) -> Laid:
        """Return an arrangement judged on fine cells."""
        rock = self.rock if not laid.steps and laid.stones == self.bed.stones else self._rock(laid.stones)
        verdict = judge(replace(self.situation, rockworks=(rock,)), Settings(draws=48), self.rules)
        return replace(laid, p=verdict.worst_p, verdict=verdict)

    def _rock(self, stones: tuple[Stone, ...]) -> Rockwork:
        return arranged(stones, self.bed.glass, self.bed.sand_cm)

    def all_confirmed(
        self, laid: Sequence[Laid], kind: Callable[[Laid], str] = lambda _: "any"
    ) -> tuple[Laid, ...]:
        """Return the best of each kind after a judgement on fine cells, the best first."""
        kept: dict[str, list[Laid]] = {}
        for one in laid:
            same = kept.setdefault(kind(one), [])
            if len(same) < _CONFIRMED:
                same.append(self.confirmed(one))
        best = [min(same, key=lambda one: one.p) for same in kept.values()]
        return tuple(sorted(best, key=lambda one: one.p))


def _some(tries: Sequence[Try], seed: list[int]) -> list[Try]:
    """Return a seeded sample of what can be tried, in its order."""
    chosen = np.random.default_rng(seed).permutation(len(tries))[:_NEXT]
    return [tries[n] for n in sorted(chosen)]


def table_of(stones: Sequence[Stone]) -> Array:
    """Return stones as the kernels read them, beds of sand left out."""
    return np.vstack([_rows(stone) for stone in stones if not stone.is_bed])


@functools.lru_cache(maxsize=16_384)
def _rows(stone: Stone) -> Array:
    return as_table(bodies(stone))


def _apart(one: Laid, other: Laid) -> bool:
    """Say whether two arrangements put the same stone in clearly different places."""
    a, b = one.steps[-1].stone, other.steps[-1].stone
    return bool(np.hypot(a.x_cm - b.x_cm, a.y_cm - b.y_cm) > 2.0 * max(a.size_cm[:2]) / 2.0)


def favourite_stone(
    verdict: Judgement, rock: Rockwork, stones: tuple[Stone, ...]
) -> tuple[int | None, tuple[float, float]]:
    """Return the stone that holds the hole nearest to the worst chaser's home, and where its victim lives.

    The chaser is whoever harms the worst-off animal most. None where nobody does or no hole is known.
    """
    lot = max(verdict.lots, key=lambda lot: float(verdict.community_draws(lot).mean()))
    by = {name: p for name, p in lot.by.items() if name != lot.animal.species.name and p > 0.0}
    field = verdict.fields[0]
    victim = field.ground.sites.points_cm[int(np.argmax(field.shares[:, lot.animal.party_index]))]
    spot = (float(victim[0]), float(victim[1]))
    if not by or not rock.holes:
        return None, spot
    worst = max(by, key=lambda name: by[name])
    column = [leader.species.name for leader in field.leaders].index(worst)
    mean = field.shares[:, column] @ field.ground.sites.points_cm
    hole = min(rock.holes, key=lambda h: float(np.linalg.norm(np.array(h.centre_cm) - mean)))
    owner = rock.owners[hole.piece] if rock.owners else hole.piece
    return (owner if owner < len(stones) else None), spot


def worst_of(laid: Laid) -> str:
    """Return the common name of the worst-off animal of a confirmed arrangement."""
    return worst_name(laid.verdict) if laid.verdict else ""
