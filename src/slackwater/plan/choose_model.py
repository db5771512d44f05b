"""The choice as a model for the solver, one small function for each rule it keeps.

A wish is chosen or not. Doses are whole numbers of a ten-thousandth, rounded so that a rule never
bars what the table allows.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model

from slackwater.plan.food_rows import Shortage
from slackwater.plan.pool import Array, Pool, greatest_dose
from slackwater.plan.tank_rows import Shared
from slackwater.society.harm import WINDOW_DAYS

_SCALE = 10_000
_WISH_SCALE = 100
MINDED = 0.97
"""What a line leaves of another's attacks, below which it counts as keeping the peace."""
_MOST_PEACEKEEPERS = 4
_CENTS = 100


@dataclass(frozen=True)
class Bounds:
    """What a choice has to keep to.

    `worst` is the greatest chance of harm of each line (residents first), `spend` the most that
    the wishes may cost and `prices` what each line of them does, `releases` the most releases,
    `shared` what all share in the tank, `either` the wishes of which only one can be chosen.
    """

    worst: tuple[float, ...]
    prices: tuple[float, ...]
    spend: float | None = None
    releases: int | None = None
    shared: tuple[Shared, ...] = ()
    either: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True)
class Cut:
    """A company that will not do: all of `wishes` together, unless one of `unless` is there too."""

    wishes: frozenset[int]
    unless: frozenset[int] = frozenset()
    nobody_else: bool = False


@dataclass(frozen=True)
class Ceiling:
    """A line bears too much where the weights of the wishes chosen sum to more than `most`."""

    line: int
    weights: tuple[float, ...]
    most: float


@dataclass(frozen=True)
class Picked:
    """What the solver found: the wishes, and a bound on the weight of any that keep the rules."""

    wishes: frozenset[int]
    bound: float
    proven: bool

    @property
    def ran_out(self) -> bool:
        """Whether its time ran out before it found anything."""
        return not self.proven and not self.wishes


@dataclass(frozen=True)
class _Made:
    """A model under construction: who is chosen, residents as constants."""

    model: cp_model.CpModel
    wish: tuple[cp_model.IntVar, ...]
    pool: Pool

    def line(self, line: int) -> cp_model.IntVar | int:
        """Return whether a line is in the company; residents always are."""
        return 1 if line < self.pool.residents else self.wish[line - self.pool.residents]

    def lines(self) -> range:
        """Return all lines, residents first."""
        return range(self.pool.residents + len(self.wish))


def pick(
    pool: Pool,
    bounds: Bounds,
    cuts: Sequence[Cut] = (),
    shown: Sequence[frozenset[int]] = (),
    *,
    ceilings: Sequence[Ceiling] = (),
    shortages: Sequence[Shortage] = (),
    effort: float = 0.25,
) -> Picked | None:
    """Return the dearest wishes that keep all rules, or None if nothing does.

    Parameters
    ----------
    pool
        What each line deals every animal at the least.
    bounds
        What has to be kept to.
    cuts
        Companies found not to do.
    shown
        Companies that are known already; what comes back clearly differs from each.
    ceilings
        Where many together were found to be too much for one.
    shortages
        Where many together leave one too little food.
    effort
        The most that the solver may spend, in its own even units: about seconds.
    """
    model = cp_model.CpModel()
    wish = tuple(model.new_bool_var(f"wish {n}") for n in range(len(pool.wishes)))
    made = _Made(model, wish, pool)
    no_one_outgrows_the_tank(made)
    no_one_is_swallowed(made)
    no_one_is_harmed_beyond_bearing(made, bounds)
    the_budget_is_kept(made, bounds)
    what_all_share_is_enough(made, bounds)
    a_wish_is_met_in_one_way(made, bounds)
    the_releases_can_be_made(made, bounds)
    no_known_clash_is_repeated(made, cuts)
    no_one_is_crowded(made, ceilings)
    no_one_goes_short(made, shortages)
    for other in shown:
        this_is_another_choice(made, other, bounds.either)
    weights = the_dearest_wishes_are_met(made)
    return _solved(made, weights, effort)


def no_one_outgrows_the_tank(made: _Made) -> None:
    """Leave out what the tank is too small for when grown."""
    for line in made.lines()[made.pool.residents :]:
        if made.pool.outgrown[line]:
            made.model.add(made.line(line) == 0)


def no_one_is_swallowed(made: _Made) -> None:
    """Keep predator and prey apart where it would come to an eating, more likely than not."""
    pool = made.pool
    certain = -math.log(1.0 - pool.rules["eaten_from"])
    for i, j in np.argwhere(pool.swallowed >= certain):
        if max(i, j) >= pool.residents and i != j:
            made.model.add(made.line(int(i)) + made.line(int(j)) <= 1)


def no_one_is_harmed_beyond_bearing(made: _Made, bounds: Bounds) -> None:
    """Keep each animal's fights, bites and dangers of being eaten within its cap, each by itself."""
    pool = made.pool
    known: set[bytes] = set()
    kept = _attacks_left(made)
    for animal, line in enumerate(pool.line.tolist()):
        spare = -math.log(1.0 - bounds.worst[line]) / WINDOW_DAYS - float(pool.fixed_per_day[animal])
        most = greatest_dose(spare, float(pool.tolerated[animal]), pool.rules)
        for dealt, cap, left in (
            (pool.fought[:, animal], most, kept),
            (pool.bitten[:, animal], most, {}),
            (pool.eaten[:, animal], max(spare, 0.0) * WINDOW_DAYS, {}),
        ):
            row = np.append(dealt, (cap, line))
            if row.tobytes() not in known and (dealt.sum() > cap or spare <= 0.0):
                known.add(row.tobytes())
                _capped(made, dealt, cap if spare > 0.0 else -1.0, line, left)


_Left = dict[int, list[tuple[cp_model.IntVar, float]]]


def _capped(made: _Made, dealt: Array, cap: float, line: int, left: _Left) -> None:
    """Add that the doses of all who are there stay within a cap, where the line is there itself.

    What residents deal one another is no one's choice.
    """
    here = slice(0, made.pool.residents)
    cap = max(cap, float(dealt[here].sum())) if line < made.pool.residents else cap
    terms: list[cp_model.LinearExpr | int] = []
    for by in np.flatnonzero(dealt > 0.0).tolist():
        dose = math.floor(_SCALE * float(dealt[by]))
        terms.append(dose * made.line(by))
        terms += [-math.ceil(share * dose) * held for held, share in left.get(by, ())]
    row = made.model.add(sum(terms) <= math.ceil(_SCALE * cap))
    if line >= made.pool.residents:
        row.only_enforce_if(made.wish[line - made.pool.residents])


def _attacks_left(made: _Made) -> _Left:
    """Return, by attacking line, the shares of its attacks that larger company takes away.

    The first peacekeeper there takes what the strongest could, the second what the next could,
    and so on, so that no real company restrains more.
    """
    return {line: _restraint(made, line) for line in made.lines() if made.pool.fought[line].any()}


def _restraint(made: _Made, attacker: int) -> list[tuple[cp_model.IntVar, float]]:
    pool, model = made.pool, made.model
    left = pool.restrained[:, attacker]
    keepers = np.flatnonzero(left < MINDED).tolist()
    strongest = np.sort(left)
    steps = np.cumprod(strongest)[: min(len(keepers), _MOST_PEACEKEEPERS)]
    if not len(steps):
        return []
    steps[-1] = strongest.prod()
    found = []
    there = sum(made.line(k) for k in keepers)
    for number, (before, after) in enumerate(itertools.pairwise([1.0, *steps.tolist()]), start=1):
        held = model.new_bool_var(f"{number} restrain {attacker}")
        model.add(there >= number).only_enforce_if(held)
        model.add(held <= made.line(attacker))
        found.append((held, before - after))
    return found


def the_budget_is_kept(made: _Made, bounds: Bounds) -> None:
    """Spend no more than there is."""
    if bounds.spend is not None:
        cost = [round(_CENTS * price) * w for price, w in zip(bounds.prices, made.wish, strict=True)]
        made.model.add(sum(cost) <= math.floor(_CENTS * bounds.spend + 1e-6))


def what_all_share_is_enough(made: _Made, bounds: Bounds) -> None:
    """Share out oxygen and holes; residents who have more than there is keep it."""
    here = made.pool.residents
    for shared in bounds.shared:
        taken = [math.floor(_SCALE * part) for part in shared.takes[here:]]
        most = math.ceil(_SCALE * shared.left(here))
        made.model.add(sum(part * w for part, w in zip(taken, made.wish, strict=True)) <= most)


def a_wish_is_met_in_one_way(made: _Made, bounds: Bounds) -> None:
    """Choose one of the sizes and sexes in which a wish can be had."""
    for ways in bounds.either:
        made.model.add_at_most_one(made.wish[n] for n in ways)


def the_releases_can_be_made(made: _Made, bounds: Bounds) -> None:
    """Release no more kinds than quarantine, dates and keeper allow; a kind comes on one day."""
    if bounds.releases is None:
        return
    kinds = []
    for number, members in enumerate(made.pool.question.groups):
        kind = made.model.new_bool_var(f"kind {number}")
        made.model.add_max_equality(kind, [made.wish[m] for m in members])
        kinds.append(kind)
    made.model.add(sum(kinds) <= bounds.releases)


def no_known_clash_is_repeated(made: _Made, cuts: Sequence[Cut]) -> None:
    """Cut off what the full model has refused."""
    for cut in cuts:
        free = cut.unless | (
            frozenset(range(len(made.wish))) - cut.wishes if cut.nobody_else else frozenset()
        )
        inside, beside = (sum(made.wish[w] for w in sorted(part)) for part in (cut.wishes, free))
        made.model.add(inside <= len(cut.wishes) - 1 + beside)


def no_one_is_crowded(made: _Made, ceilings: Sequence[Ceiling]) -> None:
    """Keep what many do to one within what it was found to bear."""
    for ceiling in ceilings:
        weights = [math.floor(_SCALE * weight) for weight in ceiling.weights]
        row = made.model.add(
            sum(weight * wish for weight, wish in zip(weights, made.wish, strict=True))
            <= math.floor(_SCALE * ceiling.most)
        )
        if ceiling.line >= made.pool.residents:
            row.only_enforce_if(made.wish[ceiling.line - made.pool.residents])


def no_one_goes_short(made: _Made, shortages: Sequence[Shortage]) -> None:
    """Leave each animal its share of the food, however hard it is kept off."""
    steps: dict[tuple[int, ...], cp_model.IntVar] = {}
    for short in sorted(shortages, key=lambda one: one.least):
        needed = [] if short.line < made.pool.residents else [made.line(short.line)]
        if short.least > 0:
            pushed = made.model.new_bool_var(f"{short.line} kept off by {short.least}")
            made.model.add(_summed(made, short.push) < short.least).only_enforce_if(~pushed)
            if short.push in steps:
                made.model.add_implication(pushed, steps[short.push])
            steps[short.push] = pushed
            needed.append(pushed)
        row = made.model.add(_summed(made, short.weights) <= 0)
        if needed:
            row.only_enforce_if(needed)


def _summed(made: _Made, weights: Sequence[int]) -> cp_model.LinearExpr | int:
    """Return the sum of some weights over the lines that are there."""
    return sum(weight * made.line(line) for line, weight in enumerate(weights) if weight)


def this_is_another_choice(
    made: _Made, other: frozenset[int], either: Sequence[tuple[int, ...]] = ()
) -> None:
    """Fulfil a wish that the other choice does not, and differ by two wishes or four animals.

    Another size or sex of the same wish is no other choice.
    """
    ways = wish_by_wish(len(made.wish), either)
    met = [sum(made.wish[n] for n in one) for one in ways]
    held = [bool(other & set(one)) for one in ways]
    made.model.add(sum(now for now, was in zip(met, held, strict=True) if not was) >= 1)
    changed = [1 - now if was else now for now, was in zip(met, held, strict=True)]
    by_wishes = made.model.new_bool_var("differs by wishes")
    counts = [made.pool.wishes[one[0]].count for one in ways]
    made.model.add(sum(changed) >= FEWEST_WISHES).only_enforce_if(by_wishes)
    animals = sum(count * change for count, change in zip(counts, changed, strict=True))
    made.model.add(animals >= FEWEST_ANIMALS).only_enforce_if(~by_wishes)


FEWEST_WISHES, FEWEST_ANIMALS = 2, 4


def wish_by_wish(count: int, either: Sequence[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Return the ways in which each wish can be had, one tuple for each wish, in their order."""
    several = {ways[0]: ways for ways in either}
    other = {n for ways in either for n in ways[1:]}
    return [several.get(n, (n,)) for n in range(count) if n not in other]


def the_dearest_wishes_are_met(made: _Made) -> tuple[int, ...]:
    """Ask for the greatest sum of wishes; among equals for those higher on the list."""
    count = len(made.wish)
    step = count * (count + 1) // 2 + 1
    weights = tuple(round(_WISH_SCALE * wanted.wish) * step for wanted in made.pool.wishes)
    made.model.maximize(sum((weight + count - n) * made.wish[n] for n, weight in enumerate(weights)))
    return weights


def _solved(made: _Made, weights: tuple[int, ...], effort: float) -> Picked | None:
    """Return what the solver finds, on one thread and counting its own work, so always the same."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.catch_sigint_signal = False
    solver.parameters.cp_model_presolve = False
    solver.parameters.max_deterministic_time = effort
    state = solver.solve(made.model)
    if state == cp_model.INFEASIBLE:
        return None
    if state not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return Picked(frozenset(), math.inf, proven=False)
    chosen = frozenset(n for n, w in enumerate(made.wish) if solver.boolean_value(w))
    step = len(weights) * (len(weights) + 1) // 2 + 1
    bound = math.floor(solver.best_objective_bound + 1e-6) // step / _WISH_SCALE
    return Picked(chosen, bound, state == cp_model.OPTIMAL)
